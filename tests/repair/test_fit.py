"""Fit: what must agree, each reason, and that a wider range never stops fitting."""

from __future__ import annotations

import attrs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright import standards
from loomwright.loom import Part
from loomwright.repair import fit
from loomwright.repair.fit import FITS, MISFIT, UNKNOWN, Check
from loomwright.repair.needs import Boring, CavityNeeds, PlugNeeds, Span

VALUE = standards.values()
REC = Part(
    part="REC", kind="terminal", section_min_mm2=0.5, section_max_mm2=1.0, insulation_min_mm=1.6,
    insulation_max_mm=2.6, tab_width_mm=2.8, tab_thickness_mm=0.8, barrel_mm=3.5, die="NEST",
)  # fmt: skip
BOOT = Part(part="B", kind="boot", ways=2, form="straight", bore_mm=3.5, bore_max_mm=7.0)
SHELL = Part(part="S", kind="shell", ways=2, lock="tongue")
NEST = Part(part="NEST", kind="die", section_min_mm2=0.5, section_max_mm2=1.0)
PLUG = PlugNeeds(
    plug="T", ways=2, form="straight", lock="tongue", tab_width_mm=2.8, tab_thickness_mm=0.8,
    passes=Boring(across_mm=Span.of(5.0), words="two wires"), cavities=(),
)  # fmt: skip
WIRE = CavityNeeds(cavity="1", wires=("W1",), conductor_mm2=Span.of(0.75), outside_mm=Span.of(2.5))
ORDER = (MISFIT, UNKNOWN, FITS)

sizes = st.floats(0.1, 20).map(lambda size: round(size, 2))
ends = sizes | st.none()


def spans() -> st.SearchStrategy[Span]:
    return st.tuples(sizes, sizes).map(lambda pair: Span(low=min(pair), high=max(pair)))


def at(checks: tuple[Check, ...], what: str) -> Check:
    (found,) = (check for check in checks if check.what == what)
    return found


def test_a_terminal_that_fits_in_every_respect() -> None:
    checks = fit.terminal_fit(REC, WIRE, PLUG, value=VALUE)
    assert [check.what for check in checks] == ["conductor", "insulation", "tab"]
    assert fit.overall(checks) == FITS


def test_a_conductor_too_thick_is_told_in_one_sentence() -> None:
    small = attrs.evolve(REC, section_max_mm2=0.5)
    check = at(fit.terminal_fit(small, WIRE, PLUG, value=VALUE), "conductor")
    assert check.outcome == MISFIT
    assert check.reason == "conductor 0.75 mm² is above the terminal's 0.5 mm²"


@pytest.mark.parametrize(
    ("outside", "outcome"),
    [
        (Span.of(2.5), FITS),
        (Span.of(2.9), MISFIT),  # old thick wall in a modern grip
        (Span.of(1.2), MISFIT),
        (Span(low=1.9, high=2.5), FITS),
        (Span(low=2.1, high=2.7), UNKNOWN),
        (None, UNKNOWN),
    ],
)
def test_insulation(outside: Span | None, outcome: str) -> None:
    assert fit.insulation_fit(REC, attrs.evolve(WIRE, outside_mm=outside)).outcome == outcome


def test_two_wires_in_one_barrel_add_up_and_leave_the_grip_open() -> None:
    both = attrs.evolve(WIRE, wires=("W1", "W2"), conductor_mm2=Span.of(1.5), outside_mm=None)
    checks = fit.terminal_fit(REC, both, PLUG, value=VALUE)
    assert at(checks, "conductor").outcome == MISFIT
    assert at(checks, "insulation").outcome == UNKNOWN


# two thicknesses of tab of one width, 0.5 and 0.8 mm: common practice, no published source
@pytest.mark.parametrize(
    ("width", "thickness", "outcome", "said"),
    [
        (2.8, 0.8, FITS, "as it must be"),
        (2.83, 0.79, FITS, "as it must be"),
        (2.8, 0.5, MISFIT, "no grip"),
        (6.3, 0.8, MISFIT, "6.3 mm wide"),
        (2.8, None, UNKNOWN, "measure it"),
        (None, 0.8, UNKNOWN, "how wide"),
        (None, 0.5, MISFIT, "no grip"),
    ],
)
def test_tab(width: float | None, thickness: float | None, outcome: str, said: str) -> None:
    plug = attrs.evolve(PLUG, tab_width_mm=width, tab_thickness_mm=thickness)
    check = fit.tab_fit(REC, plug, value=VALUE)
    assert check.outcome == outcome
    assert said in check.reason


def test_a_thin_terminal_is_forced_open_by_a_thick_tab() -> None:
    thin = attrs.evolve(REC, tab_thickness_mm=0.5)
    assert "forces open" in fit.tab_fit(thin, PLUG, value=VALUE).reason


@pytest.mark.parametrize(
    ("change", "what", "outcome"),
    [
        ({}, "bore", FITS),
        ({"form": "angled"}, "form", MISFIT),
        ({"form": None}, "form", UNKNOWN),
        ({"ways": 3}, "ways", MISFIT),
        ({"bore_max_mm": 4.5}, "bore", MISFIT),
        ({"bore_mm": 6.0}, "bore", MISFIT),
        ({"bore_max_mm": None}, "bore", UNKNOWN),
        ({"bore_mm": None, "bore_max_mm": None}, "bore", UNKNOWN),
    ],
)
def test_boot(change: dict[str, object], what: str, outcome: str) -> None:
    checks = fit.boot_fit(attrs.evolve(BOOT, **change), PLUG, value=VALUE)
    assert at(checks, what).outcome == outcome
    assert {check.outcome for check in checks if check.what != what} == {FITS}


def test_a_boot_too_wide_does_not_seal_and_one_that_just_fits_takes_no_tape() -> None:
    wide = at(fit.boot_fit(attrs.evolve(BOOT, bore_mm=6.0), PLUG, value=VALUE), "bore")
    assert wide.reason == "width of two wires 5 mm is below the boot's 6 mm: it does not seal"
    tight = at(fit.boot_fit(attrs.evolve(BOOT, bore_max_mm=5.2), PLUG, value=VALUE), "bore")
    assert tight.outcome == FITS
    assert "with tape 5.6 mm is above it: end the tape before the boot" in tight.reason
    roomy = at(fit.boot_fit(BOOT, PLUG, value=VALUE), "bore")
    assert "tape" not in roomy.reason


def test_a_boot_when_a_wire_was_not_measured() -> None:
    checks = fit.boot_fit(BOOT, attrs.evolve(PLUG, passes=None), value=VALUE)
    assert at(checks, "bore").outcome == UNKNOWN


@pytest.mark.parametrize(
    ("lock", "outcome"),
    [("tongue", FITS), ("staked", MISFIT), ("moulded", UNKNOWN), (None, UNKNOWN)],
)
def test_shell_lock(lock: str | None, outcome: str) -> None:
    assert at(fit.shell_fit(SHELL, attrs.evolve(PLUG, lock=lock)), "lock").outcome == outcome


def test_every_lock_of_the_schema_says_how_terminals_come_out() -> None:
    from loomwright.loom.schema import table

    assert set(fit.OPENING) == set(table("plugs").column("lock").choices)
    assert "1.6 mm" in fit.OPENING["tongue"]
    assert "cut" in fit.OPENING["staked"]


def test_die() -> None:
    def outcome(part: Part, die: Part | None, section: float) -> str:
        return fit.overall(fit.die_fit(part, die, conductor_mm2=Span.of(section)))

    assert outcome(REC, NEST, 0.75) == FITS
    assert outcome(REC, NEST, 1.5) == MISFIT
    assert outcome(attrs.evolve(REC, die="OTHER"), NEST, 0.75) == MISFIT
    assert outcome(attrs.evolve(REC, die=None), NEST, 0.75) == UNKNOWN
    assert outcome(REC, None, 0.75) == UNKNOWN


def test_strip_length_of_a_2_8_mm_receptacle() -> None:
    # common practice, no published source: 4 to 5 mm with barrels of 3.5 to 4 mm
    assert fit.strip_mm(REC, value=VALUE) == pytest.approx((4.0, 4.5))
    longer = attrs.evolve(REC, barrel_mm=4.0)
    assert fit.strip_mm(longer, value=VALUE) == pytest.approx((4.5, 5.0))
    assert fit.strip_mm(attrs.evolve(REC, barrel_mm=None), value=VALUE) is None


def test_no_check_at_all_is_not_a_fit() -> None:
    assert fit.overall(()) == UNKNOWN


@given(need=spans(), low=ends, high=ends, down=sizes, up=sizes)
def test_a_wider_range_never_stops_fitting(
    need: Span, low: float | None, high: float | None, down: float, up: float
) -> None:
    if low is not None and high is not None and low > high:
        low, high = high, low
    wider_low = None if low is None else low - down
    wider_high = None if high is None else high + up
    for names, of in (
        (("section_min_mm2", "section_max_mm2"), lambda part: fit.conductor_fit(part, need)),
        (
            ("insulation_min_mm", "insulation_max_mm"),
            lambda part: fit.insulation_fit(part, attrs.evolve(WIRE, outside_mm=need)),
        ),
        (
            ("bore_mm", "bore_max_mm"),
            lambda part: fit.bore_fit(
                part, Boring(across_mm=need, words="two wires"), tape_wall_mm=0.3
            ),
        ),
    ):
        narrow = attrs.evolve(REC, **dict(zip(names, (low, high), strict=True)))
        wide = attrs.evolve(REC, **dict(zip(names, (wider_low, wider_high), strict=True)))
        assert ORDER.index(of(wide).outcome) >= ORDER.index(of(narrow).outcome)


@given(need=spans(), low=sizes, high=sizes, part=st.floats(0, 1), rest=st.floats(0, 1))
def test_measuring_the_wire_never_turns_a_fit_or_misfit_round(
    need: Span, low: float, high: float, part: float, rest: float
) -> None:
    terminal = attrs.evolve(REC, section_min_mm2=min(low, high), section_max_mm2=max(low, high))
    a = need.low + (need.high - need.low) * part
    b = a + (need.high - a) * rest
    before = fit.conductor_fit(terminal, need).outcome
    assert before == UNKNOWN or fit.conductor_fit(terminal, Span(low=a, high=b)).outcome == before
