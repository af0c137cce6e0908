"""The plan that shows a loom sound, in words."""

from __future__ import annotations

import attrs
import pytest

from loomwright.loom.errors import Stopped
from loomwright.services.certify import certify
from reference.looms import make_job


def test_no_step_is_one_the_gate_refuses_and_words_tell_each() -> None:
    report = certify(attrs.evolve(make_job(12, 3), readings=()))
    assert report.plan
    for planned in report.plan:
        assert not any(caution.refuses for caution in planned.cautions)
        assert planned.words[-1].startswith("black on")
    data = report.json()
    assert set(data) == {"job", "sound", "coverage", "plan"}
    assert data["plan"][-1]["coverage"] >= data["coverage"]


def test_it_can_be_stopped() -> None:
    with pytest.raises(Stopped):
        certify(make_job(12, 3), lambda _what, _share: False)
