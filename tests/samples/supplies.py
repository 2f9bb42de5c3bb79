"""Sample jobs about supplies: 24 V, a second battery, positive ground. Everything in them is invented."""

from __future__ import annotations

from core.job.document import Job
from core.job.record import CarBattery, OwnSwitch
from core.library import Library
from tests.samples.bench import Bench


def truck(library: Library) -> Job:
    """A 24 V truck: a step-down keeps a 12 V receiver's memory, and feeds a two-way radio."""
    bench = Bench(library)
    bench.sheet(
        shop="Tern Street Workshop",
        number="1046",
        title="Truck, 24 V: 12 V receiver and two-way radio behind a step-down",
        vehicle="Truck of 24 V, sleeper cab. Its radio had failed; all lamps worked at check-in.",
        equipment="Receiver for two speakers and two-way radio, both of 12 V. Step-down with memory feed.",
        technician="J. Quill",
        approved_by="K. Osei",
        date="2026-06-09",
        note="Everything behind the step-down is of 12 V: nothing of it touches the truck's own feeds.",
    )
    bench.settings(system_volts=24, battery=CarBattery(amp_hours=180))
    bench.plug("Radio plug, 10-way")
    bench.plug("Antenna plug")
    for name, tag in (
        ("Body ground point", "GND"),
        ("Step-down 24 to 12 V with memory feed", "SDN"),
        ("Receiver, two speakers", "REC"),
        ("Two-way radio, metal case", "TWR"),
    ):
        bench.part(name, tag)
    bench.joints("""
        RAD-1 SDN-1
        RAD-2 SDN-2
        GND-1 SDN-3 TWR-2
        RAD-3 REC-2
        SDN-4 REC-1
        SDN-5 REC-3 TWR-1
        ANT-1 TWR-3
        RAD-6 REC-4
        RAD-7 REC-5
        RAD-8 REC-6
        RAD-9 REC-7
    """)
    bench.cap("RAD-4 RAD-5")
    return bench.arranged()


def camper(library: Library) -> Job:
    """A camper: its second battery is charged through a relay, fused at both ends, and can be cut off."""
    bench = Bench(library)
    bench.sheet(
        shop="Tern Street Workshop",
        number="1047",
        title="Camper: second battery with split-charge relay",
        vehicle="Camper on a van of 12 V. Starter battery under the seat, living space behind.",
        equipment="Second battery of 100 Ah, split-charge relay, cut-off switch, cool box, two lamps.",
        technician="A. Marlow",
        approved_by="K. Osei",
        date="2026-06-22",
        note="Both batteries off before the long wire is laid: a fuse at each end, for each end can feed it.",
    )
    bench.settings(
        switches=(
            OwnSwitch(name="cut-off", words="second battery cut off"),
            OwnSwitch(name="hand-switch", words="lamps of the living space"),
        )
    )
    for name, tag in (
        ("Battery, 60 Ah", "BAT"),
        ("Fuse-box tap, ignition 2", "IGT"),
        ("Body ground point", "GND"),
        ("Body ground point, heavy", "GNB"),
        ("Fuse holder, in-line, 60 A", "FUA"),
        ("Relay, 70 A, split charge", "RLY"),
        ("Fuse holder, in-line, 60 A", "FUB"),
        ("Second battery, 100 Ah", "BTS"),
        ("Breaker, 30 A, by hand", "BRK"),
        ("Battery cut-off switch", "CUT"),
        ("Fuse holder, in-line, 10 A", "FUC"),
        ("Fuse holder, in-line, 5 A", "FUL"),
        ("Cool box", "COO"),
        ("Hand switch", "SWT"),
        ("Lamp, 5 W", "LML"),
        ("Lamp, 5 W", "LMR"),
    ):
        bench.part(name, tag)
    bench.joints("""
        BAT-1 FUA-1
        FUA-2 RLY-30
        IGT-1 RLY-86
        GND-1 RLY-85
        FUB-1 BTS-1 BRK-1
        BRK-2 CUT-1
        CUT-2 FUC-1 FUL-1
        FUL-2 SWT-1
    """)
    bench.method("bolt", "BAT-1 FUB-1")
    bench.method("tap", "IGT-1")
    bench.wire("RLY-87", "FUB-2", "RD", "16 mm2", 4500)
    bench.wire("BTS-2", "GNB-1", "BK", "16 mm2", 500)
    bench.wire("FUC-2", "COO-1", "RD", "2.5 mm2", 2500)
    bench.wire("COO-2", "GNB-1", "BK", "2.5 mm2", 2000)
    bench.wire("SWT-2", "LML-1", "RD", "0.75 mm2", 1800)
    bench.wire("SWT-2", "LMR-1", "RD", "0.75 mm2", 2600)
    bench.wire("LML-2", "GND-1", "BK", "0.75 mm2", 2200)
    bench.wire("LMR-2", "GND-1", "BK", "0.75 mm2", 3000)
    bench.method("bolt", "CUT-2 GNB-1")
    bench.leave("BAT-2", "on its own strap to the body, as the car has it")
    return bench.arranged()


def positive_classic(library: Library) -> Job:
    """A 6 V classic with its plus on the body: a receiver of 12 V behind a step-up, kept off the body."""
    bench = Bench(library)
    bench.sheet(
        shop="Tern Street Workshop",
        number="1048",
        title="Classic car, 6 V, positive ground: receiver behind a step-up",
        vehicle="Classic saloon of 6 V, plus on the body, no accessory position on the key.",
        equipment="Receiver for two speakers, in a wooden box under the seat. Step-up from 6 to 12 V.",
        technician="J. Quill",
        date="2026-07-03",
        note="The receiver's minus is the car's hot side: case and antenna braid stay off the body.",
    )
    bench.settings(system_volts=6, ground="positive")
    for name, tag in (
        ("Battery hot post, positive-ground car", "BAT"),
        ("Fuse-box tap, ignition", "IFT"),
        ("Body ground point, heavy", "GND"),
        ("Fuse holder, in-line, 15 A", "FUS"),
        ("Step-up 6 to 12 V", "STU"),
        ("Relay, 6 V coil", "RLY"),
        ("Receiver, two speakers", "REC"),
        ("Speakers, front pair", "SPF"),
    ):
        bench.part(name, tag)
    bench.joints("""
        BAT-1 FUS-1
        STU-2 REC-2
        IFT-1 RLY-85
        STU-3 REC-1 RLY-30
        RLY-87 REC-3
        REC-4 SPF-1
        REC-5 SPF-2
        REC-6 SPF-3
        REC-7 SPF-4
    """)
    bench.wire("FUS-2", "STU-2", "BK", "4 mm2", 1800)
    bench.wire("GND-1", "STU-1", "RD", "4 mm2", 600)
    bench.joint("GND-1", "RLY-86")
    bench.lead("REC-2", "2 mm2")
    bench.method("bolt", "BAT-1 GND-1")
    bench.method("tap", "IFT-1")
    return bench.arranged()
