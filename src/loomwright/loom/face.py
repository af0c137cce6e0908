"""The layout of a plug's cavities, seen from the mating side or the wire side."""

from __future__ import annotations

import attrs

from loomwright.loom.identity import IDENTIFIER

GAP = "."


@attrs.frozen
class Face:
    """Cavities in rows, top row first, as they are seen; `None` is a gap.

    Attributes
    ----------
    rows : cavity names by row and place in the row
    """

    rows: tuple[tuple[str | None, ...], ...]

    @classmethod
    def parse(cls, text: str) -> Face:
        """Read `1 2 3 / 4 5 6`, with `.` for a gap.

        Raises
        ------
        ValueError
            when a cavity name is impossible or stands twice, or there is none.
        """
        rows = tuple(
            tuple(None if name == GAP else name for name in row.split()) for row in text.split("/")
        )
        names = [name for row in rows for name in row if name is not None]
        if not names:
            raise ValueError("there is no cavity in it")
        seen: set[str] = set()
        for name in names:
            if not IDENTIFIER.match(name):
                raise ValueError(f'"{name}" cannot be a cavity name')
            if name in seen:
                raise ValueError(f'cavity "{name}" stands in it twice')
            seen.add(name)
        return cls(rows)

    @property
    def cavities(self) -> tuple[str, ...]:
        """All cavity names, row by row."""
        return tuple(name for row in self.rows for name in row if name is not None)

    @property
    def mirrored(self) -> Face:
        """The same plug seen from the other side: every row turned left to right."""
        width = max(len(row) for row in self.rows)
        padded = (row + (None,) * (width - len(row)) for row in self.rows)
        return Face(tuple(tuple(reversed(row)) for row in padded))

    @property
    def neighbours(self) -> tuple[tuple[str, str], ...]:
        """Pairs of cavities that lie side by side or one above the other."""
        pairs: list[tuple[str, str]] = []
        for number, row in enumerate(self.rows):
            below = self.rows[number + 1] if number + 1 < len(self.rows) else ()
            for place, name in enumerate(row):
                if name is None:
                    continue
                beside = row[place + 1] if place + 1 < len(row) else None
                under = below[place] if place < len(below) else None
                pairs += [(name, other) for other in (beside, under) if other is not None]
        return tuple(pairs)

    def __str__(self) -> str:
        return " / ".join(
            " ".join(GAP if name is None else name for name in row) for row in self.rows
        )
