"""No kind of internal is left out of the circuit."""

from __future__ import annotations

from typing import get_args

import pytest

from core.job.internals import Internal, LiveIn, VoltWindow, spoken_for
from tests.core.checks.jobs import library
from tests.core.circuit.drawn import box, node

LIMITS = library().limits
RUN = LiveIn(keys=("run", "running"))
WINDOW = VoltWindow(least=9, most=16)


LIVE = {"keys": ["run"]}
LEAST: dict[str, dict[str, object]] = {
    "battery": {"plus": "A-1", "minus": "A-2"},
    "feed": {"terminal": "A-1", "live": LIVE},
    "ground point": {"terminal": "A-1"},
    "switch to ground": {"terminal": "A-1", "closed": LIVE},
    "load": {"plus": "A-1", "minus": "A-2", "amps": 1},
    "lamp": {"a": "A-1", "b": "A-2", "volts": 12, "watts": 5},
    "sense": {"terminal": "A-1"},
    "speaker": {"plus": "A-1", "minus": "A-2"},
    "output": {"terminal": "A-1", "live": LIVE},
    "low-side output": {"terminal": "A-1", "reference": "A-2", "live": LIVE},
    "step-down": {"input": "A-1", "output": "A-2", "common": "A-3", "volts_out": 5, "accepts": WINDOW},
    "step-up": {"input": "A-1", "output": "A-2", "common": "A-3", "volts_out": 24, "accepts": WINDOW},
    "speaker output": {"plus": "A-1", "minus": "A-2"},
    "fuse": {"a": "A-1", "b": "A-2", "amps": 5},
    "breaker": {"a": "A-1", "b": "A-2", "amps": 5},
    "switch": {"a": "A-1", "b": "A-2", "closed": LIVE},
    "relay": {"coil_plus": "A-1", "coil_minus": "A-2", "common": "A-3", "make": "A-4"},
    "diode": {"anode": "A-1", "cathode": "A-2"},
    "resistor": {"a": "A-1", "b": "A-2", "ohms": 5},
    "link": {"a": "A-1", "b": "A-2"},
    "shield": {"a": "A-1", "touches": "A-2"},
    "case": {"a": "A-1", "touches_body": True},
    "button ladder": {"signal": "A-1", "reference": "A-2", "ohms": {"up": 100}},
    "ladder reader": {"terminal": "A-1", "reference": "A-2", "pull_up_ohms": 1000, "pull_up_volts": 5},
    "data pair": {"high": "A-1", "low": "A-2", "termination_ohms": 120},
    "video": {"terminal": "A-1", "reference": "A-2", "termination_ohms": 75},
    "line level": {"terminal": "A-1", "reference": "A-2", "termination_ohms": 10000},
    "antenna": {"terminal": "A-1", "reference": "A-2", "termination_ohms": 50},
}


ENDS = frozenset(
    (
        "plus",
        "minus",
        "a",
        "b",
        "anode",
        "cathode",
        "input",
        "output",
        "common",
        "make",
        "rest",
        "coil_plus",
        "coil_minus",
    )
)


@pytest.mark.parametrize("kind", get_args(get_args(Internal)[0]), ids=lambda kind: kind.__name__)
def test_no_kind_is_left_out(kind: type[Internal]) -> None:
    """Every kind of the union says something to the circuit, at each of the terminals it stands between."""
    internal = kind.model_validate(LEAST[kind.model_fields["kind"].default])
    plan = box("1 2 3 4", internal)
    at_one_node = len({node(plan, f"BOX-{pin}") for pin in "1234"}) < 4
    assert at_one_node or any(name.partition(" ")[0] == "BOX#0" for name in plan.devices)
    touched = {int(n) for n in (*plan.network.resistors.a, *plan.network.resistors.b)}
    for each in plan.network.devices:
        touched.update(getattr(each, name) for name in type(each).__slots__ if name in ENDS)
    for terminal in spoken_for(internal):
        assert at_one_node or node(plan, f"BOX.{terminal}") in touched
