"""Sample jobs about signals and lamps: steering buttons read by data, a trailer. Everything is invented."""

from __future__ import annotations

from core.job.document import Job
from core.job.record import OwnSwitch
from core.library import Library
from tests.samples.bench import Bench

SPEAKERS = """
    RAD-9 REC-9
    RAD-10 REC-10
    RAD-11 REC-11
    RAD-12 REC-12
    RAD-13 REC-13
    RAD-14 REC-14
    RAD-15 REC-15
    RAD-16 REC-16
"""


def steering(library: Library) -> Job:
    """A car woken by data: an interface makes the accessory feed and reads seven buttons on one line."""
    bench = Bench(library)
    bench.sheet(
        shop="Tern Street Workshop",
        number="1049",
        title="Hatchback woken by data: receiver and seven steering buttons",
        vehicle="Hatchback whose radio plug has no accessory feed. Seven buttons on the wheel, one line.",
        equipment="Receiver, data interface, relay for the reverse signal, push button for the telephone.",
        technician="A. Marlow",
        approved_by="K. Osei",
        date="2026-08-14",
        note="Teach the interface button by button, the engine running, before the dash closes.",
    )
    bench.settings(switches=(OwnSwitch(name="push-button", words="telephone button on the console"),))
    bench.plug("Radio plug, 16-way, data and buttons")
    for name, tag in (
        ("Parking-brake tap", "PBT"),
        ("Body ground point", "GND"),
        ("Data interface, 16-way", "DIF"),
        ("Receiver, 16-way lead set", "REC"),
        ("Wired-remote jack, 3.5 mm", "WRJ"),
        ("Push button", "PSH"),
        ("Ladder resistor, 1.5 kilohm", "RES"),
        ("Relay, 4 terminals", "RLY"),
    ):
        bench.part(name, tag)
    bench.joints("""
        RAD-1 REC-2
        GND-1 DIF-1
        RAD-2 DIF-2 REC-1
        RAD-3 DIF-3
        RAD-4 DIF-4
        RAD-5 DIF-5
        RAD-6 DIF-7 RES-2
        DIF-6 PSH-1
        PSH-2 RES-1
        DIF-8 REC-3 RLY-86 RLY-30
        RAD-8 REC-4
        DIF-10 RLY-85
        RLY-87 REC-5
        DIF-11 WRJ-1
        DIF-12 WRJ-2
        PBT-1 REC-6
        RAD-7 REC-7
    """)
    bench.joints(SPEAKERS)
    bench.method("tap", "PBT-1")
    bench.cap("DIF-9 REC-8")
    return bench.arranged()


def trailer(library: Library) -> Job:
    """A trailer socket: each lamp on its own wire, and a ground wire of its own beside the hitch."""
    bench = Bench(library)
    bench.sheet(
        shop="Tern Street Workshop",
        number="1050",
        title="Trailer socket: lamps left, right, brake and tail",
        vehicle="Estate car with a hitch, without a socket. All lamps worked at check-in.",
        equipment="Socket of seven contacts. The trailer: one lamp of 21 W a side, two for the brake.",
        technician="J. Quill",
        date="2026-09-01",
        note="The hitch is no ground: the socket has a wire of its own to the body.",
    )
    for name, tag in (
        ("Left-turn lamp tap", "TLT"),
        ("Right-turn lamp tap", "TRT"),
        ("Brake-pedal tap", "BPT"),
        ("Tail-lamp tap", "TAT"),
        ("Body ground point, heavy", "GND"),
        ("Hitch", "HIT"),
    ):
        bench.part(name, tag)
    bench.plug("Trailer plug with lamps, 7-way")
    for tap, pin, colour, gauge in (
        ("TLT-1", 1, "YE", "1 mm2"),
        ("TRT-1", 4, "GN", "1 mm2"),
        ("BPT-1", 6, "RD", "1 mm2"),
        ("TAT-1", 5, "BN", "1 mm2"),
        ("TAT-1", 7, "BK", "1 mm2"),
        ("GND-1", 3, "WH", "2.5 mm2"),
    ):
        bench.wire(tap, f"TRL-{pin}", colour, gauge, 1400)
    bench.joint("HIT-1", "TRLC.F-1")
    bench.method("bolt", "HIT-1")
    bench.method("tap", "TLT-1 TRT-1 BPT-1 TAT-1")
    return bench.arranged()


def two_triggers(library: Library) -> Job:
    """A camera and its screen, put on by the reverse or the brake lamps: a diode in each keeps them apart."""
    bench = Bench(library)
    bench.sheet(
        shop="Tern Street Workshop",
        number="1051",
        title="Delivery van: camera shown in reverse and while braking",
        vehicle="Delivery van without windows behind. Reverse and brake lamps worked at check-in.",
        equipment="Camera over the rear doors, display in place of the mirror.",
        technician="A. Marlow",
        date="2026-09-18",
        note="Without the diodes the brake would light the reverse lamps, and reverse the brake lamps.",
    )
    for name, tag in (
        ("Fuse-box tap, accessory", "AFT"),
        ("Reverse-lamp tap", "RVT"),
        ("Brake-pedal tap", "BPT"),
        ("Body ground point", "GND"),
        ("Isolation diode, 1 A", "DIR"),
        ("Isolation diode, 1 A", "DIB"),
        ("Fuse holder, in-line, 2 A", "FUS"),
        ("Rear-view display", "DSP"),
        ("Camera, 12 V", "CAM"),
    ):
        bench.part(name, tag)
    bench.joints("""
        AFT-1 DSP-1
        RVT-1 DIR-1
        BPT-1 FUS-1
        FUS-2 DIB-1
        DIR-2 DIB-2 DSP-3
        GND-1 DSP-2
    """)
    bench.method("tap", "AFT-1 RVT-1 BPT-1")
    bench.wire("DIR-2", "CAM-1", "RD", "0.75 mm2", 5500)
    bench.wire("GND-1", "CAM-2", "BK", "0.75 mm2", 5500)
    bench.wire("CAM-3", "DSP-4", "YE", "0.35 mm2", 5500)
    bench.wire("CAM-4", "DSP-5", "GY", "0.35 mm2", 5500)
    return bench.arranged()
