"""What a job draws with the key off, who draws it, and how long the battery lasts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from core.circuit.conducting import there
from core.circuit.engine import Engine
from core.circuit.network import Load
from core.circuit.operating import OperatingPoint
from core.circuit.plan import Plan
from core.circuit.positions import DEAD_FRACTION, Position
from core.job import internals as kinds
from core.job.internals import Internal

HOURS_A_DAY = 24
LEAST_AMPS = 1e-6
OFF = Position("off")
WAYS = (
    kinds.Battery,
    kinds.Breaker,
    kinds.Case,
    kinds.Diode,
    kinds.Feed,
    kinds.Fuse,
    kinds.GroundPoint,
    kinds.Link,
    kinds.LowSideOutput,
    kinds.Output,
    kinds.Shield,
    kinds.SwitchContact,
    kinds.SwitchToGround,
)
"""What only leads the amps on to those that use them."""


@dataclass(frozen=True, slots=True)
class Draw:
    """What one device, or one part, takes from the battery."""

    name: str
    amps: float


@dataclass(frozen=True, slots=True)
class AfterRun:
    """Something that stays awake for a time after key-off; None where the job does not say how long."""

    where: str
    minutes: float | None


@dataclass(frozen=True, slots=True)
class Drain:
    """The amps that the battery gives with the key off, what else the car draws by itself left out.

    They are shared out by the watts of those that use them. `not_stated`: loads that
    are fed and whose draw nobody stated. `days_to_half` until the battery is half empty; None where next to
    nothing is drawn.
    """

    amps: float
    by_device: tuple[Draw, ...]
    by_part: tuple[Draw, ...]
    not_stated: tuple[str, ...]
    after_run: tuple[AfterRun, ...]
    battery_amp_hours: float
    battery_stated: bool
    days_to_half: float | None


def drain(engine: Engine, position: Position = OFF) -> Drain:
    """The drain of a job, in a position with the key off."""
    point = engine.point(position)
    shared = _shared_out(engine, point)
    by_part: dict[str, float] = {}
    for name, amps in shared.items():
        tag = engine.plan.devices[name][0]
        by_part[tag] = by_part.get(tag, 0.0) + amps
    total = sum(shared.values())
    hours, stated = _amp_hours(engine)
    return Drain(
        amps=total,
        by_device=_ranked(shared),
        by_part=_ranked(by_part),
        not_stated=tuple(_not_stated(engine, point)),
        after_run=tuple(_after_run(engine)),
        battery_amp_hours=hours,
        battery_stated=stated,
        days_to_half=hours / 2 / total / HOURS_A_DAY if total > LEAST_AMPS else None,
    )


def _ranked(amps: dict[str, float]) -> tuple[Draw, ...]:
    drawing = (Draw(name, value) for name, value in amps.items() if value > LEAST_AMPS)
    return tuple(sorted(drawing, key=lambda draw: (-draw.amps, draw.name)))


def _shared_out(engine: Engine, point: OperatingPoint) -> dict[str, float]:
    """What the battery gives, by the watts of those that use it; what is lost on the way falls to them.

    What else hangs on the car's feeds is invented, and so is what a load draws of which nobody said so: they
    have their share, and it is left out.
    """
    solution, plan = point.solution, engine.plan
    watts = {name: taken for name, taken in solution.watts.items() if taken > 0 and _uses(plan, name)}
    heat = solution.resistor_amps**2 * point.network.resistors.ohms
    rests = {plan.names[row] for row in plan.rests}
    for row, key in plan.names.items():
        if isinstance(key, str) and (_uses(plan, key) or key in rests):
            watts[key] = watts.get(key, 0.0) + float(heat[row])
    given, taken = solution.device_amps.get(plan.battery, 0.0), sum(watts.values())
    if given <= 0 or taken <= 0:
        return {}
    left_out = rests | set(_assumed(engine, point))
    return {name: part * given / taken for name, part in watts.items() if name not in left_out}


def _uses(plan: Plan, name: str) -> bool:
    """Whether a device is an end in itself, and not a way to others."""
    known = plan.devices.get(name)
    return known is not None and not isinstance(known[1], WAYS)


def _assumed(engine: Engine, point: OperatingPoint) -> Iterator[str]:
    """The loads that draw nothing but what is assumed of one that is off."""
    here = {device.name: device for device in point.network.devices if isinstance(device, Load)}
    for name, (_, internal) in engine.plan.devices.items():
        if isinstance(internal, kinds.Load) and internal.idle_amps is None:
            device = here.get(name)
            off = point.solution.states.get(name) == "off"
            if device is None or off or not there(device, point.position, point.network):
                yield name


def _not_stated(engine: Engine, point: OperatingPoint) -> Iterator[str]:
    """Those of them that are fed."""
    volts, plan = point.solution.volts, engine.plan
    resistors = point.network.resistors
    live = DEAD_FRACTION * engine.job.settings.system_volts
    ends = {
        device.name: (device.plus, device.minus)
        for device in point.network.devices
        if isinstance(device, Load)
    }
    for name in _assumed(engine, point):
        row = plan.rows.get(name)
        a, b = ends.get(name) or ((0, 0) if row is None else (int(resistors.a[row]), int(resistors.b[row])))
        if abs(float(volts[a] - volts[b])) >= live:
            yield name


def _after_run(engine: Engine) -> Iterator[AfterRun]:
    seen: set[int] = set()
    for name, (tag, internal) in engine.plan.devices.items():
        if id(internal) in seen:
            continue
        seen.add(id(internal))
        if isinstance(internal, kinds.Feed) and internal.manner == "timed":
            yield AfterRun(f"{tag}.{internal.terminal}", internal.after_run_minutes)
        seconds = _seconds_on(internal)
        if seconds is not None:
            yield AfterRun(name, seconds / 60)


def _seconds_on(internal: Internal) -> float | None:
    match internal:
        case kinds.Load():
            stated = (internal.off_delay_s, internal.hold_up_s)
        case kinds.Output() | kinds.LowSideOutput() | kinds.Relay():
            stated = (internal.off_delay_s, None)
        case _:
            return None
    return max((s for s in stated if s is not None), default=None)


def _amp_hours(engine: Engine) -> tuple[float, bool]:
    """Of the car's battery, and whether the job states them."""
    known = engine.plan.devices.get(engine.plan.battery)
    own = known[1].amp_hours if known and isinstance(known[1], kinds.Battery) else None
    stated = own or engine.job.settings.battery.amp_hours
    return stated or engine.places.limits["battery_amp_hours"], stated is not None
