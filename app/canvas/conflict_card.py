"""The chosen conflict on the map: its halo, its callout, and the leader between callout and worst point."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRect, QRectF

from app.canvas.callout import Callout
from app.theme import Tokens
from core.checks.finding import CheckResult, Conflict

if TYPE_CHECKING:
    from app.canvas.view import MapView


class ConflictCard:
    """Keeps the callout beside the worst point while the map moves under it."""

    def __init__(self, view: MapView, tokens: Tokens) -> None:
        self._view = view
        self.callout = Callout(tokens, view.viewport())
        self._aside = False

    def choose(self, conflict: Conflict | None) -> None:
        """Show this conflict and bring its worst point into sight; None puts the card away."""
        self._view.overlay.choose(conflict)
        self.callout.show_conflict(conflict)
        if conflict is not None:
            self._view.reveal(conflict.where[:1])
        self.place()

    def show_result(self, result: CheckResult | None) -> None:
        """A new check: the card keeps its conflict as it is now, or goes with it."""
        overlay, chosen = self._view.overlay, self._view.overlay.chosen
        overlay.show_result(result)
        if chosen is not None:
            found = result.conflicts if result is not None else ()
            now = next((c for c in found if c.key == chosen.key and c.accepted is None), None)
            if now is None:
                self._view.show_conflict(None)
            elif now is not chosen:
                overlay.choose(now)
                self.callout.show_conflict(now)
        self.place()

    def put_aside(self, aside: bool) -> None:
        """Hide the callout while something else tells of the conflict, or bring it back."""
        self._aside = aside
        self.callout.setVisible(not aside and self._view.overlay.chosen is not None)
        self.place()

    def place(self) -> None:
        """Put the card where it hides least, and draw the leader to it."""
        view, conflict = self._view, self._view.overlay.chosen
        if self._aside:
            self.callout.hide()
            conflict = None
        point = view.overlay.worst_point(conflict) if conflict is not None else None
        if conflict is None or point is None:
            view.map_scene.faults.show_leader(None)
            return
        self.callout.place_near(view.mapFromScene(point), view.viewport().rect(), blocks_on(view))
        card = view.mapToScene(self.callout.geometry()).boundingRect()
        near = QPointF(
            min(max(point.x(), card.left()), card.right()), min(max(point.y(), card.top()), card.bottom())
        )
        view.map_scene.faults.show_leader((point, near, conflict.level))


def blocks_on(view: MapView) -> list[QRect]:
    """Where the parts stand on the view: a card hides as little of them as it can."""
    blocks = (block.bounds for block in view.sync.layout.blocks.values())
    return [view.mapFromScene(QRectF(*bounds)).boundingRect() for bounds in blocks]
