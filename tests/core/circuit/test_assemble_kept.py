"""What is kept from one assembly to the next: after any edit the circuit is the one made from nothing."""

from __future__ import annotations

import math
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from core import edits as ed
from core.circuit.assemble import SketchCache, assemble
from core.circuit.plan import Plan
from core.job.delta import delta
from core.job.document import Job
from core.job.internals import Link
from core.net.graph import build
from tests.core.checks.jobs import library, radio
from tests.core.circuit.cases.build import part
from tests.core.circuit.drawn import planned, resistance
from tests.strategies import edits, jobs, tried

NODES = frozenset(
    (
        *("plus", "minus", "a", "b", "anode", "cathode", "coil_plus", "coil_minus", "common"),
        *("make", "rest", "input", "output", "node", "reference"),
    )
)


def shape(plan: Plan) -> dict[str, object]:
    """A circuit by names instead of numbers."""
    of: dict[int, set[str]] = {}
    for name, number in plan.nodes.items():
        of.setdefault(number, set()).add(name)
    known = {number: tuple(sorted(names)) for number, names in of.items()}
    conditions = (*plan.network.conditions, None)
    rows = {}
    for key in plan.rows:
        a, b, ohms, when = resistance(plan, key)
        rows[key] = (known[a], known[b], ohms, conditions[when])
    devices = {}
    for device in plan.network.devices:
        fields: dict[str, object] = {}
        for name in type(device).__slots__:
            value: Any = getattr(device, name)
            if name == "gate" and value is not None:
                value = (known[value.node], known[value.reference], value.on_volts, value.off_volts)
            elif name in NODES and value is not None:
                value = known[value]
            elif name == "when":
                value = conditions[value]
            fields[name] = value
        devices[device.name] = fields
    return {"rows": rows, "devices": devices, "withheld": plan.withheld, "switches": plan.switches}


class Following:
    """One job edit by edit, with a graph and a cache that follow it."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.graph = build(job)
        self.cache = SketchCache(library())

    def go(self, job: Job) -> None:
        self.graph.update(self.job, job, delta(self.job, job))
        self.job = job

    def plan(self, *, bench: bool = False) -> Plan:
        return assemble(self.job, library(), self.graph, bench=bench, cache=self.cache)


def test_what_is_kept_changes_nothing() -> None:
    following = Following(radio())
    end = next(iter(following.job.joints.values())).ends[0]
    for step in (
        lambda j: j,
        lambda j: ed.unjoin(j, end),
        lambda j: ed.set_cavity(j, "RADC.A-4", function="ignition"),
        lambda j: ed.unmate(j, "M1"),
        lambda j: ed.add_part(j, part("LNK", "1 2", Link(a="A-1", b="A-2"))),
        lambda j: ed.join_by_wire(j, "LNK.A-1", end),
        lambda j: ed.remove_parts(j, ["REC"]),
        lambda j: ed.set_settings(j, system_volts=24),
    ):
        following.go(step(following.job))
        for bench in (False, True):
            assert shape(following.plan(bench=bench)) == shape(planned(following.job, bench=bench))


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_what_is_kept_through_any_edits(data: st.DataObject) -> None:
    following = Following(data.draw(jobs(most_edits=8)))
    following.plan()
    for _ in range(4):
        following.go(tried(following.job, data.draw(edits(following.job))))
        kept = following.plan()
        assert shape(kept) == shape(planned(following.job))
        rows = kept.network.resistors
        assert all(0 < ohms < math.inf for ohms in rows.ohms)
        assert (rows.a != rows.b).all()
        assert max(kept.nodes.values()) < kept.network.nodes


def test_parts_that_stay_are_not_made_again() -> None:
    job, cache = radio(), SketchCache(library())
    first = planned(job, cache=cache)
    second = planned(ed.set_cavity(job, "REC.A-1", function="accessory"), cache=cache)
    before, after = ({d.name: d for d in plan.network.devices} for plan in (first, second))
    assert after["RADC#0"] is before["RADC#0"]
    assert after["REC#0"] is not before["REC#0"]


def test_numbers_of_what_has_gone_do_not_pile_up() -> None:
    following = Following(Job())
    for number in range(100):
        following.go(ed.add_wire(following.job, colour="RD"))
        following.plan()
        following.go(ed.remove_wires(following.job, [f"W{number + 1}"]))
        assert following.plan().network.nodes < 100


def test_parts_are_taken_in_one_at_a_time() -> None:
    job, cache = radio(), SketchCache(library())
    filling = cache.fill(job)
    next(filling)
    filling.close()
    # What was made is kept; a plan that was made before is not changed by what comes after.
    assert len(list(cache.fill(job))) == len(job.parts) - 1
    first = planned(job, cache=cache)
    assert list(cache.fill(job)) == []
    other = ed.remove_parts(job, ["REC"])
    assert len(list(cache.fill(other))) == 0
    assert "REC#0" in first.devices
    assert "REC#0" not in planned(other, cache=cache).devices
