"""While something is being joined: what each target answers, in colour, in a mark and in words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.ghost import EVERYWHERE
from app.canvas.style import READABLE_FROM, Style, pen, with_alpha
from core.layout.metrics import wrapped

Answer = Literal["fits", "but", "cannot"]
SIGNS: Mapping[Answer, str] = {"fits": "✓", "but": "!", "cannot": "×"}
WORDS: Mapping[Answer, str] = {"fits": "Fits", "but": "Fits, but", "cannot": "Cannot"}
CARD_WIDTH = 260.0
MARK = 7.5


def in_words(kind: Answer, reason: str) -> str:
    """An answer as one line: `Fits, but: RAD-4 gives 12 V`."""
    return f"{WORDS[kind]}: {reason}" if reason else WORDS[kind]


class GuideItem(QGraphicsItem):
    """Draws the answers on the targets and the card with the reason at the pointer."""

    def __init__(self, style: Style) -> None:
        super().__init__()
        self.style = style
        self.answers: dict[str, Answer] = {}
        self._targets: Mapping[str, tuple[QRectF, float, QPointF]] = {}
        self._hot: str | None = None
        self._reason = ""
        self._pointer = QPointF()
        self.setZValue(9)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)
        self.setVisible(False)

    @property
    def hot(self) -> str | None:
        """The target under the pointer."""
        return self._hot

    @property
    def reason(self) -> str:
        return self._reason

    def show_targets(self, targets: Mapping[str, tuple[QRectF, float, QPointF]]) -> None:
        """Outline, corner radius and place of the mark, by id."""
        self._targets = targets
        self.answers = {}
        self.setVisible(True)
        self.update()

    def answer(self, ref: str, answer: Answer) -> None:
        self.answers[ref] = answer

    def show_reason(self, hot: str | None, reason: str, pointer: QPointF) -> None:
        self._hot = hot
        self._reason = reason
        self._pointer = pointer
        self.update()

    def end(self) -> None:
        self._targets = {}
        self.answers = {}
        self.show_reason(None, "", QPointF())
        self.setVisible(False)

    def boundingRect(self) -> QRectF:
        return EVERYWHERE

    def colour(self, answer: Answer) -> QColor:
        tokens = self.style.tokens
        return QColor({"fits": tokens.good, "but": tokens.look, "cannot": tokens.quiet}[answer])

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        scale = painter.worldTransform().m11()
        seen = option.exposedRect
        for ref, answer in self.answers.items():
            target = self._targets.get(ref)
            if (
                target is not None
                and (scale >= READABLE_FROM or ref == self._hot)
                and seen.intersects(target[0])
            ):
                self._paint_answer(painter, target, answer, ref == self._hot, max(1.0, 0.8 / scale))
        if self._hot is not None and self._hot in self.answers:
            self._paint_card(painter, self.answers[self._hot], scale)

    def _paint_answer(
        self,
        painter: QPainter,
        target: tuple[QRectF, float, QPointF],
        answer: Answer,
        hot: bool,
        size: float,
    ) -> None:
        rect, radius, at = target
        colour = self.colour(answer)
        painter.setBrush(with_alpha(colour, 0.22) if hot else Qt.BrushStyle.NoBrush)
        plain = 1.8 if answer == "fits" else 1.0
        painter.setPen(pen(colour, (2.6 if hot else plain) * size))
        painter.drawRoundedRect(rect.adjusted(-2, -2, 2, 2), radius + 2, radius + 2)
        painter.save()
        painter.translate(at)
        painter.scale(size, size)
        painter.setPen(pen(self.style.felt, 1.2))
        painter.setBrush(colour)
        painter.drawEllipse(QPointF(0, 0), MARK, MARK)
        painter.setPen(self.style.felt if self.style.dark else self.style.raised)
        painter.setFont(self.style.pin)
        painter.drawText(
            QRectF(-MARK, -MARK - 0.5, 2 * MARK, 2 * MARK), Qt.AlignmentFlag.AlignCenter, SIGNS[answer]
        )
        painter.restore()

    def _paint_card(self, painter: QPainter, answer: Answer, scale: float) -> None:
        style = self.style
        lines = wrapped(self._reason, 13.0, CARD_WIDTH - 24) if self._reason else ()
        head = f"{SIGNS[answer]}  {WORDS[answer]}"
        width = max(
            QFontMetricsF(style.strong).horizontalAdvance(head),
            *(QFontMetricsF(style.words).horizontalAdvance(line) for line in lines),
            40.0,
        )
        card = QRectF(0, 0, width + 20, 26 + 17.0 * len(lines))
        painter.save()
        painter.translate(self._pointer)
        painter.scale(1 / scale, 1 / scale)
        card.moveTo(18, 18)
        port = painter.window()
        where = painter.worldTransform().map(card.bottomRight())
        if where.x() > port.width() - 4:
            card.moveRight(-18)
        if where.y() > port.height() - 4:
            card.moveBottom(-18)
        painter.setPen(pen(self.colour(answer), 1.6))
        painter.setBrush(style.raised)
        painter.drawRoundedRect(card, 6, 6)
        painter.setPen(self.colour(answer))
        painter.setFont(style.strong)
        painter.drawText(QPointF(card.left() + 10, card.top() + 18), head)
        painter.setPen(style.ink)
        painter.setFont(style.words)
        for row, line in enumerate(lines):
            painter.drawText(QPointF(card.left() + 10, card.top() + 35 + 17 * row), line)
        painter.restore()
