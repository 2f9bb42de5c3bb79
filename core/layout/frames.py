"""A block before it stands anywhere: its faces and what needs a flag, around its own corner (0, 0)."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from core.ids import terminal
from core.job.document import Job
from core.job.faces import Face, Side
from core.job.lookup import Lookup
from core.job.parts import Cavity, Connector, Part
from core.layout import metrics, words
from core.layout.pairs import meeting
from core.layout.shapes import CavityShape, FaceShape, Point, Rect

LINE_KINDS = frozenset(
    ("step-down", "relay", "fuse", "diode", "resistor", "capacitor", "ground point", "link", "ground loop")
)


class Spot(NamedTuple):
    """A cavity or lead that has a flag. `y` is its middle; `shift` keeps its fan off its row's others."""

    terminal: str
    y: float
    shift: float
    colour: str | None
    tab: float


class Slot(NamedTuple):
    """One connector's stretch of the block: its face and its flags, both around `middle`."""

    face: FaceShape
    middle: float
    spots: tuple[Spot, ...]


class Root(NamedTuple):
    """Where a flag's fan leaves the face: at its left or its right edge, at this height."""

    left: float
    right: float
    y: float
    colour: str | None


class Frame(NamedTuple):
    """A block around its own corner. `outputs`: terminals that give onwards; `cells`: all middles."""

    part: str
    absorbed: tuple[str, ...]
    title: str
    subtitle: str
    width: float
    height: float
    flag_width: float
    slots: tuple[Slot, ...]
    in_line: bool
    on_the_car: bool
    outputs: frozenset[str]
    cells: Mapping[str, Point]
    roots: Mapping[str, Root]


def stands_in_line(part: Part) -> bool:
    """Whether a part is a thing between other things: a step-down, a relay, a fuse, a ground point."""
    return part.state != "on the car" and (
        part.kind in LINE_KINDS
        or (bool(part.internals) and all(internal.kind in LINE_KINDS for internal in part.internals))
    )


def frame_of(
    job: Job, lookup: Lookup, part: Part, absorbed: tuple[str, ...], side: Side, library: words.Functions
) -> Frame:
    """The frame of `part`, which also draws the halves in `absorbed`."""
    halves = tuple(job.parts[tag] for tag in absorbed)
    several = len(part.connectors) > 1
    width = max(_face_size(connector, part, lookup)[0] for connector in part.connectors)
    top = metrics.TITLE_HEIGHT + metrics.SUBTITLE_HEIGHT + metrics.TITLE_GAP + metrics.LATCH_DEPTH
    slots: list[Slot] = []
    cells: dict[str, Point] = {}
    flag_width = metrics.FLAG_LEAST
    for connector in part.connectors:
        if several:
            top += metrics.FACE_TITLE_HEIGHT
        maker = _Slot(job, lookup, part, connector, halves, side, library)
        slot = maker.made(width / 2, top)
        slots.append(slot)
        cells.update(maker.cells)
        flag_width = max(flag_width, maker.flag_width)
        half = max(slot.face.body.height, len(slot.spots) * metrics.FLAG_PITCH) / 2
        top = slot.middle + half + metrics.FACE_GAP
    return Frame(
        part=part.id,
        absorbed=absorbed,
        title=words.block_title(part),
        subtitle=words.block_subtitle(part, halves),
        width=width,
        height=top - metrics.FACE_GAP + metrics.LATCH_DEPTH,
        flag_width=flag_width,
        slots=tuple(slots),
        in_line=stands_in_line(part),
        on_the_car=_is_of_the_car(job, lookup, part),
        outputs=_outputs(part),
        cells=cells,
        roots={
            spot.terminal: Root(slot.face.body.x, slot.face.body.right, spot.y + spot.shift, spot.colour)
            for slot in slots
            for spot in slot.spots
        },
    )


def wants_flag(lookup: Lookup, connector_id: str, cavity: Cavity, ref: str) -> bool:
    """Whether a cavity carries a flag: it has a lead, is joined to something, or is bare and not mated."""
    if cavity.lead is not None or ref in lookup.joint_of or ref in lookup.crimped:
        return True
    return cavity.filled and connector_id not in lookup.mate_of


def _is_of_the_car(job: Job, lookup: Lookup, part: Part) -> bool:
    """Whether a part is a plug of the car, or goes into such plugs with every connector it has."""
    if part.state == "on the car":
        return True
    mates = (lookup.mate_of.get(f"{part.id}.{connector.name}") for connector in part.connectors)
    parts = (job.parts.get(mate[1].partition(".")[0]) if mate is not None else None for mate in mates)
    return all(mate is not None and mate.state == "on the car" for mate in parts)


class _Slot:
    """Makes one connector's slot; keeps the cells and the widest flag for the frame."""

    def __init__(
        self,
        job: Job,
        lookup: Lookup,
        part: Part,
        connector: Connector,
        halves: tuple[Part, ...],
        side: Side,
        library: words.Functions,
    ) -> None:
        self.lookup, self.part, self.connector, self.side, self.library = (
            lookup,
            part,
            connector,
            side,
            library,
        )
        self.id = f"{part.id}.{connector.name}"
        self.cells: dict[str, Point] = {}
        self.flag_width = 0.0
        self.centre = 0.0
        other_id = lookup.mate_of.get(self.id, ("", ""))[1]
        other = job.connector(other_id) if other_id.partition(".")[0] in {h.id for h in halves} else None
        self.other_id = other_id if other is not None else ""
        self.other = other
        self.met = meeting(connector, other, other_id) if other is not None else {}
        self.flagged = list(_flagged(lookup, self.id, connector))
        if other is not None:
            self.flagged += _flagged(lookup, other_id, other)

    def made(self, centre: float, top: float) -> Slot:
        self.centre = centre
        width, height = _face_size(self.connector, self.part, self.lookup)
        middle = top + max(height, len(self.flagged) * metrics.FLAG_PITCH) / 2
        body = Rect(centre - width / 2, middle - height / 2, width, height)
        face = self.connector.face
        cavities = () if face is None else self._cells(face, body)
        title = (self.connector.title or self.connector.name) if len(self.part.connectors) > 1 else ""
        shape = FaceShape(
            self.id,
            metrics.fitted(title, metrics.SUBTITLE_TYPE, metrics.TITLE_MOST),
            body,
            _latch(face, body, self.side),
            self.side,
            cavities,
        )
        if face is None:
            step = height / max(1, len(self.flagged))
            spots = [
                self._spot(cavity, ref, body.y + (index + 0.5) * step, 0.0)
                for index, (cavity, ref) in enumerate(self.flagged)
            ]
        else:
            spots = self._spots_of(face, body)
        return Slot(shape, middle, tuple(spots))

    def _cells(self, face: Face, body: Rect) -> tuple[CavityShape, ...]:
        found: list[CavityShape] = []
        x0, y0 = body.x + metrics.FACE_PADDING, body.y + metrics.FACE_PADDING
        for row, pins in enumerate(face.seen_from(self.side)):
            for column, pin in enumerate(pins):
                if pin is None:
                    continue
                rect = Rect(
                    x0 + column * metrics.CELL_WIDTH,
                    y0 + row * metrics.CELL_HEIGHT,
                    metrics.CELL_WIDTH,
                    metrics.CELL_HEIGHT,
                )
                cavity = self.connector.by_pin.get(pin)
                ref = terminal(self.part.id, self.connector.name, pin)
                mate = self.met.get(pin)
                filled = cavity is not None and cavity.filled
                found.append(CavityShape(ref, pin, rect, pin in face.blocked, filled, mate))
                centre = Point(rect.x + rect.width / 2, rect.y + rect.height / 2)
                self.cells[ref] = centre
                if mate is not None:
                    self.cells[mate] = centre
        return tuple(found)

    def _spots_of(self, face: Face, body: Rect) -> list[Spot]:
        room = metrics.CELL_HEIGHT - 8.0
        spots: list[Spot] = []
        for cavity, ref in self.flagged:
            centre = self.cells.get(ref)
            if centre is None:  # a half whose mate has no place opposite it
                centre = self.cells[ref] = Point(body.x + body.width / 2, body.y + body.height / 2)
            column = (centre.x - body.x - metrics.FACE_PADDING) / metrics.CELL_WIDTH - 0.5
            shift = (0.5 - (column + 0.5) / face.columns) * room
            spots.append(self._spot(cavity, ref, centre.y, shift))
        return spots

    def _spot(self, cavity: Cavity, ref: str, y: float, shift: float) -> Spot:
        colour = words.colour_at(self.lookup, ref, cavity)
        text = words.text_of(cavity, colour or "", self.library)
        self.flag_width = max(self.flag_width, words.flag_width(text))
        if self.connector.face is None:
            self.cells[ref] = Point(self.centre, y)
        return Spot(ref, y, shift, colour, words.tab_width(cavity.pin))


def _flagged(lookup: Lookup, connector_id: str, connector: Connector) -> list[tuple[Cavity, str]]:
    pairs = ((cavity, f"{connector_id}-{cavity.pin}") for cavity in connector.cavities)
    return [(cavity, ref) for cavity, ref in pairs if wants_flag(lookup, connector_id, cavity, ref)]


def _face_size(connector: Connector, part: Part, lookup: Lookup) -> tuple[float, float]:
    if connector.face is None:
        leads = len(_flagged(lookup, f"{part.id}.{connector.name}", connector))
        return metrics.SLEEVE_WIDTH, max(2, leads) * metrics.SLEEVE_PER_LEAD
    return (
        connector.face.columns * metrics.CELL_WIDTH + 2 * metrics.FACE_PADDING,
        connector.face.rows * metrics.CELL_HEIGHT + 2 * metrics.FACE_PADDING,
    )


def _latch(face: Face | None, body: Rect, side: Side) -> Rect | None:
    """The latch on its edge; seen from the wire side, left and right change places."""
    if face is None or face.latch == "none":
        return None
    edge = face.latch
    if side == "wire" and edge in ("left", "right"):
        edge = "right" if edge == "left" else "left"
    depth = metrics.LATCH_DEPTH
    length = min(metrics.LATCH_LENGTH, (body.width if edge in ("top", "bottom") else body.height) * 0.6)
    across, down = body.x + (body.width - length) / 2, body.y + (body.height - length) / 2
    match edge:
        case "top":
            return Rect(across, body.y - depth, length, depth)
        case "bottom":
            return Rect(across, body.bottom, length, depth)
        case "left":
            return Rect(body.x - depth, down, depth, length)
        case _:
            return Rect(body.right, down, depth, length)


def _outputs(part: Part) -> frozenset[str]:
    """The terminals of a part in line that lead on: where nothing is joined they point to the right."""
    found: set[str] = set()
    for internal in part.internals:
        match internal.kind:
            case "step-down":
                found.add(internal.output)
            case "fuse" | "link":
                found.add(internal.b)
            case "diode":
                found.add(internal.cathode)
            case "relay":
                found.update(name for name in (internal.make, internal.rest) if name is not None)
            case _:
                pass
    return frozenset(f"{part.id}.{name}" for name in found)
