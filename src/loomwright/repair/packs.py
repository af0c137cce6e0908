"""What is bought: packs of suppliers, lengths of wire, and how these are cut."""

from __future__ import annotations

from collections.abc import Mapping

import attrs


@attrs.frozen(kw_only=True)
class Supplier:
    """Somebody who sells parts.

    Attributes
    ----------
    supplier : name
    postage : price of a parcel
    least_order : least value of an order, postage apart
    lead_days : until the parcel is there
    """

    supplier: str
    postage: float = 0.0
    least_order: float = 0.0
    lead_days: float = 0.0


@attrs.frozen(kw_only=True)
class PackOffer:
    """A pack of one part at one supplier; price breaks are packs of their own.

    Attributes
    ----------
    supplier, part : names
    pack : parts in a pack, or its length [mm]
    price : of a pack
    one_length : whether several packs come in one length, as wire does that is cut to order
    offer : its name, where it has one
    """

    supplier: str
    part: str
    pack: int
    price: float
    one_length: bool = False
    offer: str = ""


@attrs.frozen(kw_only=True)
class Lengths:
    """Wire of one kind and colour that is needed in pieces.

    Attributes
    ----------
    pieces : how many of each length [mm]
    drawer : lengths at hand [mm]
    """

    pieces: Mapping[int, int]
    drawer: tuple[int, ...] = ()


@attrs.frozen(kw_only=True)
class Cut:
    """What is cut from one length.

    Attributes
    ----------
    part : name
    offer : what it is bought as, empty for a length in the drawer
    length_mm : of the whole
    pieces : cut from it, the longest first [mm]
    """

    part: str
    offer: str
    length_mm: int
    pieces: tuple[int, ...]
