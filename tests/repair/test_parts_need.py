"""From cures to parts: counted by hand in the small job, spares and trial crimps told apart."""

from __future__ import annotations

import attrs
import pytest

from loomwright import standards
from loomwright.loom import CrimpTrial, Job
from loomwright.loom.identity import SetUpId, TrialId
from loomwright.physics.retries import chance_of_enough_by_record
from loomwright.repair.needs import Needs
from loomwright.repair.part_choice import PartChoice
from loomwright.repair.parts_need import CureAt, PartsNeed, parts_need
from loomwright.repair.spare_wire import Scrap, scrap_record
from sample.parts import ALL, BOOT, REC, WIRE, small

VALUE = standards.values()


def needed(job: Job, *cures: CureAt, scrap: Scrap | None = None, **price: float) -> PartsNeed:
    return parts_need(cures, PartChoice(Needs(job, VALUE), price), scrap=scrap)


def counts(found: PartsNeed) -> dict[str, float]:
    return {need.key: need.count for need in found.needs}


def test_new_terminals_take_one_for_each_wire_and_a_boot() -> None:
    """T1 has two wires, 0.75 mm² each."""
    found = needed(small(*ALL), (("re_terminate",), "T1"))
    assert counts(found) == {"REC": 2, "BOOT": 1}
    assert found.notes == ()
    assert [(each.count, each.words) for each in found.needs[0].reasons] == [(2, "T1")]


def test_a_new_plug_takes_a_shell_too_and_a_boot_alone_nothing_else() -> None:
    assert counts(needed(small(*ALL), (("new_plug",), "T1"))) == {"REC": 2, "BOOT": 1, "SHELL": 1}
    assert counts(needed(small(*ALL), (("boot_only",), "T1"))) == {"BOOT": 1}


def test_cleaning_and_leaving_take_nothing() -> None:
    cures = ((("clean_contact",), "T1"), (("retension",), "T1"), (("leave",), "T1"))
    assert needed(small(*ALL), *cures).needs == ()


def test_an_extension_takes_a_splice_a_sleeve_and_a_piece_for_each_wire() -> None:
    found = needed(small(*ALL), (("extend", "re_terminate"), "T1"))
    piece = VALUE["extension_length"] / 1000
    assert counts(found) == {
        "REC": 2, "BOOT": 1, "SPLICE": 2, "SLEEVE": 2, "WIRE BN": piece, "WIRE BN/WH": piece,
    }  # fmt: skip


def test_a_new_wire_takes_its_length_with_a_spare_and_what_goes_on_its_ends() -> None:
    """W1 is 1200 mm of BN/WH from CU.1 to T1.1."""
    found = needed(small(*ALL), (("new_wire",), "W1"))
    length = 1200 + VALUE["wire_spare"]
    assert counts(found) == {"REC": 2, "WIRE BN/WH": length / 1000}
    (wire,) = [need for need in found.needs if need.kind == "wire"]
    assert [(cut.wire, cut.length_mm) for cut in wire.cuts] == [("W1", length)]


def test_a_place_takes_its_part_once_however_many_cures_meet_there() -> None:
    both = needed(small(*ALL), (("re_terminate",), "T1"), (("new_wire",), "W1"))
    assert counts(both)["REC"] == 3  # T1.1 and T1.2, and CU.1


def test_a_new_wire_into_a_moulded_plug_is_spliced_on_behind_it() -> None:
    """T2, at which W4 ends, is moulded in one piece."""
    found = needed(small(*ALL), (("new_wire",), "W4"))
    assert counts(found)["SPLICE"] == 1
    assert counts(found)["REC"] == 1


def test_a_length_that_is_not_written_down_follows_from_the_branches() -> None:
    job = small(*ALL)
    wires = (attrs.evolve(job.wires[0], length_mm=None), *job.wires[1:])
    found = needed(attrs.evolve(job, wires=wires), (("new_wire",), "W1"))
    assert counts(found)["WIRE BN/WH"] == (900 + VALUE["wire_spare"]) / 1000
    assert "the length of W1 is not written down" in found.notes[0]


def test_a_length_that_nothing_tells_is_not_made_up() -> None:
    job = small(*ALL)
    wires = (attrs.evolve(job.wires[0], length_mm=None, branches=()), *job.wires[1:])
    found = needed(attrs.evolve(job, wires=wires), (("new_wire",), "W1"))
    assert counts(found) == {"REC": 2}
    assert found.notes == ("the length of W1 is not known: its wire is not counted",)


def test_a_new_branch_takes_all_its_wires_and_the_plugs_that_hang_on_it_alone() -> None:
    """B1 carries W1, W4 and W8; T1 and T2 have wires beside it, so they do not hang on it alone."""
    found = needed(small(*ALL), (("new_branch",), "B1"))
    spare = VALUE["wire_spare"]
    assert counts(found)["WIRE BN/WH"] == (1200 + spare) / 1000
    assert counts(found)["WIRE GN"] == (1300 + spare) / 1000
    assert "REC" not in counts(found)
    assert found.notes == ("no wire of the catalogue is sure to fit W8, 1.5 mm²",)


def test_a_plug_that_hangs_on_the_new_branch_alone_gets_new_terminals_and_a_boot() -> None:
    job = small(REC, attrs.evolve(BOOT, bore_mm=1.5), WIRE)
    wires = tuple(wire for wire in job.wires if wire.wire not in ("W2", "W8"))
    found = needed(attrs.evolve(job, wires=wires), (("new_branch",), "B1"))
    assert counts(found)["REC"] == 1
    assert counts(found)["BOOT"] == 1


def test_a_new_loom_and_a_new_device_are_said_not_to_be_priced() -> None:
    found = needed(small(*ALL), (("new_loom",), "loom"), (("new_device",), "NTC1"))
    assert found.needs == ()
    assert found.notes == (
        "a new loom is priced as a new loom: not here",
        "the price of a new NTC1 is not known here: ask for it",
    )


def test_spares_suffice_with_the_confidence_and_one_fewer_would_not() -> None:
    """Against the beta negative binomial itself (Johnson, Kemp and Kotz, 3rd ed., 6.2.3)."""
    scrap = scrap_record()
    found = needed(small(*ALL), (("re_terminate",), "T1"), scrap=scrap)
    (spare,) = [each for each in found.needs[0].reasons if each.words.startswith("spare")]
    sure = VALUE["spares_confidence"]

    def chance(spares: int) -> float:
        return chance_of_enough_by_record(2, spares, failed=scrap.failed, good=scrap.good)

    assert chance(round(spare.count)) >= sure > chance(round(spare.count) - 1)
    assert "95 of 100" in spare.words


def test_a_set_up_takes_trial_crimps_less_those_already_made() -> None:
    cure: CureAt = (("re_terminate",), "T1")
    fresh = needed(small(*ALL), cure, scrap=scrap_record())
    made = tuple(
        CrimpTrial(trial=TrialId(f"K{n}"), set_up=SetUpId("S"), terminal="REC", section_mm2=0.75)
        for n in range(2)
    )
    some = needed(small(*ALL, crimps=made), cure, scrap=scrap_record())
    assert fresh.needs[0].reasons[-1].words == "for trial crimps on 0.75 mm²"
    assert fresh.needs[0].reasons[-1].count == VALUE["crimp_trials_least"]
    assert some.needs[0].reasons[-1].count == VALUE["crimp_trials_least"] - 2


def test_what_no_part_fits_is_noted_and_the_rest_goes_on() -> None:
    thick = attrs.evolve(REC, section_min_mm2=2.5, section_max_mm2=4.0)
    found = needed(small(thick, BOOT), (("re_terminate",), "T1"))
    assert counts(found) == {"BOOT": 1}
    assert found.notes == (
        "no terminal of the catalogue is sure to fit T1, cavities 1, 2; the nearest is REC: "
        "conductor 0.75 mm² is below the terminal's 2.5 mm²",
    )


def test_a_named_terminal_that_does_not_fit_is_noted_and_another_is_taken() -> None:
    thin = attrs.evolve(REC, part="THIN", tab_thickness_mm=0.5)
    job = small(thin, REC)
    plugs = tuple(
        attrs.evolve(plug, terminal="THIN") if plug.plug == "T1" else plug for plug in job.plugs
    )
    found = needed(attrs.evolve(job, plugs=plugs), (("re_terminate",), "T1"))
    assert counts(found) == {"REC": 2}
    assert "THIN, which is named at T1, does not fit" in found.notes[0]


@pytest.mark.parametrize(("price", "taken"), [({}, "REC"), ({"OTHER": 0.2, "REC": 0.3}, "OTHER")])
def test_of_several_that_fit_the_cheapest_is_taken_then_the_first(
    price: dict[str, float], taken: str
) -> None:
    job = small(REC, attrs.evolve(REC, part="OTHER"))
    assert counts(needed(job, (("re_terminate",), "T1"), **price)) == {taken: 2}


def test_an_empty_catalogue_is_said_once() -> None:
    found = needed(small(), (("re_terminate",), "T1"), (("boot_only",), "CU"))
    assert found.notes == ("the catalogue is empty, so no part can be chosen",)
