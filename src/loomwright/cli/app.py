"""The commands on a job's files, in the order a job goes through them."""

from __future__ import annotations

from math import inf
from typing import Annotated

import typer

from loomwright import bootstrap
from loomwright.cli.new_loom_commands import new_loom
from loomwright.cli.telling import AsJson, JobFiles, tell
from loomwright.cli.workshop_commands import workshop

app = typer.Typer(
    name="loomwright",
    help="Finds the fault in old engine wiring from a few multimeter readings.",
    epilog="Begin with: loomwright new my-car, then loomwright check my-car. "
    "Figures are aids; the vehicle's own data, local codes and licensed practice come first.",
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)


@app.command(
    short_help="Start a job with worked lines to type over.",
    epilog="Example: loomwright new my-car. "
    "Then open the tables of my-car in a spreadsheet and type over the worked lines.",
)
def new(
    place: Annotated[str, typer.Argument(metavar="DIR", help="Where the job is to be kept.")],
    workbook: Annotated[
        bool, typer.Option("--workbook", help="Make one .xlsx workbook instead of a folder.")
    ] = False,
) -> None:
    """Start a job: every table with its header and a worked line to type over."""
    from loomwright.cli.show_new import show_new
    from loomwright.services.new import new as start

    if workbook and not place.lower().endswith(".xlsx"):
        place += ".xlsx"
    show_new(start(bootstrap.jobs(), place), place)


@app.command(
    short_help="Tell everything wrong with the tables of a job.",
    epilog="Example: loomwright check examples/tarn-2300. "
    "Exit code 0 when the job can be used, 2 when something must be mended first.",
)
def check(job: JobFiles, as_json: AsJson = False) -> None:
    """Tell everything that is wrong with the tables of a job, all at once."""
    from loomwright.cli.show_check import as_document, show_check
    from loomwright.services.check import check as look

    report = look(bootstrap.jobs(), job)
    tell(as_json, lambda: as_document(report), lambda: show_check(report, job))
    raise typer.Exit(0 if report.passed else 2)


@app.command(
    short_help="Set each reading against what a sound loom would read.",
    epilog="Example: loomwright expect examples/tarn-2300 --all. "
    "A band is what about 95 of 100 sound looms of this build would read.",
)
def expect(
    job: JobFiles,
    every: Annotated[
        bool, typer.Option("--all", help="Also the useful readings nobody has taken yet.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Set each reading against what a sound loom would read."""
    from loomwright.cli.progress import working
    from loomwright.cli.show_expect import show_expect
    from loomwright.services.expect import expect as expected

    kept = bootstrap.jobs().read(job)
    with working("Working out what a sound loom reads"):
        rows = expected(kept, include_untaken=every)
    tell(as_json, lambda: [row.json() for row in rows], lambda: show_expect(rows, kept))


@app.command(
    short_help="Follow a circuit to where it ends, with its ohms.",
    epilog="Example: loomwright trace examples/tarn-2300 CU.6. "
    "A point is PLUG.cavity, DEVICE.pin or a joint's name.",
)
def trace(
    job: JobFiles,
    point: Annotated[str, typer.Argument(metavar="POINT", help="Where to begin, such as CU.6.")],
    as_json: AsJson = False,
) -> None:
    """Follow a circuit from a point to where it ends, every piece with its ohms."""
    from loomwright.cli.show_trace import show_trace
    from loomwright.services.trace import trace as follow

    kept = bootstrap.jobs().read(job)
    found = follow(kept, point)
    tell(as_json, lambda: found.json(), lambda: show_trace(found, kept))


@app.command(
    short_help="What the control unit believes and drives.",
    epilog="Example: loomwright sees examples/tarn-2300. "
    "Beside each temperature it gives what the control unit believes, and the fuel that follows.",
)
def sees(job: JobFiles, as_json: AsJson = False) -> None:
    """What the control unit believes and drives, given the readings."""
    from loomwright.cli.progress import working
    from loomwright.cli.show_sees import show_sees
    from loomwright.services.sees import sees as seen

    kept = bootstrap.jobs().read(job)
    with working("Looking from the control unit's side"):
        report = seen(kept)
    tell(as_json, lambda: report.json(), lambda: show_sees(report, kept))


@app.command(
    short_help="What is wrong, how sure that is, what to measure next.",
    epilog="Example: loomwright suspects examples/tarn-2300. "
    "The top of the page says what is wrong, how sure that is, and the next thing to do.",
)
def suspects(job: JobFiles, as_json: AsJson = False) -> None:
    """Find what is wrong, how sure that is, why, and what to measure next."""
    from loomwright.cli.progress import working
    from loomwright.cli.show_suspects import show_suspects
    from loomwright.services.suspects import suspects as find

    kept = bootstrap.jobs().read(job)
    with working("Weighing the readings") as progress:
        report = find(kept, progress)
    tell(as_json, lambda: report.json(), lambda: show_suspects(report, kept))


@app.command(
    short_help="Plan the readings that show a loom sound.",
    epilog="Example: loomwright certify examples/tarn-2300. "
    "For a loom in which nothing is suspected; to look for a fault use suspects.",
)
def certify(job: JobFiles, as_json: AsJson = False) -> None:
    """Plan the readings that would show a fault, if there were one, in the fewest minutes."""
    from loomwright.cli.progress import working
    from loomwright.cli.show_certify import show_certify
    from loomwright.services.certify import certify as plan

    kept = bootstrap.jobs().read(job)
    with working("Planning the readings") as progress:
        report = plan(kept, progress)
    tell(as_json, lambda: report.json(), lambda: show_certify(report))


@app.command(
    short_help="Compare the readings before and after the work.",
    epilog="Example: loomwright prove examples/tarn-2300. "
    "Readings after the work stand in the table proof, in the columns of readings.",
)
def prove(job: JobFiles, as_json: AsJson = False) -> None:
    """Compare the readings after the work with those before it, each at its own temperature."""
    from loomwright.cli.progress import working
    from loomwright.cli.show_prove import show_prove
    from loomwright.services.prove import prove as compare

    kept = bootstrap.jobs().read(job)
    with working("Comparing before and after"):
        report = compare(kept)
    tell(as_json, lambda: report.json(), lambda: show_prove(report))


@app.command(
    short_help="Draw plug faces from both sides, the loom's tree, a circuit.",
    epilog="Example: loomwright draw examples/tarn-2300 CU TE --tree. "
    "Each plug becomes PLUG.svg with its mating face and its wire side.",
)
def draw(
    job: JobFiles,
    plugs: Annotated[
        list[str] | None, typer.Argument(metavar="PLUG", help="Plugs to draw, such as CU TE.")
    ] = None,
    every: Annotated[bool, typer.Option("--all", help="Draw every plug.")] = False,
    tree: Annotated[bool, typer.Option("--tree", help="Draw the loom: places, branches.")] = False,
    circuit: Annotated[
        str, typer.Option("--circuit", metavar="POINT", help="Draw the circuit from a point.")
    ] = "",
    pitch: Annotated[
        float | None, typer.Option("--pitch", metavar="MM", help="From cavity to cavity [mm].")
    ] = None,
    life_size: Annotated[
        bool, typer.Option("--life-size", help="Draw plugs 1 : 1, not enlarged.")
    ] = False,
    out: Annotated[
        str, typer.Option("--out", metavar="DIR", help="Folder for the drawings.")
    ] = "drawings",
) -> None:
    """Draw plugs to scale, always the mating face beside the wire side; the loom; a circuit."""
    from loomwright.cli.drawn import Wanted, drawings
    from loomwright.cli.show_draw import show_draw

    wanted = Wanted(
        plugs=plugs or (), every=every, tree=tree, circuit=circuit, pitch_mm=pitch,
        life_size=life_size,
    )  # fmt: skip
    made = drawings(bootstrap.jobs().read(job), wanted)
    papers = bootstrap.papers(out)
    show_draw([papers.put(name, text.encode()) for name, text in made.items()])


@app.command(
    short_help="Grade what was surveyed; say which parts fit where.",
    epilog="Example: loomwright judge examples/tarn-2300. "
    "Grades come from the table survey, parts from the table catalogue.",
)
def judge(job: JobFiles, as_json: AsJson = False) -> None:
    """Grade plugs, wires and joints by the survey, and hold the catalogue's parts against them."""
    from loomwright.cli.show_judge import show_judge
    from loomwright.services.judge import judge as graded

    kept = bootstrap.jobs().read(job)
    report = graded(kept)
    tell(as_json, lambda: report.json(), lambda: show_judge(report, kept))


@app.command(
    short_help="What heat and current do: plugs, boots, life, fuses.",
    epilog="Example: loomwright heat examples/tarn-2300. "
    "Temperatures stand in zones, fuses in elements, blower tests in warmings.",
)
def heat(
    job: JobFiles,
    day: Annotated[
        str, typer.Option("--on", metavar="DATE", help="Lives are counted from this day; today's.")
    ] = "",
    every: Annotated[
        bool, typer.Option("--all", help="Also the rows that are of nothing urgent.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """How hot plugs get, what boots do, what ages fastest, and whether fuses guard the wires."""
    from datetime import date

    from loomwright.cli.progress import working
    from loomwright.cli.show_heat import show_heat
    from loomwright.cli.show_print import day_of
    from loomwright.services.heat import heat as reckoned

    kept, today = bootstrap.jobs().read(job), date.fromisoformat(day_of(day))
    with working("Working out heat and life"):
        report = reckoned(kept, today)
    tell(as_json, lambda: report.json(), lambda: show_heat(report, every=every))


@app.command(
    short_help="Three offers, what pays most, and the order of work.",
    epilog="Example: loomwright plan examples/tarn-2300 --hours 6 --must W23. "
    "What sits at one place is opened once; limits leave what matters least.",
)
def plan(
    job: JobFiles,
    hours: Annotated[
        float | None, typer.Option("--hours", min=0.0, help="Most hours of work.")
    ] = None,
    money: Annotated[
        float | None, typer.Option("--money", min=0.0, help="Most money for work and parts.")
    ] = None,
    must: Annotated[
        list[str] | None,
        typer.Option(
            "--must", metavar="ITEM", help="A plug, wire, joint, device or branch to be done."
        ),
    ] = None,
    offer: Annotated[
        str, typer.Option("--offer", help="Whose order of work to tell; the job's own by default.")
    ] = "",
    as_json: AsJson = False,
) -> None:
    """Three offers side by side, what pays most, and the order of work with its hold points."""
    from loomwright.cli.progress import working
    from loomwright.cli.show_plan import show_plan
    from loomwright.services.plan import followed_offer
    from loomwright.services.plan import plan as planned
    from loomwright.services.wire_use import as_planned

    kept = as_planned(bootstrap.jobs().read(job))
    with working("Planning the work") as progress:
        report = planned(
            kept, most_hours=inf if hours is None else hours,
            most_money=inf if money is None else money, must=must or (),
            offer=followed_offer(kept, offer), progress=progress,
        )  # fmt: skip
    tell(as_json, lambda: report.json(), lambda: show_plan(report, kept))


@app.command(
    short_help="What to buy for an offer, where, and what it costs.",
    epilog="Example: loomwright buy examples/tarn-2300. "
    "Parts come from the table catalogue, prices from suppliers, offers and stock.",
)
def buy(
    job: JobFiles,
    offer: Annotated[
        str, typer.Option("--offer", help="Whose parts to buy; the job's own by default.")
    ] = "",
    as_json: AsJson = False,
) -> None:
    """The parts of an offer with their reasons, and the cheapest basket over all suppliers."""
    from loomwright.cli.progress import working
    from loomwright.cli.show_buy import show_buy
    from loomwright.services.buy import buy as bought
    from loomwright.services.plan import followed_offer
    from loomwright.services.wire_use import as_planned

    kept = as_planned(bootstrap.jobs().read(job))
    with working("Filling the basket") as progress:
        report = bought(kept, offer=followed_offer(kept, offer), progress=progress)
    tell(as_json, lambda: report.json(), lambda: show_buy(report))


@app.command(
    short_help="What trial crimps prove, and how far the spare wire goes.",
    epilog="Example: loomwright crimps examples/tarn-2300. "
    "Trials stand in the table crimps, the spare wire of each plug in plugs.",
)
def crimps(
    job: JobFiles,
    standard: Annotated[
        str, typer.Option("--standard", help="Whose least pull force is asked for.")
    ] = "ul-486a-486b",
    as_json: AsJson = False,
) -> None:
    """What the trial crimps prove against a least pull force, and how far the spare wire goes."""
    from loomwright.cli.show_crimps import show_crimps
    from loomwright.services.crimps import crimps as judged

    report = judged(bootstrap.jobs().read(job), standard=standard)
    tell(as_json, lambda: report.json(), lambda: show_crimps(report))


@app.command(
    name="print",
    short_help="Set the papers of the job as PDF: quote, job cards, labels.",
    epilog="Example: loomwright print examples/tarn-2300 --only tests,labels --out papers. "
    "Papers are PDF/A-2a for keeping, and can be read aloud (PDF/UA-1). Those of a new loom "
    "(build, board, cut, verify) are made when named, or when the offer makes a new loom.",
)
def print_papers(
    job: JobFiles,
    out: Annotated[str, typer.Option("--out", metavar="DIR", help="Their folder.")] = "papers",
    only: Annotated[
        str, typer.Option("--only", metavar="KINDS", help="Some of them, such as cards,quote.")
    ] = "",
    size: Annotated[str, typer.Option("--paper", help="Sheet: a4 or letter.")] = "a4",
    day: Annotated[
        str, typer.Option("--date", metavar="YYYY-MM-DD", help="Day on them; today by default.")
    ] = "",
    offer: Annotated[
        str, typer.Option("--offer", help="Which offer they follow; by default the job's own.")
    ] = "",
    sheet: Annotated[
        str, typer.Option("--labels", metavar="CxR", help="Sheet of labels, such as 3x8.")
    ] = "",
) -> None:
    """Set the papers of a job in type: for the bench, the owner, and keeping."""
    from loomwright.cli.progress import working
    from loomwright.cli.show_print import day_of, put_papers, show_print, wanted_photos, worked_up
    from loomwright.services.shots import MOST_SHOWN

    kinds = [name.strip() for name in only.split(",") if name.strip()]
    kept, made_on = bootstrap.jobs().read(job), day_of(day)
    with working("Setting the papers") as progress:
        photos = bootstrap.photos_to_print(job, wanted_photos(kept, kinds), most=MOST_SHOWN)
        known = worked_up(kept, offer, sheet, photos, progress)
        done = put_papers(
            known, bootstrap.papers(out), only=kinds, size=size, made_on=made_on
        )  # fmt: skip
    show_print(done)


# Without names of their own: their commands stand beside those above.
app.add_typer(new_loom)
app.add_typer(workshop)
