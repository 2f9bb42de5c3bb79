"""One mistake at a time, for the rules about feeds and volts."""

from __future__ import annotations

from collections.abc import Mapping

from core import edits as ed
from core.job.document import Job
from core.job.internals import (
    Battery,
    DataPair,
    Diode,
    Feed,
    GroundPoint,
    LiveIn,
    Load,
    Output,
    StepDown,
    VoltWindow,
)
from core.job.internals import Fuse as FuseInside
from core.job.parts import Cavity, Part
from tests.core.checks.cases import Bad
from tests.core.checks.jobs import capped, jobs_of, joined, plain, radio, simple

ALWAYS = LiveIn(keys=("off", "accessory", "run", "start", "running"))
RUN = LiveIn(keys=("run", "running"))
ON = LiveIn(keys=("accessory", "run", "running"))
TWELVE = VoltWindow(least=9, most=16)
CAR = ("constant", "accessory", "ground")


def car_of(*internals: Feed | DataPair, functions: tuple[str, ...] = CAR, kind: str = "") -> Part:
    return plain("CAR", functions, state="on the car", internals=internals).changed(kind=kind)


def box(load: Load, functions: tuple[str | Cavity, ...] = ("constant", "ground")) -> Part:
    return plain("BOX", functions, internals=(load,))


def steady(amps: float, **fields: object) -> Load:
    """A 12 V load that is needed with the engine running."""
    return Load.model_validate(
        {"plus": "A-1", "minus": "A-2", "accepts": TWELVE, "amps": amps, "needed": RUN, **fields}
    )


def thick(job: Job, *groups: str) -> Job:
    """The job joined, its leads thick enough for whatever they carry."""
    leads = [ref for part in job.parts.values() for ref in part.cavities]
    return joined(ed.set_leads(job, leads, gauge="4 mm2", length_mm=200), *groups)


def on_feed(feed: Feed, load: Load, function: str = "constant", kind: str = "") -> Job:
    """A load on one feed of the car."""
    car = car_of(feed, functions=(function, "ground"), kind=kind)
    return thick(jobs_of(car, box(load, (function, "ground"))), "CAR-1 BOX-1", "CAR-2 BOX-2")


def clipped(amps: float) -> Job:
    """A load on a wire of the car that was clipped on."""
    job = on_feed(Feed(terminal="A-1", live=ON), steady(amps), "accessory")
    return ed.set_joint(job, job.lookup.joint_of["CAR.A-1"], method="tap")


def both_swapped() -> Job:
    """The car's two feeds stand on each other's leads, for two parts at once."""
    two = plain("TWO", CAR)
    job = ed.add_part(simple(), two)
    job = ed.unjoin(ed.unjoin(job, "BOX.A-1"), "BOX.A-2")
    return joined(job, "CAR-2 BOX-1 TWO-1", "CAR-1 BOX-2 TWO-2", "CAR-3 TWO-3")


def _woken(load: Load) -> Job:
    job = jobs_of(car_of(), box(load, ("accessory", "ground")))
    return ed.cap(joined(job, "CAR-1 BOX-1", "CAR-3 BOX-2"), ["CAR.A-2"])


def cranked(least: float) -> Job:
    awake = LiveIn(keys=("run", "start", "running"))
    load = steady(2.0, accepts=VoltWindow(least=least, most=16), needed=awake)
    return on_feed(Feed(terminal="A-1", live=awake), load, "ignition")


def lost_in_start() -> Job:
    load = Load(plus="A-1", minus="A-2", needed=LiveIn(keys=("run", "start", "running")))
    car = car_of(functions=("accessory", "ignition", "ground"))
    job = joined(jobs_of(car, box(load, ("ignition", "ground"))), "CAR-1 BOX-1", "CAR-3 BOX-2")
    return joined(ed.add_part(job, plain("TWO", ("ignition", "ground"))), "CAR-2 TWO-1", "CAR-3 TWO-2")


def woken_by_data(*, read: bool) -> Job:
    """A car whose accessory lead is live only while data ask for it; `read`: an interface asks."""
    feed = Feed(terminal="A-1", live=ON, manner="by data")
    pair = DataPair(high="A-3", low="A-4")
    car = car_of(feed, pair, functions=("accessory", "ground", "can-high", "can-low"))
    job = joined(jobs_of(car, box(steady(1.0), ("accessory", "ground"))), "CAR-1 BOX-1", "CAR-2 BOX-2")
    if not read:
        return capped(job)
    face = plain("DIF", ("can-high", "can-low"), internals=(DataPair(high="A-1", low="A-2"),))
    return joined(ed.add_part(job, face), "CAR-3 DIF-1", "CAR-4 DIF-2")


def no_accessory() -> Job:
    """A plug with a constant and a data line; the accessory lead of the part has nowhere to go."""
    pair = DataPair(high="A-2", low="A-3")
    car = car_of(pair, functions=("constant", "can-high", "can-low", "ground"))
    box = plain("BOX", CAR)
    return capped(joined(jobs_of(car, box), "CAR-1 BOX-1", "CAR-4 BOX-3"))


def turned_on_by(function: str, feed: Feed | None = None) -> Job:
    """An amplifier's turn-on lead on a feed of the car."""
    internals = (feed,) if feed else ()
    car = car_of(*internals, functions=(function,))
    turn_on = Cavity(pin="1", function="amplifier-turn-on", flow="takes")
    job = ed.add_part(simple(), car.changed(id="TAP"))
    return joined(ed.add_part(job, plain("AMP", (turn_on,))), "TAP-1 AMP-1")


def stepped_down(amps: float, *, load: Load | None = None) -> Job:
    """A load behind a step-down of 1 A."""
    made = StepDown(input="A-1", output="A-3", common="A-2", volts_out=6.0, accepts=TWELVE, amps=1.0)
    sdn = plain("SDN", ("step-down-in", "common", "step-down-out"), internals=(made,))
    window = VoltWindow(least=5.5, most=6.5)
    own = load or Load(plus="A-1", minus="A-2", accepts=window, amps=amps, least_volts=4.0, needed=RUN)
    job = jobs_of(car_of(functions=("accessory", "ground")), sdn, box(own, ("camera-feed", "ground")))
    return joined(job, "CAR-1 SDN-1", "CAR-2 SDN-2 BOX-2", "SDN-3 BOX-1")


def switched(amps: float | None, load_amps: float) -> Job:
    """An output with a load on it."""
    out = Output(terminal="A-3", live=ON, amps=amps, fed_from="A-1")
    unit = plain("UNT", ("constant", "ground", "amplifier-turn-on"), internals=(out,))
    takes = Cavity(pin="1", function="amplifier-turn-on", flow="takes")
    fan = plain("FAN", (takes, "ground"), internals=(Load(plus="A-1", minus="A-2", amps=load_amps),))
    job = jobs_of(car_of(functions=("constant", "ground")), unit, fan)
    return joined(job, "CAR-1 UNT-1", "CAR-2 UNT-2 FAN-2", "UNT-3 FAN-1")


def pushed() -> Job:
    """An output that makes an accessory feed, joined with the car's constant."""
    out = Output(terminal="A-3", live=ON, amps=5.0, fed_from="A-1")
    unit = plain(
        "UNT", ("constant", "ground", Cavity(pin="3", function="accessory", flow="gives")), internals=(out,)
    )
    tap = plain("TAP", ("constant",), state="on the car")
    job = jobs_of(car_of(functions=("constant", "ground")), unit, tap)
    return joined(job, "CAR-1 UNT-1", "CAR-2 UNT-2", "TAP-1 UNT-3")


def series_pair(*, from_middle: bool) -> Job:
    """Two batteries of 12 V in series in a car of 24 V."""
    lower = Battery(plus="A-1", minus="A-2", rest_volts=12.6, running_volts=14.2, start_volts=10.0, main=True)
    upper = Battery(plus="A-1", minus="A-2", rest_volts=12.6, running_volts=14.2, start_volts=10.0)
    ends = ("battery-plus", "battery-minus")
    parts = [
        plain(tag, ends, state="on the car", internals=(battery,))
        for tag, battery in (("BTA", lower), ("BTB", upper))
    ]
    strap = plain("GND", ("ground",), state="on the car", internals=(GroundPoint(terminal="A-1"),))
    accepts = TWELVE if from_middle else VoltWindow(least=18, most=32)
    load = Load(plus="A-1", minus="A-2", accepts=accepts, amps=2.0, on=RUN)
    fuse = plain("FUS", ("fuse-a", "fuse-b"), internals=(FuseInside(a="A-1", b="A-2", amps=5.0),))
    job = ed.set_settings(jobs_of(*parts, strap, fuse, box(load)), system_volts=24)
    job = thick(job, "BTA-1 BTB-2", "BTA-2 GND-1 BOX-2", "FUS-2 BOX-1")
    return joined(job, "BTA-1 FUS-1" if from_middle else "BTB-1 FUS-1")


def antenna_on_constant() -> Job:
    """The car's antenna amplifier on a feed that is always live."""
    takes = Load(plus="A-1", minus="A-2", amps=0.15)
    antenna = plain("ANT", ("antenna-turn-on", "ground"), state="on the car", internals=(takes,))
    job = jobs_of(car_of(functions=("constant", "ground")), antenna)
    return joined(job, "CAR-1 ANT-1", "CAR-2 ANT-2")


FEED_CASES: tuple[Bad, ...] = (
    Bad(
        "constant and accessory of a receiver",
        "constant and accessory exchanged",
        lambda: ed.swap_pins(radio(), "REC.A-1", "REC.A-3"),
        "REC.A-1",
        "REC would lose constant in off and start: REC-1 (constant) and REC-3 (accessory) are exchanged.",
    ),
    Bad(
        "two parts on exchanged feeds",
        "constant and accessory exchanged",
        both_swapped,
        "TWO.A-1",
        "BOX and TWO",
    ),
    Bad(
        "a load that nothing feeds in off",
        "load dead where it is needed",
        lambda: on_feed(Feed(terminal="A-1", live=ON), steady(0.1, needed=ALWAYS)),
        "BOX.A-1",
        "would get no feed in off and start",
    ),
    Bad(
        "a display on the constant",
        "load awake where it must sleep",
        lambda: _woken(steady(0.5)),
        "BOX.A-1",
        "BOX would stay awake with the key off and draw 0.5 A: the battery is half empty after 2 days.",
        level="look",
    ),
    Bad(
        "the car's antenna on the constant",
        "load awake where it must sleep",
        antenna_on_constant,
        "ANT.A-1",
        "ANT would stay awake with the key off and draw 0.15 A",
        level="look",
    ),
    Bad(
        "a part that draws 300 mA with the key off",
        "load awake where it must sleep",
        lambda: on_feed(Feed(terminal="A-1", live=ALWAYS), steady(0.3, needed=ALWAYS)),
        "BOX.A-1",
        "With the key off 0.3 A would be drawn: the battery is half empty after 4 days.",
        level="look",
    ),
    Bad(
        "a part for 11 V while cranking",
        "feed falls while cranking below what the load needs",
        lambda: cranked(11),
        "BOX.A-1",
        "BOX-1 (ignition) would get only 9.9 V; it accepts 11 to 16 V while the engine is cranked",
        level="look",
    ),
    Bad(
        "an accessory feed for what is needed in start",
        "feed falls while cranking below what the load needs",
        lost_in_start,
        "BOX.A-1",
        "would lose its feed while the engine is cranked",
    ),
    Bad(
        "accessory that nothing asks for by data",
        "needs a feed by data that nothing makes",
        lambda: woken_by_data(read=False),
        "BOX.A-1",
        "the car makes it by data, and nothing here reads them",
    ),
    Bad(
        "no accessory in a car woken by data",
        "needs a feed by data that nothing makes",
        no_accessory,
        "BOX.A-2",
        "BOX-2 (accessory) would get no feed",
    ),
    Bad(
        "turn-on from the dash lamps",
        "turn-on taken from a dimmed or data-held circuit",
        lambda: turned_on_by("illumination"),
        "AMP.A-1",
        "would be turned on by the lamps",
        level="look",
    ),
    Bad(
        "turn-on from a dimmed feed",
        "turn-on taken from a dimmed or data-held circuit",
        lambda: turned_on_by(
            "dimmer",
            Feed(terminal="A-1", live=LiveIn(keys=ALWAYS.keys, switch="lights"), manner="pulsed", duty=0.6),
        ),
        "AMP.A-1",
        "the part flutters or stays off",
        level="look",
    ),
    Bad(
        "turn-on from a feed that stays awake",
        "turn-on taken from a dimmed or data-held circuit",
        lambda: on_feed(
            Feed(terminal="A-1", live=ON, manner="timed", after_run_minutes=15), steady(0.5), "accessory"
        ),
        "BOX.A-1",
        "would stay on for 15 minutes after the key is out",
        level="note",
    ),
    Bad(
        "accessory that the car's data hold",
        "turn-on taken from a dimmed or data-held circuit",
        lambda: woken_by_data(read=True),
        "BOX.A-1",
        "would be on for as long as the car's data hold CAR-1",
        level="look",
    ),
    Bad(
        "a step-down asked for too much",
        "step-down or supply overloaded",
        lambda: stepped_down(1.6),
        "SDN.A-3",
        "SDN gives no more than its 1 A in accessory, run and running: its 6 V would fall to",
    ),
    Bad(
        "a feed above its most",
        "step-down or supply overloaded",
        lambda: on_feed(Feed(terminal="A-1", live=ON, amps=2.0), steady(3.0, plus="A-1"), "accessory"),
        "CAR.A-1",
        "CAR-1 would give 3.01 A in accessory, run and running; it is meant for 2 A at the most.",
        level="look",
    ),
    Bad(
        "a fan on a turn-on output",
        "output overloaded",
        lambda: switched(0.3, 1.5),
        "UNT.A-3",
        "UNT-3 (amplifier turn-on) would give 1.5 A in accessory, run and running; it gives 0.3 A at",
    ),
    Bad(
        "half an ampere from an output of unknown strength",
        "output overloaded",
        lambda: switched(None, 0.5),
        "UNT.A-3",
        "it gives 0.3 A, assumed at the most",
        level="look",
    ),
    Bad(
        "an interface's accessory output on the constant",
        "output fed from outside",
        pushed,
        "UNT.A-3",
        "TAP-1 (constant) would push 12.6 V into the output UNT-3 (accessory) in off and start.",
    ),
    Bad(
        "a radio on the lower battery of a truck",
        "load on the middle of a series pair",
        lambda: series_pair(from_middle=True),
        "BOX.A-1",
        "BOX-1 would be fed from between BTA and BTB, with up to 2 A",
    ),
    Bad(
        "12 A through a clip",
        "tap too weak for its current",
        lambda: clipped(12.0),
        "J1",
        "12 A would flow through the tap J1 in accessory, run and running; it bears 10 A.",
        level="look",
    ),
    Bad(
        "5 A from a circuit for 2",
        "tap too weak for its current",
        lambda: on_feed(Feed(terminal="A-1", live=ON, amps=2.0), steady(5.0), "accessory", kind="tap"),
        "CAR.A-1",
        "5.01 A would flow through the tap CAR-1",
        level="look",
    ),
)


def _series_fuses() -> Job:
    """Two fuses, a diode and a coil in series: none of them is bypassed by the next."""
    fuses = [
        plain(tag, ("fuse-a", "fuse-b"), internals=(FuseInside(a="A-1", b="A-2", amps=10.0),))
        for tag in ("FUA", "FUB")
    ]
    diodes = [
        plain(tag, ("anode", "cathode"), internals=(Diode(anode="A-1", cathode="A-2"),))
        for tag in ("DIA", "DIB")
    ]
    job = jobs_of(car_of(functions=("constant", "ground")), box(steady(0.1)), *fuses, *diodes)
    return joined(
        job, "CAR-1 FUA-1", "FUA-2 FUB-1", "FUB-2 DIA-1", "DIA-2 DIB-1", "DIB-2 BOX-1", "CAR-2 BOX-2"
    )


GOOD_FEEDS: Mapping[str, Job] = {
    "fuses and diodes in series": _series_fuses(),
    "a step-down that is not asked for too much": stepped_down(0.9),
    "a step-down on a feed that only takes": stepped_down(
        0.2, load=Load(plus="A-1", minus="A-2", accepts=VoltWindow(least=5.5, most=6.5), amps=0.2)
    ),
    "an output that is not asked for too much": switched(0.3, 0.29),
    "a part fed from both batteries of a pair": series_pair(from_middle=False),
    "8 A through a clip": clipped(8.0),
    "a part that bears the volts of cranking": cranked(9),
}
"""Correct jobs that come near to these mistakes."""
