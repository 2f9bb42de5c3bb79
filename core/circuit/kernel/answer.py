"""The last round of a solve as a Solution: what flows where, what it takes, what there is to say."""

from __future__ import annotations

import numpy as np

from core.circuit.kernel.hanging import label as label_of
from core.circuit.kernel.hanging import target
from core.circuit.kernel.regulators import LIMITING, SET, THROUGH
from core.circuit.kernel.rounds import Round
from core.circuit.kernel.solution import CannotHold, Flags, Solution
from core.circuit.kernel.table import Table

LOAD_WORDS = ("reversed", "blocked", "ohmic", "law")


def answer(
    table: Table,
    done: Round,
    closed: Flags,
    over: tuple[tuple[str, float], ...],
    lifted: frozenset[int],
) -> Solution:
    """`closed` and `over`: fuses that are whole, and those above their rating with their share of it."""
    balance = done.balance
    volts, amps = balance.volts, balance.amps
    label = label_of(table, done)
    whole = table.condensed.whole(volts, label, amps[table.resistor_at], lifted)
    island = np.arange(len(whole.island)) if balance.why else whole.island
    floating = island > 0
    lost = table.sums(amps, balance.into, balance.out)
    device_amps, watts = _by_name(table, done)
    straight = table.resistor_at
    heat = amps[straight] ** 2 / table.siemens[straight]
    each = np.array(list(watts.values()))
    given = -float(each[each < 0].sum())
    taken = float(each[each > 0].sum() + heat.sum())
    return Solution(
        volts=np.where(floating, 0.0, whole.volts),
        floating=floating,
        island=island,
        island_volts=whole.volts,
        resistor_amps=whole.amps,
        device_amps=device_amps,
        watts=watts,
        states=_states(table, done, closed),
        overloaded=over,
        cannot_hold=_cannot_hold(table, done),
        limiting=_limiting(table, done),
        dropped_out=_dropped_out(table, done),
        chatter=done.chatter,
        unsolved=balance.why,
        residual_amps=float(np.abs(lost).max()),
        residual_scale_amps=float(np.abs(amps).max(initial=0.0)),
        power_given_watts=given,
        power_taken_watts=taken,
    )


def _by_name(table: Table, done: Round) -> tuple[dict[str, float], dict[str, float]]:
    """Amps and watts of the devices."""
    balance, curves, r = done.balance, table.curves, table.regulators
    volts, amps = balance.volts, balance.amps
    power = (amps * (volts[table.a] - volts[table.b])).tolist()
    flows = amps.tolist()
    found: dict[str, float] = {}
    watts: dict[str, float] = {}

    def note(name: str, place: int, sign: float = 1.0) -> None:
        found[name] = sign * flows[place] + 0.0
        watts[name] = power[place]

    curve = table.straight
    for k, source in enumerate(table.sources, table.source_at.start):
        note(source.name, k, -1.0)
    for k, source in enumerate(curves.sources, curve + curves.source_at.start):
        note(source.name, k, -1.0)
    for k, fuse in enumerate(table.fuses, table.fuse_at.start):
        note(fuse.name, k)
    for k, switch in enumerate(table.switches, table.switch_at.start):
        note(switch.name, k)
    for k, load in enumerate(curves.loads, curve + curves.load_at.start):
        note(load.name, k)
    for k, lamp in enumerate(curves.lamps, curve + curves.lamp_at.start):
        note(lamp.name, k)
    for k, diode in enumerate(curves.diodes, curve + curves.diode_at.start):
        note(diode.name, k)
    for k, relay in enumerate(table.relays, table.coil_at.start):
        found[relay.name] = 0.0
        found[f"{relay.name} coil"] = flows[k]
        watts[relay.name] = power[k]
    for k, which in enumerate(table.making.tolist(), table.make_at.start):
        found[table.relays[which].name] += flows[k]
        watts[table.relays[which].name] += power[k]
    for k, which in enumerate(table.resting.tolist(), table.rest_at.start):
        found[table.relays[which].name] += flows[k]
        watts[table.relays[which].name] += power[k]
    for k, relay in enumerate(curves.clamped, curve + curves.clamp_at.start):
        found[f"{relay.name} clamp"] = flows[k]
        watts[relay.name] += power[k]
    if r.count:
        fed = (volts[r.input] - volts[r.common]) * balance.into
        held = (volts[r.output] - volts[r.common]) * balance.out
        for device, out, into, kept in zip(
            r.devices, balance.out.tolist(), balance.into.tolist(), (fed - held).tolist(), strict=True
        ):
            found[device.name] = out
            found[f"{device.name} in"] = into
            watts[device.name] = kept
        for k, device in enumerate(curves.idling, curve + curves.idle_at.start):
            found[f"{device.name} in"] += flows[k]
            watts[device.name] += power[k]
        for k, device in enumerate(curves.backed, curve + curves.back_at.start):
            found[device.name] -= flows[k]
            found[f"{device.name} in"] -= flows[k]
            watts[device.name] += power[k]
    return found, watts


def _states(table: Table, done: Round, closed: Flags) -> dict[str, str]:
    """The word of every device that has states."""
    curves, regions = table.curves, done.regions
    region = regions.region.tolist()
    words: dict[str, str] = {}
    for relay, pulled in zip(table.relays, done.memory.pulled.tolist(), strict=True):
        words[relay.name] = "pulled" if pulled else "rest"
    for fuse, whole in zip(table.fuses, closed.tolist(), strict=True):
        words[fuse.name] = "closed" if whole else "open"
    gates = done.memory.gates.tolist()
    for device, on in zip(table.gated, gates, strict=True):
        words[device.name] = "on" if on else "off"
    for k, load in enumerate(curves.loads, curves.load_at.start):
        if words[load.name] == "on":
            words[load.name] = LOAD_WORDS[region[k]]
    for k, diode in enumerate(curves.diodes, curves.diode_at.start):
        words[diode.name] = "on" if region[k] == 2 else "off"
    for k, source in enumerate(curves.sources, curves.source_at.start):
        words[source.name] = ("limiting", "limiting", "holding", "blocked")[region[k]]
    holding = done.holding
    back = {device.name: region[k] for k, device in enumerate(curves.backed, curves.back_at.start)}
    for k, regulator in enumerate(table.regulators.devices):
        if words[regulator.name] == "on":
            if holding.clip[k] == LIMITING:
                words[regulator.name] = "limiting"
            elif holding.target[k] == SET:
                words[regulator.name] = "regulating"
            else:
                words[regulator.name] = "drop-out"
        if back.get(regulator.name) == 2:
            words[regulator.name] += "+back"
    return words


def _limiting(table: Table, done: Round) -> tuple[str, ...]:
    curves, r, holding = table.curves, table.regulators, done.holding
    at = curves.source_at
    held = (done.regions.region[at] == 1) & done.regions.there[at]
    names = [curves.sources[k].name for k in np.flatnonzero(held)]
    names += [r.devices[k].name for k in np.flatnonzero(holding.on & (holding.clip == LIMITING))]
    return tuple(names)


def _dropped_out(table: Table, done: Round) -> tuple[str, ...]:
    """Regulators that pass something on, but less than they are set to."""
    holding, r = done.holding, table.regulators
    low = holding.on & (holding.target == THROUGH) & (target(table, done) > 0)
    return tuple(r.devices[k].name for k in np.flatnonzero(low))


def _cannot_hold(table: Table, done: Round) -> tuple[CannotHold, ...]:
    """Loads that fell below their least volts though they had enough before they drew."""
    curves, regions, balance = table.curves, done.regions, done.balance
    fallen = np.flatnonzero(regions.fallen(balance.open_volts))
    if not len(fallen) or balance.factor is None:
        return ()
    found = []
    _, siemens = regions.read(balance.volts[curves.a] - balance.volts[curves.b], tangent=True)
    for k in fallen.tolist():
        load = curves.loads[k - curves.load_at.start]
        a, b = int(curves.a[k]), int(curves.b[k])
        one = np.zeros(table.nodes)
        one[a] += 1.0
        one[b] -= 1.0
        moved = balance.factor(one)
        seen = float(moved[a] - moved[b])
        # the feed without this load: it is one of the siemens that were seen
        ohms = seen / (1 - float(siemens[k]) * seen)
        amps = float(balance.amps[table.straight + k])
        volts = float(balance.volts[a] - balance.volts[b]) + ohms * amps
        least = float(regions.bounds[3, k])
        needs = load.value if load.law == "watts" else load.value * least
        there = max(0.0, volts - least) / ohms * least
        found.append(CannotHold(load.name, needs, volts**2 / (4 * ohms), there))
    return tuple(found)
