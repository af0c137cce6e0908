"""A loom for others, to take away: a netlist for a circuit program, a wire list for its maker."""

from __future__ import annotations

from django.http import FileResponse, HttpRequest, HttpResponse

from loomwright.loom import InputProblems
from loomwright.services.exchange import spice, wire_list
from loomwright.services.workup import WorkUp
from loomwright.storage.wire_list_book import write_wire_list
from loomwright.workshop.bench import BENCH
from loomwright.workshop.results import worked_up
from loomwright.workshop.sent_file import sent_file


def netlist(request: HttpRequest, job: str) -> HttpResponse:
    """Send the loom with its devices as a SPICE netlist, at rest or in the state asked for."""
    text = spice(BENCH.jobs.read(job), state=request.GET.get("state", ""))
    answer = HttpResponse(text, content_type="text/plain; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="{job}.cir"'
    return answer


def wire_book(request: HttpRequest, job: str) -> FileResponse:
    """Send wires, plugs and splices as a workbook, wires as the new loom takes them."""
    with worked_up(job) as worked:
        made = wire_list(worked.job, lengths=_lengths(worked.results))
    name = f"{job}-wire-list.xlsx"
    kept = sent_file(name, lambda target: write_wire_list(target, made))
    return FileResponse(kept, as_attachment=True, filename=name)


def _lengths(known: WorkUp) -> dict[str, float]:
    """What the wires are cut to; none where the branches give no loom, so the old ones stand."""
    try:
        return {each.wire: each.cut_mm for each in known.build.wires}
    except InputProblems:
        return {}
