"""The laws of what is not a plain resistance, as SPICE expressions."""

from __future__ import annotations

from typing import Literal

from tests.spice.elements import RAMP, Between, Flow


def load(
    name: str, plus: str, minus: str, law: Literal["amps", "ohms", "watts"], value: float, least_volts: float
) -> Flow:
    """Nothing at or below 0 V, ohmic from there to `least_volts`, its law above, continuous there."""

    def text(v: Between) -> str:
        u = v(plus, minus)
        if law == "ohms":
            above, slope = f"{u}/{value!r}", 1 / value
        elif law == "amps":
            above, slope = f"{value!r}", value / least_volts
        else:
            above, slope = f"{value!r}/{u}", value / least_volts**2
        return f"{RAMP}*({u}<=0 ? 0 : ({u}<{least_volts!r} ? {slope!r}*{u} : {above}))"

    return Flow(name, plus, minus, text, lambda v: v(plus, minus) > 0)


def diode(name: str, anode: str, cathode: str, drop_volts: float, ohms: float) -> Flow:
    """Nothing below its drop, (volts - drop) / ohms above."""

    def text(v: Between) -> str:
        over = f"({v(anode, cathode)}-{drop_volts!r})"
        return f"({over}<=0 ? 0 : {over}/{ohms!r})"

    return Flow(name, anode, cathode, text, lambda v: v(anode, cathode) > drop_volts)


def lamp(name: str, a: str, b: str, volts: float, watts: float, cold_ohms: float) -> Flow:
    """ohms = the larger of those when cold and volts² / watts x (volts across it / volts) ^ 0.45."""
    hot_ohms = volts**2 / watts
    # Below these volts the filament has no more than its cold ohms.
    turn = volts * (cold_ohms / hot_ohms) ** (1 / 0.45)
    nominal_amps = watts / volts

    def text(v: Between) -> str:
        u = v(a, b)
        hot = f"{nominal_amps!r}*pow(abs({u})/{volts!r},0.55)"
        return f"(abs({u})<{turn!r} ? {u}/{cold_ohms!r} : ({u}>0 ? {hot} : -{hot}))"

    return Flow(name, a, b, text, lambda _: True)


def supply(name: str, plus: str, minus: str, volts: float, ohms: float, limit_amps: float) -> Flow:
    """Gives no more than its limit, and takes nothing back. The amps are those taken: given is negative."""

    def text(v: Between) -> str:
        return f"-min({limit_amps!r},max(0,({volts!r}-{v(plus, minus)})/{ohms!r}))"

    return Flow(name, plus, minus, text, lambda v: 0 < volts - v(plus, minus) < limit_amps * ohms)
