"""Mistakes about wires and what protects them: one at a time, and the correct jobs near to them.

Amps that a conductor carries for good, by the default (three loaded wires, 60 °C): 0.5 mm2 7.8 A, 0.75 mm2
10.2 A, 1 mm2 11.9 A, 1.5 mm2 15 A, 2.5 mm2 21 A, 4 mm2 27 A, 6 mm2 35 A, 16 mm2 73 A.
"""

from __future__ import annotations

from collections.abc import Mapping

from core import edits as ed
from core.job.document import Job
from core.job.internals import Fuse, Internal, Load, Output, SwitchContact
from core.job.parts import Cavity, Connector, Lead, Part
from tests.core.checks.cases import Bad
from tests.core.checks.jobs import ALWAYS, add, joined

GROUND = "Body ground point, heavy"


def made(tag: str, functions: str, gauges: str, *internals: Internal) -> Part:
    """A part with loose leads of 300 mm, one for each function."""
    sizes = gauges.split()
    cavities = tuple(
        Cavity(
            pin=str(pin),
            function=function,
            lead=Lead(colour="RD", gauge=f"{sizes[(pin - 1) % len(sizes)]} mm2", length_mm=300),
        )
        for pin, function in enumerate(functions.split(), start=1)
    )
    return Part(id=tag, name=tag, connectors=(Connector(name="A", cavities=cavities),), internals=internals)


def heater(amps: float, gauge: str, tag: str = "HTR") -> Part:
    return made(tag, "constant ground", gauge, Load(plus="A-1", minus="A-2", amps=amps))


def fed(amps: float, gauge: str, holder: str, ground: str = GROUND) -> Job:
    """A heater on the battery, through a fuse of the shelf."""
    job = add(add(add(Job(), "Battery plus post"), holder), ground)
    job = ed.add_part(job, heater(amps, gauge))
    job = joined(job, "BAT-1 FUS-1", "FUS-2 HTR-1", "HTR-2 GND-1")
    return bolted(job, "BAT.A-1", "GND.A-1")


def bolted(job: Job, *ends: str) -> Job:
    for end in ends:
        job = ed.set_joint(job, job.lookup.joint_of[end], method="bolt")
    return job


def inline(amps: float) -> str:
    return f"Fuse holder, in-line, {amps:g} A"


def beside(gauge: str) -> Job:
    """A small load beside a heater of 20 A, on its feed."""
    job = ed.add_part(fed(20, "6", inline(30)), heater(0.5, gauge, "BOX"))
    return joined(job, "FUS-2 BOX-1", "GND-1 BOX-2")


def with_own_fuse() -> Job:
    job = add(ed.add_part(fed(20, "6", inline(30)), heater(0.5, "0.75", "BOX")), inline(2))
    return joined(job, "FUS-2 FUS2-1", "FUS2-2 BOX-1", "GND-1 BOX-2")


def through_switch(most: float) -> Job:
    job = ed.unjoin(fed(10, "16", inline(60)), "HTR.A-1")
    contact = SwitchContact(a="A-1", b="A-2", closed=ALWAYS, amps=most)
    job = ed.add_part(job, made("SWT", "switch-a switch-b", "16", contact))
    return joined(job, "FUS-2 SWT-1", "SWT-2 HTR-1")


def in_holder(most: float) -> Job:
    job = ed.remove_parts(fed(20, "16", inline(60)), ["FUS"])
    fuse = Fuse(a="A-1", b="A-2", amps=40, form="maxi", holder_amps=most)
    job = ed.add_part(job, made("FUS", "fuse-a fuse-b", "16", fuse))
    return bolted(joined(job, "BAT-1 FUS-1", "FUS-2 HTR-1"), "BAT.A-1")


def without_fuse() -> Job:
    return joined(ed.remove_parts(fed(10, "6", inline(15)), ["FUS"]), "BAT-1 HTR-1")


def fuse_away(length_mm: float) -> Job:
    job = ed.unjoin(fed(10, "6", inline(15)), "FUS.A-1")
    return ed.join_by_wire(job, "BAT.A-1", "FUS.A-1", "RD", "6 mm2", length_mm)


def breaker(name: str, tap: str = "Battery plus post") -> Job:
    job = add(add(add(Job(), tap), name), GROUND)
    job = ed.add_part(job, heater(3, "6"))
    source = next(tag for tag, part in job.parts.items() if part.state == "on the car")
    return joined(job, f"{source}-1 BRK-1", "BRK-2 HTR-1", "HTR-2 GND-1")


def coil(relay: str, by: str = "output") -> Job:
    """A relay whose coil is worked by an output of a box, or by the key."""
    job = add(add(add(Job(), "Fuse-box tap, constant"), relay), "Body ground point")
    job = ed.add_part(job, heater(2, "1.5"))
    if by == "output":
        out = Output(terminal="A-3", live=ALWAYS, amps=0.5, fed_from="A-1", reference="A-2")
        load = Load(plus="A-1", minus="A-2", amps=0.1)
        box = made("BOX", "constant ground amplifier-turn-on", "0.75", load, out)
        job = joined(ed.add_part(job, box), "BFT-1 BOX-1", "GND-1 BOX-2", "BOX-3 RLY-86")
    else:
        job = joined(add(job, "Fuse-box tap, accessory"), "AFT-1 RLY-86")
    return joined(job, "BFT-1 RLY-30", "RLY-87 HTR-1", "HTR-2 GND-1", "RLY-85 GND-1")


def diode(amps: int, load: float, *, turned: bool = False) -> Job:
    job = add(add(add(Job(), "Fuse-box tap, constant"), f"Isolation diode, {amps} A"), "Body ground point")
    job = ed.add_part(job, heater(load, "1.5"))
    a, b = ("DIO-2", "DIO-1") if turned else ("DIO-1", "DIO-2")
    return joined(job, f"BFT-1 {a}", f"{b} HTR-1", "HTR-2 GND-1")


def diode_on_coil(*, turned: bool) -> Job:
    job = add(coil("Relay, 4 terminals, without clamp", "key"), "Isolation diode, 1 A")
    a, b = ("DIO-1", "DIO-2") if turned else ("DIO-2", "DIO-1")
    return joined(job, f"RLY-86 {a}", f"RLY-85 {b}")


def long_wire(gauge: str) -> Job:
    """A load of 5 A, 8 m from its fuse."""
    job = ed.unjoin(fed(5, "1.5", inline(10)), "HTR.A-1")
    return ed.join_by_wire(job, "FUS.A-2", "HTR.A-1", "RD", gauge, 8000)


def on_one_joint(count: int, method: str) -> Job:
    job = fed(1, "1.5", inline(10), "Body ground point")
    for number in range(count - 2):
        job = ed.add_part(job, heater(0.1, "1.5", f"BOX{number + 1}"))
        job = joined(job, f"FUS-2 BOX{number + 1}-1", f"GND-1 BOX{number + 1}-2")
    job = ed.set_joint(job, job.lookup.joint_of["GND.A-1"], method="solder")
    return ed.set_joint(job, job.lookup.joint_of["FUS.A-2"], method=method)


def soldered_to_thick() -> Job:
    job = fed(1, "1", inline(10))
    return ed.set_joint(job, job.lookup.joint_of["GND.A-1"], method="solder")


WIRE_CASES: tuple[Bad, ...] = (
    Bad(
        "fuse above the leads",
        "conductor not protected by its fuse",
        lambda: fed(10, "2.5", inline(60)),
        "HTR.A-1",
        "The lead of HTR-1 (2.5 mm2) and the lead of HTR-2 (2.5 mm2) would burn before FUS of 60 A opens.",
    ),
    Bad(
        "return thinner than the fuse asks for",
        "conductor not protected by its fuse",
        lambda: ed.set_lead(fed(5, "6", inline(15)), "HTR.A-2", gauge="1 mm2"),
        "HTR.A-2",
        "The lead of HTR-2 (1 mm2) would burn before FUS of 15 A opens.",
    ),
    Bad(
        "contact weaker than its fuse",
        "conductor not protected by its fuse",
        lambda: through_switch(20),
        "SWT.A-1",
        "stands 20 A: it would weld or burn before FUS of 60 A opens.",
    ),
    Bad(
        "fuse above its holder",
        "conductor not protected by its fuse",
        lambda: in_holder(30),
        "FUS.A-1",
        "FUS holds a fuse of 40 A; its holder stands 30 A.",
    ),
    Bad(
        "thin lead beside a heater",
        "thin lead in a bundle behind a large fuse",
        lambda: beside("0.75"),
        "BOX.A-1",
        "The lead of BOX-1 (0.75 mm2) would burn in a short while FUS of 30 A holds.",
    ),
    Bad(
        "fuse below the load",
        "fuse too small for the load",
        lambda: fed(6, "4", inline(5)),
        "FUS.A-1",
        "FUS of 5 A would open: it carries 6 A for long",
    ),
    Bad(
        "fuse near the load",
        "fuse too small for the load",
        lambda: fed(13, "4", inline(15)),
        "FUS.A-1",
        "FUS of 15 A would run hot",
        level="look",
    ),
    Bad(
        "no rating between load and wire",
        "wire too thin for this load",
        lambda: fed(9, "1.5", inline(10)),
        "HTR.A-1",
        "the load of 9 A needs 11.3 A or more, the wire stands 15 A at most.",
        level="look",
    ),
    Bad(
        "no fuse holds and protects",
        "wire too thin for this load",
        lambda: fed(11, "1", inline(15)),
        "HTR.A-1",
        "the load of 11 A needs 13.8 A or more, the wire stands 11.9 A at most.",
    ),
    Bad(
        "more amps than the lead carries",
        "amps above what the gauge carries",
        lambda: fed(15, "1", inline(30)),
        "HTR.A-1",
        "would carry 15 A in off.",
    ),
    Bad(
        "battery without a fuse",
        "added constant feed without a fuse near its source",
        without_fuse,
        "BAT.A-1",
        "BAT-1 would feed HTR-1 without a fuse",
    ),
    Bad(
        "fuse a metre from the battery",
        "added constant feed without a fuse near its source",
        lambda: fuse_away(1000),
        "FUS.A-1",
        "The fuse at FUS-1 sits 1300 mm from BAT-1",
    ),
    Bad(
        "self-resetting breaker on the battery",
        "self-resetting breaker on an unattended load",
        lambda: breaker("Breaker, 20 A, resets by itself"),
        "BRK.A-1",
        "BRK closes again by itself",
        level="look",
    ),
    Bad(
        "bare coil on an output",
        "relay coil without clamp on an electronic output",
        lambda: coil("Relay, 4 terminals, without clamp"),
        "RLY.A-86",
        "BOX-3 (amplifier turn-on) works it",
    ),
    Bad(
        "bare coil on the key",
        "relay coil without clamp on an electronic output",
        lambda: coil("Relay, 4 terminals, without clamp", "key"),
        "RLY.A-86",
        "A switch works it",
        level="look",
    ),
    Bad(
        "diode of 1 A before 2 A",
        "diode too small or backwards",
        lambda: diode(1, 2),
        "DIO.A-1",
        "DIO would carry 2 A",
    ),
    Bad(
        "diode in the feed the wrong way round",
        "diode too small or backwards",
        lambda: diode(3, 2, turned=True),
        "DIO.A-1",
        "DIO is the wrong way round and keeps HTR-1 dead",
    ),
    Bad(
        "diode across a coil the wrong way round",
        "diode too small or backwards",
        lambda: diode_on_coil(turned=True),
        "DIO.A-1",
        "DIO lies across a coil the wrong way round and shorts its feed",
    ),
    Bad(
        "8 m of thin wire",
        "drop above the limit of its class",
        lambda: long_wire("1 mm2"),
        "HTR.A-1",
        "3 % is the limit of its class",
        level="look",
    ),
    Bad(
        "four ends in a crimp",
        "joint fuller than its method allows",
        lambda: on_one_joint(4, "crimp"),
        "J2",
        "J2 holds 4 ends; a crimp holds 3 well.",
        level="look",
    ),
    Bad(
        "too much copper in a closed-end crimp",
        "joint fuller than its method allows",
        lambda: ed.set_lead(on_one_joint(4, "closed-end crimp"), "HTR.A-1", gauge="4 mm2"),
        "J2",
        "J2 holds 8.5 mm2 of copper",
        level="look",
    ),
    Bad(
        "a thin lead soldered to a battery cable",
        "gauges too different in one joint",
        soldered_to_thick,
        "HTR.A-2",
        "the lead of HTR-2 (1 mm2) and the lead of GND-1 (16 mm2) by a soldered joint.",
        level="look",
    ),
)

GOOD_WIRES: Mapping[str, Job] = {
    "a heater of 10 A behind 15 A": fed(10, "6", inline(15)),
    "a small load behind a fuse of its own, on its short leads": with_own_fuse(),
    "a contact as strong as its fuse": through_switch(60),
    "a fuse as large as its holder": in_holder(40),
    "a fuse 450 mm from the battery": fuse_away(150),
    "a breaker that is reset by hand": breaker("Breaker, 30 A, by hand"),
    "a self-resetting breaker that sleeps with the key": breaker(
        "Breaker, 20 A, resets by itself", "Fuse-box tap, ignition 2"
    ),
    "a coil with a diode inside on an output": coil("Relay, 4 terminals"),
    "a coil with a resistor inside on the key": coil("Relay, 4 terminals, clamp resistor", "key"),
    "a diode across a coil": diode_on_coil(turned=False),
    "a diode that stands its load": diode(3, 2),
    "8 m of thick wire": long_wire("4 mm2"),
    "three ends in a crimp": on_one_joint(3, "crimp"),
    "a thin lead bolted to a battery cable": fed(1, "1", inline(10)),
}
