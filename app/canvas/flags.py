"""Painting flags: the tag at a lead's end, with pin, colour letters, function and what became of it."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QFontMetricsF, QPainter, QPen, QPolygonF

from app.canvas.dress import FlagDress
from app.canvas.style import Style, mixed, pen
from core.layout.metrics import FLAG_GAP, FLAG_PADDING
from core.layout.shapes import FlagShape
from core.layout.words import tab_width

STUB = 16.0
CAP_WIDTH = 13.0
CAP_HEIGHT = 9.0
LIVE_RADIUS = 5.5
BOLT = QPolygonF(
    [QPointF(x, y) for x, y in ((1.0, -4.2), (-2.6, 0.7), (-0.3, 0.7), (-1.0, 4.2), (2.6, -0.9), (0.3, -0.9))]
)


def flag_rect(flag: FlagShape) -> QRectF:
    return QRectF(*flag.rect)


def tab_rect(flag: FlagShape, pin: str) -> QRectF:
    """The rounded tab that carries the pin."""
    width, height = tab_width(pin), flag.rect.height
    return QRectF(flag.tab.x - width / 2, flag.tab.y - height / 2, width, height).adjusted(
        1.5, 1.5, -1.5, -1.5
    )


def paint_flag(painter: QPainter, flag: FlagShape, worn: FlagDress, style: Style, texts: bool = True) -> None:
    rect = flag_rect(flag)
    radius = rect.height() / 2
    edge, fill = _edge_and_fill(worn, style)
    if worn.state in ("capped", "left"):
        _paint_end(painter, flag, worn, style)
    painter.setPen(edge)
    painter.setBrush(fill)
    painter.drawRoundedRect(rect, radius, radius)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(style.level(worn.level) if worn.level else style.tab)
    if worn.state == "pulled":
        painter.setPen(pen(style.quiet, 1.4))
        painter.setBrush(Qt.BrushStyle.NoBrush)
    at = tab_rect(flag, worn.pin)
    painter.drawRoundedRect(at, at.height() / 2, at.height() / 2)
    if texts:
        _paint_texts(painter, rect, at, flag, worn, style)
    if worn.glow == "live":
        _paint_live(painter, _corner(flag, at), style)
    elif worn.glow == "floating":
        _paint_floating(painter, _corner(flag, at), style)


def _corner(flag: FlagShape, tab: QRectF) -> QPointF:
    """The corner of the tab where the wire leaves: what stands there is not told by the wire's look alone."""
    way = 1.0 if flag.turned == "right" else -1.0
    return QPointF((tab.right() if way > 0 else tab.left()) - way, tab.top() + 1)


def _paint_floating(painter: QPainter, at: QPointF, style: Style) -> None:
    """An empty ring of dots: nothing ties this lead to anything."""
    painter.setPen(style.floating_pen)
    painter.setBrush(style.raised)
    painter.drawEllipse(at, LIVE_RADIUS, LIVE_RADIUS)


def _paint_live(painter: QPainter, at: QPointF, style: Style) -> None:
    """A bolt."""
    painter.setPen(style.live_pen)
    painter.setBrush(style.live)
    painter.drawEllipse(at, LIVE_RADIUS, LIVE_RADIUS)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(style.live_ink)
    painter.drawPolygon(BOLT.translated(at))


def _edge_and_fill(worn: FlagDress, style: Style) -> tuple[QPen, QBrush]:
    if worn.level:
        return pen(style.level(worn.level), 1.6), QBrush(style.level_wash(worn.level))
    if worn.state == "open":
        return style.open_pen, QBrush(style.action_wash)
    if worn.state in ("pulled", "left") or worn.removed:
        return style.border_pen, QBrush(mixed(style.raised, style.felt, 0.6))
    return style.border_pen, QBrush(style.raised)


def _paint_texts(
    painter: QPainter, rect: QRectF, tab: QRectF, flag: FlagShape, worn: FlagDress, style: Style
) -> None:
    on_tab = style.on_tab
    if worn.level:
        on_tab = style.felt if style.dark else style.on_tab
    if worn.state == "pulled":
        on_tab = style.quiet
    painter.setPen(on_tab)
    painter.setFont(style.pin)
    painter.drawText(tab, Qt.AlignmentFlag.AlignCenter, worn.pin)
    right = flag.turned == "right"
    letters_width = QFontMetricsF(style.letters).horizontalAdvance(worn.letters) if worn.letters else 0.0
    near, far = FLAG_GAP / 2, FLAG_GAP / 2
    top, height = rect.top(), rect.height()
    taken = near + (letters_width + far if worn.letters else 0.0)
    if right:
        letters_at = QRectF(tab.left() - near - letters_width, top, letters_width + 1, height)
        words_at = QRectF(
            rect.left() + FLAG_PADDING, top, tab.left() - taken - rect.left() - FLAG_PADDING, height
        )
    else:
        letters_at = QRectF(tab.right() + near, top, letters_width + 1, height)
        words_at = QRectF(tab.right() + taken, top, rect.right() - FLAG_PADDING - tab.right() - taken, height)
    painter.setPen(style.quiet)
    painter.setFont(style.letters)
    painter.drawText(letters_at, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, worn.letters)
    faint = worn.state in ("pulled", "left") or worn.removed or worn.glow in ("dead", "floating")
    painter.setPen(style.quiet if faint else style.ink)
    painter.setFont(style.words)
    words = style.elided(worn.words, "words", words_at.width())
    side = Qt.AlignmentFlag.AlignLeft if right else Qt.AlignmentFlag.AlignRight
    painter.drawText(words_at, Qt.AlignmentFlag.AlignVCenter | side, words)
    if worn.state == "pulled" and words:
        width = min(QFontMetricsF(style.words).horizontalAdvance(words), words_at.width())
        start = words_at.left() if right else words_at.right() - width
        middle = rect.center().y() + 1
        painter.setPen(pen(style.quiet, 1.0))
        painter.drawLine(QPointF(start, middle), QPointF(start + width, middle))


def _paint_end(painter: QPainter, flag: FlagShape, worn: FlagDress, style: Style) -> None:
    """The short stub that leaves a flag whose lead ends there: under a cap, or coiled and left."""
    way = 1.0 if flag.turned == "right" else -1.0
    start = QPointF(*flag.anchor)
    stop = QPointF(start.x() + way * STUB, start.y())
    pens = style.wire(worn.letters or None)
    for stroke in (pens.casing, pens.core, *pens.stripes):
        painter.setPen(stroke)
        painter.drawLine(start, stop)
    if worn.state == "capped":
        cap = QRectF(0, 0, CAP_WIDTH, CAP_HEIGHT)
        cap.moveCenter(QPointF(stop.x() + way * 3, stop.y()))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(style.tab)
        painter.drawRoundedRect(cap, CAP_HEIGHT / 2, CAP_HEIGHT / 2)
    else:
        painter.setPen(pen(style.quiet, 1.4))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(QPointF(stop.x() + way * 4, stop.y()), 4.0, 4.0)


def end_reach(flag: FlagShape, worn: FlagDress) -> float:
    """How far a flag's stub reaches past its anchor, in map units."""
    return STUB + CAP_WIDTH if worn.state in ("capped", "left") else 0.0
