"""The form of one piece of what a part does inside, made from the fields of its model."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, cast

from pydantic import ValidationError
from PySide6.QtWidgets import QWidget

from app.dialogs.entries import (
    ChoiceEntry,
    Entry,
    LineEntry,
    Missing,
    NumberEntry,
    PairsEntry,
    TickEntry,
    Unreadable,
    WhenEntry,
    WindowEntry,
    read_number,
    show_number,
)
from app.dialogs.entry_form import EntryForm, why
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

_TOGETHER = {
    "load": ("watts", Unreadable("state one of amps, ohms and watts")),
    "feed": ("duty", Missing("needed: the share of the time that it is on")),
}
"""What can be wrong with several fields of a kind together, and where it is said."""


class InternalForm(EntryForm):
    """Asks for every field of a kind. `given` are the values to begin with, by field; those left out are the
    model's own.
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
        self._job, self._library, self._part, self._kind = job, library, part, kind
        for name in fields_of(kind):
            asked = field_words(kind, name)
            self.ask(name, asked.caption, self._entry(name, given), asked.help)
        self.look()

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
                return NumberEntry(value, "%", grey, in_percent=True)
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
                rows = [(button, show_number(ohms)) for button, ohms in (value or {}).items()]
                return PairsEntry(rows, ("Button", "Ohms"), _read_buttons)
            case _:
                return LineEntry(value)

    def _pin_entry(self, value: str | None, grey: str) -> Entry:
        names = [local(ref) for ref in self._part.cavities]
        pins = [(name, pin_words(self._job, self._library, self._part, name)) for name in names]
        return ChoiceEntry(value or "", [("", grey), *pins] if grey else pins, "" if grey else "choose a pin")

    def counts(self, name: str) -> bool:
        other, value = ONLY_WITH.get((self._kind, name), ("", ""))
        return not other or self.entries[other].read() == value

    def make(self, values: Mapping[str, Any]) -> tuple[Internal | None, dict[str, Unreadable]]:
        stated = {name: value for name, value in values.items() if value not in (None, "")}
        try:
            made = models()[self._kind].model_validate(stated)
        except ValidationError as error:
            return None, self._in_words(error)
        return cast("Internal", made), {}

    def _in_words(self, error: ValidationError) -> dict[str, Unreadable]:
        found: dict[str, Unreadable] = {}
        for one in error.errors(include_url=False):
            if not one["loc"]:
                found.setdefault(*_TOGETHER[self._kind])
                continue
            name = str(one["loc"][0])
            percent = 100 if form_of(self._kind, name) == "share" else 1
            found.setdefault(name, why(one["type"], one.get("ctx", {}), str(one["msg"]), percent))
        return found


def _read_buttons(pairs: list[tuple[str, str]]) -> dict[str, float]:
    found: dict[str, float] = {}
    for button, text in pairs:
        if not button:
            raise Unreadable(f"the button of {text} ohm has no name")
        if button in found:
            raise Unreadable(f"{button} stands twice")
        try:
            ohms = read_number(text, "ohm")
        except Unreadable as cause:
            raise Unreadable(f"{button}: {cause}") from None
        if ohms is None:
            raise Missing(f"{button}: how many ohms?")
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
    return cast("Internal | None", form.made) if form.asked() else None
