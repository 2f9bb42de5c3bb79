"""A form of entries: what cannot be is said at its field, and nothing is kept until it can."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, cast

from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QApplication, QWidget

from app.dialogs.entries import Entry, Missing, TickEntry, Unreadable
from app.dialogs.forms import FormDialog, plain_label


class EntryForm(FormDialog):
    """`made` is what the entries come to; None while something is wrong with them.

    What cannot be read is said at once; what is still missing, when the form is to be kept.
    """

    def __init__(self, parent: QWidget | None, title: str, agree: str, sentence: str = "") -> None:
        super().__init__(parent, title, agree, sentence)
        self.setMinimumWidth(600)
        self.entries: dict[str, Entry] = {}
        self.made: Any = None
        self._wrong: dict[str, Unreadable] = {}
        self._help_words: dict[str, str] = {}
        self._to_be_kept = False
        self._help = plain_label("")
        self._help.setObjectName("quiet")
        self._help.setMinimumHeight(2 * self.fontMetrics().lineSpacing())
        self.add_below(self._help)

    def ask(self, name: str, caption: str, entry: Entry, help_words: str = "") -> None:
        """Put in an entry with its caption; a tick has its words beside it."""
        self.entries[name] = entry
        self._help_words[name] = help_words
        if isinstance(entry, TickEntry):
            self.form.addRow(entry)
        else:
            self.add(caption, entry)
        entry.name(caption, help_words)
        entry.changed.connect(self.look)

    def heading(self, words: str) -> None:
        """Words over the fields that follow."""
        label = plain_label(words)
        label.setObjectName("panel-name")
        self.form.addRow(label)

    def counts(self, name: str) -> bool:
        """Whether a field means anything beside what the others say."""
        return True

    def make(self, values: Mapping[str, Any]) -> tuple[Any, dict[str, Unreadable]]:
        """What the values of the entries come to, else what is wrong with them, by entry.

        Those that could not be read are left out.
        """
        raise NotImplementedError

    def look(self) -> None:
        """Read everything, and say what is wrong with it."""
        values: dict[str, Any] = {}
        wrong: dict[str, Unreadable] = {}
        for name, entry in self.entries.items():
            entry.setEnabled(self.counts(name))
            if not entry.isEnabled():
                continue
            try:
                values[name] = entry.read()
            except Unreadable as why:
                wrong[name] = why
        made, breaking = self.make(values)
        self._wrong = wrong = {**breaking, **wrong}
        self.made = None if wrong else made
        for name, entry in self.entries.items():
            why_not = wrong.get(name)
            told = why_not is not None and (self._to_be_kept or not isinstance(why_not, Missing))
            entry.complain(str(why_not) if told else "")

    def accept(self) -> None:
        """Keep it, where it can be; else go to the first field that says why not."""
        self._to_be_kept = True
        self.look()
        if self._wrong:
            self.show_field(next(entry for name, entry in self.entries.items() if name in self._wrong))
        else:
            super().accept()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if not event.spontaneous():
            _application().focusChanged.connect(self._tell)

    def done(self, answer: int) -> None:
        """However it is left, it listens no longer: the program's focus outlives it."""
        if self.isVisible():
            _application().focusChanged.disconnect(self._tell)
        super().done(answer)

    def _tell(self, _: QWidget | None, now: QWidget | None) -> None:
        """The help of the field that has the keyboard."""
        for name, entry in self.entries.items():
            if now is not None and entry.isAncestorOf(now):
                self._help.setText(self._help_words[name])


def _application() -> QApplication:
    return cast("QApplication", QApplication.instance())


def why(sort: str, limits: Mapping[str, Any], message: str, percent: int = 1) -> Unreadable:
    """A rule of the model that a value breaks, in the user's words."""
    match sort:
        case "missing":
            return Missing("needed")
        case "greater_than":
            return Unreadable(f"must be more than {limits['gt'] * percent:g}")
        case "greater_than_equal":
            return Unreadable(f"must be at least {limits['ge'] * percent:g}")
        case "less_than_equal":
            return Unreadable(f"must be at most {limits['le'] * percent:g}")
        case "finite_number":
            return Unreadable("too large a number")
        case "string_too_long":
            return Unreadable(f"must be at most {limits['max_length']} letters")
        case _:
            return Unreadable(message.removeprefix("Value error, "))
