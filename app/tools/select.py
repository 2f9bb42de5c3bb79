"""Selecting: one by a click, many by a rubber band."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF

from app.canvas.hit import Hit
from app.session import Session
from app.tools.base import Keys, Tool

ADDING = Keys.ControlModifier | Keys.ShiftModifier


def click(session: Session, hit: Hit, keys: Keys) -> None:
    """Select what was clicked; with Ctrl or Shift add it or take it out."""
    if hit.kind == "nothing":
        if not keys & ADDING:
            session.select(())
    elif keys & ADDING:
        session.toggle(hit.ref)
    else:
        session.select([hit.ref])


class BandTool(Tool):
    """A rubber band: parts that lie inside whole, and the flags, joints, ends and notes of the rest."""

    def begin(self, at: QPointF) -> None:
        self._from = at
        self._before = self.view.session.selection

    def move(self, at: QPointF, keys: Keys) -> None:
        band = QRectF(self._from, at).normalized()
        self.view.map_scene.marks.show_band(band)
        count = len(self.inside(band))
        self.view.say(f"{count} selected" if count else "")

    def commit(self, at: QPointF, keys: Keys) -> None:
        found = self.inside(QRectF(self._from, at).normalized())
        self.view.map_scene.marks.show_band(QRectF())
        self.view.session.select(found | self._before if keys & ADDING else found)

    def cancel(self) -> None:
        self.view.map_scene.marks.show_band(QRectF())

    def inside(self, band: QRectF) -> frozenset[str]:
        layout, found = self.view.sync.layout, set[str]()
        for name, block in layout.blocks.items():
            if not band.intersects(QRectF(*block.bounds)):
                continue
            if band.contains(QRectF(*block.core)):
                found.add(name)
            else:
                found |= {flag.terminal for flag in block.flags if band.contains(QRectF(*flag.rect))}
        found |= {name for name, joint in layout.joints.items() if band.contains(QPointF(*joint.centre))}
        found |= {end for end, at in self.view.store.loose.items() if band.contains(QPointF(*at))}
        found |= {name for name, note in layout.notes.items() if band.contains(QRectF(*note))}
        return frozenset(found)
