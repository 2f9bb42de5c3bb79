"""Insulation drawn as strokes: a dark casing, the base colour, and a solid stripe for each further colour."""

from __future__ import annotations

from core.colours import split as colours_of
from core.colours import swatches
from core.drawing.items import Curve, Shape
from core.drawing.style import INK, PAPER

Cubic = tuple[tuple[float, float], tuple[float, float], tuple[float, float], tuple[float, float]]


def strokes(cubic: Cubic, colour: str | None, thick: float) -> list[Shape]:
    """One wire. Without a colour it is drawn hollow."""
    if colour is None:
        return [_curve(cubic, INK, thick), _curve(cubic, PAPER, thick - 1)]
    base, *stripes = (swatches()[code].print for code in colours_of(colour))
    drawn: list[Shape] = [_curve(cubic, INK, thick + 1), _curve(cubic, base, thick)]
    for number, stripe in enumerate(stripes, start=1):
        aside = (number / (len(stripes) + 1) - 0.5) * thick
        drawn.append(_curve(cubic, stripe, thick * (0.4 if len(stripes) == 1 else 0.25), aside))
    return drawn


def to_dot(x1: float, y1: float, x2: float, y2: float) -> Cubic:
    """The bend from a lead's end to a joint's dot, level at both ends."""
    bend = (x2 - x1) / 2
    return (x1, y1), (x1 + bend, y1), (x2 - bend, y2), (x2, y2)


def _curve(cubic: Cubic, ink: str, thick: float, aside: float = 0.0) -> Curve:
    (x1, y1), (x2, y2), (x3, y3), (x4, y4) = cubic
    return Curve(x1, y1 + aside, x2, y2 + aside, x3, y3 + aside, x4, y4 + aside, ink, thick)
