"""Pasting told in words."""

from __future__ import annotations

from loomwright.services.kept_rows import KeptRow
from loomwright.services.paste_plan import PastePlan, planned_paste
from loomwright.services.paste_words import kept, outcome, understood
from loomwright.services.pasted_text import read_pasted

STANDING = [KeptRow("1", {"wire": "W1", "from": "T1.1", "to": "E1"}),
            KeptRow("2", {"wire": "W2", "from": "T1.2", "to": "E1"})]  # fmt: skip


def plan(text: str) -> PastePlan:
    return planned_paste(read_pasted(text, "wires"), STANDING)


def test_what_was_understood_is_told_with_heads_and_without() -> None:
    assert understood(read_pasted("wire\tfrom\tto\nW1\tT1.1\tE1", "wires")) == (
        "1 row with tabs between the cells.",
        "The first row names the columns: wire, from and to.",
    )
    assert understood(read_pasted("W1;T1.1;E1;BN;0,75\nW2;T1.2;E1;BN;0,75", "wires")) == (
        "2 rows with semicolons between the cells.",
        "No row of names: the cells are read as wire, from, to, colour and section_mm2, "
        "in this order.",
        "Numbers are read with a decimal comma.",
    )


def test_an_own_column_is_told_with_the_columns_it_may_mean() -> None:
    told = understood(read_pasted("wire,length\nW1,1200", "wires"))
    assert told[-1] == (
        '"length" is no column of wires: it is kept as a column of your own. '
        'If you mean "length_mm", write that in the first row.'
    )


def test_the_outcome_counts_what_there_is() -> None:
    mixed = plan("wire,from,to\nW1,T1.1,E1\nW2,T1.2,E2\nW3,T2.1,E1\nW4,T2.2,E1")
    assert outcome(mixed) == "2 rows are new, 1 row changes and 1 row is there already."
    assert kept(mixed) == "Kept: wires, 2 rows added and 1 row changed."
    assert outcome(plan("wire,from,to\nW1,T1.1,E1")) == "1 row is there already."
