"""What every benchmark prints: the machine, a small table, and each target met or not in words."""

from __future__ import annotations

import argparse
import os
import platform
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Iterable, Sequence
from importlib import metadata

import attrs

LIBRARIES = ("numpy", "scipy", "attrs", "mpmath")


@attrs.frozen
class Figure:
    """One measured figure against its target.

    Attributes
    ----------
    name : what was measured
    measured : the figure as text, unit included
    target : the target as text; "" where there is none
    met : whether it is met; None where there is no target or too little to judge by
    """

    name: str
    measured: str
    target: str = ""
    met: bool | None = None

    @property
    def verdict(self) -> str:
        """The verdict in words."""
        if not self.target:
            return ""
        return {None: "not judged", True: "met", False: "NOT MET"}[self.met]


def at_least(name: str, value: float, target: float, unit: str = "") -> Figure:
    """A figure that should not fall below its target."""
    return Figure(
        name, f"{number(value)}{unit}", f"at least {number(target)}{unit}", value >= target
    )


def at_most(name: str, value: float, target: float, unit: str = "") -> Figure:
    """A figure that should not exceed its target."""
    return Figure(
        name, f"{number(value)}{unit}", f"at most {number(target)}{unit}", value <= target
    )


def share(name: str, right: int, of: int, target: float | None = None) -> Figure:
    """A share of cases with its 95 % interval; "not judged" when there are no cases.

    Interval: Wilson, J. Am. Stat. Assoc. 22 (1927) 209.
    """
    wanted = "" if target is None else f"at least {100 * target:g} %"
    if not of:
        return Figure(name, "no cases", wanted)
    low, high = wilson(right, of)
    interval = f"95 % interval {100 * low:.0f}-{100 * high:.0f}"
    text = f"{right} of {of} = {100 * right / of:.1f} % ({interval})"
    return Figure(name, text, wanted, None if target is None else right / of >= target)


def wilson(right: int, of: int, z: float = 1.96) -> tuple[float, float]:
    """The score interval of a share.

    Examples
    --------
    >>> low, high = wilson(8, 10)
    >>> round(low, 3), round(high, 3)
    (0.49, 0.943)
    """
    p = right / of
    middle = (p + z * z / (2 * of)) / (1 + z * z / of)
    half = z * (p * (1 - p) / of + z * z / (4 * of * of)) ** 0.5 / (1 + z * z / of)
    return max(middle - half, 0.0), min(middle + half, 1.0)


def unjudged(figure: Figure) -> Figure:
    """The same figure without a verdict, for runs too small to judge by."""
    return attrs.evolve(figure, met=None)


def number(value: float) -> str:
    """Three figures, in thousands with commas where that reads better.

    Examples
    --------
    >>> number(12345.0), number(0.0123), number(3.2e-13)
    ('12,345', '0.0123', '3.2e-13')
    """
    return f"{value:,.0f}" if 1000 <= abs(value) < 1e9 else f"{value:.3g}"


def figures(title: str, rows: Iterable[Figure]) -> None:
    """Print figures as a table of name, measured, target, verdict."""
    table(
        title,
        ("figure", "measured", "target", "verdict"),
        [(row.name, row.measured, row.target, row.verdict) for row in rows],
    )


def table(title: str, heads: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    """Print rows in columns as wide as they need."""
    lines = [tuple(heads), *(tuple(str(cell) for cell in row) for row in rows)]
    width = [max(len(line[i]) for line in lines) for i in range(len(heads))]
    print(f"\n{title}")
    for place, line in enumerate(lines):
        print("  " + "  ".join(cell.ljust(w) for cell, w in zip(line, width, strict=True)).rstrip())
        if place == 0:
            print("  " + "  ".join("-" * w for w in width))


def machine() -> None:
    """Print what the figures were measured on."""
    versions = ", ".join(f"{name} {metadata.version(name)}" for name in LIBRARIES)
    print(
        f"Machine: {os.cpu_count()} cores ({platform.machine()}), one thread a process; "
        f"load {os.getloadavg()[0]:.1f} at the start\n"
        f"Python {platform.python_version()}, {versions}, ngspice {ngspice_version()}"
    )


def progress(done: int, of: int, what: str, began: float) -> None:
    """Tell on stderr how far a run is; one line that changes on a screen, lines elsewhere.

    Parameters
    ----------
    done, of : how many of how many
    what : what is counted
    began : `time.perf_counter()` at the start
    """
    spent = time.perf_counter() - began
    left = spent / max(done, 1) * (of - done)
    text = f"{done} of {of} {what}, {spent:.0f} s, about {left:.0f} s left"
    if sys.stderr.isatty():
        print(f"\r{text}   ", end="\n" if done == of else "", file=sys.stderr, flush=True)
    else:
        print(text, file=sys.stderr, flush=True)


def ngspice_version() -> str:
    """Version of the ngspice on the path, or "not installed"."""
    if shutil.which("ngspice") is None:
        return "not installed"
    said = subprocess.run(
        ["ngspice", "--version"], capture_output=True, text=True, check=False, timeout=30
    ).stdout
    found = re.search(r"ngspice-(\S+)", said)
    return found.group(1) if found else "of unknown version"


def options(doc: str | None) -> argparse.ArgumentParser:
    """A parser with `--quick`; more options may be added."""
    parser = argparse.ArgumentParser(description=(doc or "").partition("\n")[0])
    parser.add_argument(
        "--quick", action="store_true", help="a few seconds, to see that it runs; judges nothing"
    )
    return parser


QUICK_NOTE = (
    "\nQuick run: it shows that the benchmark works; its samples are too small to judge by."
)
