"""The shelf: what its parts do inside fits what their cavities are for, and its numbers agree."""

from __future__ import annotations

from itertools import pairwise
from typing import get_args

import pytest

from core.ids import local
from core.job import internals as kinds
from core.job.internals import TERMINAL_FIELDS, Internal
from core.library import LibraryPart, default_library

LIBRARY = default_library()
PARTS = list(LIBRARY.parts.values())
SUPPLY_WINDOWS = {(5.5, 6.5), (9.0, 16.0), (10.0, 16.0), (18.0, 32.0)}


def named(entry: LibraryPart) -> str:
    return entry.name


def function_of(entry: LibraryPart, internal: Internal) -> dict[str, str]:
    """What each terminal that an internal names is for, by the internal's own field."""
    function = {local(ref): cavity.function for ref, cavity in entry.part.cavities.items()}
    return {
        field: function[name] for field, name in internal if field in TERMINAL_FIELDS and name is not None
    }


def cls(function: str) -> str:
    return LIBRARY.functions[function].cls


INTERNALS = [(entry, internal) for entry in PARTS for internal in entry.part.internals]


@pytest.mark.parametrize("entry", PARTS, ids=named)
def test_internals_fit_the_functions_of_their_terminals(entry: LibraryPart) -> None:
    for internal in entry.part.internals:
        what = function_of(entry, internal)
        match internal:
            case kinds.Feed():
                function = LIBRARY.functions[what["terminal"]]
                assert function.cls == "feed"
                assert (internal.live.keys, internal.live.switch) == (function.live, function.switch)
            case kinds.GroundPoint():
                assert what == {"terminal": "ground"}
            case kinds.SwitchToGround():
                assert what == {"terminal": "parking-brake"}
                assert internal.closed.switch == "parking"
            case kinds.Battery():
                assert what == {"plus": "battery-plus", "minus": "battery-minus"}
            case kinds.Load():
                # The car's own loads stand on its outputs; what is fitted says which volts it accepts.
                assert cls(what["plus"]) in ("feed", "output")
                assert what.get("minus") is None or cls(what["minus"]) == "ground"
                if "minus" in what:
                    assert internal.accepts is not None
                    assert (internal.accepts.least, internal.accepts.most) in SUPPLY_WINDOWS
            case kinds.Sense():
                assert cls(what["terminal"]) in ("feed", "output", "sense")
                assert (internal.active == "low") == (what["terminal"] == "parking-brake")
            case kinds.Output():
                assert cls(what["terminal"]) in ("output", "feed")
            case kinds.LowSideOutput():
                assert (what["terminal"], cls(what["reference"])) == ("low-side-out", "ground")
            case kinds.SpeakerOutput() | kinds.Speaker():
                assert what["plus"].removesuffix("+") == what["minus"].removesuffix("-")
            case kinds.Link():
                assert what["a"] == what["b"]
            case kinds.Relay():
                assert (what["coil_plus"], what["coil_minus"]) == ("coil-plus", "coil-minus")
                assert (what["common"], what["make"]) == ("relay-common", "relay-make")
                assert what.get("rest") in (None, "relay-rest")
            case kinds.StepDown():
                assert (what["input"], what["common"]) == ("step-down-in", "common")
                assert what["output"] in ("step-down-out", "memory-out", "switched-out")
            case kinds.StepUp():
                assert list(what.values()) == ["step-up-in", "step-up-out", "step-up-minus"]
            case kinds.Fuse() | kinds.Breaker():
                assert list(what.values()) == ["fuse-a", "fuse-b"]
            case kinds.SwitchContact():
                assert list(what.values()) == ["switch-a", "switch-b"]
            case kinds.Diode():
                assert list(what.values()) == ["anode", "cathode"]
            case kinds.Lamp():
                assert what["a"] == "lamp+" or cls(what["a"]) == "feed"
                assert what["b"] == "lamp-" or cls(what["b"]) == "ground"
            case kinds.Resistor():
                # A part of its own, or the way by which a signal's ground meets the ground inside a part.
                inside = (cls(what["a"]), cls(what["b"])) == ("signal ground", "ground")
                assert inside or list(what.values()) == ["resistor-a", "resistor-b"]
            case kinds.Shield():
                assert {cls(function) for function in what.values()} <= {"signal ground", "ground"}
            case kinds.Case():
                assert cls(what["a"]) == "ground"
            case kinds.ButtonLadder() | kinds.LadderReader():
                signal, reference = what.values()
                pairs = {"wired-remote": "wired-remote-ground"}
                assert cls(signal) == "steering"
                assert reference == pairs.get(signal, "steering-ground")
            case kinds.DataPair():
                assert what == {"high": "can-high", "low": "can-low"}
            case kinds.Video():
                assert what == {"terminal": "video", "reference": "video-ground"}
            case kinds.LineLevel():
                assert cls(what["terminal"]) == "line"
                assert what["reference"] in ("line-ground", "aux-ground")
            case kinds.Antenna():
                assert what["terminal"] == "antenna"


@pytest.mark.parametrize(("entry", "internal"), INTERNALS, ids=lambda value: getattr(value, "name", ""))
def test_internals_say_where_their_numbers_are_from(entry: LibraryPart, internal: Internal) -> None:
    numbers = [
        value
        for field, value in internal
        if isinstance(value, float) and value != type(internal).model_fields[field].default
    ]
    if numbers and "source" in type(internal).model_fields:
        assert internal.source, (entry.name, internal.kind)


@pytest.mark.parametrize("entry", PARTS, ids=named)
def test_numbers_of_internals_agree_with_each_other(entry: LibraryPart) -> None:
    for internal in entry.part.internals:
        match internal:
            case kinds.Load():
                steady = internal.amps or 0
                assert internal.idle_amps is None or internal.idle_amps < steady
                assert internal.inrush_amps is None or internal.inrush_amps > steady
                if internal.accepts and internal.least_volts:
                    assert internal.least_volts <= internal.accepts.least
            case kinds.Fuse():
                assert internal.form
                assert internal.holder_amps is not None
                assert internal.holder_amps >= internal.amps
            case kinds.Relay():
                assert internal.coil_ohms is not None
                assert internal.pull_in_volts is not None
                assert internal.drop_out_volts is not None
                assert internal.pull_in_volts > 2 * internal.drop_out_volts
                assert (internal.clamp == "resistor") == (internal.clamp_ohms is not None)
            case kinds.StepDown():
                assert internal.drop_out_volts is not None
                assert internal.volts_out + internal.drop_out_volts < internal.accepts.least
                assert (internal.sort == "switching") == (internal.efficiency is not None)
            case kinds.StepUp():
                assert internal.volts_out > internal.accepts.most
            case kinds.ButtonLadder():
                # Seen through a reader's 1 kilohm, no two buttons are nearer than it can tell apart.
                shares = sorted(ohms / (ohms + 1000) for ohms in internal.ohms.values())
                assert len(shares) > 1
                assert all(b - a > 0.05 for a, b in pairwise(shares))
            case _:
                pass


@pytest.mark.parametrize("kind", get_args(get_args(Internal)[0]), ids=lambda kind: kind.__name__)
def test_every_kind_of_internal_is_on_the_shelf(kind: type) -> None:
    assert any(isinstance(internal, kind) for _, internal in INTERNALS)


def test_what_a_technician_fits_comes_in_every_sort() -> None:
    found = [internal for _, internal in INTERNALS]
    assert {i.clamp for i in found if isinstance(i, kinds.Relay)} == {"none", "diode", "resistor"}
    assert {i.resets for i in found if isinstance(i, kinds.Breaker)} == {True, False}
    assert {i.sort for i in found if isinstance(i, kinds.StepDown)} == {"linear", "switching"}
    assert {i.form for i in found if isinstance(i, kinds.Fuse)} >= {
        "mini",
        "standard",
        "maxi",
        "glass",
        "midi",
    }
    assert {i.manner for i in found if isinstance(i, kinds.Feed)} == {"steady", "timed", "pulsed"}
    assert {i.reliable for i in found if isinstance(i, kinds.GroundPoint)} == {True, False}
    assert {(i.main, i.amp_hours) for i in found if isinstance(i, kinds.Battery)} == {
        (True, 60),
        (False, 100),
    }
    assert 7 in {len(i.ohms) for i in found if isinstance(i, kinds.ButtonLadder)}


def test_a_receiver_draws_on_its_constant_while_its_accessory_is_live() -> None:
    for entry in PARTS:
        if entry.part.kind not in ("receiver", "amplifier"):
            continue
        loads = [i for i in entry.part.internals if isinstance(i, kinds.Load)]
        (main,) = (load for load in loads if function_of(entry, load)["plus"] == "constant")
        turned_on_by = function_of(entry, main)["on_by"]
        assert turned_on_by == {"receiver": "accessory", "amplifier": "amplifier-turn-on"}[entry.part.kind]
        # Batteries go flat in weeks, not in days: a few mA while off.
        assert main.idle_amps is not None
        assert main.idle_amps <= 0.01
        senses = {i.terminal for i in entry.part.internals if isinstance(i, kinds.Sense)}
        assert main.on_by in senses
        for internal in entry.part.internals:
            if isinstance(internal, kinds.SpeakerOutput | kinds.Output):
                assert (internal.fed_from, internal.on_by) == (main.plus, main.on_by)
