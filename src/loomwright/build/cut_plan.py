"""How the wires of one kind are cut: from what lies in the drawer, and from new reels.

First as few new reels as can be, then as few metres of them, then as little of the drawer as can be
opened, so that long offcuts stay whole; and what is left over as long as was found. A plan is held
against a bound (`cut_bounds`); where they do not meet, the solver decides (`cut_exact`). What was
not proved says how much less there might be. Nothing is lost at a cut.
"""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Iterable, Sequence
from functools import cached_property
from itertools import combinations_with_replacement
from math import comb

import attrs

from loomwright.build.cut_bounds import Shares, by_length, by_shares, by_sizes
from loomwright.build.cut_choices import choices, every_choice
from loomwright.build.cut_exact import Cheapest, Group, Length, Opened, cheapest
from loomwright.build.cut_fill import fullest_mm, placed, reachable
from loomwright.build.cut_proof import BY_LENGTH, BY_SEARCH, BY_SIZES, CutLengths, Proof, drawer_mm
from loomwright.build.cut_search import tried
from loomwright.loom.errors import OutOfRange

_MOST_CHOICES = 2_000
"""Choices of reels by their lengths that are gone through."""
_MOST_LENGTHS, _MOST_PIECES = 12, 200
"""Lengths and pieces that every way is tried for; with more there are too many."""
_MOST_TRIED = 300
"""Choices of lengths of the drawer that are tried before the solver is asked."""


def cut_lengths(
    pieces: Sequence[int],
    *,
    reels_mm: Iterable[int],
    drawer_mm: Sequence[int] = (),
    keep_mm: int = 0,
    seconds: float = 10.0,
) -> CutLengths:
    """Cut all pieces from the drawer and from the fewest new reels.

    Parameters
    ----------
    pieces : lengths of the wires [mm]
    reels_mm : lengths of reels that can be bought, any number of each
    drawer_mm : lengths in the drawer, one of each
    keep_mm : what is left of a length goes back into the drawer from here on
    seconds : most that may be spent on proofs

    Raises
    ------
    OutOfRange
        when a length is not above 0, or a piece is longer than every reel.

    Examples
    --------
    A teaching example: 6, 5, 4, 3 and twice 2 from lengths of 10 take three.

    >>> cut_lengths([6, 5, 4, 3, 2, 2], reels_mm=[10]).reels
    Proof(got=3, least=3, by='length')
    """
    reels = sorted(set(reels_mm))
    _check(pieces, reels, drawer_mm)
    return _Cutting(tuple(sorted(pieces, reverse=True)), reels, tuple(sorted(drawer_mm)),
                    keep_mm, time.monotonic() + seconds).done()  # fmt: skip


def _check(pieces: Sequence[int], reels: Sequence[int], drawer: Sequence[int]) -> None:
    for length in (*pieces, *reels, *drawer):
        if length <= 0:
            raise OutOfRange(
                f"{length} mm is not possible", where="length", expected="give a length above 0"
            )
    if pieces and max(pieces) > max(reels, default=0):
        raise OutOfRange(
            f"a piece of {max(pieces)} mm cannot be cut from {max(reels, default=0)} mm",
            where="cutting",
            expected="take a longer reel",
        )


@attrs.define(slots=False, eq=False)
class _Cutting:
    """One kind of wire; pieces the longest first, reels and drawer the shortest first."""

    pieces: tuple[int, ...]
    reels: list[int]
    drawer: tuple[int, ...]
    keep: int
    ends: float

    def done(self) -> CutLengths:
        if not self.pieces:
            none = Proof(got=0, least=0)
            return CutLengths(opened=(), reels=none, bought_mm=none, drawer_mm=none)
        opened, reels = self.fewest()
        chosen, opened, bought = self.shortest(reels.got, opened)
        opened, drawer = self.least_drawer(chosen, opened)
        return CutLengths(opened=self.tidy(opened), reels=reels, bought_mm=bought, drawer_mm=drawer)

    # Looking for a way

    @cached_property
    def wanted(self) -> Counter[int]:
        """How many pieces of each length."""
        return Counter(self.pieces)

    @cached_property
    def reach(self) -> int:
        """What lengths pieces can be together, up to the longest there is."""
        return reachable(self.pieces, max((*self.reels, *self.drawer)))

    @property
    def left(self) -> float:
        """Seconds that may still be spent."""
        return self.ends - time.monotonic()

    def held(self, lengths: Iterable[int]) -> int:
        """What can be cut from these lengths at most, each by itself."""
        return sum(fullest_mm(self.reach, each) for each in lengths)

    def quick(self, lengths: Sequence[Length]) -> tuple[Opened, ...] | None:
        """A way by first look, what is lost in short ends the least; None where none was found."""
        ways = placed(self.pieces, [each.length_mm for each in lengths])
        found = [tuple(zip(lengths, way, strict=True)) for way in ways]
        best = min(found, key=self.lost, default=None)
        return None if best is None else tuple((length, cuts) for length, cuts in best if cuts)

    def lost(self, opened: Iterable[Opened]) -> tuple[int, int]:
        """Length of ends too short to keep; then how many are kept."""
        ends = [length.length_mm - sum(cuts) for length, cuts in opened if cuts]
        return sum(end for end in ends if end < self.keep), sum(end >= self.keep for end in ends)

    def all_with(self, reels: Iterable[int]) -> tuple[Length, ...]:
        """The whole drawer, and these new reels."""
        kept = (Length(length_mm=each) for each in self.drawer)
        return (*kept, *(Length(length_mm=each, new=True) for each in reels))

    def looked(self, lengths: Sequence[Length]) -> Cheapest:
        """A way, or the proof that there is none, where a look or few tries tell."""
        sizes = [each.length_mm for each in lengths]
        if self.held(sizes) < sum(self.pieces):
            return Cheapest(impossible=True)
        opened = self.quick(lengths)
        if opened is not None:
            return Cheapest(opened=opened)
        if len(lengths) <= 2:  # one of the two was filled as far as it can be
            return Cheapest(impossible=True)
        if len(lengths) > _MOST_LENGTHS or len(self.pieces) > _MOST_PIECES:
            return Cheapest()
        found = tried(self.pieces, sizes)
        if found.cuts is None:
            return Cheapest(impossible=found.every)
        ways = zip(lengths, found.cuts, strict=True)
        return Cheapest(opened=tuple((length, cuts) for length, cuts in ways if cuts))

    def decide(self, lengths: Sequence[Length], shares: Shares | None = None) -> Cheapest:
        """A way, or the proof that there is none, or neither where time runs out."""
        found = self.looked(lengths)
        if found.opened is not None or found.impossible:
            return found
        groups = [Group(length=each, count=n) for each, n in Counter(lengths).items()]
        if shares is not None:
            mixed = cheapest(self.wanted, groups, seconds=self.left / 2, ways=shares.ways)
            if mixed.opened is not None:
                return mixed
        return cheapest(self.wanted, groups, seconds=self.left)

    # The three figures

    def fewest(self) -> tuple[tuple[Opened, ...], Proof]:
        """As few reels of the longest kind as it takes."""
        reel, shares = self.reels[-1], None
        count, by = by_length(self.pieces, reel, self.drawer), BY_LENGTH
        if not self.drawer and (sizes := by_sizes(self.pieces, reel)) > count:
            count, by = sizes, BY_SIZES
        lengths = self.all_with([reel] * count)
        if len(lengths) > 2 and self.quick(lengths) is None:
            shares = by_shares(self.pieces, reel, self.drawer, seconds=self.left / 2)
            if shares.least > count:
                count, by = shares.least, BY_SIZES
        least, sure = count, True
        while (found := self.decide(self.all_with([reel] * count), shares)).opened is None:
            sure = sure and found.impossible
            count += 1
            if sure:
                least, by = count, BY_SEARCH
        return found.opened, Proof(got=count, least=least, by=by)

    def shortest(
        self, count: int, opened: tuple[Opened, ...]
    ) -> tuple[tuple[int, ...], tuple[Opened, ...], Proof]:
        """So many reels, as short together as they can be; `opened` is a way with the longest."""
        longest = (self.reels[-1],) * count
        if len(set(self.reels)) == 1 or not count:
            return longest, opened, Proof(got=sum(longest), least=sum(longest))
        need = sum(self.pieces) - self.held(self.drawer)
        few = comb(len(self.reels) + count - 1, count) <= _MOST_CHOICES
        choices = combinations_with_replacement(self.reels, count) if few else (longest,)
        unsure = None if few else max(need, self.reels[0] * count)
        by = BY_LENGTH
        for chosen in sorted(choices, key=sum):
            if self.held(chosen) < need:
                continue
            found = self.decide(self.all_with(chosen))
            if found.opened is not None:
                got = sum(chosen)
                least = got if unsure is None else min(unsure, got)
                return chosen, found.opened, Proof(got=got, least=least, by=by)
            by = BY_SEARCH
            if not found.impossible and unsure is None:
                unsure = sum(chosen)
        least = sum(longest) if unsure is None else unsure
        return longest, opened, Proof(got=sum(longest), least=least, by=by)

    def least_drawer(
        self, chosen: tuple[int, ...], opened: tuple[Opened, ...]
    ) -> tuple[tuple[Opened, ...], Proof]:
        """As little of the drawer as can be, beside these reels; `opened` is a way with them."""
        reels = self.all_with(chosen)[len(self.drawer) :]
        need = sum(self.pieces) - self.held(chosen)
        held = {each: self.held([each]) for each in self.drawer}
        got, first, unsure = drawer_mm(opened), None, None
        for number, (total, some) in enumerate(
            choices(self.drawer, held, need_mm=need, most_mm=got)
        ):
            if total >= got:
                break
            first = total if first is None else first
            lengths = (*(Length(length_mm=each) for each in some), *reels)
            found = Cheapest() if number >= _MOST_TRIED else self.looked(lengths)
            if found.opened is not None:
                opened, got = found.opened, total
                break
            if unsure is None and not (found.impossible and every_choice(self.drawer)):
                unsure = total
            if number >= _MOST_TRIED or self.left <= 0.0:
                break
        least = got if unsure is None else unsure
        by = BY_LENGTH if first is None or least == first else BY_SEARCH
        return self.searched(opened, reels, Proof(got=got, least=least, by=by))

    def searched(
        self, opened: tuple[Opened, ...], reels: Sequence[Length], proof: Proof
    ) -> tuple[tuple[Opened, ...], Proof]:
        """The same, by the solver where the plan does not meet the bound."""
        if proof.proved:
            return opened, proof
        counts = Counter((*(Length(length_mm=each) for each in self.drawer), *reels))
        groups = [
            Group(length=each, count=count, cost=0 if each.new else each.length_mm)
            for each, count in counts.items()
        ]
        found = cheapest(self.wanted, groups, seconds=self.left)
        best = min(opened, found.opened or opened, key=drawer_mm)
        by = BY_SEARCH if found.least > proof.least else proof.by
        return best, Proof(got=drawer_mm(best), least=max(proof.least, found.least), by=by)

    def tidy(self, opened: tuple[Opened, ...]) -> tuple[Opened, ...]:
        """The same lengths, cut so that less is lost in short ends where a first look finds it."""
        other = self.quick([length for length, _ in opened])
        best = opened if other is None else min(opened, other, key=self.lost)
        ordered = [(length, tuple(sorted(cuts, reverse=True))) for length, cuts in best]
        return tuple(sorted(ordered, key=lambda each: (each[0].new, each[0].length_mm)))
