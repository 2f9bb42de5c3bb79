"""Operating points by id, against numbers worked out by hand."""

from __future__ import annotations

import pytest

from core.circuit.engine import Engine
from core.circuit.positions import Position
from core.circuit.positions import position as named
from core.edits import add_part, mate
from core.job.document import Job
from core.job.faces import Face, mate_of
from core.job.internals import Feed, GroundPoint, LiveIn, Load, Relay, SwitchContact
from core.job.parts import Cavity, Connector, Part
from core.job.record import BenchSupply
from core.net.graph import build
from tests.core.checks.jobs import library
from tests.core.circuit import balance
from tests.core.circuit.cases.asked import engine_of
from tests.core.circuit.cases.build import ACCESSORY, ALWAYS, Run, body, job_of, part, until, while_on
from tests.core.circuit.cases.keyed import cut_off

RUNNING = Position("running")
OFF = Position("off")
# IEC 60228:2004, class 5, plain: ohm/km at 20 °C.
THREE_QUARTERS_OHM_PER_KM, ONE_AND_A_HALF_OHM_PER_KM = 26.0, 13.3


def fed(load: Load, *, live: LiveIn = ALWAYS) -> Job:
    """A feed of the car, 3 m of 0.75 mm2 to a load, and 2 m of 1.5 mm2 from it to the body."""
    car = part("CAR", "feed", Feed(terminal="A-feed", live=live, ohms=0.01), car=True)
    box = part("BOX", "plus minus", load)
    runs = [
        Run("CAR-feed", "BOX-plus", "0.75 mm2", 3000),
        Run("BOX-minus", "GND-bolt", "1.5 mm2", 2000),
    ]
    return job_of([car, box, body()], runs)


def five_amps() -> Job:
    return fed(Load(plus="A-plus", minus="A-minus", amps=5, least_volts=8))


def test_three_metres_of_three_quarters_lose_their_ohms_times_five_amps() -> None:
    point = engine_of(five_amps()).point(OFF)
    drop_volts = 5 * 3 * THREE_QUARTERS_OHM_PER_KM / 1000  # 0.39 V
    assert point.amps("W1") == pytest.approx(5.0, rel=1e-6)
    assert point.drop_volts("W1") == pytest.approx(drop_volts, rel=1e-6)
    # The battery's milliohm and the feed's ten carry what else hangs on it, 12.5 mA, besides.
    assert point.volts("CAR.A-feed") == pytest.approx(12.6 - 5.0125 * 0.011, abs=1e-4)
    assert point.volts("BOX.A-plus") == pytest.approx(12.6 - 5.0125 * 0.011 - drop_volts, abs=1e-4)


def test_the_ground_of_a_load_stands_above_the_battery_by_its_return() -> None:
    point = engine_of(five_amps()).point(OFF)
    ohms = 2 * ONE_AND_A_HALF_OHM_PER_KM / 1000
    bolt, strap = 1e-4, library().limits["strap_ohms"]
    minus = point.volts("BOX.A-minus")
    # The strap carries the 12.5 mA of the feed's 1000 ohm besides.
    assert minus == pytest.approx(5 * (ohms + bolt) + 5.0125 * strap, rel=1e-4)
    assert point.volts("body") == pytest.approx(point.body_volts)
    assert point.state("BOX.A-minus") == "ground"
    assert point.state("BOX.A-plus") == "driven"


def test_a_wire_end_stands_where_it_is_crimped() -> None:
    point = engine_of(five_amps()).point(OFF)
    assert point.volts("W1:b") == point.volts("BOX.A-plus")
    assert point.volts("W9:a") is None
    assert point.state("ZZZ.A-1") is None
    assert point.amps("W9") is None


def test_three_feet_of_20_awg_carry_a_starter_and_burn() -> None:
    """3 ft of 20 AWG are 31 mohm by the library's stranded wire; 100 A is far above what it may carry."""
    point = engine_of(cut_off()).point(named("start+cut-off", ["cut-off"]))
    worst = point.burning[0]
    assert worst.ref == "W1"
    assert worst.amps == pytest.approx(100, abs=0.5)
    # 33 CFR 183.425, Table 5 begins with 20 A for 18 AWG; 20 AWG bears less.
    assert worst.bears_amps < 20
    assert engine_of(five_amps()).point(OFF).burning == ()


def test_nothing_flows_without_a_feed_and_the_plus_is_pulled_down() -> None:
    point = engine_of(fed(Load(plus="A-plus", minus="A-minus", amps=5), live=ACCESSORY)).point(OFF)
    assert point.amps("W1") == pytest.approx(0, abs=1e-9)
    assert point.volts("BOX.A-plus") == pytest.approx(0, abs=1e-6)
    # What else hangs on the feed pulls it down through 1000 ohm, which is no ground.
    assert point.state("BOX.A-plus") == "driven"


def test_what_is_tied_to_nothing_has_no_volts() -> None:
    point = engine_of(job_of([part("BOX", "a b")], [Run("BOX-a", "BOX-b")])).point(OFF)
    assert (point.volts("BOX.A-a"), point.state("BOX.A-a")) == (None, "floating")
    assert point.amps("W1") == 0


def latch() -> Job:
    """A relay that the start feed pulls in, and that holds itself by its own contact."""
    car = part(
        "CAR",
        "hot start",
        Feed(terminal="A-hot", live=LiveIn(keys=("accessory", "run", "start", "running"))),
        Feed(terminal="A-start", live=LiveIn(keys=("start",))),
        car=True,
    )
    relay = part(
        "RLY",
        "30 85 86 87",
        Relay(coil_plus="A-86", coil_minus="A-85", common="A-30", make="A-87", coil_ohms=85),
    )
    runs = [
        Run("CAR-hot", "RLY-30"),
        Run("CAR-start", "RLY-86"),
        Run("RLY-87", "RLY-86"),
        Run("RLY-85", "GND-bolt"),
    ]
    return job_of([car, relay, body()], runs)


def test_positions_are_reached_one_after_the_other() -> None:
    engine = engine_of(latch())
    assert [engine.point(p).reached_from for p in engine.positions] == [
        None,
        "off",
        "accessory",
        "run",
        "start",
    ]
    at = {p.name: engine.point(p).volts("RLY.A-87") for p in engine.positions}
    assert at["run"] == pytest.approx(0, abs=1e-3)
    assert at["start"] == pytest.approx(10.0, abs=0.1)
    # Running has the same feeds as run, but the relay was pulled in on the way.
    assert at["running"] == pytest.approx(14.2, abs=0.1)


def test_a_switch_is_thrown_from_its_key_position() -> None:
    engine = engine_of(latch())
    assert engine.point(Position("running", ("brake",))).reached_from == "running"
    assert engine.point(Position("running", ("brake",))).volts("RLY.A-87") == pytest.approx(14.2, abs=0.1)
    assert engine.point(Position("run", ("brake",))).volts("RLY.A-87") == pytest.approx(0, abs=1e-3)


def switched() -> Job:
    car = part("CAR", "feed", Feed(terminal="A-feed", live=ALWAYS), car=True)
    cut = part("CUT", "in out", SwitchContact(a="A-in", b="A-out", closed=until("cut-off")))
    box = part("BOX", "plus minus", Load(plus="A-plus", minus="A-minus", ohms=12))
    runs = [Run("CAR-feed", "CUT-in"), Run("CUT-out", "BOX-plus"), Run("BOX-minus", "GND-bolt")]
    return job_of([car, cut, box, body()], runs, switches=["cut-off"])


def test_a_switch_of_the_jobs_own_is_in_its_standard_set() -> None:
    engine = engine_of(switched())
    assert [p.name for p in engine.positions[5:]] == ["off+cut-off", "running+cut-off"]
    assert engine.position("running+cut-off") == Position("running", ("cut-off",))
    with pytest.raises(ValueError, match="is no position"):
        engine.position("running+cutoff")
    assert (engine.point(RUNNING).amps("W2") or 0) > 1
    assert engine.point(named("running+cut-off", ["cut-off"])).amps("W2") == pytest.approx(0, abs=1e-9)


def test_steps_work_out_the_standard_set_and_pause() -> None:
    engine = engine_of(switched())
    assert sum(1 for _ in engine.steps()) >= len(engine.positions)


def test_devices_and_parts() -> None:
    point = engine_of(switched()).point(RUNNING)
    assert isinstance(point.device("BOX#0"), Load)
    assert point.device("battery") is None
    amps, volts = point.device_amps("BOX#0"), point.volts("BOX.A-plus")
    assert amps is not None
    assert volts is not None
    assert amps == pytest.approx(14.2 / 12.0, rel=0.01)
    assert point.part_watts("BOX") == pytest.approx(amps**2 * 12, rel=1e-6)
    assert point.device_amps("ZZZ#0") is None


def test_every_balance_of_a_job_obeys_kirchhoff() -> None:
    for job in (five_amps(), latch(), switched(), cut_off()):
        engine = engine_of(job)
        for each in engine.positions:
            point = engine.point(each)
            for solution in (point.solution, point.moment.solution):
                balance.check(point.network, each, solution)
            assert point.balance_watts == pytest.approx(0, abs=1e-6)


def test_an_airbag_circuit_has_no_results() -> None:
    bag = Part(
        id="BAG",
        name="Airbag",
        state="on the car",
        connectors=(Connector(name="A", cavities=(Cavity(pin="1", airbag=True), Cavity(pin="2"))),),
    )
    job = job_of(
        [bag, part("BOX", "plus minus"), body()], [Run("BAG-1", "BOX-plus"), Run("BAG-2", "BOX-minus")]
    )
    point = engine_of(job).point(RUNNING)
    assert point.state("BOX.A-plus") is None
    assert point.volts("BAG.A-1") is None
    assert point.amps("W1") is None
    assert point.state("BOX.A-minus") == "floating"
    assert point.amps("W2") is not None


def test_the_full_volts_of_a_pulsed_feed() -> None:
    car = part(
        "CAR", "dim", Feed(terminal="A-dim", live=while_on("lights"), manner="pulsed", duty=0.25), car=True
    )
    engine = engine_of(job_of([car, body()], []))
    point = engine.point(Position("running", ("lights",)))
    assert point.volts("CAR.A-dim") == pytest.approx(14.2 / 4, abs=0.01)
    assert point.full.volts("CAR.A-dim") == pytest.approx(14.2, abs=0.01)


def test_nothing_pulses_so_the_twin_is_the_point_itself() -> None:
    point = engine_of(switched()).point(RUNNING)
    assert point.full is point
    assert point.moment is point


def test_the_bench_stands_in_for_the_car() -> None:
    job = five_amps()
    job = job.changed(settings=job.settings.changed(bench=BenchSupply(volts=13.0, limit_amps=10)))
    engine = Engine(job, library(), build(job), bench=True)
    point = engine.point(OFF)
    assert point.volts("battery +") == pytest.approx(13.0, abs=0.01)
    assert point.amps("W1") == pytest.approx(5.0)
    assert engine.other.point(OFF).volts("battery +") == pytest.approx(12.6, abs=0.01)
    weak = job.changed(settings=job.settings.changed(bench=BenchSupply(volts=13.0, limit_amps=2)))
    point = Engine(weak, library(), build(weak), bench=True).point(OFF)
    assert point.limiting == ("bench",)
    assert point.device_amps("bench") == pytest.approx(2.0)


def test_contact_amps_count_from_the_terminal_asked_for() -> None:
    """A load plugged straight into the car: its amps go from the car's contact to its own."""
    face = Face(grid=(("1", "2"),), gender="female")
    car = Part(
        id="CAR",
        name="Plug",
        state="on the car",
        connectors=(Connector(name="A", face=face, cavities=(Cavity(pin="1"), Cavity(pin="2"))),),
        internals=(Feed(terminal="A-1", live=ALWAYS), GroundPoint(terminal="A-2")),
    )
    box = Part(
        id="BOX",
        name="Box",
        connectors=(
            Connector(name="A", face=mate_of(face, "male"), cavities=(Cavity(pin="1"), Cavity(pin="2"))),
        ),
        internals=(Load(plus="A-1", minus="A-2", amps=2),),
    )
    job = mate(add_part(add_part(Job(), car), box), "CAR.A", "BOX.A")
    point = engine_of(job).point(RUNNING)
    assert point.contact_amps("CAR.A-1") == pytest.approx(2.0)
    assert point.contact_amps("BOX.A-1") == pytest.approx(-2.0)
    assert point.contact_amps("BOX.A-2") == pytest.approx(2.0)
    assert point.contact_amps("CAR.A-9") is None
