"""Positions: names, battery volts and the standard set."""

from __future__ import annotations

import pytest

from core.circuit.positions import Position, position, standard_set
from core.job.internals import LiveIn
from core.job.record import Settings


def test_names_are_the_key_and_then_the_switches_in_their_order() -> None:
    assert Position("running", ("lights", "reverse")).name == "running+lights+reverse"
    assert position("running+reverse+lights") == Position("running", ("lights", "reverse"))
    assert position("off").name == "off"


@pytest.mark.parametrize("text", ["", "on", "run+", "run+horn", "lights"])
def test_what_is_no_position_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is no position"):
        position(text)


def test_the_standard_set_has_the_positions_whose_switches_are_used() -> None:
    keys = ("off", "accessory", "run", "start", "running")
    assert tuple(p.name for p in standard_set(())) == keys
    everything = standard_set(("lights", "reverse", "parking"))
    assert tuple(p.name for p in everything) == (
        *keys,
        "off+lights",
        "running+lights",
        "run+reverse",
        "running+lights+reverse",
        "running+parking",
    )
    assert [p.name for p in standard_set(("brake",))][5:] == ["off+brake", "running+brake"]


# Volts of a 12 V battery: at rest, cranking, charging. Common practice.
@pytest.mark.parametrize(
    ("name", "volts"), [("off", 12.6), ("run+reverse", 12.6), ("start", 10.0), ("running+lights", 14.2)]
)
@pytest.mark.parametrize("system", [6, 12, 24])
def test_battery_volts_go_with_the_system(name: str, volts: float, system: int) -> None:
    settings = Settings(system_volts=system)  # type: ignore[arg-type]
    assert position(name).battery_volts(settings) == pytest.approx(volts * system / 12)


def test_live_needs_the_key_and_the_switch() -> None:
    live = LiveIn(keys=("run", "running"), switch="reverse")
    assert position("run+reverse").has(live)
    assert not position("run").has(live)
    assert not position("off+reverse").has(live)
