"""Sheet 1, map: the wiring map re-laid for paper, the cautions, and the parts on this job."""

from __future__ import annotations

from collections.abc import Iterator

from core.drawing.cautions import cautions
from core.drawing.cells import words
from core.drawing.ends import Reader
from core.drawing.flow import Area, Flow, Para
from core.drawing.map_blocks import lay_blocks
from core.drawing.map_figure import LEAST_SCALE, MOST_SCALE, MapFigure, extent
from core.drawing.style import QUIET, SMALL, STOP
from core.drawing.table import Column, Row, table
from core.ids import in_order
from core.layout.arrange import arrange
from core.layout.build import lay_out
from core.layout.shapes import MapLayout

TITLE = "Wiring map"
_SUBTITLE = "A lead keeps its own colour up to the joint. Letters on every wire; letters govern where the print is grey."
_APART = (
    "Too large to be read on one sheet: part by part, each lead with its joint and what else meets there. "
    "Letters govern where the print is grey."
)
_PANEL = "Before you start"


def map_sheet(read: Reader, area: Area) -> Flow:
    points = cautions("map")
    found = _fitting(read, area, points)
    flow = Flow("map", area, TITLE, _SUBTITLE if found else _APART if read.job.parts else "")
    if not read.job.parts and not read.job.joints:
        flow.paragraph(Para("Nothing on the map yet.", ink=QUIET))
    if found is None:
        flow.panel(_PANEL, points, STOP, "caution")
        lay_blocks(flow, read)
    else:
        _figure(flow, read, *found)
        flow.panel(_PANEL, points, STOP, "caution")
    _parts(flow, read)
    _particulars(flow, read)
    return flow


def _layouts(read: Reader) -> Iterator[MapLayout]:
    """The map as the person laid it, then as arranged afresh."""
    job = read.job
    yield lay_out(job, read.library)
    places = arrange(job, read.library, keep=False)
    yield lay_out(job.model_copy(update={"view": job.view.model_copy(update={"places": places})}), read.library)


def _fitting(read: Reader, area: Area, points: list[str]) -> tuple[MapLayout, float] | None:
    """The first layout that can be read on one sheet with the cautions under it, and its scale."""
    if not read.job.parts and not read.job.joints:
        return None
    trial = Flow("map", area, TITLE, _SUBTITLE)
    before = trial.y
    trial.panel(_PANEL, points, STOP, "caution")
    room = area.bottom - before - (trial.y - before) - 8
    for layout in _layouts(read):
        size = extent(layout)
        scale = min(MOST_SCALE, area.width / max(size.width, 1), room / max(size.height, 1))
        if scale >= LEAST_SCALE:
            return layout, scale
    return None


def _figure(flow: Flow, read: Reader, layout: MapLayout, scale: float) -> None:
    size = extent(layout)
    left = flow.area.x + (flow.area.width - size.width * scale) / 2
    origin = (left - size.x * scale, flow.y - size.y * scale)
    figure = MapFigure(read, layout, flow.page, origin, scale)
    figure.draw()
    flow.page.box("figure", (), left, flow.y, size.width * scale, size.height * scale)
    flow.y += size.height * scale + 8
    if figure.unplaced:
        text = f"Letters that found no room on the map: {', '.join(figure.unplaced)}."
        flow.paragraph(Para(text, size=SMALL, ink=QUIET))


def _parts(flow: Flow, read: Reader) -> None:
    job = read.job
    if not job.parts:
        return
    flow.section("Parts on this job")
    columns = [
        Column("Tag"),
        Column("Part", flexible=True),
        Column("State"),
        Column("Maker", flexible=True),
        Column("Type", flexible=True),
        Column("Serial", flexible=True),
        Column("Note", flexible=True),
    ]
    rows = []
    for tag in in_order(job.parts):
        part = job.parts[tag]
        texts = (part.name, part.state, part.maker, part.type, part.serial, part.note)
        rows.append(Row((tag,), (words(tag, bold=True), *map(words, texts))))
    table(flow, "part", columns, rows)


def _particulars(flow: Flow, read: Reader) -> None:
    sheet = read.job.sheet
    told = [("Vehicle", sheet.vehicle), ("Equipment", sheet.equipment), ("Note", sheet.note)]
    told = [(name, text) for name, text in told if text.strip()]
    if not told:
        return
    flow.section("The job")
    for name, text in told:
        flow.paragraph(Para(f"{name}: {text}", size=SMALL))
