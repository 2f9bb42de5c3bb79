"""Joining by hand or by keyboard: every target answers fits, fits but, or cannot, and why."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt, QTimer
from PySide6.QtGui import QKeyEvent

from app.canvas.guide import in_words
from app.canvas.hit import Hit
from app.tools.base import NO_KEYS, Keys, Tool
from app.tools.move import ARROWS
from core.edits import joins
from core.edits.answers import Verdict
from core.edits.spots import Near
from core.edits.verdicts import Verdicts
from core.ids import kind_of
from core.job.document import Job
from core.layout.words import colour_at

if TYPE_CHECKING:
    from app.canvas.view import MapView

SLICE_MS = 3.0
Outline = tuple[QRectF, float, QPointF]


class JoinTool(Tool):
    """From an end to another end, a cavity, a joint or a wire. The answer shown is that of the drop."""

    verb = "Join"

    def __init__(self, view: MapView, source: str, keyboard: bool = False) -> None:
        super().__init__(view)
        self.source = source
        self.target = ""
        self.near: Near | None = None
        self._keyboard = keyboard
        self._done = False
        self._answers: Iterator[None] = iter(())
        self._timer = QTimer(view)
        self._timer.setInterval(0)
        self._timer.timeout.connect(self._answer_some)

    @property
    def by_keyboard(self) -> bool:
        return self._keyboard

    @property
    def done(self) -> bool:
        return self._done

    # What other gestures of the same kind change

    def start(self) -> tuple[QPointF, float] | None:
        """Where the wire in the hand begins, and which way it leaves."""
        return self.view.finder.anchor(self.source)

    def verdicts(self) -> Callable[[str, Near | None], Verdict]:
        return Verdicts(self.view.session.job, self.source, self.view.session.library).of

    def edit(self, target: str, near: Near | None) -> Callable[[Job], Job]:
        return partial(joins.join, a=self.source, b=target, near=near)

    def may_be_target(self, ref: str) -> bool:
        return ref != self.source

    # The gesture

    def begin(self, at: QPointF) -> None:
        view = self.view
        started = self.start()
        self._start, self._way = started if started is not None else (at, 0.0)
        self._verdict = self.verdicts()
        self._colour = self._source_colour()
        view.overlay.trace(view.session.job, "")
        self._show_targets()
        if self._keyboard:
            view.say(
                f"{self.verb} {view.describe(self.source)}: arrows or Tab choose, Enter joins, Escape ends"
            )
            view.map_scene.hand.show_hand(self._start, self._way, self._start, self._colour)
        else:
            self.move(at, NO_KEYS)

    def _show_targets(self) -> None:
        view = self.view
        seen = view.visible_rect()
        targets: dict[str, Outline] = {}
        for ref in view.walker.targets():
            outline, mark = view.finder.outline(ref), view.finder.mark_at(ref)
            if (
                outline is not None
                and mark is not None
                and self.may_be_target(ref)
                and outline[0].intersects(seen)
            ):
                targets[ref] = (*outline, mark)
        for wire in view.session.job.lookup.conductors:
            middle = view.finder.wire_middle(wire)
            if middle is not None and self.may_be_target(wire) and seen.contains(middle):
                targets[wire] = QRectF(middle.x() - 7, middle.y() - 7, 14, 14), 7.0, middle
        self._targets = targets
        view.map_scene.guide.show_targets(targets)
        self._answers = self._answer_all()
        self._timer.start()

    def _answer_all(self) -> Iterator[None]:
        def away(ref: str) -> float:
            return (self._targets[ref][2] - self._start).manhattanLength()

        for ref in sorted(self._targets, key=away):
            self.view.map_scene.guide.answer(ref, self._verdict(ref, None).kind)
            yield

    def _answer_some(self) -> None:
        stop = time.perf_counter() + SLICE_MS / 1000
        for _ in self._answers:
            if time.perf_counter() >= stop:
                break
        else:
            self._timer.stop()
        self.view.map_scene.guide.update()

    def answer_everything(self) -> None:
        """Give every visible target its answer now."""
        for _ in self._answers:
            pass
        self._timer.stop()

    def _source_colour(self) -> str | None:
        job, ref = self.view.session.job, self.source
        if kind_of(ref) == "terminal":
            cavity = job.cavity(ref)
            return colour_at(job.lookup, ref, cavity) if cavity is not None else None
        if kind_of(ref) == "wire end":
            return job.lookup.conductors[ref[:-2]].colour
        return None

    def move(self, at: QPointF, keys: Keys) -> None:
        hit = self.view.finder.hit(at, self.view.scale_now)
        self._aim(*self._meant(hit, at), pointer=at)

    def _meant(self, hit: Hit, at: QPointF) -> tuple[str, Near | None]:
        if not hit.joinable or not self.may_be_target(hit.ref):
            return "", None
        if hit.kind == "wire" and kind_of(hit.ref) != "terminal":
            return hit.ref, near_end(self.view, hit.ref, at)
        return hit.ref, None

    def _aim(self, target: str, near: Near | None, pointer: QPointF) -> None:
        view, guide = self.view, self.view.map_scene.guide
        self.target, self.near = target, near
        if target:
            verdict = self._verdict(target, near)
            self._include(target, pointer)
            guide.answer(target, verdict.kind)
            guide.show_reason(target, verdict.reason, pointer)
            view.say(f"{view.describe(target)} — {in_words(verdict.kind, verdict.reason)}")
        else:
            guide.show_reason(None, "", pointer)
            if not self._keyboard:
                view.say(f"{self.verb} {view.describe(self.source)}")
        view.map_scene.hand.show_hand(self._start, self._way, pointer, self._colour)

    def _include(self, target: str, pointer: QPointF) -> None:
        """A target that was out of sight when the marks were made."""
        if target not in self._targets:
            outline = self.view.finder.outline(target) or (
                QRectF(pointer.x() - 7, pointer.y() - 7, 14, 14),
                7.0,
            )
            self._targets[target] = (*outline, self.view.finder.mark_at(target) or outline[0].topRight())

    def commit(self, at: QPointF, keys: Keys) -> None:
        if not self._keyboard:
            self.move(at, keys)
        target, near = self.target, self.near
        self._end()
        if target:
            shown = self.view.session.job.shown
            text = f"{self.verb} {shown(self.source)} and {shown(target)}"
            if self.view.session.apply(text, self.edit(target, near)):
                self.view.focus_on(target, in_sight=False)

    def cancel(self) -> None:
        self._end()
        self.view.say("")

    def _end(self) -> None:
        self._timer.stop()
        self.view.map_scene.guide.end()
        self.view.map_scene.hand.setVisible(False)

    # By keyboard

    def key(self, event: QKeyEvent) -> bool:
        if event.key() in ARROWS:
            here = self.target or self.source
            wanted = [ref for ref in self.view.walker.targets() if self.may_be_target(ref)]
            self._walk_to(self.view.walker.next(here, ARROWS[event.key()], wanted))
            return True
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self._keyboard:
            if self.target:
                self.commit(QPointF(), event.modifiers())
                self._done = True
            return True
        return False

    def tab(self, forward: bool) -> bool:
        wanted = [ref for ref in self.view.walker.targets() if self.may_be_target(ref)]
        if wanted:
            here = wanted.index(self.target) if self.target in wanted else (-1 if forward else 0)
            self._walk_to(wanted[(here + (1 if forward else -1)) % len(wanted)])
        return True

    def _walk_to(self, ref: str) -> None:
        if ref == self.source:
            return
        outline = self.view.finder.outline(ref)
        if outline is not None:
            self.view.reveal([ref])
            self._aim(ref, None, pointer=outline[0].center())
            self.view.announce_target(ref)


def near_end(view: MapView, wire: str, at: QPointF) -> Near:
    """Which end of a wire lies nearer to a point of the map."""
    pieces = list(view.finder.wires_of(wire))
    if not pieces:
        return "a"
    to_a = (QPointF(*pieces[0].a) - at).manhattanLength()
    to_b = (QPointF(*pieces[-1].b) - at).manhattanLength()
    return "a" if to_a <= to_b else "b"
