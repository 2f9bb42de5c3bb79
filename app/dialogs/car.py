"""The car and the bench: what the volts of the job are worked out with, and its own switches."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError
from PySide6.QtWidgets import QWidget

from app.dialogs.entries import ChoiceEntry, NumberEntry, PairsEntry, Unreadable
from app.dialogs.entry_form import EntryForm, why
from app.dialogs.forms import plain_label
from core.circuit.positions import DIP_VOLTS, REST_VOLTS, RUNNING_VOLTS, START_VOLTS
from core.job.internals.common import STANDARD_SWITCHES
from core.job.record import BenchSupply, OwnSwitch, Settings
from core.library.limits import Limits

_VOLTS = {
    "rest_volts": ("Volts at rest", REST_VOLTS, "The engine stopped, measured at its poles"),
    "running_volts": ("Volts running", RUNNING_VOLTS, "The engine running and charging"),
    "start_volts": ("Volts cranking", START_VOLTS, "While the starter turns the engine"),
    "dip_volts": ("Volts, first dip", DIP_VOLTS, "In the first tenth of a second of cranking"),
}
_BENCH = {
    "volts": ("Set to", "V", "What the supply on the bench is set to"),
    "limit_amps": ("Current limit", "A", "The amps at which the supply holds back"),
    "fuse_amps": ("Its fuse", "A", "The fuse in the lead of the supply"),
}
_SHORT_NAME = re.compile(r"[a-z][a-z0-9-]{0,29}")


class CarForm(EntryForm):
    """`made` are the fields for `record.set_settings`."""

    def __init__(self, parent: QWidget | None, settings: Settings, limits: Limits) -> None:
        super().__init__(
            parent,
            "Car and bench",
            "Keep",
            "What the readings are worked out with. Leave empty what was not measured: the grey numbers are "
            "assumed then.",
        )
        self._settings, self._limits = settings, limits
        systems = [(volts, f"{volts} V") for volts in (6, 12, 24)]
        grounds = [(pole, f"battery {pole} on the body") for pole in ("negative", "positive")]
        self.ask("system_volts", "System", ChoiceEntry(settings.system_volts, systems))
        self.ask("ground", "Ground", ChoiceEntry(settings.ground, grounds))
        self.caution = plain_label("")
        self.caution.setObjectName("caution")
        self.form.addRow(self.caution)
        self.heading("The car's battery")
        battery = settings.battery
        for name, (caption, _, help_words) in _VOLTS.items():
            entry = NumberEntry(getattr(battery, name), "V")
            self.ask(f"battery.{name}", f"{caption}, V", entry, help_words)
        self.ask("battery.ohms", "Inside, ohm", NumberEntry(battery.ohms, "ohm"), "Its own resistance")
        hours = NumberEntry(battery.amp_hours, "Ah")
        self.ask(
            "battery.amp_hours", "Capacity, Ah", hours, "As stamped on it; for the drain with the key off"
        )
        dim = NumberEntry(settings.dim, "%", "full", in_percent=True)
        self.ask(
            "dim", "Dash lamps dimmed to, %", dim, "How much of the time a dimmed feed is on with the lights"
        )
        self.heading("The supply on the bench")
        usual = BenchSupply()
        for name, (caption, unit, help_words) in _BENCH.items():
            value, grey = getattr(settings.bench, name), getattr(usual, name)
            shown = None if value == grey else value
            entry = NumberEntry(shown, unit, "no fuse" if grey is None else f"{grey:g} assumed")
            self.ask(f"bench.{name}", f"{caption}, {unit}", entry, help_words)
        self.heading("This job's own switches")
        rows = [(switch.words, switch.name) for switch in settings.switches]
        self.ask(
            "switches",
            "Switches",
            PairsEntry(rows, ("Switch", "Short name"), _read_switches),
            "Such as Battery cut-off. The short name stands in positions: run+battery-cut-off",
        )
        self.look()

    def look(self) -> None:
        super().look()
        system = self.entries["system_volts"].read()
        for name, (_, volts, _) in _VOLTS.items():
            self._grey(f"battery.{name}", f"{volts * system / 12:.4g} assumed")
        ohms, hours = self._limits.get("battery_ohms_12v"), self._limits.get("battery_amp_hours")
        self._grey("battery.ohms", "not stated" if ohms is None else f"{ohms * system / 12:.4g} assumed")
        self._grey("battery.amp_hours", "not stated" if hours is None else f"{hours:g} assumed")
        words = cautions(self._settings, system, self.entries["ground"].read())
        self.caution.setText(words)
        self.caution.setVisible(bool(words))

    def _grey(self, name: str, words: str) -> None:
        entry = self.entries[name]
        if isinstance(entry, NumberEntry):
            entry.line.setPlaceholderText(words)

    def make(self, values: Mapping[str, Any]) -> tuple[dict[str, Any] | None, dict[str, Unreadable]]:
        fields: dict[str, Any] = {name: value for name, value in values.items() if "." not in name}
        for group in ("battery", "bench"):
            inside = {name.partition(".")[2]: v for name, v in values.items() if name.startswith(f"{group}.")}
            fields[group] = {name: value for name, value in inside.items() if value is not None}
        try:
            made = self._settings.changed(**fields)
        except ValidationError as error:
            wrong: dict[str, Unreadable] = {}
            for one in error.errors(include_url=False):
                place = ".".join(str(step) for step in one["loc"])
                wrong[place] = why(one["type"], one.get("ctx", {}), str(one["msg"]))
            return None, wrong
        return {name: getattr(made, name) for name in fields}, {}


def cautions(before: Settings, system_volts: int, ground: str) -> str:
    """What to mind where the car is another one than was thought, and where plus is on the body."""
    found = []
    if ground == "positive":
        found.append(
            "Positive ground: the body is on battery plus. Equipment made for negative ground, and any metal "
            "case or antenna braid bolted to the body, becomes a short or is destroyed."
        )
    elif before.ground == "positive":
        found.append("Negative ground: the body is on battery minus. Feeds and grounds change sides.")
    if ground != before.ground:
        found.append(
            "Prove it with a meter at the battery and at the body before anything is joined, and go by the "
            "vehicle maker's service information. All that was checked is checked anew."
        )
    if system_volts != before.system_volts:
        found.append(
            f"{system_volts} V system: what was chosen for {before.system_volts} V may not stand it or not "
            "work. Look at what every part accepts."
        )
    return f"Caution. {' '.join(found)}" if found else ""


def _read_switches(pairs: list[tuple[str, str]]) -> tuple[OwnSwitch, ...]:
    found: dict[str, OwnSwitch] = {}
    for words, typed in pairs:
        name = _short_name(typed or words)
        if not _SHORT_NAME.fullmatch(name):
            raise Unreadable(f"{typed or words}: a short name is a letter, then letters, digits and hyphens")
        if name in STANDARD_SWITCHES:
            raise Unreadable(f"{name} is there already, as one of the usual switches")
        if name in found:
            raise Unreadable(f"{name} stands twice")
        found[name] = OwnSwitch(name=name, words=words)
    return tuple(found.values())


def _short_name(words: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", words.lower()).strip("-")[:30].rstrip("-")


def edit_car(parent: QWidget | None, settings: Settings, limits: Limits) -> dict[str, Any] | None:
    """The fields for `record.set_settings`; None where the user thought better of it."""
    form = CarForm(parent, settings, limits)
    return dict(form.made) if form.asked() and form.made is not None else None
