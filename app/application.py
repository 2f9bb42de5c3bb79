"""The running program: builds everything and hands it on, opens jobs, keeps work when something breaks."""

from __future__ import annotations

import gc
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Literal, cast

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QIcon
from PySide6.QtWidgets import QApplication, QMessageBox, QWidget

from app.crash import CrashGuard, start_log
from app.settings import Settings
from app.start_page import StartPage
from app.style import style_sheet
from app.theme import Tokens, base_font, load_fonts, load_tokens, palette
from core.paths import resources_folder, sample_jobs_folder, shared_folder, user_library_folder

if TYPE_CHECKING:
    from app.desk import Desk
    from app.session import Session
    from app.window import JobWindow
    from app.work.job_file import JobFile
    from core.errors import UserError
    from core.job.document import Job
    from core.library.library import Library

FIRST_JOB = "first_light.loomjob"
"""The sample that is shown at the first run: it has one Stop to mend."""


class Application:
    """Owns the windows. Everything of the trade is imported with the first job, after the first paint."""

    def __init__(self, qt: QApplication, settings: Settings | None = None) -> None:
        self.qt = qt
        self.settings = settings or Settings()
        self.windows: list[JobWindow] = []
        self._start: StartPage | None = None
        self._library: Library | None = None
        self.tokens = self._tokens()
        qt.setFont(base_font())
        qt.setPalette(palette(self.tokens))
        qt.setWindowIcon(QIcon(str(resources_folder() / "icons" / "loomwright.svg")))
        self._guard = CrashGuard(self._keep_all_work, self._tell, self._leave)

    def guard(self) -> None:
        """From now on an unforeseen error keeps the work and is told."""
        start_log()
        self._guard.install()

    def begin(self, path: Path | None) -> None:
        """The first window: the job named, the first sample at the first run, else the start page."""
        first_run = not self.settings.was_run_before
        self.settings.mark_run()
        if path is None and first_run:
            path = sample_jobs_folder() / FIRST_JOB
        if path is None or not self.open_path(path):
            self.show_start()

    def show_start(self) -> None:
        if self._start is None:
            self._start = StartPage(self)
            self._start.setStyleSheet(style_sheet(self.tokens))
        self._start.refresh()
        self._start.show()
        self._start.raise_()
        self._start.activateWindow()

    def open_path(self, path: Path, near: Desk | None = None) -> bool:
        """Open a job file in its own window, or show the window that has it. A sample opens as a copy."""
        from app.work.job_file import JobFile, open_file
        from core.errors import UserError
        from core.files.job_file import load_job

        already = next((w for w in self.windows if w.session.path == path.resolve()), None)
        if already is not None:
            already.activateWindow()
            already.raise_()
            return True
        sample = sample_jobs_folder().resolve() in path.resolve().parents
        try:
            if sample:
                self.open_job(load_job(path))
                return True
            opened = open_file(path.resolve())
        except UserError as problem:
            return self._rescue(path.resolve(), problem, near.window if near else self._start)
        session = self._session(opened.recovered or opened.job)
        window = self._show_window(session, JobFile(session, opened, path.resolve()))
        self.settings.add_recent(path)
        if opened.recovered is not None:
            session.mark_saved(opened.job)
            window.desk.notices.say(
                "The program ended before this job was saved. Your work is back; save it to keep it."
            )
        elif session.read_only_because:
            window.desk.notices.say(
                f"Read only: {session.read_only_because}. To keep what you change, save it as another file.",
                "look",
            )
        return True

    def _rescue(self, path: Path, problem: UserError, parent: QWidget | None) -> bool:
        """A file that cannot be read: open what was kept of it, where there is any and it is wanted."""
        from app.notify import tell_problem
        from app.rescue import find_rescue, offer
        from app.work.job_file import JobFile

        rescued = find_rescue(path)
        if rescued is None:
            tell_problem(parent, "The job could not be opened", problem)
            return False
        if not offer(parent, problem, rescued):
            return False
        session = self._session(rescued.job)
        session.mark_saved(None)
        window = self._show_window(session, JobFile(session))
        window.desk.notices.say(f"This is {rescued.words}. Look it over, then save it.", "look")
        return True

    def open_job(self, job: Job) -> None:
        """Open a job that is in no file yet: a new one, or a copy of a sample."""
        from app.work.job_file import JobFile

        session = self._session(job)
        self._show_window(session, JobFile(session))

    def open_unsaved(self, path: Path) -> None:
        """Open what a crash left of a job never saved; the old copy goes when the new one is kept."""
        from app.notify import tell_problem
        from app.work.job_file import JobFile
        from core.errors import UserError
        from core.files.job_file import load_job
        from core.files.unsaved import drop_unsaved, list_unsaved

        try:
            job = load_job(path)
        except UserError as problem:
            tell_problem(self._start, "The recovered work could not be opened", problem)
            return
        session = self._session(job)
        session.mark_saved(None)
        file = JobFile(session)
        self._show_window(session, file)
        file.keep_work()
        for unsaved in list_unsaved():
            if unsaved.path == path:
                drop_unsaved(unsaved)

    def set_theme(self, name: str) -> None:
        self.settings.theme = cast("Literal['light', 'dark', 'system']", name)
        self.tokens = self._tokens()
        self.qt.setPalette(palette(self.tokens))
        for window in self.windows:
            window.set_tokens(self.tokens)
        if self._start is not None:
            self._start.setStyleSheet(style_sheet(self.tokens))

    def quit(self) -> None:
        """Close every window, asking for each that is not saved; stop where the user thinks better of it."""
        for window in list(self.windows):
            if not window.close():
                return
        if self._start is not None:
            self._start.close()
        self.qt.quit()

    def _session(self, job: Job) -> Session:
        from app.session import Session

        return Session(job, self.library())

    def library(self) -> Library:
        """The shop's library: what ships, the user's own, then the folder chosen. Read once.

        A folder that cannot be read is told, and what ships is used alone.
        """
        from app.notify import tell_problem
        from core.errors import UserError
        from core.library.loader import load_library

        if self._library is None:
            chosen = self.settings.library_folder
            folders = [shared_folder(), user_library_folder(), *([chosen] if chosen else [])]
            try:
                self._library = load_library(folders)
            except UserError as problem:
                tell_problem(None, "The shop's own library was left out", problem)
                self._library = load_library([shared_folder()])
        return self._library

    def set_library_folder(self, folder: Path | None) -> None:
        """From the next window on, read the library from this folder too."""
        self.settings.library_folder = folder
        self._library = None

    def _show_window(self, session: Session, file: JobFile) -> JobWindow:
        from app.window import JobWindow

        window = JobWindow(session, file, self, self.tokens)
        window.restore(*self.settings.window_state())
        window.closed.connect(self._forget)
        self.windows.append(window)
        window.show()
        window.view.fit()
        window.checks.start()
        if self._start is not None and not self._start.isHidden():
            self._start.hide()
        gc.collect()
        gc.freeze()
        return window

    def _forget(self, window: object) -> None:
        self.windows = [other for other in self.windows if other is not window]
        if not self.windows:
            self.qt.quit()

    def _tokens(self) -> Tokens:
        name = self.settings.theme
        if name == "system":
            dark = QGuiApplication.styleHints().colorScheme() == Qt.ColorScheme.Dark
            return load_tokens("dark" if dark else "light")
        return load_tokens(name)

    def _keep_all_work(self) -> None:
        for window in self.windows:
            window.desk.file.keep_work()

    def _tell(self, text: str) -> None:
        box = QMessageBox(QMessageBox.Icon.Critical, "Loomwright", text, QMessageBox.StandardButton.Ok)
        box.setTextFormat(Qt.TextFormat.PlainText)
        box.exec()

    def _leave(self) -> None:
        self.qt.exit(1)


def make_qt(arguments: list[str]) -> QApplication:
    """The Qt application with our own look; it does not end when the start page gives way to a job."""
    QApplication.setHighDpiScaleFactorRoundingPolicy(Qt.HighDpiScaleFactorRoundingPolicy.PassThrough)
    existing = QApplication.instance()
    qt = existing if isinstance(existing, QApplication) else QApplication(arguments)
    qt.setApplicationName("Loomwright")
    qt.setStyle("Fusion")
    qt.setQuitOnLastWindowClosed(True)
    load_fonts()
    return qt


def run(path: Path | None) -> int:
    """Open the program and stay until it is left. The exit code is Qt's."""
    qt = make_qt(sys.argv[:1])
    program = Application(qt)
    program.guard()
    program.begin(path)
    code = qt.exec()
    release_clipboard()
    return code


def release_clipboard() -> None:
    """Take back what was copied from a map: Qt would touch it once more after Python is gone, and crash."""
    clipboard = QGuiApplication.clipboard()
    if clipboard.ownsClipboard():
        clipboard.clear()
