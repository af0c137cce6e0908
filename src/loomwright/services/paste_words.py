"""How pasted text was understood, and what would come of it, in words."""

from __future__ import annotations

from loomwright.loom import nearest, schema
from loomwright.services.counting import counted
from loomwright.services.paste_plan import PastePlan
from loomwright.services.pasted_text import Pasted
from loomwright.services.words import listed

__all__ = ["kept", "outcome", "understood"]


def understood(pasted: Pasted) -> tuple[str, ...]:
    """What was made of the text, a sentence each: rows, columns, decimal mark, own columns."""
    known = [name for name in pasted.columns if name not in pasted.own]
    between = f"{counted(len(pasted.rows), 'row')} with {pasted.separator} between the cells."
    heads = (
        f"The first row names the columns: {listed(known)}."
        if pasted.headed
        else f"No row of names: the cells are read as {listed(known)}, in this order."
    )
    comma = ("Numbers are read with a decimal comma.",) if pasted.decimal == "," else ()
    own = tuple(_own(pasted.table, name) for name in pasted.own)
    return (between, heads, *comma, *own)


def outcome(plan: PastePlan) -> str:
    """`3 rows are new, 1 row changes, 57 rows are there already.`"""
    new, changed = len(plan.new), len(plan.changed)
    parts = [
        f"{counted(new, 'row')} {'is' if new == 1 else 'are'} new",
        f"{counted(changed, 'row')} {'changes' if changed == 1 else 'change'}",
        f"{counted(plan.same, 'row')} {'is' if plan.same == 1 else 'are'} there already",
    ]
    counts = (new, changed, plan.same)
    told = [part for part, count in zip(parts, counts, strict=True) if count]
    return f"{listed(told)}."


def kept(plan: PastePlan) -> str:
    """`Kept: wires, 3 rows added and 2 rows changed.`"""
    done = [
        f"{counted(count, 'row')} {verb}"
        for count, verb in ((len(plan.new), "added"), (len(plan.changed), "changed"))
        if count
    ]
    return f"Kept: {plan.table}, {listed(done)}."


def _own(table: str, name: str) -> str:
    close = nearest(name, [column.name for column in schema.table(table).columns])
    asked = f' If you mean "{close}", write that in the first row.' if close else ""
    return f'"{name}" is no column of {table}: it is kept as a column of your own.{asked}'
