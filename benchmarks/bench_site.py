"""How long the pages of the workshop's site take, beside the services that they show.

A real server process on a folder of its own, the example job and a loom of 500 wires. Each page is
asked for once after the job was changed (cold: everything is worked out anew) and then again (warm:
nothing has changed). The same services alone, in this process on the same job read from the same
database, give the ratio: what the page adds.
"""

from __future__ import annotations

import preparation  # before numpy

# isort: split

import statistics
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import attrs

import report
from loomwright import bootstrap
from loomwright.loom import Job
from loomwright.services.ports import Jobs
from loomwright.services.workup import WorkUp
from loomwright.workshop.serving import made_ready
from sample.site import Site
from site_client import Client
from surveyed_looms import surveyed_job, with_keepable_plugs

DEMO = preparation.HOUSE / "examples" / "tarn-2300"
WIRES, QUICK_WIRES = 500, 12
COLD, WARM = 3, 7
"""How often a page is asked for; the middle one counts."""
WARM_S, VERDICT_S, RATIO, LARGEST_KB = 0.2, 0.5, 1.5, 150.0
"""Targets for the example job: a warm page, a verdict, a page in services alone, a size."""


@attrs.frozen
class Shown:
    """A page with the results that it shows; `{job}` and `{plug}` in its address are filled in."""

    name: str
    path: str
    parts: tuple[str, ...] = ()


PAGES = (
    Shown("today", "/"),
    Shown("job", "/jobs/{job}/"),
    Shown("loom", "/jobs/{job}/loom/"),
    Shown("wires", "/jobs/{job}/tables/wires/"),
    Shown("plug", "/jobs/{job}/plugs/{plug}/"),
    Shown("history", "/jobs/{job}/history/"),
    Shown("suspects", "/jobs/{job}/suspects/?now=1", ("suspects", "sees")),
    Shown("measure", "/jobs/{job}/measure/?now=1", ("suspects",)),
    Shown("all readings", "/jobs/{job}/readings/?now=1", ("expected",)),
    Shown("proof", "/jobs/{job}/proof/?now=1", ("proof", "sees", "sees_after")),
    Shown("quote", "/jobs/{job}/quote/?now=1", ("plan", "quote", "look_again")),
    Shown("parts", "/jobs/{job}/parts/?now=1", ("buy",)),
    Shown("work", "/jobs/{job}/steps/?now=1", ("work",)),
    Shown("crimps", "/jobs/{job}/crimps/", ("crimps",)),
)
QUICK = ("job", "plug", "suspects")


@attrs.frozen
class Timed:
    """Times of a page [s] and its size [kB]."""

    page: Shown
    cold: float
    alone: float
    warm: float
    size: float


@attrs.frozen
class Answered:
    """Times of a reading [s]: till its verdict stands there, till the suspects do, these alone."""

    verdict: float
    suspects: float
    alone: float


@attrs.frozen
class Bench:
    """A running site, seen from a device, and its database, seen from this process."""

    client: Client
    jobs: Jobs


@contextmanager
def open_site() -> Iterator[Bench]:
    """A server on a new folder, which this process can write to as well."""
    with tempfile.TemporaryDirectory() as folder:
        made_ready(folder)
        from loomwright.workshop.database import DatabaseJobs  # only now it may be

        site = Site(Path(folder))
        site.open()
        client = Client(site.address)
        try:
            yield Bench(client, DatabaseJobs())
        finally:
            client.close()
            site.close()


class Measured:
    """A job at the site, changed whenever all is to be worked out anew."""

    def __init__(self, bench: Bench, name: str, job: Job) -> None:
        self._client, self._jobs = bench.client, bench.jobs
        self._name, self._job = name, job
        self._changes = 0
        self.change()
        for path in ("/pattern/", self._path("/jobs/{job}/suspects/?now=1")):
            self._client.get(path)  # the first page of all loads templates and libraries
        self._alone(("suspects",))

    def pages(self, pages: tuple[Shown, ...], *, times: int) -> list[Timed]:
        """Every page cold, its services alone, and warm."""
        found = []
        began = time.perf_counter()
        for number, page in enumerate(pages):
            found.append(self._page(page, times))
            report.progress(number + 1, len(pages), "pages", began=began)
        return found

    def change(self) -> None:
        """Note something beside a reading: nothing rests on it, but all is worked out anew."""
        self._changes += 1
        first, *rest = self._job.readings
        noted = attrs.evolve(first, note=f"looked at {self._changes} times")
        self._jobs.write(self._name, attrs.evolve(self._job, readings=(noted, *rest)))

    def reading(self) -> Answered:
        """The next reading typed in as the page asks for it, and what comes of it."""
        asked = self._client.get(self._path("/jobs/{job}/measure/?now=1"))
        warm = dict.fromkeys(("engine_c", "air_c", "ambient_c"), "20")
        typed = {**asked.fields(), **warm, "value": "120"}
        told = self._client.post(self._path("/jobs/{job}/measure/"), typed)
        meaning = self._client.get(f"{told.url.partition('?')[0]}meaning/", part=True)
        alone = self._alone(("suspects",))
        return Answered(told.seconds, told.seconds + meaning.seconds, alone)

    def _page(self, page: Shown, times: int) -> Timed:
        path = self._path(page.path)
        cold, alone = [], []
        for _ in range(times):
            self.change()
            cold.append(self._client.get(path))
            alone.append(self._alone(page.parts))
        warm = [self._client.get(path).seconds for _ in range(WARM)]
        middle = statistics.median
        return Timed(
            page, middle(each.seconds for each in cold), middle(alone), middle(warm),
            len(cold[0].body.encode()) / 1000,
        )  # fmt: skip

    def _alone(self, parts: tuple[str, ...]) -> float:
        """Reading the job and working its results out, without any page [s]."""
        began = time.perf_counter()
        job = self._jobs.read(self._name)
        known = WorkUp(attrs.evolve(job, tasks=(), photos=()), offer=job.about.offer or "what pays")
        for part in parts:
            getattr(known, part)
        return time.perf_counter() - began

    def _path(self, path: str) -> str:
        return path.format(job=self._name, plug=self._job.plugs[0].plug)


def show(title: str, found: list[Timed]) -> None:
    """Print the pages of a job."""
    rows = [
        (
            each.page.name, f"{each.size:.0f} kB", *map(_ms, (each.cold, each.alone)),
            f"{each.cold / each.alone:.2f}", _ms(each.warm),
        )
        for each in found
    ]  # fmt: skip
    heads = ("page", "size", "cold", "services alone", "ratio", "warm")
    report.table(title, heads, rows)


def figures(name: str, found: list[Timed], took: Answered | None) -> list[report.Figure]:
    """The slowest, dearest and largest pages, and how long a reading takes."""
    slow, large = max(found, key=lambda t: t.warm), max(found, key=lambda t: t.size)
    dear = max((each for each in found if each.page.parts), key=lambda t: t.cold / t.alone)
    most = report.at_most
    shown = [
        most(f"{name}: slowest warm page ({slow.page.name})", slow.warm, WARM_S, " s"),
        most(f"{name}: a cold page in services alone, at most ({dear.page.name})",
             dear.cold / dear.alone, RATIO),
        most(f"{name}: largest page ({large.page.name})", large.size, LARGEST_KB, " kB"),
    ]  # fmt: skip
    if took is None:
        return shown
    return [
        *shown,
        most(f"{name}: a reading, till its verdict", took.verdict, VERDICT_S, " s"),
        report.Figure(f"{name}: till the suspects", f"{report.number(took.suspects)} s"),
        most(f"{name}: the same in suspects alone", took.suspects / took.alone, RATIO),
    ]


def _ms(seconds: float) -> str:
    return f"{1000 * seconds:,.0f} ms"


def full(bench: Bench) -> list[report.Figure]:
    """The example job held against its targets, and a large loom told beside it."""
    shown = []
    jobs = (
        ("example job", bootstrap.jobs().read(DEMO)),
        (f"{WIRES} wires", with_keepable_plugs(surveyed_job(WIRES))),
    )
    for name, job in jobs:
        measured = Measured(bench, name.replace(" ", "-"), job)
        found = measured.pages(PAGES, times=COLD if job is jobs[0][1] else 1)
        show(name.capitalize(), found)
        told = figures(name, found, measured.reading())
        shown += told if job is jobs[0][1] else [attrs.evolve(each, target="") for each in told]
    return shown


def quick(bench: Bench) -> list[report.Figure]:
    """A few pages of a small loom."""
    few = tuple(page for page in PAGES if page.name in QUICK)
    name = f"{QUICK_WIRES} wires"
    job = with_keepable_plugs(surveyed_job(QUICK_WIRES))
    found = Measured(bench, name.replace(" ", "-"), job).pages(few, times=1)
    show(name, found)
    return [report.unjudged(each) for each in figures(name, found, None)]


def main() -> None:
    options = report.options(__doc__).parse_args()
    report.machine()
    with open_site() as bench:
        shown = quick(bench) if options.quick else full(bench)
    report.figures("Site", shown)
    if options.quick:
        print(report.QUICK_NOTE)


if __name__ == "__main__":
    main()
