"""Time: a usual job is read at once, and the largest and worst in seconds."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from loomwright.storage import limits
from loomwright.storage.job_folder import JobFolder
from sample import jobs as sample

JOBS = JobFolder()


def seconds(place: Path) -> float:
    best = 1e9
    for _ in range(3):
        began = time.perf_counter()
        JOBS.inspect(place)
        best = min(best, time.perf_counter() - began)
    return best


def sixty_wires() -> sample.Edits:
    more = "".join(f"V{n},CU.5,E1,BN,1.5,30,0.25,900,B1\n" for n in range(52))
    last = "W8,CU.4,E1,BN,1.5,30,0.25,900,B1\n"
    return {"wires": (last, last + more)}


def test_a_job_of_sixty_wires_is_read_in_a_tenth_of_a_second(tmp_path: Path) -> None:
    assert seconds(sample.laid_out(tmp_path / "job", sixty_wires())) < 0.1


ROWS = range(limits.MAX_ROWS)
WORST = {
    "names like known ones, all unknown": {
        "plugs": "plug,face,mates_with\n" + "".join(f"P{n},1,Q{n}\n" for n in ROWS),
        "wires": "wire,from,to\n" + "".join(f"W{n},X{n}.1,Y{n}.1\n" for n in ROWS),
    },
    "all wires in one splice": {
        "wires": "wire,from,to\n" + "".join(f"W{n},S1,T1.1\n" for n in ROWS),
        "readings": "reading,quantity,plus,minus,value\n"
        + "".join(f"R{n},ohm,S1,T1.1,1\n" for n in ROWS),
    },
    "one slip in every cell": {
        "elements": "element,device,from_pin,to_pin,kind,ohm\n"
        + "a b,c d,e f,g h,i,j\n" * len(ROWS),
    },
    "long cells": {
        "plugs": "plug,face\n" + "".join(f"P{n},{'1 ' * 4500}\n" for n in range(500)),
        "readings": "reading,quantity,plus,minus,value,state,unplugged\n"
        + "".join(f"R{n},ohm,T1.1,T1.2,1,{'a=b;' * 1100},{'CU ' * 1500}\n" for n in range(500)),
    },
}


@pytest.mark.parametrize("name", WORST)
def test_the_worst_that_fits_the_limits_takes_seconds(tmp_path: Path, name: str) -> None:
    place = sample.laid_out(tmp_path / "job")
    for table, text in WORST[name].items():
        (place / f"{table}.csv").write_text(text, encoding="utf-8")
    began = time.perf_counter()
    _, problems = JOBS.inspect(place)
    assert time.perf_counter() - began < 20
    assert problems
    assert len(problems) < 20_000
