"""The commands on a job's files, in the order a job goes through them."""

from __future__ import annotations

from collections.abc import Callable
from math import inf
from typing import Annotated

import typer

from loomwright import bootstrap
from loomwright.cli.workshop_commands import JobFiles, workshop

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

NewLoom = Annotated[
    bool, typer.Option("--new-loom", help="Lengths by the branches, not those of the old wires.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Print the documented JSON instead.")]


def _tell(as_json: bool, document: Callable[[], object], show: Callable[[], None]) -> None:
    """The documented JSON where it is asked for, else the screen."""
    if as_json:
        from loomwright.cli.screen import print_json

        print_json(document())
    else:
        show()


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
    _tell(as_json, lambda: as_document(report), lambda: show_check(report, job))
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
    _tell(as_json, lambda: [row.json() for row in rows], lambda: show_expect(rows, kept))


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
    _tell(as_json, lambda: found.json(), lambda: show_trace(found, kept))


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
    _tell(as_json, lambda: report.json(), lambda: show_sees(report, kept))


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
    _tell(as_json, lambda: report.json(), lambda: show_suspects(report, kept))


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
    _tell(as_json, lambda: report.json(), lambda: show_certify(report))


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
    _tell(as_json, lambda: report.json(), lambda: show_prove(report))


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
    _tell(as_json, lambda: report.json(), lambda: show_judge(report, kept))


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
    _tell(as_json, lambda: report.json(), lambda: show_heat(report, every=every))


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
    _tell(as_json, lambda: report.json(), lambda: show_plan(report, kept))


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
    _tell(as_json, lambda: report.json(), lambda: show_buy(report))


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
    _tell(as_json, lambda: report.json(), lambda: show_crimps(report))


@app.command(
    short_help="A new loom: wire lengths, splices, order of laying.",
    epilog="Example: loomwright build examples/tarn-2300. "
    "Lengths follow the table branches; clips and grommets stand in fixings.",
)
def build(job: JobFiles, as_json: AsJson = False) -> None:
    """How long each wire of a new loom is cut, where its splices go, and the order of laying."""
    from loomwright.cli.progress import working
    from loomwright.cli.show_build import show_build
    from loomwright.services.build import build as made

    kept = bootstrap.jobs().read(job)
    with working("Working out the new loom"):
        report = made(kept)
    _tell(as_json, lambda: report.json(), lambda: show_build(report))


@app.command(
    short_help="The fewest tests that prove a finished loom.",
    epilog="Example: loomwright verify examples/tarn-2300. "
    "For a loom out of the car with nothing plugged in; loomwright print --only verify sets it.",
)
def verify(job: JobFiles, new_loom: NewLoom = False, as_json: AsJson = False) -> None:
    """The fewest tests that prove a finished loom, their limits, and what they let pass."""
    from loomwright.cli.progress import working
    from loomwright.cli.show_verify import show_verify
    from loomwright.services.verify import new_lengths
    from loomwright.services.verify import verify as proving

    kept = bootstrap.jobs().read(job)
    with working("Making the list") as progress:
        report = proving(kept, progress, lengths=new_lengths(kept) if new_loom else None)
    _tell(as_json, lambda: report.json(), lambda: show_verify(report))


@app.command(
    short_help="The loom with its devices as a SPICE netlist.",
    epilog='Example: loomwright netlist examples/tarn-2300 --state "key=on" --out tarn.cir. '
    "Any SPICE program reads it; node 0 is engine and body metal.",
)
def netlist(
    job: JobFiles,
    state: Annotated[
        str, typer.Option("--state", metavar="STATE", help='Such as "key=on; engine_c=80".')
    ] = "",
    out: Annotated[
        str, typer.Option("--out", "-o", metavar="FILE", help="A file, not the screen.")
    ] = "",
    over: Annotated[bool, typer.Option("--over", help="Replace the file that is there.")] = False,
) -> None:
    """The loom with its devices, at rest or in another state, as a SPICE netlist."""
    from loomwright.cli.show_exchange import show_netlist, show_put
    from loomwright.services.exchange import spice

    text = spice(bootstrap.jobs().read(job), state=state)
    if out:
        show_put(bootstrap.put_text(out, text, over=over))
    else:
        show_netlist(text)


@app.command(
    name="wire-list",
    short_help="Wires, plugs and splices as a workbook for a loom's maker.",
    epilog="Example: loomwright wire-list examples/tarn-2300 --out wires.xlsx.",
)
def wire_list(
    job: JobFiles,
    out: Annotated[
        str, typer.Option("--out", "-o", metavar="FILE", help="The .xlsx workbook to make.")
    ] = "wire-list.xlsx",
    new_loom: NewLoom = False,
    over: Annotated[bool, typer.Option("--over", help="Replace the file that is there.")] = False,
) -> None:
    """Write wires with their ends and lengths, plug faces and splices into a workbook."""
    from loomwright.cli.show_exchange import show_put
    from loomwright.services.exchange import cut_lengths
    from loomwright.services.exchange import wire_list as listed

    kept = bootstrap.jobs().read(job)
    made = listed(kept, lengths=cut_lengths(kept) if new_loom else None)
    show_put(bootstrap.put_wire_list(out, made, over=over))


@app.command(
    short_help="How the wires of a new loom are cut, and what to buy.",
    epilog="Example: loomwright cut examples/tarn-2300. "
    "Wire in the drawer stands in the table stock, reels on sale in offers.",
)
def cut(job: JobFiles, as_json: AsJson = False) -> None:
    """Cut the wires of a new loom from the drawer and the fewest reels, with least waste."""
    from loomwright.cli.progress import working
    from loomwright.cli.show_cut import show_cut
    from loomwright.services.cut import cut as planned

    kept = bootstrap.jobs().read(job)
    with working("Planning the cuts") as progress:
        report = planned(kept, progress=progress)
    _tell(as_json, lambda: report.json(), lambda: show_cut(report))


@app.command(
    short_help="The loom flat on a board, 1 : 1, to print in sheets.",
    epilog="Example: loomwright board examples/tarn-2300 --size a3 --dxf --out board. "
    "Lengths of branches come from the table branches, clips and grommets from fixings.",
)
def board(
    job: JobFiles,
    out: Annotated[str, typer.Option("--out", metavar="DIR", help="Their folder.")] = "board",
    size: Annotated[str, typer.Option("--size", help="Sheets: a4, a3 or letter.")] = "a4",
    piece: Annotated[
        int | None, typer.Option("--piece", metavar="N", help="One piece of the loom, from 1.")
    ] = None,
    width: Annotated[
        float | None, typer.Option("--width", metavar="MM", help="Width of the table [mm].")
    ] = None,
    printed_bar: Annotated[
        float | None,
        typer.Option("--printed-bar", metavar="MM", help="What the 200 mm bar measured [mm]."),
    ] = None,
    long: Annotated[
        bool, typer.Option("--long", help="Also one long sheet, for a plotter.")
    ] = False,
    dxf: Annotated[bool, typer.Option("--dxf", help="Also a DXF file.")] = False,
    svg: Annotated[bool, typer.Option("--svg", help="Also an SVG file.")] = False,
    day: Annotated[
        str, typer.Option("--date", metavar="YYYY-MM-DD", help="Day on it; today by default.")
    ] = "",
    as_json: AsJson = False,
) -> None:
    """Lay the loom flat at true length, and draw it 1 : 1 with pegs, plug faces and wire lists."""
    from loomwright.cli.progress import working
    from loomwright.cli.show_board import Asked, check_asked, put_boards, show_board
    from loomwright.cli.show_print import day_of
    from loomwright.services.board import board as laid

    asked = Asked(
        size=size, printed_bar=printed_bar, long=long, dxf=dxf, svg=svg, made_on=day_of(day)
    )
    check_asked(asked)
    kept = bootstrap.jobs().read(job)
    with working("Laying the loom out"):
        report = laid(kept, piece=piece, width_mm=width)
        done = put_boards(kept, report, asked, bootstrap.papers(out), bootstrap.board_dxf)
    _tell(as_json, report.json, lambda: show_board(report, done))


@app.command(
    short_help="How thick wires are as a bundle, and what goes over them.",
    epilog="Example: loomwright bundle 8x2.0 1.6 1,6 --svg section.svg. "
    "8x2.0 is eight wires of 2.0 mm; a decimal comma is read, too.",
    context_settings={"ignore_unknown_options": True},
)
def bundle(
    wires: Annotated[
        list[str], typer.Argument(metavar="MM", help="Outside diameters of the wires [mm].")
    ],
    tape_wall: Annotated[
        str, typer.Option("--tape-wall", metavar="MM", help="What tape adds on each side [mm].")
    ] = "",
    drawing: Annotated[
        str, typer.Option("--svg", metavar="FILE", help="Draw the cross-section into a file.")
    ] = "",
    over: Annotated[bool, typer.Option("--over", help="Replace the file that is there.")] = False,
    as_json: AsJson = False,
) -> None:
    """Pack wires into the smallest circle; say where each lies, and what goes over them."""
    from loomwright.cli.progress import working
    from loomwright.cli.show_bundle import draw_bundle, show_bundle
    from loomwright.services.bundle import read_bundle

    with working("Packing the wires"):
        report = read_bundle(wires, tape_wall=tape_wall)
    put = bootstrap.put_text(drawing, draw_bundle(report), over=over) if drawing else ""
    _tell(as_json, lambda: report.json(), lambda: show_bundle(report, put))


@app.command(
    name="print",
    short_help="Set the papers of the job as PDF: quote, job cards, labels.",
    epilog="Example: loomwright print examples/tarn-2300 --only tests,labels --out papers. "
    "Papers are PDF/A-2a for keeping, and can be read aloud (PDF/UA-1).",
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


# Without a name of its own: its commands stand beside those above.
app.add_typer(workshop)
