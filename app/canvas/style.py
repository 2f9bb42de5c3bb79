"""Pens, brushes, fonts and set texts of the map, made once for a theme and used again."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPen, QStaticText, QTransform

from app.theme import FAMILY, Tokens
from core.colours import split, swatches
from core.layout.metrics import (
    COLOUR_TYPE,
    JOINT_TYPE,
    LABEL_TYPE,
    NOTE_TYPE,
    PIN_TYPE,
    SUBTITLE_TYPE,
    TITLE_TYPE,
)

READABLE_FROM = 0.45
"""The scale from which words, stripes and casings are drawn; below it they would only blur."""

CASING_WIDTH = 5.2
CORE_WIDTH = 3.8
STRIPE_WIDTH = 1.4
THIN_WIDTH = 1.8
HALO_WIDTH = 13.0
GLOW_WIDTH = 11.0
CLOSE = 0.26
"""A colour none of whose three parts is farther than this from the felt's can hardly be told from it."""
THIN_CONTRAST = 2.2
"""A thin line with less contrast to the felt than this gets some of its casing's colour."""
GREY = 0.12
"""A colour whose three parts lie within this is no hue but a grey."""


@dataclass(frozen=True)
class WirePens:
    """How a wire colour is stroked: casing, core, stripes. `thin` is the one stroke when far away."""

    casing: QPen
    core: QPen
    stripes: tuple[QPen, ...]
    thin: QPen


def pen(colour: QColor, width: float, line: Qt.PenStyle = Qt.PenStyle.SolidLine) -> QPen:
    return QPen(QBrush(colour), width, line, Qt.PenCapStyle.FlatCap, Qt.PenJoinStyle.RoundJoin)


def font(size: float, weight: QFont.Weight = QFont.Weight.Normal) -> QFont:
    """The map's type at a size in map units."""
    made = QFont(FAMILY)
    made.setPixelSize(max(1, round(size)))
    made.setWeight(weight)
    made.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return made


def mixed(a: QColor, b: QColor, share: float) -> QColor:
    """`a` with that share of `b` in it."""
    keep = 1 - share
    return QColor.fromRgbF(
        a.redF() * keep + b.redF() * share,
        a.greenF() * keep + b.greenF() * share,
        a.blueF() * keep + b.blueF() * share,
    )


def with_alpha(colour: QColor, alpha: float) -> QColor:
    made = QColor(colour)
    made.setAlphaF(alpha)
    return made


def lightness(colour: QColor) -> float:
    """Perceived lightness from 0 to 1 (the luma weights of ITU-R BT.601)."""
    return 0.299 * colour.redF() + 0.587 * colour.greenF() + 0.114 * colour.blueF()


def _parts(colour: QColor) -> tuple[float, float, float]:
    return colour.redF(), colour.greenF(), colour.blueF()


def _is_grey(colour: QColor) -> bool:
    return max(_parts(colour)) - min(_parts(colour)) < GREY


def contrast(a: QColor, b: QColor) -> float:
    """Contrast ratio of two colours, 1 to 21, as WCAG 2.2 defines it."""
    low, high = sorted((_luminance(a), _luminance(b)))
    return (high + 0.05) / (low + 0.05)


def _luminance(colour: QColor) -> float:
    linear = [v / 12.92 if v <= 0.03928 else ((v + 0.055) / 1.055) ** 2.4 for v in _parts(colour)]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


class Style:
    """Everything the painters need, for one theme."""

    def __init__(self, tokens: Tokens) -> None:
        self.tokens = tokens
        self.felt = QColor(tokens.felt)
        self.raised = QColor(tokens.raised)
        self.ink = QColor(tokens.ink)
        self.quiet = QColor(tokens.quiet)
        self.hairline = QColor(tokens.hairline)
        self.action = QColor(tokens.action)
        self.action_wash = QColor(tokens.action_wash)
        self.on_action = QColor(tokens.on_action)
        self.casing = QColor(tokens.casing)
        self.dark = lightness(self.felt) < 0.5
        self.tab = QColor("#3A4047") if not self.dark else QColor("#D5D8DC")
        self.on_tab = QColor("#FFFFFF") if not self.dark else QColor("#1B1E21")
        self.small = font(9.5)
        self.letters = font(COLOUR_TYPE)
        self.words = font(LABEL_TYPE)
        self.strong = font(LABEL_TYPE, QFont.Weight.DemiBold)
        self.pin = font(PIN_TYPE, QFont.Weight.Bold)
        self.title = font(TITLE_TYPE, QFont.Weight.DemiBold)
        self.subtitle = font(SUBTITLE_TYPE)
        self.joint_name = font(JOINT_TYPE, QFont.Weight.DemiBold)
        self.note = font(NOTE_TYPE)
        self.glow_pen = pen(QColor("#F3D48A") if not self.dark else QColor("#86702F"), GLOW_WIDTH)
        self.live = QColor("#F2C84B")
        self.live_ink = QColor("#22262B")
        self.live_pen = pen(self.live_ink if not self.dark else self.felt, 1.0)
        self.floating_pen = QPen(self.quiet, 1.2, Qt.PenStyle.DotLine)
        self.border_pen = pen(self.hairline, 1.0)
        self.open_pen = QPen(self.action, 1.4, Qt.PenStyle.DashLine)
        self.open_pen.setDashPattern([3.0, 2.0])
        self.joint_pen = pen(QColor("#3C4249") if not self.dark else QColor("#E6E8EA"), 1.5)
        self.joint_fill = QColor("#D9DCE1") if not self.dark else QColor("#5A626B")
        self.temporary_pen = QPen(self.joint_pen)
        self.temporary_pen.setDashPattern([1.6, 1.2])
        self.plate = with_alpha(self.felt, 0.86)
        self.dot = QColor(tokens.grid_dot)
        self._wires: dict[str, WirePens] = {}
        self._faded: dict[str, WirePens] = {}
        self._texts: dict[tuple[str, str], QStaticText] = {}
        self._elided: dict[tuple[str, str, int], str] = {}

    def level(self, level: str) -> QColor:
        return QColor(self.tokens.level(level))

    def level_wash(self, level: str) -> QColor:
        return QColor(self.tokens.level_wash(level))

    def wire(self, colour: str | None) -> WirePens:
        """The pens of a wire colour; of a wire without one, quiet and dashed nowhere."""
        key = colour or ""
        known = self._wires.get(key)
        if known is None:
            known = self._wires[key] = self._wire_pens(colour)
        return known

    def faded(self, colour: str | None) -> WirePens:
        """The pens of a wire in a dead net: drawn towards the felt."""
        key = colour or ""
        known = self._faded.get(key)
        if known is None:
            full = self.wire(colour)
            known = self._faded[key] = WirePens(
                self._paled(full.casing),
                self._paled(full.core),
                tuple(self._paled(stripe) for stripe in full.stripes),
                self._paled(full.thin),
            )
        return known

    def _paled(self, full: QPen) -> QPen:
        made = QPen(full)
        made.setColor(mixed(full.color(), self.felt, 0.5))
        return made

    def _wire_pens(self, colour: str | None) -> WirePens:
        codes = split(colour) if colour else ()
        base = QColor(swatches()[codes[0]].screen) if codes else mixed(self.quiet, self.felt, 0.35)
        casing = self.casing_of(base)
        stripes = tuple(
            pen(QColor(swatches()[code].screen), STRIPE_WIDTH if len(codes) == 2 else 2.4 - 1.5 * place)
            for place, code in enumerate(codes[1:])
        )
        close = self._is_close(base)
        if close and self.dark and _is_grey(base):
            # Darker than the felt, so that the wire reads as a body and not as two lines.
            base = mixed(base, QColor("#000000"), 0.75)
        thin = pen(
            base if contrast(base, self.felt) >= THIN_CONTRAST else mixed(base, casing, 0.6), THIN_WIDTH
        )
        return WirePens(pen(casing, CASING_WIDTH), pen(base, CORE_WIDTH), stripes, thin)

    def _is_close(self, colour: QColor) -> bool:
        """Whether the colour can hardly be told from the felt."""
        return all(abs(a - b) < CLOSE for a, b in zip(_parts(colour), _parts(self.felt), strict=True))

    def casing_of(self, base: QColor) -> QColor:
        """An outline that parts the colour from the felt: darker on light felt, lighter on dark felt."""
        if self._is_close(base):
            return self.casing
        far = QColor("#101214") if not self.dark else QColor("#FFFFFF")
        return mixed(base, far, 0.45 if not self.dark else 0.3)

    def swatch(self, code: str) -> QColor:
        return QColor(swatches()[code].screen) if code in swatches() else self.quiet

    def plastic(self, code: str) -> tuple[QColor, QColor, QColor]:
        """Body, edge and ink of a plug moulded in that colour; unknown words give dark grey."""
        found = swatches().get(code.split("/")[0])
        body = QColor(found.screen) if found else QColor("#33373D")
        if code == "BK" or found is None:
            body = QColor("#33373D") if not self.dark else QColor("#3B4047")
        edge = mixed(body, QColor("#000000" if lightness(body) > 0.25 or not self.dark else "#FFFFFF"), 0.45)
        ink = QColor("#22262B") if lightness(body) > 0.55 else QColor("#E4E6E9")
        return body, edge, ink

    def text(self, text: str, name: str) -> QStaticText:
        """A text set once in the font of that name (an attribute of this style)."""
        key = (text, name)
        known = self._texts.get(key)
        if known is None:
            known = QStaticText(text)
            known.setTextFormat(Qt.TextFormat.PlainText)
            known.prepare(QTransform(), getattr(self, name))
            self._texts[key] = known
        return known

    def elided(self, text: str, name: str, width: float) -> str:
        """The text cut with an ellipsis to that width."""
        key = (text, name, int(width))
        known = self._elided.get(key)
        if known is None:
            metrics = QFontMetricsF(getattr(self, name))
            known = self._elided[key] = metrics.elidedText(text, Qt.TextElideMode.ElideRight, width)
        return known
