"""The laws of what is not a plain resistance, as SPICE expressions."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from tests.spice.elements import RAMP, Between, Flow, Volts

LEAST_INPUT_VOLTS = 0.05
"""Below it a switching converter takes no more amps for its watts."""


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


def constant_draw(name: str, plus: str, minus: str, amps: float, least_volts: float) -> Flow:
    """What a converter takes for itself."""
    return load(name, plus, minus, "amps", amps, least_volts)


@dataclass(frozen=True, slots=True)
class Converter:
    """Holds `output` at `volts`, or at `ratio` times its input's, above `common`, behind `ohms`.

    Without that many volts and `drop_out_volts` more at its input it passes its input less drop-out; one that
    steps up gives in proportion below its `least_volts` instead. `efficiency` None: the input gives the
    output's amps; else the output's watts over it. `sinks`: amps may flow back, to common.
    """

    name: str
    input: str
    output: str
    common: str
    ohms: float
    volts: float | None = None
    ratio: float = 1.0
    drop_out_volts: float = 0.0
    least_volts: float | None = None
    efficiency: float | None = None
    limit_amps: float = math.inf
    sinks: bool = False

    def flows(self) -> tuple[Flow, Flow]:
        """What it gives (from common to output), and what it takes for that (from input to common)."""
        return (
            Flow(self.name, self.common, self.output, self._gives, self._holds),
            Flow(f"{self.name} in", self.input, self.common, self._takes, lambda _: True),
        )

    def _inside(self, given: float) -> float:
        wanted = self.ratio * given if self.volts is None else self.volts
        if self.least_volts is not None:
            return wanted * max(0.0, min(1.0, given / self.least_volts))
        return max(0.0, min(wanted, given - self.drop_out_volts))

    def _gives(self, v: Between) -> str:
        given = v(self.input, self.common)
        wanted = f"{self.ratio!r}*{given}" if self.volts is None else repr(self.volts)
        if self.least_volts is not None:
            inside = f"{wanted}*max(0,min(1,{given}/{self.least_volts!r}))"
        else:
            inside = f"max(0,min({wanted},{given}-{self.drop_out_volts!r}))"
        amps = f"({inside}-{v(self.output, self.common)})/{self.ohms!r}"
        if not self.sinks:
            amps = f"max(0,{amps})"
        elif self.limit_amps < math.inf:
            amps = f"max({-self.limit_amps!r},{amps})"
        return amps if self.limit_amps == math.inf else f"min({self.limit_amps!r},{amps})"

    def _holds(self, volts: Volts) -> bool:
        amps = (self._inside(volts(self.input, self.common)) - volts(self.output, self.common)) / self.ohms
        return (-self.limit_amps if self.sinks else 0) < amps < self.limit_amps

    def _takes(self, v: Between) -> str:
        amps = f"max(0,i(@{self.name}@))"
        if self.efficiency is None:
            return amps
        given = f"max({v(self.input, self.common)},{max(self.drop_out_volts, LEAST_INPUT_VOLTS)!r})"
        return f"{amps}*max(0,{v(self.output, self.common)})/({self.efficiency!r}*{given})"
