"""Sheet 1, map: the wiring map re-laid for paper, the cautions, and the parts on this job."""

from __future__ import annotations

from collections.abc import Iterator

from core.drawing.cautions import cautions
from core.drawing.cells import words
from core.drawing.ends import Reader
from core.drawing.flow import Area, Flow, Para
from core.drawing.fonts import SEMIBOLD
from core.drawing.map_blocks import lay_blocks
from core.drawing.map_figure import LEAST_SCALE, MOST_SCALE, MOST_SQUEEZE, MapFigure, extent, leaves
from core.drawing.map_scale import stretch
from core.drawing.style import QUIET, SMALL, STOP
from core.drawing.table import Column, Row, table
from core.ids import in_order
from core.layout.arrange import arrange
from core.layout.build import lay_out
from core.layout.shapes import MapLayout

TITLE = "Wiring map"
_WHOLE = (
    "A lead keeps its own colour up to the joint. Letters on every wire; they govern where the print is grey."
)
_APART = (
    "Too large to be read on one sheet: part by part, each lead with its joint and what else meets there. "
    "Letters govern where the print is grey."
)
_CORRIDORS = (1.0, 0.6, 0.4)
"""Tried in turn: the corridors as they are, then narrowed for wider flags."""
_PANEL = "Before you start"


def map_sheet(read: Reader, area: Area) -> Flow:
    points = cautions("map")
    figure, room = _figure(read, area, points)
    nothing = not read.job.parts and not read.job.joints
    flow = Flow("map", area, TITLE, "" if nothing else _subtitle(figure))
    if nothing:
        flow.paragraph(Para("Nothing on the map yet.", ink=QUIET))
    if figure is not None:
        flow.page.take(figure.draft)
        flow.page.box("figure", (), *room)
        flow.y = room.bottom + 8
        if flow.room < flow.panel_height(_PANEL, points):
            _send_on(flow)
    flow.panel(_PANEL, points, STOP, "caution")
    if figure is None:
        lay_blocks(flow, read)
    else:
        _beside(flow, read, figure)
    _parts(flow, read)
    _particulars(flow, read)
    return flow


def _subtitle(figure: MapFigure | None) -> str:
    return f"Faces seen from the {figure.layout.side} side. {_WHOLE}" if figure else _APART


def _send_on(flow: Flow) -> None:
    """Says on a sheet without room for the cautions where they are."""
    text = "Read the cautions on the next sheet before you start."
    lines = Para(text, SEMIBOLD, SMALL, STOP).lines(flow.area.width)
    wide = max(line.natural for line in lines)
    flow.page.stack(flow.area.right - wide, flow.area.y + 3, lines)


def _layouts(read: Reader) -> Iterator[MapLayout]:
    """The map as the person laid it, then as arranged afresh."""
    job = read.job
    yield lay_out(job, read.library)
    places = arrange(job, read.library, keep=False)
    view = job.view.model_copy(update={"places": places})
    yield lay_out(job.model_copy(update={"view": view}), read.library)


def _figure(read: Reader, area: Area, points: list[str]) -> tuple[MapFigure | None, Area]:
    """The first layout that can be read on one sheet, drawn, with its room. Best with cautions below."""
    trial = Flow("map", area, TITLE, _WHOLE)
    top = trial.y
    trial.panel(_PANEL, points, STOP, "caution")
    most = Area(area.x, top, area.width, area.bottom - trial.y - 14)
    notes = tuple(name for name in in_order(read.job.notes) if name in read.job.view.places)
    whole = most._replace(height=area.bottom - top)
    layouts = list(_layouts(read)) if read.job.parts or read.job.joints else []
    for room in (most, whole):
        for layout in layouts:
            for corridors in _CORRIDORS:
                figure, taken = _fitted(read, layout, room, notes, corridors)
                if figure is not None and figure.draw() and not leaves(figure.draft, room):
                    return figure, taken
    return None, most


def _fitted(
    read: Reader, layout: MapLayout, most: Area, notes: tuple[str, ...], corridors: float
) -> tuple[MapFigure | None, Area]:
    """A picture of that layout for that room, not yet drawn; None where its type would be too small."""
    size = extent(layout, notes)
    edges = [(block.bounds.x, block.bounds.right) for block in layout.blocks.values()]
    edges += [(layout.notes[name].x, layout.notes[name].right) for name in notes]
    down = min(MOST_SCALE, most.height / max(size.height, 1))
    _, scale = stretch(size.x, size.right, edges, most.width, corridors)
    wanted = min(MOST_SCALE, scale, down * MOST_SQUEEZE)
    across, scale = stretch(size.x, size.right, edges, most.width * wanted / scale, corridors)
    down = min(down, scale * MOST_SQUEEZE)
    wide, high = across(size.right), size.height * down
    if min(scale, down) < LEAST_SCALE:
        return None, most
    left = most.x + (most.width - wide) / 2
    figure = MapFigure(read, layout, (left, most.y - size.y * down), across, (scale, down), notes)
    return figure, Area(left, most.y, wide, high)


def _beside(flow: Flow, read: Reader, figure: MapFigure) -> None:
    """What the picture could not take: letters without room, and notes that have no place on the map."""
    if figure.unplaced:
        text = f"Letters that found no room on the map: {', '.join(figure.unplaced)}."
        flow.paragraph(Para(text, size=SMALL, ink=QUIET))
    for name in in_order(read.job.notes):
        if name not in figure.notes:
            flow.paragraph(Para(f"{name}: {read.job.notes[name].text}", size=SMALL), "note", (name,))


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
