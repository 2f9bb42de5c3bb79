"""The meter on the map: a click puts the red point, a second one the black; each can be moved."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QPoint, QPointF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent

from app.canvas.access import announce
from app.canvas.hit import Hit
from app.canvas.meter import LETTERS, Letter, tip_of
from app.tools.join import near_end
from app.work.expected import Asked
from app.work.points import USUAL_BLACK, is_airbag, is_there, point_words, through
from core.ids import kind_of, owner_of_end
from core.job.record import BATTERY_POINTS, Quantity

if TYPE_CHECKING:
    from app.canvas.view import MapView

LEFT = Qt.MouseButton.LeftButton


class Meter(QObject):
    """Where the two points are and what the meter is set to. It stays until Escape; the map works on."""

    changed = Signal()
    """The points, the setting, or whether the meter is out at all."""

    def __init__(self, view: MapView, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._view = view
        self.out = False
        self.red = ""
        self.black = USUAL_BLACK
        self.quantity: Quantity = "volts"
        self.next: Letter = "red"
        self._held: Letter | None = None
        view.sync.moved.connect(self._relaid)

    # What the window asks for

    def take(self, points: Sequence[str] = (), letter: Letter | None = None) -> None:
        """Take the meter out. The first point gets the probe named, else the one whose turn it is."""
        if not self.out:
            self.out = True
            self.next = "red"
            self._view.viewport().setCursor(Qt.CursorShape.CrossCursor)
        if letter is not None:
            self.next = letter
        for point in points[:2]:
            self.put(point)
        self._view.setFocus()
        self._show()
        self._say()

    def put(self, point: str) -> None:
        """The probe whose turn it is goes to a point. After both have been put, the red one moves on."""
        job = self._view.session.job
        if is_airbag(job, point):
            self._view.session.refused.emit(
                f"{point_words(job, point)} is of an airbag circuit: nobody measures there."
            )
            return
        letter = self.next
        if point == (self.black if letter == "red" else self.red):
            self._view.say("Both points would be on the same place")
            return
        if letter == "red":
            self.red = point
        else:
            self.black = point
        if letter == "red" and self.black == USUAL_BLACK:
            self.next = "black"
        else:
            self.next = "red"
        self._show()
        self._say()

    def put_black(self, point: str) -> None:
        """The black probe goes to a pole of the battery, the body or a point, whose turn ever it is."""
        if point != self.red:
            self.black = point
            self.next = "red" if self.red else self.next
            self._show()

    def set_next(self, letter: Letter) -> None:
        self.next = letter
        self._show()
        self._say()

    def set_quantity(self, quantity: Quantity) -> None:
        self.quantity = quantity
        self._show()

    def end(self) -> None:
        """Put the meter away."""
        self.out = False
        self._held = None
        self.red, self.black, self.next = "", USUAL_BLACK, "red"
        self._view.viewport().unsetCursor()
        self._show()
        self._view.say("")

    def asked(self, position: str) -> Asked | None:
        """What the meter is held to in a position; None while it has only one point.

        For amps the meter stands in the one conductor at the red point, unless black is on its other end.
        """
        if not self.out or not self.red:
            return None
        black = self.black
        if self.quantity == "amps" and black in BATTERY_POINTS:
            black = through(self._view.session.job, self.red) or black
        return Asked(self.red, black, self.quantity, position) if black != self.red else None

    def tips_on_view(self) -> list[QPoint]:
        """Where the probes touch, on the view."""
        return [self._view.mapFromScene(tip) for tip in self._view.map_scene.meter.tips.values()]

    # What gestures forward

    def press(self, event: QMouseEvent) -> bool:
        """A press on a probe takes it, one on a point is the meter's too; elsewhere the map is as ever."""
        if not self.out or event.button() != LEFT:
            return False
        at = self._view.scene_point(event.position())
        self._held = self._view.map_scene.meter.probe_at(at, self._view.scale_now)
        return self._held is not None or self._under(event.position()) is not None

    def move(self, event: QMouseEvent) -> bool:
        if self._held is None:
            return False
        point = self._under(event.position())
        tips = dict(self._view.map_scene.meter.tips)
        tips[self._held] = self._view.scene_point(event.position())
        self._view.map_scene.meter.show_probes(tips)
        self._view.hover(owner_of_end(point) if point is not None else "")
        return True

    def release(self, event: QMouseEvent) -> bool:
        """Where a probe is let go it stays; off every point it goes back."""
        if not self.out or event.button() != LEFT:
            return False
        held, self._held = self._held, None
        point = self._under(event.position())
        if held is not None:
            after = self.next
            self.next = held
            if point is not None and point != (self.red if held == "red" else self.black):
                self.put(point)
            self.next = after
            self._show()
        elif point is not None:
            self.put(point)
        return held is not None or point is not None

    def key(self, event: QKeyEvent) -> bool:
        """Enter puts the next probe on what the keyboard is on; Escape puts the meter away."""
        if not self.out:
            return False
        if event.key() == Qt.Key.Key_Escape:
            self.end()
            return True
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            ref = self._view.focus_ref
            point = f"{ref}:a" if ref and kind_of(ref) in ("wire", "conductor") else ref
            if point and is_there(self._view.session.job, point):
                self.put(point)
            return True
        return False

    def _under(self, at: QPointF) -> str | None:
        return point_at(self._view, self._view.hit(at), self._view.scene_point(at))

    # What it shows

    def _relaid(self, _: object = None) -> None:
        """Another layout, perhaps another document: what is not there any more is not measured."""
        if not self.out:
            return
        job = self._view.session.job
        if self.red and not is_there(job, self.red):
            self.red, self.next = "", "red"
        if not is_there(job, self.black):
            self.black = USUAL_BLACK
        self._show()

    def _show(self) -> None:
        tips: dict[Letter, QPointF] = {}
        points: tuple[tuple[Letter, str], ...] = (("red", self.red), ("black", self.black))
        for letter, point in points:
            tip = tip_of(self._view, point) if self.out and point else None
            if tip is not None:
                tips[letter] = tip
        self._view.map_scene.meter.show_probes(tips)
        self.changed.emit()

    def _say(self) -> None:
        job = self._view.session.job
        on = f"Meter: red on {point_words(job, self.red)}, " if self.red else "Meter: "
        black = f"black on {point_words(job, self.black)}. "
        words = f"{on}{black}The next point is {LETTERS[self.next]}, {self.next}; Escape ends"
        self._view.say(words)
        announce(self._view, words)


def point_at(view: MapView, hit: Hit, at: QPointF) -> str | None:
    """The point of a reading under the pointer: of the two ends of a lead or wire the nearer."""
    match hit.kind:
        case "flag" | "cavity" | "joint" | "loose end":
            return hit.ref
        case "wire" if kind_of(hit.ref) == "terminal":
            joint = view.session.job.lookup.joint_of.get(hit.ref)
            ends = {end: tip for end in (hit.ref, joint) if end and (tip := tip_of(view, end)) is not None}
            return min(ends, key=lambda end: (ends[end] - at).manhattanLength(), default=None)
        case "wire":
            return f"{hit.ref}:{near_end(view, hit.ref, at)}"
        case _:
            return None
