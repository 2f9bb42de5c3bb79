"""Random internals of every kind, between given terminals of a part."""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import TypeVar, get_args

from core.job import internals as kinds
from core.job.internals import Internal, Key, LiveIn, VoltWindow

T = TypeVar("T")
KEYS: tuple[Key, ...] = get_args(Key)
OWN_SWITCH = "cut-off"
BUTTONS = ("Vol +", "seek")
_USUAL_KEYS: tuple[tuple[Key, ...], ...] = (
    KEYS,
    ("accessory", "run", "running"),
    ("run", "start", "running"),
    ("run", "running"),
    ("start",),
)
WINDOW = VoltWindow(least=9, most=16)

Pick = Callable[[], str]
Maker = Callable[[Random, Pick, float], Internal]
"""A kind from chance, the next terminal that is to be used, and the system's volts."""


def live(chance: Random) -> LiveIn:
    switch = chance.choice((None, None, None, "lights", "reverse", "brake", OWN_SWITCH))
    unless = chance.choice((None, None, None, None, "parking", "left"))
    return LiveIn(keys=chance.choice(_USUAL_KEYS), switch=switch, unless=unless)


def near(chance: Random, middle: float) -> float:
    """A value about `middle`, from a third to three times of it."""
    return float(f"{middle * 3 ** chance.uniform(-1, 1):.4g}")


def maybe(chance: Random, value: T, share: float = 0.5) -> T | None:
    return value if chance.random() < share else None


def _battery(chance: Random, pick: Pick, system: float) -> Internal:
    return kinds.Battery(
        plus=pick(),
        minus=pick(),
        rest_volts=maybe(chance, system * 1.04),
        ohms=maybe(chance, near(chance, 0.02)),
    )


def _feed(chance: Random, pick: Pick, system: float) -> Internal:
    return kinds.Feed(
        terminal=pick(),
        live=live(chance),
        volts=maybe(chance, near(chance, system / 2), 0.2),
        ohms=maybe(chance, near(chance, 0.05)),
        fuse_amps=maybe(chance, chance.choice((5.0, 10.0, 20.0)), 0.6),
        fuse=chance.choice(("", "", "F1", "F2")),
    )


def _pulsed_feed(chance: Random, pick: Pick, system: float) -> Internal:
    return kinds.Feed(
        terminal=pick(), live=live(chance), manner="pulsed", duty=round(chance.uniform(0.1, 0.95), 2)
    )


def _feed_from(chance: Random, pick: Pick, system: float) -> Internal:
    return kinds.Feed(terminal=pick(), live=live(chance), fed_from=pick(), fuse_amps=maybe(chance, 7.5))


def _switch_to_ground(chance: Random, pick: Pick, system: float) -> Internal:
    return kinds.SwitchToGround(
        terminal=pick(),
        closed=live(chance),
        ohms=maybe(chance, near(chance, 0.1)),
        pull_up_ohms=maybe(chance, near(chance, 1000)),
        pull_up_volts=maybe(chance, 5.0),
        pulled_up=maybe(chance, live(chance)),
    )


def _load(chance: Random, pick: Pick, system: float) -> Internal:
    law = chance.choice(("amps", "ohms", "watts", "none"))
    value = {"amps": near(chance, 1.0), "ohms": near(chance, 20.0), "watts": near(chance, 15.0)}.get(law)
    return kinds.Load(
        plus=pick(),
        minus=maybe(chance, pick(), 0.8),
        amps=value if law == "amps" else None,
        ohms=value if law == "ohms" else None,
        watts=value if law == "watts" else None,
        least_volts=maybe(chance, round(system * chance.uniform(0.3, 0.8), 2)),
        accepts=maybe(chance, WINDOW),
        on=maybe(chance, live(chance), 0.3),
        on_by=maybe(chance, pick(), 0.3),
        idle_amps=maybe(chance, chance.choice((0.0, 0.003)), 0.5),
        reversed=chance.choice(("blocked", "blocked", "diode")),
    )


def _lamp(chance: Random, pick: Pick, system: float) -> Internal:
    return kinds.Lamp(
        a=pick(),
        b=pick(),
        volts=system,
        watts=near(chance, 10),
        cold_ohms=maybe(chance, near(chance, system**2 / 100), 0.3),
    )


def _sense(chance: Random, pick: Pick, system: float) -> Internal:
    return kinds.Sense(
        terminal=pick(),
        reference=maybe(chance, pick()),
        ohms=maybe(chance, near(chance, 10_000)),
        active=chance.choice(("high", "low")),
        pull_up_ohms=maybe(chance, near(chance, 4700)),
        pull_up_volts=maybe(chance, 5.0),
    )


def _output(chance: Random, pick: Pick, system: float) -> Internal:
    return kinds.Output(
        terminal=pick(),
        volts=maybe(chance, round(system * chance.uniform(0.3, 0.7), 2), 0.4),
        live=live(chance),
        amps=maybe(chance, near(chance, 1.0)),
        reference=maybe(chance, pick()),
        fed_from=maybe(chance, pick(), 0.6),
        on_by=maybe(chance, pick(), 0.3),
        ohms=maybe(chance, near(chance, 0.2)),
    )


def _low_side(chance: Random, pick: Pick, system: float) -> Internal:
    return kinds.LowSideOutput(
        terminal=pick(), reference=pick(), live=live(chance), on_by=maybe(chance, pick(), 0.3)
    )


def _step_down(chance: Random, pick: Pick, system: float) -> Internal:
    return kinds.StepDown(
        input=pick(),
        output=pick(),
        common=pick(),
        volts_out=round(system * chance.uniform(0.3, 0.7), 1),
        accepts=WINDOW,
        amps=maybe(chance, near(chance, 2.0)),
        sort=chance.choice(("linear", "switching")),
        efficiency=maybe(chance, 0.8),
        idle_amps=maybe(chance, chance.choice((0.0, 0.02))),
        drop_out_volts=maybe(chance, 1.0),
    )


def _step_up(chance: Random, pick: Pick, system: float) -> Internal:
    return kinds.StepUp(
        input=pick(),
        output=pick(),
        common=pick(),
        volts_out=round(system * chance.uniform(1.3, 2.0), 1),
        accepts=VoltWindow(least=round(system * 0.7, 1), most=system * 1.4),
        amps=maybe(chance, near(chance, 2.0)),
        idle_amps=maybe(chance, 0.02),
    )


def _speaker_output(chance: Random, pick: Pick, system: float) -> Internal:
    return kinds.SpeakerOutput(
        plus=pick(),
        minus=pick(),
        bridged=chance.random() < 0.7,
        fed_from=maybe(chance, pick(), 0.6),
        on_by=maybe(chance, pick(), 0.3),
    )


def _relay(chance: Random, pick: Pick, system: float) -> Internal:
    make, rest = chance.choice(((True, False), (False, True), (True, True)))
    return kinds.Relay(
        coil_plus=pick(),
        coil_minus=pick(),
        common=pick(),
        make=pick() if make else None,
        rest=pick() if rest else None,
        coil_ohms=maybe(chance, near(chance, 80)),
        clamp=chance.choice(("none", "none", "diode", "resistor")),
        clamp_ohms=maybe(chance, 680.0),
    )


def _ladder(chance: Random, pick: Pick, system: float) -> Internal:
    return kinds.ButtonLadder(
        signal=pick(),
        reference=pick(),
        ohms={button: near(chance, 1000) for button in BUTTONS},
        rest_ohms=maybe(chance, near(chance, 5000)),
    )


def _reader(chance: Random, pick: Pick, system: float) -> Internal:
    ohms, volts = near(chance, 2000), chance.choice((3.3, 5.0))
    return kinds.LadderReader(terminal=pick(), reference=pick(), pull_up_ohms=ohms, pull_up_volts=volts)


def _signal(chance: Random, pick: Pick, system: float) -> Internal:
    kind = chance.choice((kinds.Video, kinds.LineLevel, kinds.Antenna))
    return kind(terminal=pick(), reference=maybe(chance, pick()), termination_ohms=maybe(chance, 75.0, 0.7))


LINEAR: tuple[Maker, ...] = (
    _battery,
    _feed,
    _feed_from,
    _switch_to_ground,
    _ladder,
    _reader,
    _signal,
    lambda c, p, s: kinds.GroundPoint(terminal=p(), ohms=maybe(c, near(c, 0.01))),
    lambda c, p, s: kinds.Resistor(a=p(), b=p(), ohms=near(c, c.choice((0.05, 4.0, 470.0)))),
    lambda c, p, s: kinds.Resistor(a=p(), b=p(), ohms=near(c, c.choice((0.05, 4.0, 470.0)))),
    lambda c, p, s: kinds.Link(a=p(), b=p()),
    lambda c, p, s: kinds.SwitchContact(a=p(), b=p(), closed=live(c), ohms=maybe(c, near(c, 0.05))),
    lambda c, p, s: kinds.Fuse(a=p(), b=p(), amps=c.choice((3.0, 10.0, 25.0)), ohms=maybe(c, near(c, 0.01))),
    lambda c, p, s: kinds.Breaker(a=p(), b=p(), amps=c.choice((10.0, 30.0))),
    lambda c, p, s: kinds.Speaker(plus=p(), minus=p(), ohms=c.choice((2.0, 4.0, 8.0))),
    lambda c, p, s: kinds.Shield(a=p(), touches=maybe(c, p()), ohms=maybe(c, near(c, 0.05))),
    lambda c, p, s: kinds.Case(a=p(), touches_body=c.random() < 0.5, ohms=maybe(c, near(c, 0.05))),
    lambda c, p, s: kinds.DataPair(high=p(), low=p(), termination_ohms=maybe(c, 120.0, 0.7)),
)
BENT: tuple[Maker, ...] = (
    _pulsed_feed,
    _load,
    _load,
    _load,
    _lamp,
    _sense,
    _output,
    _low_side,
    _step_down,
    _step_up,
    _speaker_output,
    _relay,
    lambda c, p, s: kinds.Diode(anode=p(), cathode=p(), drop_volts=c.choice((0.3, 0.7))),
    lambda c, p, s: kinds.Diode(anode=p(), cathode=p(), drop_volts=c.choice((0.3, 0.7))),
)
