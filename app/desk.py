"""What a command may touch: one window's session, map and messages, and the program around it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from PySide6.QtWidgets import QMainWindow

    from app.canvas.view import MapView
    from app.notify import Notices
    from app.session import Session
    from app.settings import Settings
    from app.tools.meter import Meter
    from app.work.check_service import CheckService
    from app.work.expected import Asked, Expected
    from app.work.explaining import Explaining
    from app.work.job_file import JobFile
    from core.job.document import Job


class Program(Protocol):
    """The running program: what reaches beyond one window."""

    settings: Settings

    def open_path(self, path: Path, near: Desk | None = None) -> bool: ...
    def open_job(self, job: Job) -> None: ...
    def show_start(self) -> None: ...
    def set_library_folder(self, folder: Path | None) -> None: ...
    def set_theme(self, name: str) -> None: ...
    def quit(self) -> None: ...


class Places(Protocol):
    """The window's places and panels, by name."""

    def show_place(self, name: str) -> None: ...
    def show_panel(self, name: str) -> None: ...
    def edit_field(self, label: str) -> None: ...
    def edit_find(self) -> None: ...
    def find_part(self) -> None: ...
    def show_reading(self, asked: Asked) -> None: ...
    def action_rows(self) -> list[tuple[str, str, str, str]]: ...


@dataclass(frozen=True)
class Desk:
    """One window's working things, handed to every command."""

    window: QMainWindow
    program: Program
    places: Places
    session: Session
    view: MapView
    checks: CheckService
    file: JobFile
    notices: Notices
    expected: Expected
    meter: Meter
    explaining: Explaining

    @property
    def selection(self) -> Sequence[str]:
        return sorted(self.session.selection)
