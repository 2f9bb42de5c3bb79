"""What stands in one field of a table. A cell knows its width, its height at a width, and how to be cut."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from core.colours import split as colours_of
from core.colours import swatches
from core.drawing.flow import Draft, Para
from core.drawing.fonts import REGULAR, SEMIBOLD, printable, width
from core.drawing.items import Rect
from core.drawing.style import FINE, HAIR, INK, LEADING, LOOK, PAPER, QUIET, SMALL, STOP

SWATCH_WIDTH = 18.0
SWATCH_HEIGHT = 7.0
LINE = SMALL * LEADING
LEVEL_INKS = {"S": STOP, "L": LOOK, "N": INK}
"""By the letter of a mark."""


class Cell(Protocol):
    """`cut` parts what fits in `height` from the rest; only asked where the cell is higher than that."""

    @property
    def natural(self) -> float: ...

    def height(self, room: float) -> float: ...

    def paint(self, draft: Draft, x: float, y: float, room: float) -> None: ...

    def cut(self, room: float, height: float) -> tuple[Cell, Cell]: ...


@dataclass(frozen=True, slots=True)
class Words:
    """Paragraphs, wrapped."""

    paras: tuple[Para, ...]

    @property
    def natural(self) -> float:
        return max((para.natural for para in self.paras), default=0)

    def _lines(self, room: float) -> list[Para]:
        return [line for para in self.paras for line in para.lines(room)]

    def height(self, room: float) -> float:
        return sum(line.leading for line in self._lines(room))

    def paint(self, draft: Draft, x: float, y: float, room: float) -> None:
        draft.stack(x, y, self._lines(room))

    def cut(self, room: float, height: float) -> tuple[Cell, Cell]:
        lines = self._lines(room)
        fitting = 0
        while fitting < len(lines) and (height := height - lines[fitting].leading) >= 0:
            fitting += 1
        return Words(tuple(lines[:fitting])), Words(tuple(lines[fitting:]))


def words(text: str, *, bold: bool = False, ink: str = INK) -> Words:
    return Words((Para(text, SEMIBOLD if bold else REGULAR, SMALL, ink),) if text else ())


@dataclass(frozen=True, slots=True)
class Colour:
    """A swatch with its letters beside it, after a name where one is given; `mark` warns that it differs."""

    colour: str | None
    name: str = ""
    mark: bool = False

    @property
    def _label(self) -> str:
        return printable(" ".join(piece for piece in (self.name, self.colour or "") if piece))

    @property
    def natural(self) -> float:
        swatch = SWATCH_WIDTH + 3 if self.colour else 0
        return swatch + width(self._label, REGULAR, SMALL) + (6 if self.mark else 0)

    def height(self, room: float) -> float:
        return LINE

    def paint(self, draft: Draft, x: float, y: float, room: float) -> None:
        base = y + Para("", size=SMALL).base
        if self.colour:
            swatch(draft, x, y + (LINE - SWATCH_HEIGHT) / 2, SWATCH_WIDTH, SWATCH_HEIGHT, self.colour)
            x += SWATCH_WIDTH + 3
        label = self._label
        draft.write(x, base, label, REGULAR, SMALL, INK if self.colour else QUIET)
        if self.mark:
            draft.write(x + width(label, REGULAR, SMALL) + 3, base, "!", SEMIBOLD, SMALL, STOP)

    def cut(self, room: float, height: float) -> tuple[Cell, Cell]:
        return self, Words(())


@dataclass(frozen=True, slots=True)
class Marked:
    """A name, and after it the marks of the conflicts that it is in."""

    name: str
    marks: str

    @property
    def natural(self) -> float:
        marks = width(self.marks, SEMIBOLD, SMALL) + 4 if self.marks else 0
        return width(printable(self.name), SEMIBOLD, SMALL) + marks

    def height(self, room: float) -> float:
        return LINE

    def paint(self, draft: Draft, x: float, y: float, room: float) -> None:
        base, name = y + Para("", size=SMALL).base, printable(self.name)
        draft.write(x, base, name, SEMIBOLD, SMALL, INK)
        if self.marks:
            ink = LEVEL_INKS[self.marks[0]]
            draft.write(x + width(name, SEMIBOLD, SMALL) + 4, base, self.marks, SEMIBOLD, SMALL, ink)

    def cut(self, room: float, height: float) -> tuple[Cell, Cell]:
        return self, Words(())


@dataclass(frozen=True, slots=True)
class Blank:
    """An empty box to write in or to tick."""

    wide: float
    high: float = 9.0

    @property
    def natural(self) -> float:
        return self.wide

    def height(self, room: float) -> float:
        return self.high

    def paint(self, draft: Draft, x: float, y: float, room: float) -> None:
        draft.shapes.append(Rect(x, y, self.wide, self.high, PAPER, QUIET, FINE))

    def cut(self, room: float, height: float) -> tuple[Cell, Cell]:
        return self, Words(())


TICK = Blank(9.0)
MEASURED = Blank(44.0)


def swatch(draft: Draft, x: float, y: float, wide: float, high: float, colour: str) -> None:
    """A piece of insulation: the base colour, and a solid stripe for each further colour."""
    base, *stripes = (swatches()[code].print for code in colours_of(colour))
    draft.shapes.append(Rect(x, y, wide, high, base))
    thick = high * 0.3 if len(stripes) == 1 else high * 0.2
    for number, stripe in enumerate(stripes, start=1):
        middle = y + high * number / (len(stripes) + 1)
        draft.shapes.append(Rect(x, middle - thick / 2, wide, thick, stripe))
    draft.shapes.append(Rect(x, y, wide, high, "", INK, HAIR))
