"""Mistakes with speakers and amplifiers."""

from __future__ import annotations

from core import edits as ed
from core.job.document import Job
from core.job.internals import Load, Speaker, SpeakerOutput
from core.job.parts import Part
from tests.core.checks.cases import Bad
from tests.core.checks.jobs import capped, jobs_of, joined, off, plain, radio


def player(tag: str, *channels: str, least_ohms: float | None = None) -> Part:
    """A part with a feed, a ground and bridged channels: pins 3 and 4, 5 and 6."""
    outputs = tuple(
        SpeakerOutput(plus=f"A-{2 * n + 3}", minus=f"A-{2 * n + 4}", least_ohms=least_ohms)
        for n in range(len(channels))
    )
    leads = [f"speaker-{channel}{sign}" for channel in channels for sign in "+-"]
    load = Load(plus="A-1", minus="A-2", amps=3.0)
    return plain(tag, ("accessory", "ground", *leads), internals=(load, *outputs))


def speaker(tag: str, channel: str = "lf", ohms: float = 4.0) -> Part:
    leads = (f"speaker-{channel}+", f"speaker-{channel}-")
    inside = Speaker(plus="A-1", minus="A-2", ohms=ohms)
    return plain(tag, leads, state="on the car", internals=(inside,))


def fed(*parts: Part) -> Job:
    """The parts, those with a feed fed."""
    job = jobs_of(plain("CAR", ("accessory", "ground"), state="on the car"), *parts)
    for part in parts:
        if part.cavities[f"{part.id}.A-1"].function == "accessory":
            job = joined(job, f"CAR-1 {part.id}-1", f"CAR-2 {part.id}-2")
    return job


def two_on_one() -> Job:
    """A receiver and an amplifier on one speaker."""
    job = fed(player("REC", "lf"), player("AMP", "lf"), speaker("SPK"))
    return joined(job, "REC-3 AMP-3 SPK-1", "REC-4 AMP-4 SPK-2")


def two_speakers(ohms: float) -> Job:
    """Two speakers side by side on a channel made for 4 ohm."""
    job = fed(player("AMP", "lf", least_ohms=4.0), speaker("SPK", ohms=ohms), speaker("SPL", ohms=ohms))
    return joined(job, "AMP-3 SPK-1 SPL-1", "AMP-4 SPK-2 SPL-2")


def unused_twisted() -> Job:
    job = fed(player("REC", "lf", "lr"), speaker("SPK"))
    return joined(job, "REC-3 SPK-1", "REC-4 SPK-2", "REC-5 REC-6")


def one_pair_capped() -> Job:
    """A receiver for four speakers that drives two."""
    return capped(joined(fed(player("REC", "lf", "lr"), speaker("SPK")), "REC-3 SPK-1", "REC-4 SPK-2"))


def wires_to_nothing() -> Job:
    job = ed.clear_finish(one_pair_capped(), ["REC.A-5", "REC.A-6"])
    for lead in ("REC.A-5", "REC.A-6"):
        job = ed.add_wire(job, length_mm=3000)
        wire = list(job.wires)[-1]
        job = ed.cap(ed.join(job, lead, f"{wire}:a"), [f"{wire}:b"])
    return job


SPEAKER_CASES: tuple[Bad, ...] = (
    Bad(
        "minus of one channel and plus of the next exchanged",
        "leads joined across channels",
        lambda: ed.swap_pins(radio(), "REC.A-6", "REC.A-7"),
        "REC.A-7",
        "A speaker stands between REC-5 (left front +) and REC-7 (right front +)",
    ),
    Bad(
        "left front and right front in one joint",
        "leads joined across channels",
        lambda: ed.join(radio(), "RAD.A-7", "RAD.A-11"),
        "REC.A-5",
        "two channels of REC would drive into each other",
    ),
    Bad(
        "a receiver and an amplifier on one speaker",
        "two amplifiers on one pair",
        two_on_one,
        "REC.A-3",
        "REC and AMP would drive into each other",
    ),
    Bad(
        "two speakers of 4 ohm on an output for 4 ohm",
        "load below the amplifier's least ohms",
        lambda: two_speakers(4.0),
        "AMP.A-3",
        "AMP-3 and AMP-4 would drive 2 Ω; AMP is made for 4 Ω at the least",
    ),
    Bad(
        "unused speaker outputs twisted together",
        "unused leads joined together",
        unused_twisted,
        "REC.A-5",
        "are not used, and joined together",
    ),
    Bad(
        "one lead of a speaker capped",
        "outputs with no speaker or amplifier",
        lambda: ed.cap(off(radio(), "REC.A-6"), ["REC.A-6", "RAD.A-8"]),
        "REC.A-6",
        "the speaker would be silent",
        level="look",
    ),
    Bad(
        "wires laid from a channel to where no speaker is",
        "outputs with no speaker or amplifier",
        wires_to_nothing,
        "REC.A-5",
        "are joined, and lead to no speaker",
        level="note",
    ),
)

GOOD_WITH_SPEAKERS = {
    "a receiver for four speakers that drives two": one_pair_capped(),
    "two speakers of 8 ohm side by side on an output for 4 ohm": two_speakers(8.0),
}
