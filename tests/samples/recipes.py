"""How the sample jobs are made. Everything in them is invented: shops, people, cars, parts.

`make.py` writes them; `sample_jobs/` holds what it wrote, and beside each what the checker must say.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from core.edits import remove_parts, unjoin
from core.job.document import Job
from core.library import Library
from tests.samples.bench import Bench
from tests.samples.signals import steering, trailer, two_triggers
from tests.samples.supplies import camper, positive_classic, truck

Edit = Callable[[Bench], None]

SPEAKERS = """
    RAD-7 REC-9
    RAD-8 REC-10
    RAD-11 REC-11
    RAD-12 REC-12
    RAD-9 REC-13
    RAD-10 REC-14
    RAD-13 REC-15
    RAD-16 REC-16
"""


def van(library: Library) -> Bench:
    """A compact van: receiver, the car's 6 V camera, its steering buttons, a dash camera."""
    bench = Bench(library)
    bench.sheet(
        shop="Tern Street Workshop",
        number="1042",
        title="Compact van: receiver, camera, steering controls, dash camera",
        vehicle="Compact van, one owner, 84 000 km. Radio and camera worked at check-in.",
        equipment="Receiver, 16-way lead set. Steering interface. Dash camera with parking feed.",
        technician="A. Marlow",
        approved_by="K. Osei",
        date="2026-03-12",
        note="Before the battery comes off: read the fault codes, and wait as long as the service "
        "information says before any airbag plug is touched.",
    )
    bench.plug("Radio plug, 18-way")
    bench.plug("Camera plug, 6 V, 8-way")
    for name, tag in (
        ("Parking-brake tap", "PBT"),
        ("Receiver, 16-way lead set", "REC"),
        ("Steering interface, 8-way", "STW"),
        ("Wired-remote jack, 3.5 mm", "WRJ"),
        ("Dash camera with parking feed", "DSH"),
        ("Fuse holder, in-line, 2 A", "FUS"),
        ("Step-down 12 to 6 V", "SDN"),
        ("Video in, coaxial", "VID"),
    ):
        bench.part(name, tag)
    bench.joints("""
        RAD-2 REC-1 FUS-1
        RAD-1 REC-2 STW-1 DSH-3 SDN-2 CAM-3
        RAD-4 REC-3 STW-2 DSH-1 SDN-1
        FUS-2 DSH-2
        SDN-3 CAM-1
        RAD-5 REC-4
        RAD-18 REC-5
        PBT-1 REC-6
        RAD-6 REC-7
        RAD-14 STW-3
        RAD-15 STW-4
        RAD-17 STW-5
        STW-6 WRJ-1
        STW-7 WRJ-2
        CAM-5 VID-1
        CAM-6 VID-2
    """)
    bench.joints(SPEAKERS)
    bench.method("tap", "PBT-1")
    bench.cap("REC-8 CAM-7")
    return bench


def camera_on_accessory(bench: Bench) -> None:
    """The 6 V camera straight on a feed of 12 V, its step-down left away."""
    bench.job = remove_parts(bench.job, ["SDN"])
    bench.part("Fuse-box tap, accessory", "AFT")
    bench.joint("AFT-1", "CAM-1")


def constant_on_accessory(bench: Bench) -> None:
    """The constant and the accessory feed in one joint."""
    bench.joint("RAD-2", "RAD-4")


def speaker_minus_on_ground(bench: Bench) -> None:
    """The minus of one speaker on the ground joint."""
    bench.joint("RAD-1", "RAD-8")


def camera_without_return(bench: Bench) -> None:
    """The camera's return capped, not joined."""
    bench.job = unjoin(bench.job, bench.end("CAM-3"))
    bench.cap("CAM-3")


def live_lead_left_bare(bench: Bench) -> None:
    """A lead that is live with the lights, left without a cap."""
    bench.job = unjoin(bench.job, bench.end("RAD-5"))
    bench.leave("RAD-5", "not needed on this job")
    bench.cap("REC-4")


MISTAKES: Mapping[str, Edit] = {
    edit.__name__: edit
    for edit in (
        camera_on_accessory,
        constant_on_accessory,
        speaker_minus_on_ground,
        camera_without_return,
        live_lead_left_bare,
    )
}


def van_with(library: Library, *mistakes: Edit) -> Job:
    """The van with these mistakes in it."""
    bench = van(library)
    for mistake in mistakes:
        mistake(bench)
    return bench.arranged()


def five_mistakes(library: Library) -> Job:
    bench = van(library)
    bench.sheet(title="Compact van, with five mistakes to find", number="1043")
    for mistake in MISTAKES.values():
        mistake(bench)
    return bench.arranged()


def estate(library: Library) -> Job:
    """An estate car with standard plugs: receiver in line level to a four-channel amplifier, its own feed."""
    bench = Bench(library)
    bench.sheet(
        shop="Tern Street Workshop",
        number="1044",
        title="Estate car: receiver and four-channel amplifier",
        vehicle="Estate car with ISO 10487 plugs behind the radio.",
        equipment="Receiver, 16-way lead set. Amplifier, four channels, under the load floor.",
        technician="A. Marlow",
        approved_by="K. Osei",
        date="2026-04-02",
        note="Fuse the amplifier's feed at the battery before the wire is laid.",
    )
    bench.plug("ISO 10487 plugs A and B")
    for name, tag in (
        ("Battery plus post", "BAT"),
        ("Parking-brake tap", "PBT"),
        ("Body ground point, heavy", "GND"),
        ("Receiver, 16-way lead set", "REC"),
        ("Line leads, four channels", "LIN"),
        ("Fuse holder, in-line, 60 A", "FUS"),
        ("Amplifier, four channels", "AMP"),
    ):
        bench.part(name, tag)
    bench.joints("""
        ISO.A-4 REC-1
        ISO.A-8 REC-2
        ISO.A-7 REC-3
        ISO.A-6 REC-4
        ISO.A-3 REC-5
        PBT-1 REC-6
        ISO.A-5 REC-7
        BAT-1 FUS-1
    """)
    bench.method("tap", "PBT-1")
    bench.method("bolt", "BAT-1")
    bench.wire("FUS-2", "AMP.P-1", "RD", "16 mm2", 4500)
    bench.wire("GND-1", "AMP.P-2", "BK", "16 mm2", 400)
    bench.wire("REC-8", "AMP.P-3", "BU/WH", "0.75 mm2", 4500)
    for number, (colour, cavity) in enumerate(
        (("WH", 1), ("GY", 2), ("GN", 3), ("VT", 4), ("BK/WH", 5)), start=1
    ):
        bench.wire(f"LIN-{number}", f"AMP.L-{cavity}", colour, "0.35 mm2", 4500)
    for cavity, plug_pin, colour in (
        (1, 5, "WH"),
        (2, 6, "WH/BK"),
        (3, 3, "GY"),
        (4, 4, "GY/BK"),
        (5, 7, "GN"),
        (6, 8, "GN/BK"),
        (7, 1, "VT"),
        (8, 2, "VT/BK"),
    ):
        bench.wire(f"ISO.B-{plug_pin}", f"AMP.S-{cavity}", colour, "1.5 mm2", 4500)
    bench.cap("ISO.A-1 ISO.A-2 " + " ".join(f"REC-{pin}" for pin in range(9, 17)))
    return bench.arranged()


def classic(library: Library) -> Job:
    """A classic car without an accessory feed: a relay makes one from the ignition."""
    bench = Bench(library)
    bench.sheet(
        shop="Tern Street Workshop",
        number="1045",
        title="Classic car: receiver through a relay",
        vehicle="Classic saloon, negative ground, no accessory position on the key.",
        equipment="Receiver for two speakers, hidden in the glove box.",
        technician="J. Quill",
        date="2026-05-20",
        note="The key's old contacts carry the relay's coil only.",
    )
    for name, tag in (
        ("Battery plus post", "BAT"),
        ("Fuse-box tap, ignition", "IFT"),
        ("Body ground point", "GND"),
        ("Fuse holder, in-line, 10 A", "FUS"),
        ("Relay, 4 terminals", "RLY"),
        ("Receiver, two speakers", "REC"),
        ("Speakers, front pair", "SPF"),
    ):
        bench.part(name, tag)
    bench.joints("""
        BAT-1 FUS-1
        FUS-2 REC-1 RLY-30
        IFT-1 RLY-86
        GND-1 RLY-85 REC-2
        RLY-87 REC-3
        REC-4 SPF-1
        REC-5 SPF-2
        REC-6 SPF-3
        REC-7 SPF-4
    """)
    bench.method("bolt", "BAT-1")
    bench.method("tap", "IFT-1")
    return bench.arranged()


def first_light(library: Library) -> Job:
    """What is opened at the first start: a small job with one Stop to mend."""
    bench = Bench(library)
    bench.sheet(
        shop="Tern Street Workshop",
        number="1041",
        title="First light: one thing to mend",
        vehicle="Small van.",
        equipment="Receiver for two speakers; the van's own camera is kept.",
        technician="A. Marlow",
        date="2026-03-02",
        note="The camera accepts 5.5 to 6.5 V. Look at the conflict, and mend it with its button.",
    )
    bench.plug("Radio plug, 10-way")
    bench.plug("Camera plug, 6 V, 8-way")
    for name, tag in (("Receiver, two speakers", "REC"), ("Video in, coaxial", "VID")):
        bench.part(name, tag)
    bench.joints("""
        RAD-1 REC-1
        RAD-3 REC-2 CAM-3
        RAD-2 REC-3 CAM-1
        RAD-6 REC-4
        RAD-7 REC-5
        RAD-8 REC-6
        RAD-9 REC-7
        CAM-5 VID-1
        CAM-6 VID-2
    """)
    bench.cap("RAD-4 RAD-5 CAM-7")
    return bench.arranged()


SAMPLES: Mapping[str, Callable[[Library], Job]] = {
    "first_light": first_light,
    "van_receiver": van_with,
    "van_five_mistakes": five_mistakes,
    "estate_amplifier": estate,
    "classic_relay": classic,
    "truck_24v": truck,
    "camper_second_battery": camper,
    "trailer_lamps": trailer,
    "steering_ladder": steering,
    "classic_positive": positive_classic,
    "camera_two_triggers": two_triggers,
}
