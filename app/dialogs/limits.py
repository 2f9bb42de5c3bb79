"""Limits of this job: the rows of the limits tables, each with room for the job's own value."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from PySide6.QtWidgets import QWidget

from app.dialogs.entries import NumberEntry, Unreadable
from app.dialogs.entry_form import EntryForm
from app.dialogs.find_line import FindLine
from app.dialogs.forms import plain_label
from core.library.limits import Limit, Limits, cannot_be

MOST = 1e9
CAPTION_WIDTH = 230
_SENTENCE = (
    "What the checks go by. Leave a field empty to go by the shop's value, which stands in grey. A value of "
    "your own counts for this job alone."
)


class _LimitEntry(NumberEntry):
    """A job's own value, over the shop's and where that is from."""

    def __init__(self, row: Limit, own: float | None) -> None:
        share = row.unit == "share"
        unit = "" if share or row.unit == "1" else row.unit
        super().__init__(own, unit, row.shown, in_percent=share)
        source = plain_label(f"Shop: {row.shown}. {row.source[:1].upper()}{row.source[1:]}.")
        source.setObjectName("quiet")
        self.column.insertWidget(1, source)


class LimitsForm(EntryForm):
    """`made` are the values for `Settings.limits`."""

    def __init__(self, parent: QWidget | None, limits: Limits, own: Mapping[str, float]) -> None:
        super().__init__(parent, "Limits of this job", "Keep", _SENTENCE)
        self.setMinimumWidth(680)
        self._limits, self._own = limits, own
        self.filter = FindLine("Words of a limit, its unit or its source")
        self.add("Find", self.filter)
        self.filter.textChanged.connect(self._narrow)
        for name, row in limits.rows.items():
            unit = "%" if row.unit == "share" else row.unit_words
            caption = f"{row.words[:1].upper()}{row.words[1:]}{f', {unit}' if unit else ''}"
            self.ask(name, caption, _LimitEntry(row, own.get(name)), f"{row.words}. {row.source}")
            label = self.form.labelForField(self.entries[name])
            label.setWordWrap(True)  # type: ignore[attr-defined]
            label.setFixedWidth(CAPTION_WIDTH)
        self.look()

    def _narrow(self, text: str) -> None:
        wanted = text.lower().split()
        for name, entry in self.entries.items():
            row = self._limits.rows[name]
            said = f"{name} {row.words} {row.unit_words} {row.source}".lower()
            self.form.setRowVisible(entry, all(word in said for word in wanted))

    def make(self, values: Mapping[str, Any]) -> tuple[dict[str, float] | None, dict[str, Unreadable]]:
        wrong: dict[str, Unreadable] = {}
        # Names that no table has (of another version) stay as they were.
        made = {name: value for name, value in self._own.items() if name not in self._limits.rows}
        for name, value in values.items():
            if value is None:
                continue
            why = cannot_be(name, self._limits.rows[name].unit, value)
            if not 0 < value <= MOST:
                wrong[name] = Unreadable("must be more than 0" if value <= 0 else "too large a number")
            elif why:
                wrong[name] = Unreadable("a share cannot be more than 100 %")
            else:
                made[name] = value
        return (None if wrong else made), wrong


def edit_limits(parent: QWidget | None, limits: Limits, own: Mapping[str, float]) -> dict[str, float] | None:
    """The job's own limits; None where the user thought better of it."""
    form = LimitsForm(parent, limits, own)
    return dict(form.made) if form.asked() and form.made is not None else None
