"""Small jobs put together as circuits, and what is asked of them in these tests."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, TypeVar

from core.circuit.assemble import SketchCache, assemble
from core.circuit.kernel.circuit import Circuit
from core.circuit.kernel.solution import Solved
from core.circuit.network import Device
from core.circuit.plan import Plan
from core.circuit.positions import KEYS, Position, position
from core.job.document import Job
from core.job.internals import Internal
from core.job.parts import Part
from core.net.graph import build
from tests.core.checks.jobs import library
from tests.core.circuit.cases.build import Run, job_of, part, ref

Kind = TypeVar("Kind", bound=Device)


def planned(job: Job, *, bench: bool = False, cache: SketchCache | None = None) -> Plan:
    return assemble(job, library(), build(job), bench=bench, cache=cache)


def box(pins: str, *inside: Internal, car: bool = False, **settings: Any) -> Plan:
    """The circuit of a job with a single part, `BOX`."""
    return planned(job_of([part("BOX", pins, *inside, car=car)], [], **settings))


def wired(parts: Iterable[Part], runs: Iterable[Run], **settings: Any) -> Plan:
    return planned(job_of(parts, runs, **settings))


def node(plan: Plan, place: str) -> int:
    """The node of `BOX-plus`, a joint or a pole."""
    found = plan.node_of(ref(place))
    assert found is not None
    return found


def device(plan: Plan, name: str, kind: type[Kind]) -> Kind:
    (found,) = (each for each in plan.network.devices if each.name == name)
    assert isinstance(found, kind)
    return found


def resistance(plan: Plan, key: str | tuple[str, str]) -> tuple[int, int, float, int]:
    """From, to, ohms and condition of a row."""
    row, all_rows = plan.rows[key], plan.network.resistors
    return int(all_rows.a[row]), int(all_rows.b[row]), float(all_rows.ohms[row]), int(all_rows.when[row])


def ohms(plan: Plan, key: str | tuple[str, str]) -> float:
    return resistance(plan, key)[2]


def between(plan: Plan, key: str) -> tuple[int, int]:
    return resistance(plan, key)[:2]


class Solutions:
    """The answers of the solver, each position reached through those before it."""

    def __init__(self, plan: Plan, *, full: bool = False) -> None:
        self.plan = plan
        self._circuit = Circuit(plan.network_full if full else plan.network)

    def at(self, name: str) -> Solved:
        own = [switch for live in self.plan.network.conditions for switch in live.switches]
        wanted = position(name, own)
        states = None
        for key in KEYS[: KEYS.index(wanted.key)]:
            states = self._circuit.solve(Position(key), states).after.states
        found = self._circuit.solve(wanted, states)
        assert found.after.unsolved == ""
        return found

    def volts(self, place: str, where: str, against: str = "body") -> float | None:
        """Volts at a place; None where it floats."""
        after = self.at(where).after
        here, there = node(self.plan, place), node(self.plan, against)
        if after.floating[here]:
            return None
        return float(after.volts[here] - after.volts[there])

    def amps(self, name: str, where: str) -> float:
        return self.at(where).after.device_amps[name]
