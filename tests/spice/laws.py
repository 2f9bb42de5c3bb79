"""The laws of what is not a plain resistance, as SPICE expressions."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from tests.spice.elements import DRAWN, GIVEN, Between, Flow, Piece, Volts, no_amps

LEAST_INPUT_VOLTS = 0.001
"""Below it a switching converter takes no more amps for its watts."""
LEAST_STEP_UP_VOLTS = 0.05
"""A step-up gives in proportion below its least volts, and below this in any case."""
LEAST_IDLE_VOLTS, LEAST_IDLE_AMPS = 1.0, 1e-6
"""What a converter takes for itself is ohmic below that; and that is the least that it takes."""
CLOSE_VOLTS, LEADS_VOLTS = 1e-7, 1e-11
"""A load at no volts ties its ends together; a diode does so that far beyond its drop."""


def load(
    name: str, plus: str, minus: str, law: Literal["amps", "ohms", "watts"], value: float, least_volts: float
) -> Flow:
    """Nothing at or below 0 V, ohmic from there to `least_volts`, its law above, continuous there."""

    def pieces(v: Between) -> tuple[str, str]:
        u = v(plus, minus)
        if law == "ohms":
            return f"{1 / value!r}*{u}", f"{u}/{value!r}"
        if law == "amps":
            return f"{value / least_volts!r}*{u}", f"{value!r}"
        return f"{value / least_volts**2!r}*{u}", f"{value!r}/max({u},{least_volts!r})"

    def bent(v: Between) -> str:
        below, above = pieces(v)
        u = v(plus, minus)
        return f"{DRAWN}*({u}<=0 ? 0 : ({u}<{least_volts!r} ? {below} : {above}))"

    def piece(volts: Volts) -> Piece:
        u = volts(plus, minus)
        if u <= -CLOSE_VOLTS:
            return Piece(no_amps, lambda now: now(plus, minus) - CLOSE_VOLTS, ties=False)
        if u < least_volts:
            return Piece(
                lambda v: pieces(v)[0],
                lambda now: max(-CLOSE_VOLTS - now(plus, minus), now(plus, minus) - least_volts),
            )
        draw = (lambda now: value / now(plus, minus)) if law == "watts" else None
        return Piece(lambda v: pieces(v)[1], lambda now: least_volts - now(plus, minus), amps=draw)

    return Flow(name, plus, minus, bent, piece)


def diode(name: str, anode: str, cathode: str, drop_volts: float, ohms: float) -> Flow:
    """Nothing below its drop, (volts - drop) / ohms above."""

    def beyond(v: Between) -> str:
        return f"({v(anode, cathode)}-{drop_volts!r})/{ohms!r}"

    def piece(volts: Volts) -> Piece:
        if volts(anode, cathode) > drop_volts + LEADS_VOLTS:
            return Piece(beyond, lambda now: drop_volts - now(anode, cathode))
        return Piece(no_amps, lambda now: now(anode, cathode) - drop_volts, ties=False, would_tie=False)

    return Flow(name, anode, cathode, lambda v: f"max(0,{beyond(v)})", piece, opens_at=drop_volts)


def lamp(name: str, a: str, b: str, volts: float, watts: float, cold_ohms: float) -> Flow:
    """ohms = the larger of those when cold and volts² / watts x (volts across it / volts) ^ 0.45."""
    hot_ohms = volts**2 / watts
    # Below these volts the filament has no more than its cold ohms.
    turn = volts * (cold_ohms / hot_ohms) ** (1 / 0.45)

    def hot(v: Between) -> str:
        return f"{watts / volts!r}*pow(abs({v(a, b)})/{volts!r},0.55)"

    def bent(v: Between) -> str:
        u = v(a, b)
        return f"(abs({u})<{turn!r} ? {u}/{cold_ohms!r} : ({u}>0 ? {hot(v)} : -{hot(v)}))"

    def piece(now: Volts) -> Piece:
        if abs(now(a, b)) < turn:
            return Piece(lambda v: f"{v(a, b)}/{cold_ohms!r}", lambda then: abs(then(a, b)) - turn)
        sign = 1 if now(a, b) > 0 else -1

        def draw(then: Volts) -> float:
            return sign * watts / volts * abs(then(a, b) / volts) ** 0.55

        return Piece(lambda v: f"{sign}*{hot(v)}", lambda then: turn - sign * then(a, b), amps=draw)

    return Flow(name, a, b, bent, piece)


def supply(name: str, plus: str, minus: str, volts: float, ohms: float, limit_amps: float) -> Flow:
    """Gives no more than its limit, and takes nothing back. The amps are those taken: given is negative."""
    limiting_volts = volts - limit_amps * ohms

    def bent(v: Between) -> str:
        return f"-min({limit_amps!r},max(0,({volts!r}*{GIVEN}-{v(plus, minus)})/{ohms!r}))"

    def piece(now: Volts) -> Piece:
        if now(plus, minus) > volts + CLOSE_VOLTS:
            return Piece(no_amps, lambda then: volts - then(plus, minus), ties=False)
        if now(plus, minus) < limiting_volts:
            return Piece(lambda _: f"-{limit_amps!r}", lambda then: then(plus, minus) - limiting_volts)
        return Piece(
            lambda v: f"({v(plus, minus)}-{volts!r})/{ohms!r}",
            lambda then: max(limiting_volts - then(plus, minus), then(plus, minus) - volts - CLOSE_VOLTS),
        )

    return Flow(name, plus, minus, bent, piece)


@dataclass(frozen=True, slots=True)
class Converter:
    """Holds `output` at `volts`, or at `ratio` times its input's, above `common`, behind `ohms`.

    Without that many volts and `drop_out_volts` more at its input it passes its input less drop-out; one that
    steps up gives in proportion below its `least_volts` instead. `efficiency` None: a linear one, whose input
    gives the output's amps, so that it never leads back; else the output's watts over it. `sinks`: amps may
    flow back, to common. `idle_amps`: what it takes for itself, like a load.
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
    idle_amps: float = 0.0

    def flows(self) -> tuple[Flow, Flow, Flow]:
        """What it gives (from common to output), what it takes for that, and what for itself (both from input
        to common).
        """
        least = max(self.least_volts or 0.0, LEAST_IDLE_VOLTS)
        idle = max(self.idle_amps, LEAST_IDLE_AMPS)
        passes = "" if self._floored else self.input
        return (
            Flow(self.name, self.common, self.output, self._clipped, self._giving, from_=passes),
            Flow(f"{self.name} in", self.input, self.common, self._takes, self._taking),
            load(f"{self.name} idle", self.input, self.common, "amps", idle, least),
        )

    @property
    def _floored(self) -> bool:
        """Whether it would hold no less than nothing."""
        return self.least_volts is not None or self.efficiency is not None or self.sinks

    @property
    def _floor_amps(self) -> float:
        return -self.limit_amps if self.sinks else 0.0

    def _inside(self, given: float) -> float:
        """What it would hold, at these volts of its input."""
        wanted = self.ratio * given if self.volts is None else self.volts
        if self.least_volts is not None:
            return wanted * max(0.0, min(1.0, given / self.least_volts))
        held = min(wanted, given - self.drop_out_volts)
        return max(0.0, held) if self._floored else held

    def _insides(self, v: Between) -> tuple[str, str]:
        """What it would hold in full, and from too low an input."""
        given = v(self.input, self.common)
        wanted = f"{self.ratio!r}*{given}" if self.volts is None else repr(self.volts)
        if self.least_volts is not None:
            return wanted, f"{wanted}*{given}/{self.least_volts!r}"
        return wanted, f"({given}-{self.drop_out_volts!r})"

    def _amps(self, v: Between, inside: str) -> str:
        return f"({inside}-{v(self.output, self.common)})/{self.ohms!r}"

    def _clipped(self, v: Between) -> str:
        held, low = self._insides(v)
        inside = f"min({held},{low})"
        if self._floored:
            inside = f"max(0,{inside})"
        amps = self._amps(v, inside)
        if self._floor_amps > -math.inf:
            amps = f"max({self._floor_amps!r},{amps})"
        return amps if self.limit_amps == math.inf else f"min({self.limit_amps!r},{amps})"

    def _regions(self, now: Volts) -> tuple[int, int]:
        """The piece of its volts it is on, and whether its amps are below, between or above their limits."""
        given = now(self.input, self.common)
        wanted = self.ratio * given if self.volts is None else self.volts
        inside = self._inside(given)
        held = 0 if inside == 0 and self._floored else 2 if inside == wanted else 1
        amps = (inside - now(self.output, self.common)) / self.ohms
        slack = CLOSE_VOLTS
        clip = 0 if amps < self._floor_amps - slack else 2 if amps > self.limit_amps + slack else 1
        return held, clip

    def _giving(self, now: Volts) -> Piece:
        held, clip = self._regions(now)
        if clip != 1:
            amps = self.limit_amps if clip == 2 else self._floor_amps
            would_tie = self._inside(now(self.input, self.common)) > 0
            return Piece(
                (lambda _: repr(amps)) if amps else no_amps,
                lambda then: self._away(then, held, clip),
                ties=clip == 2,
                would_tie=would_tie,
            )
        inside = self._inside(now(self.input, self.common))
        amps = (inside - now(self.output, self.common)) / self.ohms
        if not self.sinks and inside <= 0 and amps <= LEADS_VOLTS / self.ohms:
            # Dead: nothing but amps could hold its ends together.
            return Piece(no_amps, lambda then: self._away(then, held, 0), ties=False, would_tie=False)
        return Piece(
            lambda v: self._amps(v, ("0", *self._insides(v)[::-1])[held]),
            lambda then: self._away(then, held, clip),
        )

    def _away(self, now: Volts, held: int, clip: int) -> float:
        """How many volts it is from where these regions end; below 0 inside of them."""
        given, out = now(self.input, self.common), now(self.output, self.common)
        wanted = self.ratio * given if self.volts is None else self.volts
        if self.least_volts is not None:
            low = wanted * given / self.least_volts
        else:
            low = given - self.drop_out_volts
        inside = (0.0, low, wanted)[held]
        apart = abs(inside - self._inside(given))
        amps = (inside - out) / self.ohms
        if clip == 0:
            return max(apart, (amps - self._floor_amps) * self.ohms)
        if clip == 2:
            return max(apart, (self.limit_amps - amps) * self.ohms)
        return max(apart, (self._floor_amps - amps) * self.ohms, (amps - self.limit_amps) * self.ohms)

    def _share(self, v: Between, given: str) -> str:
        return f"{v(self.output, self.common)}/({self.efficiency!r}*{given})"

    def _takes(self, v: Between) -> str:
        amps = f"max(0,i(@{self.name}@))"
        if self._floored:  # what holds at no volts leads to its common
            amps = f"({v(self.input, self.common)}<={self.drop_out_volts!r} ? 0 : {amps})"
        if self.efficiency is None:
            return amps
        given = f"max({v(self.input, self.common)},{LEAST_INPUT_VOLTS!r})"
        return f"{amps}*max(0,{self._share(v, given)})"

    def _taking(self, now: Volts) -> Piece:
        """It ties nothing: what it takes is what the output asks for."""
        given, out = now(self.input, self.common), now(self.output, self.common)
        held, clip = self._regions(now)
        dead = held == 0 or self._out_amps(now, clip) <= 0
        if dead or (self.efficiency is not None and (out <= 0 or given <= 0)):
            return Piece(no_amps, lambda _: -1.0, ties=False, would_tie=False)
        if self.efficiency is None:
            return Piece(lambda _: f"i(@{self.name}@)", lambda _: -1.0, ties=False)
        efficiency = self.efficiency
        least = given / 2  # SPICE begins at 0 V, by which nothing can be divided

        def draw(then: Volts) -> float:
            share = then(self.output, self.common) / (efficiency * max(then(self.input, self.common), least))
            return max(0.0, self._out_amps(then, clip)) * share

        return Piece(
            lambda v: f"i(@{self.name}@)*{self._share(v, f'max({v(self.input, self.common)},{least!r})')}",
            lambda then: max(-then(self.output, self.common), least - then(self.input, self.common)),
            ties=False,
            amps=draw,
        )

    def _out_amps(self, now: Volts, clip: int) -> float:
        if clip != 1:
            return self.limit_amps if clip == 2 else self._floor_amps
        return (self._inside(now(self.input, self.common)) - now(self.output, self.common)) / self.ohms
