"""Undo, copy and paste, delete, select, find."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QMimeData
from PySide6.QtGui import QGuiApplication

from app.desk import Desk
from core.edits import copying
from core.edits.copying import Clip
from core.ids import kind_of

CLIP_MIME = "application/x-loomwright-clip"


def undo(desk: Desk) -> None:
    """Take back one step; says so where a record entry goes with it."""
    text = desk.session.undo_stack.undoText()
    accepted = len(desk.session.job.acceptances)
    desk.session.undo_stack.undo()
    if len(desk.session.job.acceptances) < accepted:
        desk.notices.say(f"Taken back: {text}. The conflict is no longer accepted.")


def redo(desk: Desk) -> None:
    desk.session.undo_stack.redo()


def copy(desk: Desk) -> None:
    refs = [ref for ref in desk.selection if kind_of(ref) in ("part", "note")]
    if not refs:
        return
    clip = copying.copy(desk.session.job, refs)
    data = QMimeData()
    data.setData(CLIP_MIME, QByteArray(clip.model_dump_json().encode()))
    data.setText(", ".join(refs))
    QGuiApplication.clipboard().setMimeData(data)
    desk.notices.say(f"Copied {', '.join(refs)}.")


def cut(desk: Desk) -> None:
    copy(desk)
    delete(desk)


def paste(desk: Desk) -> None:
    """Put in what was copied, from this job or another."""
    data: QMimeData | None = QGuiApplication.clipboard().mimeData()
    if data is None or not data.hasFormat(CLIP_MIME):
        desk.notices.refuse("There is nothing copied from a map to paste.")
        return
    try:
        clip = Clip.model_validate_json(bytes(data.data(CLIP_MIME).data()))
    except ValueError:
        desk.notices.refuse("What was copied cannot be read here; copy it again.")
        return
    before = desk.session.job
    centre = desk.view.centre_of_map()
    if desk.session.apply("Paste", lambda job: copying.paste(job, clip, at=centre)):
        after = desk.session.job
        desk.session.select(
            (after.parts.keys() - before.parts.keys()) | (after.notes.keys() - before.notes.keys())
        )


def delete(desk: Desk) -> None:
    refs = desk.selection
    if refs:
        names = ", ".join(desk.session.job.shown(ref) for ref in refs[:3]) + (" …" if len(refs) > 3 else "")
        if desk.session.apply(f"Delete {names}", lambda job: copying.delete(job, refs)):
            desk.session.select(())


def select_all(desk: Desk) -> None:
    desk.session.select(desk.session.job.parts)


def find(desk: Desk) -> None:
    desk.places.edit_find()
