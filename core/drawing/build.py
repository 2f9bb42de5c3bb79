"""From a checked job to pages, and to a PDF."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from core.checks.finding import CheckResult
from core.drawing.ends import Reader
from core.drawing.faces import faces_sheet
from core.drawing.flow import Area, Flow, Para
from core.drawing.frame import Stationery, content_area, draw_frame, too_long
from core.drawing.items import Box, Page
from core.drawing.joints import joints_sheet
from core.drawing.leads import leads_sheet
from core.drawing.map_sheet import map_sheet
from core.drawing.paper import MM, paper_named
from core.drawing.pdf import write_pdf
from core.drawing.qr import code_text, codes
from core.drawing.status import status_bar
from core.drawing.style import SMALL
from core.errors import UserError
from core.job.document import Job
from core.library.library import Library


class _Sheet(NamedTuple):
    document_type: str
    lay_out: Callable[[Reader, Area], Flow]


_SHEETS = {
    "map": _Sheet("Build drawing: map", map_sheet),
    "faces": _Sheet("Build drawing: faces", faces_sheet),
    "leads": _Sheet("Build drawing: leads and wires", leads_sheet),
    "joints": _Sheet("Build drawing: joints", joints_sheet),
}
SHEETS = tuple(_SHEETS)
"""Names of the sheets, in the order in which they are bound."""


def build_drawing(
    job: Job,
    result: CheckResult,
    library: Library,
    paper: str = "letter",
    sheets: Iterable[str] | None = None,
) -> tuple[Page, ...]:
    """The pages of the sheets asked for (all where None), as data. Raises UserError for an unknown name.

    The status printed is that of `result`; whether it belongs to this very job is for the caller to see to.
    """
    wanted = _wanted(sheets)
    read = Reader(job, result, library)
    stationery = Stationery(paper_named(paper), job.sheet, status_bar(result), _colours(job))
    area = content_area(stationery)
    flows = [(name, _SHEETS[name].lay_out(read, area)) for name in wanted]
    _title_block_in_full(flows[-1][1], stationery)
    drafts = [(name, draft) for name, flow in flows for draft in flow.pages]
    of = len(drafts)
    content = job.content_hash()
    marks = codes([code_text(job.sheet, content, number, of) for number in range(1, of + 1)])
    pages = []
    for number, ((name, draft), mark) in enumerate(zip(drafts, marks, strict=True), start=1):
        draw_frame(draft, stationery, _SHEETS[name].document_type, number, of, mark)
        pages.append(
            Page(
                sheet=name,
                number=number,
                of=of,
                width=stationery.paper.width_mm * MM,
                height=stationery.paper.height_mm * MM,
                frame=Box("frame", (), *stationery.frame),
                shapes=tuple(draft.shapes),
                texts=tuple(draft.texts),
                boxes=tuple(draft.boxes),
            )
        )
    return tuple(pages)


def print_pdf(
    job: Job,
    result: CheckResult,
    library: Library,
    paper: str = "letter",
    sheets: Iterable[str] | None = None,
) -> bytes:
    """The build drawing as a PDF file. The same job gives the same bytes."""
    pages = build_drawing(job, result, library, paper, sheets)
    return write_pdf(pages, " ".join(filter(None, ("Build drawing", job.sheet.number, job.sheet.title))))


def _wanted(sheets: Iterable[str] | None) -> Sequence[str]:
    if sheets is None:
        return SHEETS
    asked = [name.strip().lower() for name in sheets]
    unknown = [name for name in asked if name not in _SHEETS]
    if unknown:
        raise UserError(f"There is no sheet {unknown[0]!r}. It may be {', '.join(SHEETS)}.")
    if not asked:
        raise UserError(f"No sheet was asked for. It may be {', '.join(SHEETS)}.")
    return [name for name in SHEETS if name in asked]


def _title_block_in_full(flow: Flow, stationery: Stationery) -> None:
    """What is too long for the title block, at the end of the last sheet."""
    long = too_long(stationery)
    if long:
        flow.section("Title block in full")
    for field, value in long:
        flow.paragraph(Para(f"{field}: {value}", size=SMALL))


def _colours(job: Job) -> tuple[str, ...]:
    """Every colour that stands on the drawing, in a fixed order."""
    found: set[str | None] = {conductor.colour for conductor in job.lookup.conductors.values()}
    for part in job.parts.values():
        for cavity in part.cavities.values():
            found |= {cavity.colour_sheet, cavity.colour_found}
            if cavity.lead:
                found.add(cavity.lead.colour)
    return tuple(sorted(colour for colour in found if colour))
