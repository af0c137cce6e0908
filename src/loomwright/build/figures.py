"""Figures of a job's own that a new loom cannot be reckoned with."""

from __future__ import annotations

from collections.abc import Mapping

from loomwright.loom import InputProblems, Problem, Where

LEAST = {"splice_grid": 1.0, "cut_rounding": 0.1, "lay_pitch": 1.0}
"""The least that each of these defaults can be [mm]: they divide a length."""


def usable(value: Mapping[str, float]) -> None:
    """See that figures are such that they can be reckoned with.

    Parameters
    ----------
    value : defaults by name, those of `LEAST`

    Raises
    ------
    InputProblems : one or more is too small, all of them at once
    """
    problems = [
        Problem(
            Where("settings", None, name),
            f"{value[name]:g} mm is not possible",
            f"give {least:g} mm or more, or leave it out",
        )
        for name, least in LEAST.items()
        if not value[name] >= least
    ]
    if problems:
        raise InputProblems(problems)
