"""New, open, save, close."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QFileDialog

from app.desk import Desk
from app.dialogs.car import edit_car
from app.dialogs.job_sheet import edit_job_sheet
from app.notify import tell_problem
from core.edits import record
from core.errors import UserError
from core.job.document import Job

FILTER = "Loomwright jobs (*.loomjob)"
SUFFIX = ".loomjob"


def new(desk: Desk) -> None:
    desk.program.open_job(Job())


def start_page(desk: Desk) -> None:
    desk.program.show_start()


def open_job(desk: Desk) -> None:
    folder = str(desk.session.path.parent) if desk.session.path else ""
    name, _ = QFileDialog.getOpenFileName(desk.window, "Open a job", folder, FILTER)
    if name:
        desk.program.open_path(Path(name), near=desk)


def save(desk: Desk) -> bool:
    """Write the job to its file. True where it is saved afterwards."""
    if desk.session.path is None or desk.session.read_only_because:
        return save_as(desk)
    return _write(desk, desk.session.path)


def save_as(desk: Desk) -> bool:
    start = desk.session.path or Path(f"{desk.session.job.sheet.number or 'job'}{SUFFIX}")
    name, _ = QFileDialog.getSaveFileName(desk.window, "Save the job as", str(start), FILTER)
    if not name:
        return False
    path = Path(name)
    return _write(desk, path if path.suffix == SUFFIX else path.with_name(path.name + SUFFIX))


def _write(desk: Desk, path: Path) -> bool:
    try:
        desk.file.save(path)
    except UserError as problem:
        tell_problem(desk.window, "The job was not saved", problem)
        return False
    desk.program.settings.add_recent(path)
    desk.notices.say(f"Saved {path.name}.")
    return True


def job_sheet(desk: Desk) -> None:
    answer = edit_job_sheet(desk.window, desk.session.job)
    if answer is not None:
        desk.session.apply("Change the job sheet", lambda job: record.set_sheet(job, **answer))


def car(desk: Desk) -> None:
    """The car's battery and ground, the supply on the bench, and the job's own switches."""
    session = desk.session
    answer = edit_car(desk.window, session.job.settings, session.library.limits)
    if answer is not None:
        session.apply("Change car and bench", lambda job: record.set_settings(job, **answer))


def library_folder(desk: Desk) -> None:
    """Choose the folder, perhaps on a shared drive, that the shop keeps its own parts in."""
    now = desk.program.settings.library_folder
    name = QFileDialog.getExistingDirectory(desk.window, "The shop's library folder", str(now or ""))
    if name:
        desk.program.set_library_folder(Path(name))
        desk.notices.say(f"Parts are read from {name} too, from the next window on.")


def close(desk: Desk) -> None:
    desk.window.close()


def leave(desk: Desk) -> None:
    desk.program.quit()
