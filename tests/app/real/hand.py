"""The main job in a real window, done by a hand on an X server: run by the test beside it, or by name.

`python -m tests.app.real.hand FOLDER [WIDTHxHEIGHT] [light|dark]` opens the sample with five mistakes on
the display that DISPLAY names, moves the pointer and types with xdotool, prints what it saw as JSON and
leaves its pictures and the drawing in FOLDER.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QPoint, QPointF, QSettings
from PySide6.QtWidgets import QApplication, QPushButton, QWidget

from app.application import Application, make_qt
from app.commands.printing import write_pdf
from app.settings import Settings
from app.window import JobWindow
from core.checks.finding import Conflict
from core.paths import sample_jobs_folder

WAIT_S = 20.0


class Hand:
    """A pointer and a keyboard. Each step ends when the window has shown what it leads to."""

    def __init__(self, window: JobWindow, folder: Path) -> None:
        self.window = window
        self.view = window.view
        self.folder = folder

    def xdo(self, *words: str | int) -> None:
        """Let xdotool do something while the event loop goes on."""
        running = subprocess.Popen(["xdotool", *map(str, words)])
        self.until(lambda: running.poll() is not None)
        if running.returncode:
            raise RuntimeError(f"xdotool {words} ended with {running.returncode}")

    def until(self, reached: Callable[[], bool]) -> None:
        """Run the event loop until it is so; a RuntimeError when that takes too long."""
        last = time.monotonic() + WAIT_S
        while not reached():
            QApplication.processEvents()
            if time.monotonic() > last:
                raise RuntimeError("what was waited for did not come")
        QApplication.processEvents()

    def spot(self, ref: str) -> QPoint:
        """Where a flag or joint stands on the screen."""
        outline = self.view.finder.outline(ref)
        if outline is None:
            raise RuntimeError(f"{ref} is not on the map")
        return self.view.viewport().mapToGlobal(self.view.mapFromScene(QPointF(outline[0].center())))

    def go(self, at: QPoint) -> None:
        self.xdo("mousemove", at.x(), at.y())

    def drag(self, start: str, end: str) -> None:
        here, there = self.spot(start), self.spot(end)
        self.go(here)
        self.xdo("mousedown", 1)
        for step in range(1, 9):
            way = here + (there - here) * step / 8
            self.go(QPoint(way))
        self.picture("dragging")
        self.xdo("mouseup", 1)

    def click(self, widget: QWidget) -> None:
        self.go(widget.mapToGlobal(widget.rect().center()))
        self.xdo("click", 1)

    def picture(self, name: str) -> None:
        self.window.screen().grabWindow(0).save(str(self.folder / f"{name}.png"))

    def conflicts(self) -> list[Conflict]:
        """What a finished check of the present document found."""
        self.until(lambda: not self.window.checks.busy)
        result = self.window.session.result
        return list(result.unfolded()) if result is not None else []


def main_job(hand: Hand) -> dict[str, object]:
    """Look, join, undo, mend the camera's Stop by its button, print."""
    session = hand.window.session
    seen: dict[str, object] = {"at first": [c.rule for c in hand.conflicts()]}
    hand.picture("opened")
    before = session.job
    free = next(end for end in before.finishes if end.startswith("RAD."))
    target = next(end for end in before.finishes if end.startswith("REC."))
    hand.drag(free, target)
    hand.until(lambda: session.undo_stack.count() == 1)
    joint = session.job.lookup.joint_of.get(free)
    seen["joined"] = bool(joint) and joint == session.job.lookup.joint_of.get(target)
    hand.xdo("key", "ctrl+z")
    hand.until(lambda: session.job is before)
    seen["undone"] = session.job is before
    camera = "more volts than the part accepts"
    hand.conflicts()
    card = next(card for card in hand.window.conflicts.cards if card.conflict.rule == camera)
    hand.window.conflicts.show_card(card)
    QApplication.processEvents()
    button = next(b for b in card.findChildren(QPushButton) if b.objectName() == "primary")
    seen["mend"] = button.accessibleName()
    hand.click(button)
    hand.until(lambda: session.job is not before)
    seen["after the mend"] = [c.rule for c in hand.conflicts()]
    hand.picture("mended")
    hand.xdo("key", "ctrl+p")
    hand.until(lambda: bool(hand.window.drawing.page_labels))
    hand.picture("drawing")
    seen["printed"] = write_pdf(hand.window.desk, hand.folder / "drawing.pdf")
    seen["pages"] = len(hand.window.drawing.page_labels)
    return seen


def main() -> int:
    folder = Path(sys.argv[1])
    width, height = map(int, (sys.argv[2] if len(sys.argv) > 2 else "1366x768").split("x"))
    settings = Settings(QSettings(str(folder / "settings.ini"), QSettings.Format.IniFormat))
    settings.theme = "dark" if sys.argv[3:] == ["dark"] else "light"
    program = Application(make_qt(["loomwright"]), settings)
    program.open_path(sample_jobs_folder() / "van_five_mistakes.loomjob")
    window = program.windows[-1]
    window.setGeometry(0, 0, width, height)
    hand = Hand(window, folder)
    hand.until(lambda: window.isActiveWindow() or window.isVisible())
    hand.xdo("windowfocus", "--sync", int(window.winId()))
    hand.conflicts()
    window.view.fit()
    window.view.setFocus()
    sys.stdout.write(json.dumps(main_job(hand)))
    window.session.mark_saved(window.session.job)
    window.close()
    return 0


if __name__ == "__main__":
    sys.exit(main())
