"""Pages being filled from the top down, and the plain things that are put on them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from core.drawing.fonts import CAPITALS, REGULAR, SEMIBOLD, Font, printable, width, wrap
from core.drawing.items import Box, Line, Rect, Shape, Text
from core.drawing.style import BODY, HAIR, HAIRLINE, INK, LEADING, QUIET, SECTION, SMALL, TITLE

_PANEL_PAD = 8.0
_PANEL_GAP = 18.0


class Area(NamedTuple):
    """Room on a page, in points."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        return self.x + self.width

    @property
    def bottom(self) -> float:
        return self.y + self.height


class Para(NamedTuple):
    """Text that may take several lines."""

    text: str
    font: Font = REGULAR
    size: float = BODY
    ink: str = INK

    def lines(self, room: float) -> list[Para]:
        return [self._replace(text=line) for line in wrap(self.text, self.font, self.size, room)]

    def at_most(self, count: int, room: float) -> list[Para]:
        """Its first lines; an ellipsis tells that there are more."""
        lines = self.lines(room)
        if len(lines) > count:
            last = lines[count - 1].text
            while width(f"{last}…", self.font, self.size) > room:
                last = last[:-1]
            lines[count - 1 :] = [self._replace(text=f"{last}…")]
        return lines

    @property
    def natural(self) -> float:
        """Width of its longest line when nothing is wrapped."""
        return max(
            (width(printable(line), self.font, self.size) for line in self.text.splitlines()), default=0
        )

    @property
    def base(self) -> float:
        """From the top of its line to its base line: capitals stand in the middle."""
        return self.leading / 2 + CAPITALS * self.size / 2

    @property
    def leading(self) -> float:
        return self.size * LEADING


@dataclass
class Draft:
    """A page that is being filled."""

    shapes: list[Shape] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    boxes: list[Box] = field(default_factory=list)

    def write(
        self,
        x: float,
        base: float,
        text: str,
        font: Font = REGULAR,
        size: float = BODY,
        ink: str = INK,
    ) -> None:
        """One line with its left edge at `x`."""
        if text:
            self.texts.append(Text(x, base, printable(text), font, size, ink))

    def write_mid(
        self, x: float, base: float, text: str, font: Font = REGULAR, size: float = BODY, ink: str = INK
    ) -> None:
        """One line with its middle at `x`."""
        shown = printable(text)
        self.write(x - width(shown, font, size) / 2, base, shown, font, size, ink)

    def stack(self, x: float, top: float, lines: Iterable[Para]) -> float:
        """Lines one under the other from `top`; returns the foot of the last."""
        for line in lines:
            self.write(x, top + line.base, *line)
            top += line.leading
        return top

    def box(self, kind: str, refs: Sequence[str], x: float, y: float, wide: float, high: float) -> None:
        self.boxes.append(Box(kind, tuple(refs), x, y, wide, high))

    def take(self, other: Draft) -> None:
        """Everything of another draft, on top of what is here."""
        self.shapes += other.shapes
        self.texts += other.texts
        self.boxes += other.boxes


class Flow:
    """The pages of one sheet. `y` is where the next thing goes."""

    def __init__(self, sheet: str, area: Area, title: str, subtitle: str) -> None:
        self.sheet = sheet
        self.area = area
        self.title = title
        self.subtitle = subtitle
        self.pages: list[Draft] = []
        self.y = area.y
        self._top = area.y
        self._running = ""
        self.new_page()

    @property
    def page(self) -> Draft:
        return self.pages[-1]

    @property
    def room(self) -> float:
        """Height left on this page."""
        return self.area.bottom - self.y

    @property
    def fresh(self) -> bool:
        """Whether nothing stands on this page but its title."""
        return self.y <= self._top

    @property
    def fresh_room(self) -> float:
        """Height of a further page under its title and the name of the section that goes on there."""
        title = sum(line.leading for line in self._title_lines(True))
        return self.area.height - title - Para("", size=SECTION).leading - 8

    def _title_lines(self, continued: bool) -> list[Para]:
        title = f"{self.title}, continued" if continued else self.title
        return Para(title, SEMIBOLD, TITLE).lines(self.area.width)

    def new_page(self) -> None:
        continued = bool(self.pages)
        self.pages.append(Draft())
        self.y = self.page.stack(self.area.x, self.area.y, self._title_lines(continued))
        if self.subtitle and not continued:
            lines = Para(self.subtitle, REGULAR, BODY, QUIET).lines(self.area.width)
            self.y = self.page.stack(self.area.x, self.y, lines)
        if self._running:
            running = Para(self._running, SEMIBOLD, SECTION).at_most(1, self.area.width)
            self.y = self.page.stack(self.area.x, self.y, running)
        self.page.box("title", (), self.area.x, self.area.y, self.area.width, self.y - self.area.y)
        self.y += 8
        self._top = self.y

    def need(self, height: float) -> None:
        """A new page where less than `height` is left, unless this page is still empty."""
        if height > self.room and not self.fresh:
            self.new_page()

    def section(self, title: str, subtitle: str = "", keep: float = 64) -> None:
        """A heading that stays with at least `keep` points of what follows."""
        lines = Para(title, SEMIBOLD, SECTION).lines(self.area.width)
        if subtitle:
            lines += Para(subtitle, REGULAR, SMALL, QUIET).lines(self.area.width)
        height = sum(line.leading for line in lines)
        self._running = ""
        self.need(height + keep)
        self._running = f"{title}, continued"
        if not self.fresh:
            self.y += 6
        top = self.y
        self.y = self.page.stack(self.area.x, self.y, lines)
        self.page.box("heading", (title,), self.area.x, top, self.area.width, height)
        self.y += 4

    def paragraph(self, para: Para, kind: str = "line", refs: tuple[str, ...] = ()) -> None:
        """Text over the whole width, over as many pages as it takes. Its first line is boxed as `kind`."""
        for line in para.lines(self.area.width):
            self.need(line.leading)
            top = self.y
            self.y = self.page.stack(self.area.x, self.y, [line])
            self.page.box(kind, refs, self.area.x, top, self.area.width, self.y - top)
            kind, refs = "line", ()
        self.y += 4

    def rule(self, ink: str = HAIRLINE, thick: float = HAIR) -> None:
        self.page.shapes.append(Line(self.area.x, self.y, self.area.right, self.y, ink, thick))

    def panel(self, heading: str, points: Sequence[str], ink: str, kind: str) -> None:
        """A framed list of sentences in two columns, kept whole: the cautions."""
        left, right = self._columns(points)
        high = self.panel_height(heading, points)
        self.need(high)
        x, y = self.area.x, self.y
        self.page.shapes.append(Rect(x, y, self.area.width, high, "", ink, 0.8))
        y = self.page.stack(x + _PANEL_PAD, y + 4, [Para(heading, SEMIBOLD, BODY, ink)])
        self.page.stack(x + _PANEL_PAD, y, left)
        self.page.stack(x + _PANEL_PAD + self._column + _PANEL_GAP, y, right)
        self.page.box(kind, (heading,), x, self.y, self.area.width, high)
        self.y += high + 8

    def panel_height(self, heading: str, points: Sequence[str]) -> float:
        lines = max(map(len, self._columns(points)))
        return Para(heading, SEMIBOLD, BODY).leading + lines * Para("", size=SMALL).leading + 9

    @property
    def _column(self) -> float:
        return (self.area.width - 2 * _PANEL_PAD - _PANEL_GAP) / 2

    def _columns(self, points: Sequence[str]) -> tuple[list[Para], list[Para]]:
        """Whole sentences, about as many lines in the left column as in the right."""
        blocks = [Para(point, REGULAR, SMALL).lines(self._column) for point in points]
        count = sum(map(len, blocks))
        left: list[Para] = []
        right: list[Para] = []
        for block in blocks:
            (right if right or len(left) + len(block) / 2 > count / 2 else left).extend(block)
        return left, right
