"""A whole job as one circuit: its conductors, its nodes, the car round it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core import edits as ed
from core.circuit.assemble import assemble
from core.circuit.network import ALWAYS, Fuse, Source
from core.circuit.sketch import LEAST_OHMS
from core.job.document import Job
from core.job.internals import Battery, Feed, GroundPoint, Link, LiveIn, Load, Resistor
from core.job.record import BenchSupply, CarBattery
from core.job.wiring import Cable, Conductor
from core.library.limits import Limits
from core.net.graph import build
from tests.core.checks.jobs import PLUG, camera, good_jobs, library, mated_plug, radio
from tests.core.circuit.cases.build import ALWAYS as ALL_KEYS
from tests.core.circuit.cases.build import Run, body, job_of, part
from tests.core.circuit.drawn import Solutions, between, box, device, node, ohms, planned, wired

CRIMP = library().limits["crimp_ohms"]
CONTACT = library().limits["contact_ohms"]


# -- conductors ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("gauge", "ohm_per_km"),
    # IEC 60228:2004 class 5, plain copper, largest at 20 °C; SAE J1128 least area for 18 AWG, as in the wire
    # table's test; 0.8 mm2 is taken for the nearest metric size.
    [("0.5 mm2", 39.0), ("2.5 mm2", 7.98), ("16 mm2", 1.21), ("18 AWG", 22.14), ("0.8 mm2", 26.0)],
)
def test_a_wire_has_the_ohms_of_its_gauge_and_length(gauge: str, ohm_per_km: float) -> None:
    plan = wired([part("A", "1"), part("B", "1")], [Run("A-1", "B-1", gauge, 2000.0)])
    # Both ends are crimped into cavities: no joint adds anything.
    assert ohms(plan, "W1") == pytest.approx(ohm_per_km * 0.002)
    assert between(plan, "W1") == (node(plan, "A-1"), node(plan, "B-1"))


def test_warm_copper_has_more_ohms() -> None:
    # FAA AC 43.13-1B, chapter 11: (234.5 + 60) / 254.5 of the ohms at 20 °C.
    limits = library().limits
    rows = dict(limits.rows) | {"wire_celsius": limits.rows["wire_celsius"]._replace(value=60.0)}
    job = job_of([part("A", "1"), part("B", "1")], [Run("A-1", "B-1", "1 mm2", 1000.0)])
    plan = assemble(job, replace(library(), limits=Limits(rows)), build(job))
    assert ohms(plan, "W1") == pytest.approx(0.0195 * (234.5 + 60) / 254.5, rel=0.001)


def test_a_wire_of_which_nothing_is_stated_is_taken_for_the_usual_one() -> None:
    job = job_of([part("A", "1"), part("B", "1")], [Run("A-1", "B-1")])
    wire = job.wires["W1"].changed(gauge=None, length_mm=None)
    assert ohms(planned(job.changed(wires={"W1": wire})), "W1") == pytest.approx(0.039 * 0.3)


def test_a_wire_of_no_length_still_has_some_ohms() -> None:
    plan = wired([part("A", "1"), part("B", "1")], [Run("A-1", "B-1", "1 mm2", 0.0)])
    assert ohms(plan, "W1") == LEAST_OHMS > 0


def test_leads_and_joints() -> None:
    job = radio()
    plan = planned(job)
    end = next(end for joint in job.joints.values() for end in joint.ends if ":" not in end)
    cavity = job.cavity(end)
    assert cavity is not None
    lead = cavity.lead
    assert lead is not None
    assert lead.gauge is not None
    assert lead.length_mm is not None
    copper = library().wire(lead.gauge).ohm_per_km_20c * lead.length_mm * 1e-6
    assert ohms(plan, end) == pytest.approx(copper + CRIMP)
    # From the cavity to the joint.
    assert between(plan, end) == (node(plan, end), node(plan, job.lookup.joint_of[end]))
    trimmed = ed.set_lead(job, end, trimmed_mm=40.0)
    assert ohms(planned(trimmed), end) == pytest.approx(copper / lead.length_mm * 40.0 + CRIMP)


def test_a_joint_adds_a_crimp_for_each_wire_end_in_it() -> None:
    job = ed.add_wire(ed.add_wire(Job(), colour="RD"), colour="BK")
    job = ed.join(job, "W1:b", "W2:a")
    plan = planned(job)
    assert ohms(plan, "W1") == pytest.approx(0.039 * 0.3 + CRIMP)
    assert between(plan, "W1") == (node(plan, "W1:a"), node(plan, "J1"))
    assert between(plan, "W2") == (node(plan, "J1"), node(plan, "W2:b"))
    # A joined end stands at its joint.
    assert plan.node_of("W1:b") == node(plan, "J1")


def test_cores_of_a_cable_and_its_shield() -> None:
    cores = (Conductor(gauge="1 mm2"), Conductor(shield=True), Conductor())
    job = Job(cables={"C1": Cable(id="C1", length_mm=4000.0, conductors=cores)}, counters={"C": 1})
    plan = planned(job)
    assert ohms(plan, "C1.1") == pytest.approx(0.0195 * 4)
    assert ohms(plan, "C1.2") == library().limits["shield_ohms"]
    assert ohms(plan, "C1.3") == pytest.approx(0.039 * 4)
    assert between(plan, "C1.1") == (node(plan, "C1.1:a"), node(plan, "C1.1:b"))


def test_a_mated_contact_can_be_asked_from_either_side() -> None:
    job = radio()
    plan = planned(job)
    here, there = plan.contact("RAD.A-4"), plan.contact("RADC.A-4")
    assert here is not None
    assert there is not None
    assert here[0] == there[0]
    assert here[1] == -there[1]
    a, b = int(plan.network.resistors.a[here[0]]), int(plan.network.resistors.b[here[0]])
    ends = (node(plan, "RAD.A-4"), node(plan, "RADC.A-4"))
    assert (a, b) == (ends if here[1] == 1 else ends[::-1])
    assert plan.network.resistors.ohms[here[0]] == CONTACT
    assert plan.contact("REC.A-1") is None


def test_what_does_not_touch_does_not_conduct() -> None:
    job = radio()
    count = len(planned(job).network.resistors.ohms)
    assert planned(ed.pull(job, ["RAD.A-14"])).contact("RAD.A-14") is None
    assert planned(ed.set_cavity(job, "RADC.A-4", found="empty")).contact("RAD.A-4") is None
    assert planned(mated_plug({}, PLUG.changed(blocked=("1",)))).contact("PLG.A-1") is None
    removed = ed.set_part(job, "REC", state="removed")
    assert len(planned(removed).network.resistors.ohms) < count
    assert not any(name.startswith("REC#") for name in planned(removed).devices)


def test_a_link_makes_its_terminals_one_node() -> None:
    plan = wired(
        [part("A", "1 2 3", Link(a="A-1", b="A-2"), Link(a="A-2", b="A-3")), part("B", "1")],
        [Run("A-1", "A-3"), Run("A-2", "B-1")],
    )
    assert node(plan, "A-1") == node(plan, "A-2") == node(plan, "A-3") != node(plan, "B-1")
    # What lies within one node has no amps of its own to be told.
    assert "W1" not in plan.rows
    assert between(plan, "W2") == (node(plan, "A-1"), node(plan, "B-1"))
    assert plan.names[plan.rows["W2"]] == "W2"


def test_places_that_are_not_there_have_no_node() -> None:
    plan = box("1", Resistor(a="A-1", b="A-1", ohms=5))
    assert plan.node_of("BOX.A-9") is None
    assert plan.node_of("W7:a") is None
    assert plan.node_of("J1") is None
    assert "BOX#0" not in plan.rows


def test_an_airbag_circuit_is_withheld() -> None:
    plan = planned(ed.set_cavity(radio(), "RADC.A-14", airbag=True))
    assert {"RADC.A-14", "RAD.A-14"} <= plan.withheld
    assert "RADC.A-4" not in plan.withheld
    assert planned(radio()).withheld == frozenset()


# -- the car -------------------------------------------------------------------------------------


@pytest.mark.parametrize("system", [6, 12, 24])
def test_the_car_has_a_battery_by_its_system(system: int) -> None:
    # 12.6 at rest, 10.0 cranking, 14.2 running for 12 V: common practice, scaled for 6 and 24 V.
    plan = wired([], [], battery=CarBattery(), system_volts=system)
    battery = device(plan, "battery", Source)
    assert battery.volts == pytest.approx([v * system / 12 for v in (12.6, 12.6, 12.6, 10.0, 14.2)])
    assert battery.ohms == pytest.approx(0.01 * system / 12)
    assert (battery.plus, battery.minus) == (node(plan, "battery +"), 0)
    assert node(plan, "battery -") == 0
    assert plan.battery == "battery"
    assert plan.network.ground == node(plan, "body") != 0


def test_the_job_may_change_the_battery() -> None:
    battery = CarBattery(rest_volts=12.2, running_volts=13.8, start_volts=9.0, ohms=0.03)
    found = device(wired([], [], battery=battery), "battery", Source)
    assert found.volts == (12.2, 12.2, 12.2, 9.0, 13.8)
    assert found.ohms == 0.03


def test_the_strap_joins_the_body_to_the_grounded_pole() -> None:
    negative, positive = wired([], []), wired([], [], ground="positive")
    assert set(between(negative, "strap")) == {negative.network.ground, 0}
    assert set(between(positive, "strap")) == {positive.network.ground, node(positive, "battery +")}
    assert Solutions(positive).volts("battery -", "run") == pytest.approx(-12.6)


def test_a_part_may_be_the_cars_battery() -> None:
    inside = Battery(plus="A-p", minus="A-m", rest_volts=12.4, main=True)
    plan = wired([part("BAT", "p m", inside, car=True)], [], battery=CarBattery())
    assert plan.battery == "BAT#0"
    assert [d.name for d in plan.network.devices] == ["BAT#0"]
    found = device(plan, "BAT#0", Source)
    assert (found.plus, found.minus) == (node(plan, "battery +"), 0)
    assert node(plan, "BAT-m") == 0
    # What it leaves out is the settings'.
    assert found.volts == pytest.approx((12.4, 12.4, 12.4, 10.0, 14.2))
    assert "strap" in plan.rows


def test_the_strap_is_the_jobs_own_where_it_is_wired() -> None:
    battery = part("BAT", "p m", Battery(plus="A-p", minus="A-m", main=True), car=True)
    plan = wired([battery, body()], [Run("BAT-m", "GND-bolt")])
    assert "strap" not in plan.rows
    assert Solutions(plan).volts("BAT-p", "off") == pytest.approx(12.6)


def test_a_second_battery_stands_by_itself() -> None:
    main, second = Battery(plus="A-p", minus="A-m", main=True), Battery(plus="A-p", minus="A-m")
    plan = wired([part("BAT", "p m", main, car=True), part("AUX", "p m", second, car=True)], [])
    assert plan.battery == "BAT#0"
    assert device(plan, "AUX#0", Source).plus == node(plan, "AUX-p") != node(plan, "battery +")
    alone = wired([part("AUX", "p m", second, car=True)], [])
    assert {d.name for d in alone.network.devices} == {"AUX#0", "battery"}


def test_the_bench_supply_stands_in_for_the_car() -> None:
    supply = BenchSupply(volts=13.5, limit_amps=3.0, fuse_amps=5.0)
    job = job_of([part("CAR", "1", Feed(terminal="A-1", live=ALL_KEYS), car=True)], [], bench=supply)
    plan = planned(job, bench=True)
    source, fuse = device(plan, "bench", Source), device(plan, "bench fuse", Fuse)
    assert source.volts == (13.5,) * 5
    assert source.limit_amps == 3.0
    assert (fuse.a, fuse.b, fuse.amps) == (source.plus, node(plan, "battery +"), 5.0)
    assert plan.battery == "bench"
    assert plan.bench
    assert "battery" not in {d.name for d in plan.network.devices}
    assert Solutions(plan).volts("CAR-1", "off") == pytest.approx(13.5, rel=0.001)


def test_the_bench_supply_stands_in_for_a_battery_of_the_job() -> None:
    inside = Battery(plus="A-p", minus="A-m", main=True)
    job = job_of([part("BAT", "p m", inside, car=True)], [])
    plan = planned(job, bench=True)
    assert [d.name for d in plan.network.devices] == ["bench"]
    source = device(plan, "bench", Source)
    assert source.plus == node(plan, "BAT-p") == node(plan, "battery +")


def test_a_bench_supply_limits() -> None:
    load = Load(plus="A-p", minus="A-m", ohms=1.0)
    parts = [
        part("CAR", "1", Feed(terminal="A-1", live=ALL_KEYS), car=True),
        body(),
        part("BOX", "p m", load),
    ]
    runs = [Run("CAR-1", "BOX-p"), Run("BOX-m", "GND-bolt")]
    plan = planned(job_of(parts, runs, bench=BenchSupply(volts=13.0, limit_amps=2.0)), bench=True)
    after = Solutions(plan).at("off").after
    assert after.device_amps["bench"] == pytest.approx(2.0)
    assert after.limiting == ("bench",)


# -- conditions and what is kept -----------------------------------------------------------------


def test_what_is_always_so_is_no_condition() -> None:
    always, lit = Feed(terminal="A-1", live=ALL_KEYS), Feed(terminal="A-2", live=LiveIn(keys=("run",)))
    plan = box("1 2", always, lit, Feed(terminal="A-2", live=LiveIn(keys=("run",))), car=True)
    assert [live.keys for live in plan.network.conditions] == [("run",)]
    whens = [d.when for d in plan.network.devices if d.name.startswith("BOX")]  # type: ignore[union-attr]
    assert whens == [ALWAYS, 0, 0]


def test_the_switches_that_a_job_uses() -> None:
    assert planned(camera()).switches >= {"reverse", "lights"}
    assert box("1", GroundPoint(terminal="A-1")).switches == frozenset()


@pytest.mark.parametrize("name", sorted(good_jobs()))
def test_good_jobs_make_sound_circuits(name: str) -> None:
    plan = planned(good_jobs()[name])
    network = plan.network
    assert np.all(network.resistors.ohms > 0)
    assert np.all(network.resistors.a != network.resistors.b)
    numbers = np.concatenate([network.resistors.a, network.resistors.b, list(plan.nodes.values())])
    assert numbers.min() >= 0
    assert numbers.max() < network.nodes
    names = [d.name for d in network.devices]
    assert len(names) == len(set(names))
    assert all(plan.devices[name] for name in names if "#" in name)
