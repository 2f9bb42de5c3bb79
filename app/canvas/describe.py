"""What the things on the map are called: for the status line and for screen readers."""

from __future__ import annotations

from core.colours import in_words
from core.ids import kind_of, part_of
from core.job.document import Job
from core.layout.words import colour_at, function_words
from core.library.library import Library


def describe(job: Job, library: Library, ref: str, level: str = "") -> str:
    """One line: `RAD-4 (12.6 V in run), accessory, red, joined to J3`. Empty where there is no such thing.

    `level` comes second, so that it is seen where a long line is cut.
    """
    name, comma, rest = _describe(job, library, ref).partition(", ")
    return f"{name} ({level}){comma}{rest}" if name and level else f"{name}{comma}{rest}"


def _describe(job: Job, library: Library, ref: str) -> str:
    match kind_of(ref):
        case "terminal":
            return _terminal(job, library, ref)
        case "joint":
            joint = job.joints.get(ref)
            ends = ", ".join(job.shown(end) for end in joint.ends) if joint else ""
            for_test = f", temporary for {joint.temporary_for}" if joint and joint.temporary_for else ""
            return f"Joint {ref}, {joint.method}, of {ends}{for_test}" if joint else ""
        case "wire" | "conductor":
            return _wire(job, ref)
        case "wire end":
            joined = job.lookup.joint_of.get(ref)
            name = f"Free end {ref[-1]} of {ref[:-2]}"
            return f"{name}, joined to {joined}" if joined else name
        case "part":
            part = job.parts.get(ref)
            return f"{ref}, {part.name}, {part.state}, {_ways(len(part.cavities))}" if part else ""
        case "note":
            note = job.notes.get(ref)
            return f"Note {ref}: {note.text}" if note else ""
        case "connector":
            part = job.parts.get(part_of(ref))
            return f"{ref}, connector of {part.name}" if part else ""
        case "cable":
            cable = job.cables.get(ref)
            return f"Cable {ref}, {_ways(len(cable.conductors))}" if cable else ""
        case _:
            return ref


def _ways(count: int) -> str:
    return f"{count}-way"


def _terminal(job: Job, library: Library, ref: str) -> str:
    cavity = job.cavity(ref)
    if cavity is None:
        return ""
    colour = colour_at(job.lookup, ref, cavity)
    pieces = [
        job.shown(ref),
        function_words(cavity, library),
        in_words(colour) if colour else "",
        "airbag circuit" if cavity.airbag else "",
        _what_became_of(job, ref),
    ]
    return ", ".join(piece for piece in pieces if piece)


def _what_became_of(job: Job, ref: str) -> str:
    joint = job.lookup.joint_of.get(ref)
    if joint is not None:
        return f"joined to {joint}"
    crimped = job.lookup.crimped.get(ref, ())
    if crimped:
        return "holds " + ", ".join(end.partition(":")[0] for end in crimped)
    finish = job.finishes.get(ref)
    if finish is not None:
        return f"{finish.kind}: {finish.reason}" if finish.reason else finish.kind
    meets = job.lookup.meets.get(ref)
    return f"meets {job.shown(meets)}" if meets else "not joined"


def _wire(job: Job, ref: str) -> str:
    conductor = job.lookup.conductors.get(ref)
    if conductor is None:
        return ""
    ends = []
    for letter, place in (("a", conductor.a_in), ("b", conductor.b_in)):
        joint = job.lookup.joint_of.get(f"{ref}:{letter}")
        ends.append(job.shown(place) if place else joint or "a free end")
    pieces = [
        f"{'Wire' if kind_of(ref) == 'wire' else 'Conductor'} {ref}",
        in_words(conductor.colour) if conductor.colour else "",
        conductor.gauge or "",
        f"from {ends[0]} to {ends[1]}",
    ]
    return ", ".join(piece for piece in pieces if piece)
