"""The wiring map on paper: the screen's own geometry, scaled, with every colour also in letters."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from core.colours import split as colours_of
from core.colours import swatches
from core.drawing.ends import Reader
from core.drawing.flow import Area, Draft, Para
from core.drawing.fonts import ASCENT, LEAST_SIZE, REGULAR, SEMIBOLD, Font, printable, width, wrap
from core.drawing.items import Box, Circle, Curve, Line, Rect, Text, text_box
from core.drawing.style import FAINT, FINE, HAIR, HAIRLINE, INK, LEADING, PAPER, QUIET
from core.drawing.wires import strokes
from core.layout import metrics
from core.layout.shapes import BlockShape, CavityShape, FlagShape, MapLayout
from core.layout.shapes import Curve as MapCurve
from core.layout.words import flag_text, tab_width

LEAST_SCALE = LEAST_SIZE / min(metrics.PIN_TYPE, metrics.COLOUR_TYPE)
"""Below this the smallest type of the map would be under 7 pt."""
MOST_SCALE = 0.8
_WIRE = 4.0
_FAN = 3.0
_BODY_FILL = "#F4F3F1"
_TAB_FILL = "#3A3F45"
_PLACES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88)


def extent(layout: MapLayout) -> Area:
    """What the map covers, in map units."""
    boxes = [block.bounds for block in layout.blocks.values()]
    boxes += layout.notes.values()
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
        xs += [flag.rect.x - 40, flag.rect.right + 40]
    if not xs:
        return Area(0, 0, 0, 0)
    return Area(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))


@dataclass
class MapFigure:
    """Draws one layout at one place and scale. `unplaced` are wires for whose letters there was no room."""

    read: Reader
    layout: MapLayout
    draft: Draft
    origin: tuple[float, float]
    scale: float
    unplaced: list[str] = field(default_factory=list)

    def x(self, value: float) -> float:
        return self.origin[0] + value * self.scale

    def y(self, value: float) -> float:
        return self.origin[1] + value * self.scale

    def draw(self) -> None:
        for key in sorted(self.layout.curves):
            self._curve(self.layout.curves[key])
        for name in sorted(self.layout.blocks):
            self._block(self.layout.blocks[name])
        for name in sorted(self.layout.notes):
            self._note(name)
        for name in sorted(self.layout.joints):
            joint = self.layout.joints[name]
            x, y = self.x(joint.centre.x), self.y(joint.centre.y)
            radius = metrics.JOINT_RADIUS * self.scale * 0.8
            self.draft.shapes.append(Circle(x, y, radius, PAPER, INK, 1.4))
            self.draft.box("joint", (name,), x - radius, y - radius, 2 * radius, 2 * radius)
        self._labels()

    def _curve(self, curve: MapCurve) -> None:
        cubic = tuple((self.x(p.x), self.y(p.y)) for p in (curve.a, curve.c1, curve.c2, curve.b))
        if curve.role == "mate":
            (x1, y1), *_, (x2, y2) = cubic
            self.draft.shapes.append(Line(x1, y1, x2, y2, FAINT, FINE, (2.0, 2.0)))
            return
        thick = (_FAN if curve.role == "fan" else _WIRE) * self.scale
        self.draft.shapes += strokes((cubic[0], cubic[1], cubic[2], cubic[3]), curve.colour, thick)

    def _block(self, block: BlockShape) -> None:
        size = self._type(metrics.TITLE_TYPE)
        title = printable(block.title)
        middle, top = self.x(block.title_at.x), self.y(block.title_at.y)
        self.draft.write_mid(middle, top + size * ASCENT, title, SEMIBOLD, size)
        small = self._type(metrics.SUBTITLE_TYPE)
        base = top + metrics.TITLE_HEIGHT * self.scale + small * ASCENT
        self.draft.write_mid(middle, base, block.subtitle, REGULAR, small, QUIET)
        bounds = block.bounds
        self.draft.box(
            "block",
            (block.part, *block.absorbed),
            self.x(bounds.x),
            self.y(bounds.y),
            bounds.width * self.scale,
            bounds.height * self.scale,
        )
        for face in block.faces:
            if face.latch is not None:
                self._rect(face.latch, _BODY_FILL, 1.5)
            self._rect(face.body, _BODY_FILL, 4)
            if face.title:
                at = self.y(face.body.y) - 5 * self.scale
                self.draft.write_mid(self.x(face.body.x + face.body.width / 2), at, face.title, REGULAR, small, QUIET)
            for cavity in face.cavities:
                self._cavity(cavity)
        for flag in block.flags:
            self._flag(flag)

    def _rect(self, rect: Iterable[float], fill: str, radius: float) -> None:
        x, y, wide, high = rect
        self.draft.shapes.append(
            Rect(self.x(x), self.y(y), wide * self.scale, high * self.scale, fill, INK, 0.8, radius)
        )

    def _cavity(self, cavity: CavityShape) -> None:
        rect = cavity.rect
        inset = 1.5 * self.scale
        x, y = self.x(rect.x) + inset, self.y(rect.y) + inset
        wide, high = rect.width * self.scale - 2 * inset, rect.height * self.scale - 2 * inset
        middle, base = x + wide / 2, y + high / 2 + LEAST_SIZE * 0.33
        size = LEAST_SIZE
        pin = printable(cavity.pin)
        fits = width(pin, SEMIBOLD, size) <= wide
        if cavity.blocked or not cavity.filled:
            self.draft.shapes.append(Rect(x, y, wide, high, HAIRLINE if cavity.blocked else PAPER, FAINT, HAIR, 1.5))
            if cavity.blocked:
                self.draft.shapes.append(Line(x, y, x + wide, y + high, FAINT, HAIR))
            if fits:
                self.draft.write_mid(middle, base, pin, REGULAR, size, QUIET)
            return
        halves = [self.read.insulation(name) for name in (cavity.mate, cavity.terminal) if name]
        for number, colour in enumerate(halves):
            part = wide / len(halves)
            self._half(x + number * part, y, part, high, colour)
        plate = width(pin, SEMIBOLD, size) + 3
        if fits:
            self.draft.shapes.append(Rect(middle - plate / 2, y + 1.5, plate, high - 5.5, PAPER))
            self.draft.write_mid(middle, base - 1.2, pin, SEMIBOLD, size)
        self.draft.shapes.append(Rect(x, y, wide, high, "", INK, FINE, 1.5))

    def _half(self, x: float, y: float, wide: float, high: float, colour: str | None) -> None:
        base, *stripes = (swatches()[code].print for code in colours_of(colour)) if colour else (PAPER,)
        self.draft.shapes.append(Rect(x, y, wide, high, base))
        for number, stripe in enumerate(stripes, start=1):
            band = y + high - 4 + 4 * number / (len(stripes) + 1) - 0.7
            self.draft.shapes.append(Rect(x, band, wide, 1.4, stripe))

    def _flag(self, flag: FlagShape) -> None:
        words = flag_text(self.read.job, self.read.library, flag.terminal)
        rect = flag.rect
        x, y = self.x(rect.x), self.y(rect.y)
        wide, high = rect.width * self.scale, rect.height * self.scale
        finish = self.read.finish(flag.terminal)
        dashes = (2.0, 1.5) if finish == "to decide" else ()
        self.draft.shapes.append(Rect(x, y, wide, high, PAPER, INK if dashes else QUIET, FINE, high / 2, dashes))
        self.draft.box("flag", (flag.terminal,), x, y, wide, high)
        tab_wide = tab_width(words.pin) * self.scale
        tab = self.x(flag.tab.x)
        self.draft.shapes.append(
            Rect(tab - tab_wide / 2 + 1, y + 1, tab_wide - 2, high - 2, _TAB_FILL, "", 0, (high - 2) / 2)
        )
        middle = y + high / 2
        size = self._type(metrics.PIN_TYPE)
        self.draft.write_mid(tab, middle + size * 0.33, words.pin, SEMIBOLD, size, PAPER)
        label, letters = self._type(metrics.LABEL_TYPE), self._type(metrics.COLOUR_TYPE)
        gap = metrics.FLAG_GAP * self.scale
        shown, codes = printable(words.words), printable(words.colour)
        code_wide = width(codes, REGULAR, letters)
        pad = metrics.FLAG_PADDING * self.scale
        if flag.turned == "right":
            self.draft.write(x + pad, middle + label * 0.33, shown, REGULAR, label)
            self.draft.write(tab - tab_wide / 2 - gap * 0.5 - code_wide, middle + letters * 0.33, codes, REGULAR, letters, QUIET)
        else:
            self.draft.write(tab + tab_wide / 2 + gap * 0.5, middle + letters * 0.33, codes, REGULAR, letters, QUIET)
            self.draft.write(x + wide - pad - width(shown, REGULAR, label), middle + label * 0.33, shown, REGULAR, label)
        self._fate(flag, finish)

    def _fate(self, flag: FlagShape, finish: str) -> None:
        """What becomes of a lead that goes to no joint, in a word at its end."""
        if flag.terminal in self.read.job.lookup.joint_of or not finish:
            return
        word = {"to decide": "open", "pull out": "pull"}.get(finish, "left" if finish.startswith("left") else finish)
        if word == "crimp":
            return
        x, y = self.x(flag.anchor.x), self.y(flag.anchor.y)
        wide = width(word, REGULAR, LEAST_SIZE)
        away = 1 if flag.turned == "right" else -1
        if word == "cap":
            self.draft.shapes.append(Rect(x if away > 0 else x - 7, y - 2.2, 7, 4.4, _TAB_FILL, "", 0, 1.5))
            x += away * 7
        at = x + 3 if away > 0 else x - 3 - wide
        self.draft.write(at, y + LEAST_SIZE * 0.33, word, REGULAR, LEAST_SIZE, QUIET)

    def _note(self, name: str) -> None:
        rect = self.layout.notes[name]
        x, y = self.x(rect.x), self.y(rect.y)
        wide, high = rect.width * self.scale, rect.height * self.scale
        self.draft.shapes.append(Rect(x, y, wide, high, "#FFFBEA", HAIRLINE, FINE, 2))
        self.draft.box("note", (name,), x, y, wide, high)
        pad = metrics.NOTE_PADDING * self.scale
        size = self._type(metrics.NOTE_TYPE)
        lines = wrap(self.read.job.notes[name].text, REGULAR, size, wide - 2 * pad)
        leading = metrics.NOTE_LINE * self.scale
        for number, line in enumerate(lines):
            self.draft.write(x + pad, y + pad + leading * number + size * ASCENT, line, REGULAR, size)

    def _type(self, size: float) -> float:
        return max(LEAST_SIZE, size * self.scale)

    def _labels(self) -> None:
        """Names at joints, then letters on wires, each where nothing else is written."""
        taken = [text_box(text) for text in self.draft.texts]
        taken += [box for box in self.draft.boxes if box.kind in ("flag", "note", "joint")]
        size = self._type(metrics.JOINT_TYPE)
        for name in sorted(self.layout.joints):
            joint = self.layout.joints[name]
            x, y = self.x(joint.centre.x), self.y(joint.centre.y)
            wide = width(name, SEMIBOLD, size) / 2
            rise = metrics.JOINT_RADIUS * self.scale + 2
            spots = [
                (x, self.y(joint.label_at.y)),
                (x, y - rise - size / 2),
                (x, y + rise + size / 2),
                (x + rise + wide + 1, y),
                (x - rise - wide - 1, y),
                (x + rise + wide, y - rise),
                (x - rise - wide, y - rise),
                (x + rise + wide, y + rise),
                (x - rise - wide, y + rise),
            ]
            spots += [(x, y - rise * k - size / 2) for k in (2, 3, 4)]
            if not self._place(name, spots, SEMIBOLD, size, taken):
                self.unplaced.append(name)
        for key in sorted(self.layout.curves):
            curve = self.layout.curves[key]
            if curve.role != "wire" or "/" in key:
                continue
            text = printable(" ".join(filter(None, (curve.owner, curve.colour))))
            points = [self._at(curve, t) for t in _PLACES]
            if not self._place(text, points, REGULAR, LEAST_SIZE, taken):
                self.unplaced.append(text)

    def _at(self, curve: MapCurve, t: float) -> tuple[float, float]:
        u = 1 - t
        weights = (u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t)
        points = (curve.a, curve.c1, curve.c2, curve.b)
        return (
            self.x(sum(w * p.x for w, p in zip(weights, points, strict=True))),
            self.y(sum(w * p.y for w, p in zip(weights, points, strict=True))),
        )

    def _place(
        self, text: str, spots: Iterable[tuple[float, float]], font: Font, size: float, taken: list[Box]
    ) -> bool:
        """Writes with its middle on the first spot that is free."""
        wide = width(text, font, size)
        for x, y in spots:
            item = Text(x - wide / 2, y + size * 0.33, text, font, size, INK)
            box = text_box(item)
            if not any(_overlap(box, other) for other in taken):
                self.draft.shapes.append(Rect(box.x - 1, box.y, box.width + 2, box.height, PAPER))
                self.draft.texts.append(item)
                taken.append(box)
                return True
        return False


def _overlap(a: Box, b: Box) -> bool:
    return a.x < b.x + b.width and b.x < a.x + a.width and a.y < b.y + b.height and b.y < a.y + a.height
