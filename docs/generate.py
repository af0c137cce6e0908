"""Write the documents that follow from the code: job format, commands, defaults, pages, pictures.

Run by `make docs`; a test compares what this makes with what is kept.
"""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

from rich.console import Console
from rich.terminal_theme import TerminalTheme
from rich.text import Text

from loomwright import standards
from loomwright.loom import schema
from loomwright.loom.schema import Column, Table

DOCS = Path(__file__).resolve().parent
ROOT = DOCS.parent
COMMANDS = (
    "new",
    "check",
    "expect",
    "trace",
    "sees",
    "suspects",
    "certify",
    "prove",
    "draw",
    "judge",
    "heat",
    "plan",
    "buy",
    "crimps",
    "build",
    "bundle",
    "verify",
    "cut",
    "board",
    "netlist",
    "wire-list",
    "print",
    "serve",
    "import",
    "export",
    "backup",
    "restore",
)
GENERATED = "<!-- made by docs/generate.py: change the code, then run `make docs` -->"


def job_folder() -> str:
    """The format of a job, table by table, from the schema."""
    parts = [
        GENERATED,
        "# The job folder",
        "A job is a folder of CSV tables with a `datapackage.json`, a .zip of such a folder, or "
        "one .xlsx workbook with a sheet per table. `loomwright new my-car` makes one with worked "
        "lines.",
        "UTF-8. The first row is the header. A blank cell means *not known*. The unit is in the "
        "column's name. Semicolons between cells and a decimal comma are read, too. Columns that "
        "are not listed here are kept and passed through. A table that is not needed may be "
        "missing. Identifiers are letters, digits, `-` and `_`. Columns in **bold** must be filled "
        "in.",
        "A *point* is `PLUG.cavity` (loom side), `DEVICE.pin` (device side) or a joint's name. A "
        "plug on its device joins cavity *n* to pin *n*. `OL` is the meter's over-range.",
    ]
    parts += [section for table in schema.TABLES for section in _table(table)]
    return "\n\n".join(parts) + "\n"


def _table(table: Table) -> Iterator[str]:
    yield f"## `{table.name}`"
    yield table.help
    rows = ["| column | what it holds | values | example |", "|---|---|---|---|"]
    rows += [
        f"| {_name(each)} | {each.help} | {_values(each)} | {_code(each.example)} |"
        for each in table.columns
    ]
    yield "\n".join(rows)


def _name(column: Column) -> str:
    return f"**`{column.name}`**" if column.required else f"`{column.name}`"


def _values(column: Column) -> str:
    said = (
        [", ".join(_code(choice) for choice in column.choices)] if column.choices else [column.kind]
    )
    if column.minimum is not None or column.maximum is not None:
        said.append(_bounds(column))
    elif column.unit:
        said.append(column.unit)
    if column.refers_to:
        said.append(f"named in {' or '.join(_code(name) for name in column.refers_to)}")
    if column.default is not None:
        said.append(
            f"blank means {column.default:g}"
            if isinstance(column.default, float)
            else f"blank means {_code(str(column.default))}"
        )
    return "; ".join(said)


def _bounds(column: Column) -> str:
    low = "" if column.minimum is None else f"{column.minimum:g}"
    high = "" if column.maximum is None else f"{column.maximum:g}"
    span = f"{low} to {high}" if low and high else f"from {low}" if low else f"up to {high}"
    return f"{span} {column.unit}".strip()


def _code(text: str) -> str:
    return f"`{text}`" if text else ""


def commands() -> str:
    """The commands' own help, word for word."""
    own, *each = _helps()
    parts = [
        GENERATED,
        "# Commands",
        "Results go to standard output, everything else to standard error. Exit codes: 0 done; 2 "
        "the input must be mended, or there is no such thing; 3 refused for safety; 4 the disk or "
        "a permission; 70 a mistake in the program (a reference number is given and the details "
        "are kept in a file); 130 stopped by the person. Colour is left out where `NO_COLOR` is "
        "set. The fields of `--json` are told in [json.md](json.md).",
        f"```text\n{own}\n```",
    ]
    for name, told in zip(COMMANDS, each, strict=True):
        parts += [f"## `loomwright {name}`", f"```text\n{told}\n```"]
    return "\n\n".join(parts) + "\n"


def _helps() -> list[str]:
    """The help of the program and of each command, from one process: a start takes longest."""
    program = (
        "import sys; from loomwright.cli import main\n"
        "for name in sys.argv[1:]:\n"
        "    if main([*name.split(), '--help']): sys.exit(1)\n"
        "    print(end='\\f')\n"
    )
    shown = _python(program, "", *COMMANDS, colour=False)
    return [each.rstrip() for each in shown.split("\f")[:-1]]


def _run(*arguments: str, colour: bool) -> str:
    """What a command prints, 80 columns wide."""
    program = "import sys; from loomwright.cli import main; sys.exit(main())"
    return _python(program, *arguments, colour=colour)


def _python(program: str, *arguments: str, colour: bool) -> str:
    """What a program prints in a process of its own."""
    inherited = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "FORCE_COLOR")}
    looks = {"FORCE_COLOR": "1"} if colour else {"NO_COLOR": "1"}
    environment = {**inherited, **looks, "COLUMNS": "80", "TERM": "xterm-256color"}
    done = subprocess.run(
        [sys.executable, "-c", program, *arguments],
        capture_output=True, encoding="utf-8", cwd=ROOT, env=environment, check=True,
    )  # fmt: skip
    return done.stdout


def defaults() -> str:
    """Every default number and every fault rate, with its standing and source."""
    parts = [
        GENERATED,
        "# Defaults and fault rates",
        "Every number that is used where a job says nothing. *Standing* is how far it can be "
        "trusted: measured, published, derived, common practice, assumed. The tables are CSV files "
        "in `src/loomwright/standards/tables/`; each can be changed there, and a job's own value "
        "always comes first.",
        "## Defaults",
        "\n".join(_default_rows()),
        "## Fault rates",
        "Relative weights per item: only their ratios matter. They follow the order in which "
        "workshops meet these faults; they are not counts. A size is even on a logarithmic scale.",
        "\n".join(_rate_rows()),
        "## What a survey grade does to them",
        "\n".join(_survey_rows()),
        "## What heat does to them",
        "\n".join(_heat_rows()),
        "## What a complaint does to them",
        "Faults are put into the loom one by one; those with an effect of the second table weigh "
        "more where the owner names the symptom. *Cold* is a cold engine cranked, *hot* a hot one "
        "running. How it is reckoned: [diagnosis.md](diagnosis.md), section 1.",
        "\n".join(_symptom_rows()),
        "\n".join(_effect_rows()),
        "## What a survey grade looks like",
        "And what is usually done about it. Strands left are graded by the share that is broken, "
        "where no grade was given.",
        "\n".join(_grade_rows()),
        "## Least pull of a crimp",
        "Force in newtons at which a crimp may give way at the earliest, by conductor section. A "
        "section between two rows is held to the larger one.",
        "\n".join(_pull_rows()),
        "## Sheets of labels",
        "By their dimensions alone; the first of a paper that is for a use is the one printed.",
        "\n".join(_sheet_rows()),
        "## Heat-shrink tubes",
        "\n".join(_tube_rows()),
        "## Sleeves",
        "\n".join(_sleeve_rows()),
        "## Insulation and boots",
        "What they are made for, how their life halves, and how they age by years alone.",
        "\n".join(_insulation_rows()),
        "## Current of single wires",
        "\n".join(_current_rows()),
        "## What a bundle leaves of it",
        "Share of the current of the same wire alone, by the number of wires and the share of the "
        "bundle's capacity in use.",
        "\n".join(_bundle_rows()),
        "## Blade fuses",
        "When they open, by ISO 8820-3.",
        "\n".join(_fuse_rows()),
        "## Sources",
        "\n".join(f"- `{key}`: {each.citation}" for key, each in standards.sources().items()),
    ]
    return "\n\n".join(parts) + "\n"


def _default_rows() -> Iterator[str]:
    yield "| name | value | own figures expected | standing | source | note |"
    yield "|---|---|---|---|---|---|"
    for each in standards.defaults().values():
        unit = "" if each.unit == "1" else f" {each.unit}"
        yield (
            f"| `{each.name}` | {each.value:g}{unit} | {each.low:g} to {each.high:g}{unit} "
            f"| {each.standing} | `{each.source.key}` | {each.note} |"
        )


def _rate_rows() -> Iterator[str]:
    yield "| fault | place | weight | size | standing | source | note | name |"
    yield "|---|---|---|---|---|---|---|---|"
    for each in standards.all_fault_rates():
        place = f"{each.place} ({each.element})" if each.element else each.place
        unit = " of its value" if each.unit == "1" else f" {each.unit}"
        size = (
            "" if each.low is None or each.high is None else f"{each.low:g} to {each.high:g}{unit}"
        )
        yield (
            f"| `{each.kind}` | {place} | {each.weight:g} | {size} | {each.standing} "
            f"| `{each.source.key}` | {each.note} | `{each.name}` |"
        )


def _survey_rows() -> Iterator[str]:
    yield "| aspect | grade | weight times | faults | at | standing | name |"
    yield "|---|---|---|---|---|---|---|"
    for each in standards.all_survey_factors():
        yield (
            f"| {each.aspect} | {each.grade} | {each.factor:g} | {', '.join(each.kinds)} "
            f"| {', '.join(each.places)} | {each.standing} | `{each.name}` |"
        )


def _grade_rows() -> Iterator[str]:
    yield "| aspect | grade | looks like | strands broken | usually | standing | note |"
    yield "|---|---|---|---|---|---|---|"
    for each in standards.all_grades():
        share = each.lost_up_to_pct
        lost = "" if share is None else "none" if share == 0 else f"up to {share:g} %"
        yield (
            f"| {each.aspect} | {each.grade} | {each.looks_like} | {lost} | {each.verdict} "
            f"| {each.standing} | {each.note} |"
        )


def _heat_rows() -> Iterator[str]:
    yield "| after a hot stop | weight times | faults | at | standing | name |"
    yield "|---|---|---|---|---|---|"
    for each in standards.all_heat_factors():
        yield (
            f"| {each.soak_from_c:g} to {each.soak_below_c:g} °C | {each.factor:g} "
            f"| {', '.join(each.kinds)} | {', '.join(each.places)} | {each.standing} "
            f"| `{each.name}` |"
        )


def _symptom_rows() -> Iterator[str]:
    yield "| symptom | when | effect | weight times, at most | standing | note | name |"
    yield "|---|---|---|---|---|---|---|"
    for each in standards.all_symptom_factors():
        yield (
            f"| `{each.symptom}` | {each.when} | `{each.effect}` | {each.factor:g} "
            f"| {each.standing} | {each.note} | `{each.name}` |"
        )


def _pull_rows() -> Iterator[str]:
    yield "| standard | mm² | AWG | at least | standing | source | note |"
    yield "|---|---|---|---|---|---|---|"
    for each in standards.pull_forces():
        awg = "" if each.awg is None else f"{each.awg or '1/0'}"
        yield (
            f"| `{each.standard}` | {each.section_mm2:g} | {awg} | {each.pull_n:g} N "
            f"| {each.standing} | `{each.source.key}` | {each.note} |"
        )


def _sheet_rows() -> Iterator[str]:
    yield "| paper | labels | of | first label from left and top | one to the next | for | note |"
    yield "|---|---|---|---|---|---|---|"
    for each in standards.label_sheets():
        yield (
            f"| {each.paper} | {each.columns} x {each.rows} "
            f"| {each.label_width_mm:g} x {each.label_height_mm:g} mm "
            f"| {each.left_mm:g}, {each.top_mm:g} mm | {each.across_mm:g}, {each.down_mm:g} mm "
            f"| {', '.join(each.use)} | {each.standing}: {each.note} |"
        )


def _tube_rows() -> Iterator[str]:
    yield "| bore as supplied | shrunk freely | standing | note |"
    yield "|---|---|---|---|"
    for each in standards.shrink_tubes():
        sizes = f"| {each.supplied_mm:g} mm | {each.recovered_mm:g} mm "
        yield f"{sizes}| {each.standing} | {each.note} |"


def _sleeve_rows() -> Iterator[str]:
    yield "| kind | bore | bears | standing | note |"
    yield "|---|---|---|---|---|"
    for each in standards.all_sleeves():
        most = "" if each.bore_max_mm is None else f" to {each.bore_max_mm:g}"
        yield (
            f"| {each.kind} | {each.bore_mm:g}{most} mm | {each.highest_c:g} °C "
            f"| {each.standing} | {each.note} |"
        )


def _insulation_rows() -> Iterator[str]:
    yield "| material | called | class | short circuit | halves in | by years | standing | note |"
    yield "|---|---|---|---|---|---|---|---|"
    for each in standards.insulations():
        ages = each.ages and f"{each.ages[0]:g} to {each.ages[1]:g}"
        hot = each.ages_hot and f"{each.ages_hot[0]:g} to {each.ages_hot[1]:g} on the engine"
        boot = each.boot_ages and f"{each.boot_ages[0]:g} to {each.boot_ages[1]:g} as a boot"
        yield (
            f"| {each.name} | {', '.join(each.words)} | {_celsius(each.class_c)} "
            f"| {_celsius(each.short_c)} | {each.halving_low_k:g} to {each.halving_high_k:g} K "
            f"| {', '.join(filter(None, (ages, hot, boot)))} | {each.standing} | {each.note} |"
        )


def _celsius(value: float | None) -> str:
    return "" if value is None else f"{value:g} °C"


def _current_rows() -> Iterator[str]:
    yield "| rule | AWG | copper | wire | around | wires | loading | current | standing | note |"
    yield "|---|---|---|---|---|---|---|---|---|---|"
    for each in standards.rated_currents():
        yield (
            f"| `{each.rule}` | {each.awg} | {each.section_mm2:g} mm² | {each.wire_class_c:g} °C "
            f"| {each.ambient_c:g} °C | {each.wires} | {each.loading_pct:g} % "
            f"| {each.current_a:g} A | {each.standing} | {each.note} |"
        )


def _bundle_rows() -> Iterator[str]:
    yield "| rule | wires | loading | factor | standing | source | note |"
    yield "|---|---|---|---|---|---|---|"
    for each in standards.bundle_factors():
        yield (
            f"| `{each.rule}` | {each.wires:g} | {each.loading_pct:g} % | {each.factor:g} "
            f"| {each.standing} | `{each.source.key}` | {each.note} |"
        )


def _fuse_rows() -> Iterator[str]:
    yield "| type | of its rating | at the earliest | at the latest | standing | note |"
    yield "|---|---|---|---|---|---|"
    for each in standards.fuse_limits():
        latest = "need not open" if each.most_s is None else f"{each.most_s:g} s"
        yield (
            f"| {each.fuse_type} | {each.percent:g} % | {each.least_s:g} s | {latest} "
            f"| {each.standing} | {each.note} |"
        )


def _effect_rows() -> Iterator[str]:
    yield "| effect | what it is | from | standing | note |"
    yield "|---|---|---|---|---|"
    for each in standards.all_effects().values():
        least = f"{100 * each.least:g} %" if each.unit == "1" else f"{each.least:g} {each.unit}"
        yield f"| `{each.effect}` | {each.words} | {least} | {each.standing} | {each.note} |"


def page_records() -> str:
    """What each page of the workshop shows: addresses, templates, the fields of their records."""
    parts = [
        GENERATED,
        "# What each page shows",
        "A page is a template and a frozen record: the template uses the fields of its record, as "
        "`page.…`, and nothing else. Listed module by module of `src/loomwright/workshop/pages/`, "
        "with the addresses that each answers. The elements that pages are made of are in "
        "[pages.md](pages.md).",
        _pages_told().rstrip("\n"),
    ]
    return "\n\n".join(parts) + "\n"


def _pages_told() -> str:
    """From a process of its own: Django takes its settings once, and they name a folder."""
    with tempfile.TemporaryDirectory() as folder:
        places = {"LOOMWRIGHT_DATA": folder, "LOOMWRIGHT_DATABASE": ""}
        settings = {"DJANGO_SETTINGS_MODULE": "loomwright.workshop.settings"}
        done = subprocess.run(
            [sys.executable, str(DOCS / "page_records.py")],
            capture_output=True, encoding="utf-8", check=True,
            env={**os.environ, **places, **settings},
        )  # fmt: skip
    return done.stdout


THEME = TerminalTheme(
    (27, 31, 36),
    (226, 228, 232),
    [(27, 31, 36), (255, 138, 128), (134, 214, 140), (240, 208, 120),
     (140, 180, 255), (226, 160, 240), (120, 214, 222), (226, 228, 232)],
    [(120, 126, 134), (255, 138, 128), (134, 214, 140), (240, 208, 120),
     (140, 180, 255), (226, 160, 240), (120, 214, 222), (255, 255, 255)],
)  # fmt: skip
FONT = "'DejaVu Sans Mono', Menlo, Consolas, 'Liberation Mono', monospace"


def suspects_picture() -> str:
    """The first screen of `suspects` on the example job, down to the first reading to take."""
    shown = _run("suspects", "examples/tarn-2300", colour=True)
    return _picture(
        "loomwright suspects examples/tarn-2300", shown.split("\nB  ")[0].split("\n\x1b[1mB")[0]
    )


def expect_picture() -> str:
    """The table of `expect` on the example job."""
    return _picture(
        "loomwright expect examples/tarn-2300", _run("expect", "examples/tarn-2300", colour=True)
    )


def _picture(title: str, shown: str) -> str:
    """Terminal output as SVG, with the reader's own fonts and nothing from elsewhere."""
    console = Console(record=True, width=82, file=io.StringIO(), force_terminal=True)
    console.print(Text.from_ansi(shown.rstrip("\n")))
    svg = console.export_svg(title=title, theme=THEME, unique_id="terminal")
    svg = re.sub(r"<!--.*?-->", "", svg, flags=re.DOTALL)
    svg = re.sub(r"@font-face \{.*?\}", "", svg, flags=re.DOTALL)
    svg = re.sub(r"font-family: [^;]+;", f"font-family: {FONT};", svg)
    return "\n".join(line.rstrip() for line in svg.splitlines() if line.strip()) + "\n"


DOCUMENTS: dict[str, Callable[[], str]] = {
    "job-folder.md": job_folder,
    "commands.md": commands,
    "defaults.md": defaults,
    "page-records.md": page_records,
    "pictures/suspects.svg": suspects_picture,
    "pictures/expect.svg": expect_picture,
}
"""Each document with what makes it."""


def write() -> None:
    """Make every document anew."""
    for name, made in DOCUMENTS.items():
        (DOCS / name).write_text(made(), encoding="utf-8")


if __name__ == "__main__":
    write()
