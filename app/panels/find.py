"""Find on the map: pins, colours, functions, parts, joints, wires and notes."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QLineEdit, QToolButton, QWidget

from app.desk import Desk
from core.colours import in_words
from core.ids import in_order
from core.job.document import Job
from core.library.library import Library


def find_refs(job: Job, library: Library, text: str) -> list[str]:
    """Ids of everything in whose words every word of `text` occurs, in natural order."""
    wanted = text.casefold().split()
    if not wanted:
        return []
    found = [ref for ref, words in _words(job, library) if all(word in words for word in wanted)]
    return in_order(found)


def _words(job: Job, library: Library) -> list[tuple[str, str]]:
    """Every id with the words it can be found by."""
    rows: list[tuple[str, str]] = []
    for part in job.parts.values():
        rows.append((part.id, f"{part.id} {part.name} {part.maker} {part.type} {part.serial} {part.note}"))
        for ref, cavity in part.cavities.items():
            colours = [cavity.colour_sheet, cavity.colour_found, cavity.lead.colour if cavity.lead else None]
            named = " ".join(f"{colour} {in_words(colour)}" for colour in colours if colour)
            words = library.words(cavity.function) if cavity.function else ""
            said = (job.shown(ref), ref, words, cavity.label, named, *cavity.aliases, cavity.note)
            rows.append((ref, " ".join(said)))
    rows += [(joint.id, f"{joint.id} {joint.method} {joint.note}") for joint in job.joints.values()]
    for wire in job.wires.values():
        colour = f"{wire.colour} {in_words(wire.colour)}" if wire.colour else ""
        rows.append((wire.id, f"{wire.id} {colour} {wire.gauge or ''} {wire.note}"))
    rows += [(cable.id, f"{cable.id} {cable.name} {cable.note}") for cable in job.cables.values()]
    rows += [(note.id, f"{note.id} {note.text}") for note in job.notes.values()]
    return [(ref, words.casefold()) for ref, words in rows]


class FindBar(QFrame):
    """A line over the map. Enter goes to the next, Shift+Enter to the one before, Escape closes."""

    def __init__(self, desk: Desk, over: QWidget) -> None:
        super().__init__(over)
        self._desk = desk
        self._found: list[str] = []
        self._at = -1
        self.setObjectName("card")
        self.line = QLineEdit()
        self.line.setPlaceholderText("Pin, colour, function, part, joint")
        self.line.setAccessibleName("Find on the map")
        self.line.setMinimumWidth(260)
        self.line.textChanged.connect(self._search)
        self.line.installEventFilter(self)
        self.count = QLabel()
        self.count.setObjectName("quiet")
        self.count.setMinimumWidth(72)
        row = QHBoxLayout(self)
        row.setContentsMargins(8, 6, 8, 6)
        row.addWidget(self.line)
        row.addWidget(self.count)
        for text, name, action in (
            ("\N{BLACK UP-POINTING SMALL TRIANGLE}", "Previous", self.previous),
            ("\N{BLACK DOWN-POINTING SMALL TRIANGLE}", "Next", self.next),
            ("", "Close", self._leave),
        ):
            button = QToolButton()
            button.setObjectName("close" if name == "Close" else "")
            button.setText(text)
            button.setAccessibleName(name)
            button.setToolTip(name)
            button.clicked.connect(lambda _=False, do=action: do())
            row.addWidget(button)
        over.installEventFilter(self)
        self.hide()

    def open(self) -> None:
        self._place()
        self.show()
        self.raise_()
        self.line.setFocus()
        self.line.selectAll()
        self._search(self.line.text())

    def _leave(self) -> None:
        self.close()
        self._desk.view.setFocus()

    def next(self) -> None:
        self._go(1)

    def previous(self) -> None:
        self._go(-1)

    def _search(self, text: str) -> None:
        self._found = find_refs(self._desk.session.job, self._desk.session.library, text)
        self._at = -1
        self._say()
        if self._found:
            self._go(1)

    def _go(self, by: int) -> None:
        self._found = [ref for ref in self._found if self._is_there(ref)]
        if self._found:
            self._at = (self._at + by) % len(self._found)
            ref = self._found[self._at]
            self._desk.session.select([ref])
            self._desk.view.reveal([ref])
        self._say()

    def _is_there(self, ref: str) -> bool:
        job = self._desk.session.job
        collections = (job.parts, job.joints, job.wires, job.cables, job.notes)
        return any(ref in collection for collection in collections) or job.end_exists(ref)

    def _say(self) -> None:
        if not self.line.text().strip():
            self.count.setText("")
        elif self._found:
            self.count.setText(f"{self._at + 1} of {len(self._found)}")
        else:
            self.count.setText("nothing")

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and watched is self.parent():
            self._place()
        if watched is self.line and event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            if event.key() == Qt.Key.Key_Escape:
                self._leave()
                return True
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                back = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
                self.previous() if back else self.next()
                return True
        return super().eventFilter(watched, event)

    def _place(self) -> None:
        over = self.parentWidget()
        if over is not None:
            self.adjustSize()
            self.move(over.width() - self.width() - 24, 12)
