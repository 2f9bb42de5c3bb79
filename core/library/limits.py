"""The electrical defaults: what a contact, a fuse or a coil is taken for where the job states nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import NamedTuple

from core.errors import FileProblem
from core.library.tables import read_table

_COLUMNS = ["name", "value", "unit", "words", "source"]

NEEDED = frozenset(
    [
        "battery_amp_hours",
        "battery_ohms_12v",
        "body_diode_volts",
        "bolt_ohms",
        "clamp_ohms_12v",
        "clamp_volts",
        "coil_ohms_12v",
        "contact_ohms",
        "copper_per_kelvin",
        "crimp_ohms",
        "diode_ohms",
        "drop_out_share",
        "drop_out_volts",
        "feed_ohms",
        "feed_rest_ohms",
        "fuse_opens_share",
        "fuse_volts",
        "lamp_cold_share",
        "lead_area_mm2",
        "lead_length_mm",
        "load_off_ohms",
        "meter_diode_volts",
        "meter_ohms",
        "output_amps",
        "output_ohms",
        "pull_in_share",
        "sense_ohms",
        "sense_pull_up_ohms",
        "sense_pull_up_volts",
        "shield_ohms",
        "speaker_output_ohms",
        "step_down_efficiency",
        "step_down_idle_amps",
        "step_down_ohms",
        "strap_ohms",
        "switch_ohms",
        "wire_celsius",
    ]
)
"""The names without which nothing can be solved."""


class Limit(NamedTuple):
    """One row of a limits table: the value in its unit, what it is, and where it is from."""

    value: float
    unit: str
    words: str
    source: str

    @property
    def shown(self) -> str:
        """The value with its unit, as people read it: `0.002 ohm`, `80 %`, `0.5 mm²`."""
        if self.unit == "share":
            return f"{self.value * 100:.6g} %"
        return f"{self.value:.6g} {self.unit_words}".rstrip()

    @property
    def unit_words(self) -> str:
        """The unit as people read it; empty for a bare number."""
        return "" if self.unit == "1" else self.unit.replace("mm2", "mm²")


class Limits(Mapping[str, float]):
    """The values by name. An unknown name is a KeyError."""

    def __init__(self, rows: Mapping[str, Limit] | None = None) -> None:
        self.rows: Mapping[str, Limit] = dict(rows or {})
        self._values = {name: row.value for name, row in self.rows.items()}

    def __getitem__(self, name: str) -> float:
        return self._values[name]

    def but(self, own: Mapping[str, float]) -> Limits:
        """These with a job's own values; names that are no limits are left out."""
        kept = {name: value for name, value in own.items() if name in self.rows}
        if not kept:
            return self
        return Limits({n: row._replace(value=kept.get(n, row.value)) for n, row in self.rows.items()})

    def __iter__(self) -> Iterator[str]:
        return iter(self._values)

    def __len__(self) -> int:
        return len(self._values)


def cannot_be(name: str, unit: str, value: float) -> str:
    """Why a limit cannot have a value; empty where it can."""
    if unit == "share" and name != "fuse_opens_share" and value > 1:
        return f"is a share of something and cannot be {value:g}"
    return ""


def read_limits(path: Path, known: Mapping[str, Limit]) -> dict[str, Limit]:
    """The rows of a limits table by name. Where some are known already (the shipped ones), a row overrides
    one of them and keeps its unit. Raises FileProblem.
    """
    found: dict[str, Limit] = {}
    for row in read_table(path, _COLUMNS):
        name, unit = row.text("name"), row.text("unit")
        if name in found:
            raise row.problem(f"{name!r} stands twice")
        if known and name not in known:
            raise row.problem(f"{name!r} is no name of the shipped table, so it would change nothing")
        if known and unit != known[name].unit:
            raise row.problem(f"{name!r} is in {known[name].unit}, not in {unit}")
        value = row.number("value")
        if cannot_be(name, unit, value):
            raise row.problem(f"{name!r} {cannot_be(name, unit, value)}")
        found[name] = Limit(value, unit, row.text("words"), row.text("source"))
    return found


def complete(rows: Mapping[str, Limit], file: str) -> Limits:
    """The limits, once every name that is needed is there. Raises FileProblem."""
    missing = sorted(NEEDED - rows.keys())
    if missing:
        raise FileProblem(file, f"has no row for {missing[0]!r}")
    return Limits(rows)
