"""What is assumed where a field of a piece is left empty: the grey text of its form."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from core.circuit.positions import Position
from core.job.internals import Key
from core.job.record import Settings
from core.library.library import Library

Say = Callable[[Library, Settings], str]
NOT_STATED = "not stated"


def assumed(kind: str, field: str, library: Library, settings: Settings) -> str:
    """`0.01 assumed`, `the battery's own`; `not stated` where nothing is assumed."""
    says = _ASSUMED.get((kind, field), NOT_STATED)
    return says if isinstance(says, str) else says(library, settings)


def _limit(name: str, power: int = 0, factor: float = 1.0) -> Say:
    """A limit of the library; `power` is that of the system's volts, against 12 V, which it goes with."""

    def say(library: Library, settings: Settings) -> str:
        value = library.limits.get(name)
        if value is None:
            return NOT_STATED
        return f"{value * factor * (settings.system_volts / 12) ** power:.4g} assumed"

    return say


def _share_of_system(name: str) -> Say:
    def say(library: Library, settings: Settings) -> str:
        share = library.limits.get(name)
        return NOT_STATED if share is None else f"{share * settings.system_volts:.4g} assumed"

    return say


def _battery_volts(key: Key) -> Say:
    return lambda library, settings: f"{Position(key).battery_volts(settings):.4g}, as the car's"


def _battery_ohms(library: Library, settings: Settings) -> str:
    own = settings.battery.ohms
    return f"{own:g}, as the car's" if own is not None else _limit("battery_ohms_12v", 1)(library, settings)


def _battery_hours(library: Library, settings: Settings) -> str:
    own = settings.battery.amp_hours
    return f"{own:g}, as the car's" if own is not None else _limit("battery_amp_hours")(library, settings)


def _fuse_ohms(library: Library, _: Settings) -> str:
    volts = library.limits.get("fuse_volts")
    return NOT_STATED if volts is None else f"loses {volts:g} V at its rating"


def _cold_ohms(library: Library, _: Settings) -> str:
    share = library.limits.get("lamp_cold_share")
    return NOT_STATED if share is None else f"{100 * share:g} % of its hot ohms assumed"


def _sense_volts(library: Library, _: Settings) -> str:
    volts = library.limits.get("sense_pull_up_volts")
    return NOT_STATED if volts is None else f"{volts:g}; the battery's own with a pull-up stated"


_ASSUMED: Mapping[tuple[str, str], str | Say] = {
    ("battery", "rest_volts"): _battery_volts("off"),
    ("battery", "running_volts"): _battery_volts("running"),
    ("battery", "start_volts"): _battery_volts("start"),
    ("battery", "ohms"): _battery_ohms,
    ("battery", "amp_hours"): _battery_hours,
    ("feed", "volts"): "the battery's own",
    ("feed", "ohms"): _limit("feed_ohms"),
    ("feed", "fuse_amps"): "no fuse known",
    ("feed", "fed_from"): "the car's battery",
    ("ground point", "ohms"): _limit("bolt_ohms"),
    ("switch to ground", "ohms"): _limit("switch_ohms"),
    ("switch to ground", "pull_up_ohms"): "nothing pulls it up",
    ("switch to ground", "pull_up_volts"): "the battery's own",
    ("load", "minus"): "the part's own ground",
    ("load", "accepts"): "as the pin says",
    ("load", "least_volts"): "the least it accepts",
    ("load", "on_by"): "nothing: no pin need be live",
    ("load", "idle_amps"): "next to nothing",
    ("lamp", "cold_ohms"): _cold_ohms,
    ("sense", "reference"): "the part's own ground",
    ("sense", "accepts"): "as the pin says",
    ("sense", "ohms"): _limit("sense_ohms"),
    ("sense", "pull_up_ohms"): _limit("sense_pull_up_ohms"),
    ("sense", "pull_up_volts"): _sense_volts,
    ("output", "volts"): "its supply's own",
    ("output", "amps"): _limit("output_amps"),
    ("output", "reference"): "the part's own ground",
    ("output", "fed_from"): "the part's own feed",
    ("output", "on_by"): "nothing: no pin need be live",
    ("output", "ohms"): _limit("output_ohms"),
    ("low-side output", "on_by"): "nothing: no pin need be live",
    ("low-side output", "ohms"): _limit("output_ohms"),
    ("step-down", "efficiency"): _limit("step_down_efficiency", factor=100),
    ("step-down", "idle_amps"): _limit("step_down_idle_amps"),
    ("step-down", "drop_out_volts"): _limit("drop_out_volts"),
    ("step-up", "efficiency"): _limit("step_down_efficiency", factor=100),
    ("step-up", "idle_amps"): _limit("step_down_idle_amps"),
    ("speaker output", "fed_from"): "the part's own feed",
    ("speaker output", "on_by"): "what switches the part on",
    ("fuse", "ohms"): _fuse_ohms,
    ("breaker", "ohms"): _fuse_ohms,
    ("switch", "ohms"): _limit("switch_ohms"),
    ("relay", "coil_ohms"): _limit("coil_ohms_12v", 2),
    ("relay", "pull_in_volts"): _share_of_system("pull_in_share"),
    ("relay", "drop_out_volts"): _share_of_system("drop_out_share"),
    ("relay", "clamp_ohms"): _limit("clamp_ohms_12v", 2),
    ("relay", "make"): "no such contact",
    ("relay", "rest"): "no such contact",
    ("shield", "touches"): "nothing",
    ("shield", "ohms"): _limit("shield_ohms"),
    ("case", "ohms"): _limit("bolt_ohms"),
    ("button ladder", "rest_ohms"): "open",
    ("data pair", "termination_ohms"): "the line does not end here",
    ("video", "termination_ohms"): "the line does not end here",
    ("line level", "termination_ohms"): "the line does not end here",
    ("antenna", "termination_ohms"): "the line does not end here",
}
