"""The commands of a new loom: its lengths, board, cuts, the list that proves it; and a bundle."""

from __future__ import annotations

from typing import Annotated

import typer

from loomwright import bootstrap
from loomwright.cli.telling import AsJson, JobFiles, tell

new_loom = typer.Typer(rich_markup_mode=None)

NewLoom = Annotated[
    bool, typer.Option("--new-loom", help="Lengths by the branches, not those of the old wires.")
]


@new_loom.command(
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
    tell(as_json, lambda: report.json(), lambda: show_build(report))


@new_loom.command(
    short_help="The fewest tests that prove a finished loom.",
    epilog="Example: loomwright verify examples/tarn-2300. "
    "For a loom out of the car with nothing plugged in; loomwright print --only verify sets it.",
)
def verify(job: JobFiles, by_branches: NewLoom = False, as_json: AsJson = False) -> None:
    """The fewest tests that prove a finished loom, their limits, and what they let pass."""
    from loomwright.cli.progress import working
    from loomwright.cli.show_verify import show_verify
    from loomwright.services.verify import new_lengths
    from loomwright.services.verify import verify as proving

    kept = bootstrap.jobs().read(job)
    with working("Making the list") as progress:
        report = proving(kept, progress, lengths=new_lengths(kept) if by_branches else None)
    tell(as_json, lambda: report.json(), lambda: show_verify(report))


@new_loom.command(
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


@new_loom.command(
    name="wire-list",
    short_help="Wires, plugs and splices as a workbook for a loom's maker.",
    epilog="Example: loomwright wire-list examples/tarn-2300 --out wires.xlsx.",
)
def wire_list(
    job: JobFiles,
    out: Annotated[
        str, typer.Option("--out", "-o", metavar="FILE", help="The .xlsx workbook to make.")
    ] = "wire-list.xlsx",
    by_branches: NewLoom = False,
    over: Annotated[bool, typer.Option("--over", help="Replace the file that is there.")] = False,
) -> None:
    """Write wires with their ends and lengths, plug faces and splices into a workbook."""
    from loomwright.cli.show_exchange import show_put
    from loomwright.services.exchange import cut_lengths
    from loomwright.services.exchange import wire_list as listed

    kept = bootstrap.jobs().read(job)
    made = listed(kept, lengths=cut_lengths(kept) if by_branches else None)
    show_put(bootstrap.put_wire_list(out, made, over=over))


@new_loom.command(
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
    tell(as_json, lambda: report.json(), lambda: show_cut(report))


@new_loom.command(
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
    tell(as_json, report.json, lambda: show_board(report, done))


@new_loom.command(
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
    tell(as_json, lambda: report.json(), lambda: show_bundle(report, put))
