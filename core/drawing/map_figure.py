"""The wiring map on paper: the screen's own geometry made to fit, with every colour also in letters.

Width and height are scaled apart, as far as `MOST_SQUEEZE` lets them, and corridors may be narrowed; type,
dots and wires are not squeezed.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from core.colours import split as colours_of
from core.colours import swatches
from core.drawing.ends import Reader
from core.drawing.flow import Area, Draft
from core.drawing.fonts import LEAST_SIZE, REGULAR, SEMIBOLD, printable, width, wrap
from core.drawing.items import Box, Circle, Line, Rect, text_box
from core.drawing.map_labels import Labels, any_overlap, around
from core.drawing.map_scale import Stretch
from core.drawing.style import FAINT, FINE, HAIR, HAIRLINE, INK, LEADING, PAPER, QUIET
from core.drawing.wires import Cubic, strokes
from core.layout import metrics
from core.layout.shapes import BlockShape, CavityShape, FaceShape, FlagShape, MapLayout, Point
from core.layout.shapes import Curve as MapCurve
from core.layout.words import flag_text

LEAST_SCALE = 0.335
"""Below this two lines of 7 pt no longer fit over a face, nor flags of `LEAST_FLAG` points in a column."""
LEAST_FLAG = 7.4
MOST_SCALE = 0.8
MOST_SQUEEZE = 1.6
_WIRE = 4.0
_FAN = 3.0
_BODY_FILL = "#F4F3F1"
_TAB_FILL = "#3A3F45"
_PLACES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88)
_FATES = {"to decide": "open", "pull out": "pull", "cap": "cap"}
_FATE_ROOM = 26.0
"""Points beside a flag for what becomes of its lead."""


def extent(layout: MapLayout, notes: Iterable[str]) -> Area:
    """What the map covers with these notes, in map units."""
    boxes = [block.bounds for block in layout.blocks.values()]
    boxes += [layout.notes[name] for name in notes]
    xs = [x for box in boxes for x in (box.x, box.right)]
    ys = [y for box in boxes for y in (box.y, box.bottom)]
    for curve in layout.curves.values():
        for point in (curve.a, curve.c1, curve.c2, curve.b):
            xs.append(point.x)
            ys.append(point.y)
    for joint in layout.joints.values():
        xs += [joint.centre.x - 24, joint.centre.x + 24]
        ys += [joint.label_at.y - metrics.JOINT_LABEL_HEIGHT, joint.centre.y + metrics.JOINT_RADIUS]
    for flag in layout.flag_of.values():
        room = _FATE_ROOM / LEAST_SCALE
        xs.append(flag.rect.right + room if flag.turned == "right" else flag.rect.x - room)
        ys += [flag.rect.y, flag.rect.bottom]
    if not xs:
        return Area(0, 0, 0, 0)
    return Area(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))


@dataclass
class MapFigure:
    """One layout drawn at one place. `scales` are points for a map unit within blocks, across and down."""

    read: Reader
    layout: MapLayout
    origin: tuple[float, float]
    across: Stretch
    scales: tuple[float, float]
    notes: tuple[str, ...]
    draft: Draft = field(default_factory=Draft)
    unplaced: list[str] = field(default_factory=list)
    _tight: bool = False

    def x(self, value: float) -> float:
        return self.origin[0] + self.across(value)

    def y(self, value: float) -> float:
        return self.origin[1] + value * self.scales[1]

    def _type(self, size: float) -> float:
        return max(LEAST_SIZE, size * min(self.scales))

    def draw(self) -> bool:
        """Draws everything; False where texts would run into each other or out of their flags."""
        for key in sorted(self.layout.curves):
            self._curve(self.layout.curves[key])
        for name in sorted(self.layout.blocks):
            self._block(self.layout.blocks[name])
        for name in self.notes:
            self._note(name)
        for name in sorted(self.layout.joints):
            x, y = self._point(self.layout.joints[name].centre)
            self.draft.shapes.append(Circle(x, y, 3.0, PAPER, INK, 1.3))
            self.draft.box("joint", (name,), x - 3, y - 3, 6, 6)
        flags = [box for box in self.draft.boxes if box.kind in ("flag", "note")]
        crowded = self._tight or any_overlap(flags, 0.1)
        crowded = crowded or any_overlap([text_box(text) for text in self.draft.texts], 0.3)
        self._labels()
        return not crowded

    def _point(self, point: Point) -> tuple[float, float]:
        return self.x(point.x), self.y(point.y)

    def _curve(self, curve: MapCurve) -> None:
        cubic: Cubic = (
            self._point(curve.a),
            self._point(curve.c1),
            self._point(curve.c2),
            self._point(curve.b),
        )
        if curve.role == "mate":
            self.draft.shapes.append(Line(*cubic[0], *cubic[3], FAINT, FINE, (2.0, 2.0)))
            return
        thick = max(1.6, (_FAN if curve.role == "fan" else _WIRE) * min(self.scales))
        self.draft.shapes += strokes(cubic, curve.colour, thick)

    def _block(self, block: BlockShape) -> None:
        size, small = self._type(metrics.TITLE_TYPE), self._type(metrics.SUBTITLE_TYPE)
        middle, top = self._point(block.title_at)
        line = max(metrics.TITLE_HEIGHT * self.scales[1], size * 1.02)
        self.draft.write_mid(middle, top + line / 2 + size * 0.33, block.title, SEMIBOLD, size)
        under = max(metrics.SUBTITLE_HEIGHT * self.scales[1], small * 1.02)
        base = top + line + under / 2 + small * 0.33
        self.draft.write_mid(middle, base, block.subtitle, REGULAR, small, QUIET)
        self.draft.box("block", (block.part, *block.absorbed), *self._scaled(block.bounds))
        for face in block.faces:
            self._face(face, small)
        for flag in block.flags:
            self._flag(flag)

    def _face(self, face: FaceShape, small: float) -> None:
        if face.latch is not None:
            self._rect(face.latch, _BODY_FILL, 1.5)
        self._rect(face.body, _BODY_FILL, 4)
        if face.title:
            middle = self.x(face.body.x + face.body.width / 2)
            base = self.y(face.body.y - metrics.LATCH_DEPTH) - 2
            self.draft.write_mid(middle, base, face.title, REGULAR, small, QUIET)
        for cavity in face.cavities:
            self._cavity(cavity)

    def _scaled(self, rect: Iterable[float]) -> Area:
        x, y, wide, high = rect
        return Area(self.x(x), self.y(y), self.x(x + wide) - self.x(x), high * self.scales[1])

    def _rect(self, rect: Iterable[float], fill: str, radius: float) -> None:
        self.draft.shapes.append(Rect(*self._scaled(rect), fill, INK, 0.8, radius))

    def _cavity(self, cavity: CavityShape) -> None:
        outer = self._scaled(cavity.rect)
        x, y, wide, high = outer.x + 0.7, outer.y + 0.7, outer.width - 1.4, outer.height - 1.4
        middle = x + wide / 2
        pin = printable(cavity.pin)
        fits = width(pin, SEMIBOLD, LEAST_SIZE) <= wide
        if cavity.blocked or not cavity.filled:
            fill = HAIRLINE if cavity.blocked else PAPER
            self.draft.shapes.append(Rect(x, y, wide, high, fill, FAINT, HAIR, 1.5))
            if cavity.blocked:
                self.draft.shapes.append(Line(x, y, x + wide, y + high, FAINT, HAIR))
            if fits:
                base = y + high / 2 + LEAST_SIZE * 0.33
                self.draft.write_mid(middle, base, pin, REGULAR, LEAST_SIZE, QUIET)
            return
        halves = [self.read.insulation(name) for name in (cavity.mate, cavity.terminal) if name]
        band = max(2.5, high * 0.22)
        for number, colour in enumerate(halves):
            part = wide / len(halves)
            self._half(Area(x + number * part, y, part, high), colour, band)
        if fits:
            plate = width(pin, SEMIBOLD, LEAST_SIZE) + 2
            plate_high = high - band - 1
            self.draft.shapes.append(Rect(middle - plate / 2, y + 0.8, plate, plate_high, PAPER))
            base = y + 0.8 + plate_high / 2 + LEAST_SIZE * 0.33
            self.draft.write_mid(middle, base, pin, SEMIBOLD, LEAST_SIZE)
        self.draft.shapes.append(Rect(x, y, wide, high, "", INK, FINE, 1.5))

    def _half(self, area: Area, colour: str | None, band: float) -> None:
        base, *stripes = (swatches()[code].print for code in colours_of(colour)) if colour else (PAPER,)
        self.draft.shapes.append(Rect(*area, base))
        for number, stripe in enumerate(stripes, start=1):
            y = area.bottom - band + band * number / (len(stripes) + 1) - 0.5
            self.draft.shapes.append(Rect(area.x, y, area.width, 1.0, stripe))

    def _flag(self, flag: FlagShape) -> None:
        """The flag with its own widths for the type used: the tab, then the letters, then the function."""
        words = flag_text(self.read.job, self.read.library, flag.terminal)
        area = self._scaled(flag.rect)
        if area.height < LEAST_FLAG:
            area = Area(area.x, area.y - (LEAST_FLAG - area.height) / 2, area.width, LEAST_FLAG)
        finish = self.read.finish(flag.terminal)
        dashes = (2.0, 1.5) if finish == "to decide" else ()
        edge = INK if dashes else QUIET
        self.draft.shapes.append(Rect(*area, PAPER, edge, FINE, area.height / 2, dashes))
        self.draft.box("flag", (flag.terminal,), *area)
        pin_size, size = self._type(metrics.PIN_TYPE), self._type(metrics.LABEL_TYPE)
        code_size = self._type(metrics.COLOUR_TYPE)
        pin, codes, text = printable(words.pin), printable(words.colour), printable(words.words)
        tab = max(area.height, width(pin, SEMIBOLD, pin_size) + 5)
        code_wide, text_wide = width(codes, REGULAR, code_size), width(text, REGULAR, size)
        if tab + code_wide + text_wide + 11 > area.width:
            self._tight = True
        right = flag.turned == "right"
        tab_x = area.right - tab if right else area.x
        round_ends = (area.height - 2) / 2
        self.draft.shapes.append(
            Rect(tab_x + 1, area.y + 1, tab - 2, area.height - 2, _TAB_FILL, "", 0, round_ends)
        )
        middle = area.y + area.height / 2
        self.draft.write_mid(tab_x + tab / 2, middle + pin_size * 0.33, pin, SEMIBOLD, pin_size, PAPER)
        code_x = tab_x - 3 - code_wide if right else tab_x + tab + 3
        self.draft.write(code_x, middle + code_size * 0.33, codes, REGULAR, code_size, QUIET)
        text_x = area.x + 5 if right else area.right - 5 - text_wide
        self.draft.write(text_x, middle + size * 0.33, text, REGULAR, size)
        self._fate(flag, finish)

    def _fate(self, flag: FlagShape, finish: str) -> None:
        """What becomes of a lead that goes to no joint, in a word at its end."""
        if flag.terminal in self.read.job.lookup.joint_of or not finish or finish == "crimp":
            return
        word = _FATES.get(finish, "left")
        x, y = self._point(flag.anchor)
        wide = width(word, REGULAR, LEAST_SIZE)
        away = 1 if flag.turned == "right" else -1
        if word == "cap":
            self.draft.shapes.append(Rect(x if away > 0 else x - 7, y - 2.2, 7, 4.4, _TAB_FILL, "", 0, 1.5))
            x += away * 7
        at = x + 3 if away > 0 else x - 3 - wide
        self.draft.write(at, y + LEAST_SIZE * 0.33, word, REGULAR, LEAST_SIZE, QUIET)

    def _note(self, name: str) -> None:
        area = self._scaled(self.layout.notes[name])
        size = self._type(metrics.NOTE_TYPE)
        lines = wrap(self.read.job.notes[name].text, REGULAR, size, area.width - 8)
        high = len(lines) * size * LEADING + 6
        self.draft.shapes.append(Rect(area.x, area.y, area.width, high, "#FFFBEA", HAIRLINE, FINE, 2))
        self.draft.box("note", (name,), area.x, area.y, area.width, high)
        for number, line in enumerate(lines):
            base = area.y + 3 + size * LEADING * (number + 0.5) + size * 0.33
            self.draft.write(area.x + 4, base, line, REGULAR, size)

    def _labels(self) -> None:
        labels = Labels(self.draft, [b for b in self.draft.boxes if b.kind in ("flag", "note", "joint")])
        size = self._type(metrics.JOINT_TYPE)
        for name in sorted(self.layout.joints):
            joint = self.layout.joints[name]
            spots = around(*self._point(joint.centre), width(name, SEMIBOLD, size), size, 4.5)
            labels.place(name, [self._point(joint.label_at), *spots], SEMIBOLD, size)
        for key in sorted(self.layout.curves):
            curve = self.layout.curves[key]
            if curve.role == "wire" and "/" not in key:
                text = printable(" ".join(filter(None, (curve.owner, curve.colour))))
                labels.place(text, [self._at(curve, t) for t in _PLACES], REGULAR, LEAST_SIZE)
        self.unplaced = labels.unplaced

    def _at(self, curve: MapCurve, t: float) -> tuple[float, float]:
        u = 1 - t
        weights = (u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t)
        points = [self._point(point) for point in (curve.a, curve.c1, curve.c2, curve.b)]
        pairs = list(zip(weights, points, strict=True))
        return sum(w * x for w, (x, _) in pairs), sum(w * y for w, (_, y) in pairs)


def leaves(draft: Draft, area: Area) -> bool:
    """Whether any text of a picture runs out of the room it was given."""
    frame = Box("room", (), *area)
    return any(
        box.x < frame.x - 0.3
        or box.x + box.width > area.right + 0.3
        or box.y < frame.y - 0.3
        or box.y + box.height > area.bottom + 0.3
        for box in [*map(text_box, draft.texts), *draft.boxes]
    )
