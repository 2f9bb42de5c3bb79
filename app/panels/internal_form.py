"""The form of one piece of what a part does inside, made from the fields of its model."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, cast

from pydantic import ValidationError
from PySide6.QtWidgets import QApplication, QWidget

from app.dialogs.entries import (
    ChoiceEntry,
    Entry,
    LineEntry,
    NumberEntry,
    PairsEntry,
    TickEntry,
    Unreadable,
    WhenEntry,
    WindowEntry,
    read_number,
    show_number,
)
from app.dialogs.forms import FormDialog, plain_label
from app.panels.internal_assumed import assumed
from app.panels.internal_lines import pin_words
from app.panels.internal_words import (
    KINDS,
    ONLY_WITH,
    WHEN_EMPTY,
    choices_of,
    field_words,
    fields_of,
    form_of,
    models,
    optional,
)
from app.work.switches import own_switches, switch_words
from core.ids import local
from core.job.document import Job
from core.job.internals import Internal
from core.job.internals.common import STANDARD_SWITCHES
from core.job.parts import Part
from core.library.library import Library

NEEDED, CHOOSE_PIN = "needed", "choose a pin"
_TOGETHER = {
    "load": ("watts", "state one of amps, ohms and watts"),
    "feed": ("duty", f"{NEEDED}: the share of the time that it is on"),
}
"""What can be wrong with several fields of a kind together, and where it is said."""


class InternalForm(FormDialog):
    """Asks for every field of a kind. What cannot be is said at its field, and nothing is kept until it can.

    `given` are the values to begin with, by field; those left out are the model's own.
    """

    def __init__(
        self,
        parent: QWidget | None,
        job: Job,
        library: Library,
        part: Part,
        kind: str,
        given: Mapping[str, Any],
        agree: str,
    ) -> None:
        words = KINDS[kind]
        super().__init__(parent, f"{words.name} of {part.id}", agree, f"{words.help}.")
        self.setMinimumWidth(600)
        self._job, self._library, self._part, self._kind = job, library, part, kind
        self.made: Internal | None = None
        self.entries: dict[str, Entry] = {}
        self._wrong: dict[str, str] = {}
        self._asked_to_keep = False
        for name in fields_of(kind):
            asked = field_words(kind, name)
            entry = self.entries[name] = self._entry(name, given)
            if isinstance(entry, TickEntry):
                self.form.addRow(entry)
            else:
                self.add(asked.caption, entry)
            entry.name(asked.caption, asked.help)
            entry.changed.connect(self._look)
        self._help = plain_label("")
        self._help.setObjectName("quiet")
        self._help.setMinimumHeight(2 * self.fontMetrics().lineSpacing())
        self.add_below(self._help)
        QApplication.instance().focusChanged.connect(self._tell)  # type: ignore[union-attr]
        self._look()

    def _entry(self, name: str, given: Mapping[str, Any]) -> Entry:
        kind = self._kind
        info = models()[kind].model_fields[name]
        value = given.get(name, None if info.is_required() else info.get_default(call_default_factory=True))
        grey = assumed(kind, name, self._library, self._job.settings) if optional(kind, name) else ""
        match form_of(kind, name):
            case "pin":
                return self._pin_entry(value, grey)
            case "number":
                return NumberEntry(value, field_words(kind, name).unit, grey)
            case "share":
                return NumberEntry(value, "%", grey, scale=100)
            case "window":
                return WindowEntry(value, grey)
            case "when":
                known = (*STANDARD_SWITCHES, *own_switches(self._job))
                switches = [(switch, switch_words(self._job, switch)) for switch in known]
                return WhenEntry(value, switches, WHEN_EMPTY[kind, name] if optional(kind, name) else None)
            case "choice":
                return ChoiceEntry(value, choices_of(kind, name))
            case "tick":
                return TickEntry(value, field_words(kind, name).label)
            case "pairs":
                rows = [(button, show_number(ohms)) for button, ohms in value.items()]
                return PairsEntry(rows, ("Button", "Ohms"), _read_buttons)
            case _:
                return LineEntry(value)

    def _pin_entry(self, value: str | None, grey: str) -> Entry:
        names = [local(ref) for ref in self._part.cavities]
        pins = [(name, pin_words(self._job, self._library, self._part, name)) for name in names]
        return ChoiceEntry(value or "", [("", grey), *pins] if grey else pins, "" if grey else CHOOSE_PIN)

    def _tell(self, _: QWidget | None, now: QWidget | None) -> None:
        """The help of the field that has the keyboard."""
        found = next((n for n, e in self.entries.items() if now is not None and e.isAncestorOf(now)), None)
        if found is not None:
            self._help.setText(field_words(self._kind, found).help)

    def _read(self) -> tuple[dict[str, Any], dict[str, str]]:
        """The values of the fields, and what is wrong with them, by field."""
        values: dict[str, Any] = {"kind": self._kind}
        wrong: dict[str, str] = {}
        for name, entry in self.entries.items():
            if not self._counts(name):
                continue
            try:
                value = entry.read()
            except Unreadable as why:
                wrong[name] = str(why)
                continue
            if value not in (None, ""):
                values[name] = value
            elif not optional(self._kind, name) and models()[self._kind].model_fields[name].is_required():
                wrong[name] = NEEDED
        return values, wrong

    def _counts(self, name: str) -> bool:
        other, value = ONLY_WITH.get((self._kind, name), ("", ""))
        return not other or self.entries[other].read() == value

    def _look(self) -> None:
        """Say at once what cannot be read; what is still missing is said when the form is to be kept."""
        for name, entry in self.entries.items():
            entry.setEnabled(self._counts(name))
        values, wrong = self._read()
        self.made = None
        if not wrong:
            try:
                self.made = cast("Internal", models()[self._kind].model_validate(values))
            except ValidationError as error:
                wrong |= self._in_words(error)
        self._wrong = wrong
        for name, entry in self.entries.items():
            why = wrong.get(name, "")
            missing = why == CHOOSE_PIN or why.startswith(NEEDED)
            entry.complain("" if missing and not self._asked_to_keep else why)

    def _in_words(self, error: ValidationError) -> dict[str, str]:
        found: dict[str, str] = {}
        for one in error.errors(include_url=False):
            if not one["loc"]:
                found.setdefault(*_TOGETHER[self._kind])
                continue
            name = str(one["loc"][0])
            percent = 100 if form_of(self._kind, name) == "share" else 1
            found.setdefault(name, _why(one["type"], one.get("ctx", {}), str(one["msg"]), percent))
        return found

    def accept(self) -> None:
        """Keep it, where it can be; else go to the first field that says why not."""
        self._asked_to_keep = True
        self._look()
        if self.made is not None:
            super().accept()
            return
        first = next(name for name in self.entries if name in self._wrong)
        self.show_field(self.entries[first])


def _why(sort: str, limits: Mapping[str, Any], message: str, percent: int) -> str:
    """A rule of the model that a value breaks, in the user's words."""
    match sort:
        case "greater_than":
            return f"must be more than {limits['gt'] * percent:g}"
        case "greater_than_equal":
            return f"must be at least {limits['ge'] * percent:g}"
        case "less_than_equal":
            return f"must be at most {limits['le'] * percent:g}"
        case "finite_number":
            return "too large a number"
        case "string_too_long":
            return f"must be at most {limits['max_length']} letters"
        case _:
            return message.removeprefix("Value error, ")


def _read_buttons(pairs: list[tuple[str, str]]) -> dict[str, float]:
    found: dict[str, float] = {}
    for button, text in pairs:
        if not button:
            raise Unreadable(f"the button of {text} ohm has no name")
        if button in found:
            raise Unreadable(f"{button} stands twice")
        try:
            ohms = read_number(text, "ohm")
        except Unreadable as why:
            raise Unreadable(f"{button}: {why}") from None
        if ohms is None:
            raise Unreadable(f"{button}: how many ohms?")
        if not 0 <= ohms <= 1e9:
            raise Unreadable(f"{button}: must be 0 or more")
        found[button] = ohms
    return found


def ask_internal(
    parent: QWidget | None,
    job: Job,
    library: Library,
    part: Part,
    kind: str,
    given: Mapping[str, Any],
    agree: str,
) -> Internal | None:
    """The piece as the user wants it; None where they thought better of it."""
    form = InternalForm(parent, job, library, part, kind, given, agree)
    return form.made if form.asked() else None
