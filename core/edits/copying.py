"""Copying, pasting (also into another job) and deleting, by any mix of ids."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Any

from core.edits.base import made, replaced
from core.edits.draft import Draft
from core.errors import EditRefused
from core.ids import connector_of, free_tag, in_order, kind_of, other_end, owner_of_end, part_of
from core.job.base import Frozen
from core.job.document import Job
from core.job.invariants import check_invariants
from core.job.lookup import conductors_of
from core.job.view import Place, View
from core.job.wiring import Cable, Joint, Wire

PASTE_OFFSET = 40.0


class Clip(Frozen):
    """What was copied: a small job of its own, with the ids it had. It can be written as JSON."""

    content: Job


def copy(job: Job, refs: Iterable[str]) -> Clip:
    """Parts, wires, cables and notes, with the mates, wires and joints that lie among them.

    Raises EditRefused where none of the refs can be copied.
    """
    wanted = set(refs)
    parts = {tag: part for tag, part in job.parts.items() if tag in wanted}
    terminals = {t for part in parts.values() for t in part.cavities}
    wires = {name for name in wanted if name in job.wires or name in job.cables}
    notes = {name: job.notes[name] for name in in_order(wanted) if name in job.notes}
    if not parts and not wires and not notes:
        raise EditRefused("Select a part, a wire or a note to copy.")
    wires |= _between(job, terminals, wires)
    ends = terminals | {end for name in wires for end in _ends(job, name)}
    joints: dict[str, Joint] = {}
    for name in in_order({job.lookup.joint_of[end] for end in ends if end in job.lookup.joint_of}):
        kept = tuple(end for end in job.joints[name].ends if end in ends)
        if len(kept) >= 2:
            joints[name] = replaced(job.joints[name], ends=kept)
    mates = {m.id: m for m in job.mates.values() if part_of(m.a) in parts and part_of(m.b) in parts}
    content = Job(
        parts=parts,
        mates=mates,
        wires={name: _cut_loose(job.wires[name], parts) for name in in_order(wires) if name in job.wires},
        cables={
            name: _cable_cut_loose(job.cables[name], parts) for name in in_order(wires) if name in job.cables
        },
        joints=joints,
        finishes={end: job.finishes[end] for end in sorted(ends & job.finishes.keys())},
        notes=notes,
        counters=job.counters,
        view=View(
            places={
                ref: place
                for ref, place in job.view.places.items()
                if ref in parts or ref in joints or ref in notes or ref in mates or ref in wires
            },
            opened=tuple(mate for mate in job.view.opened if mate in mates),
        ),
    )
    return Clip(content=content)


def _between(job: Job, terminals: set[str], wires: set[str]) -> set[str]:
    """Wires and cables not selected whose every end is attached to what is; an end may hang free."""
    copied = terminals | {end for name in wires for end in _ends(job, name)}
    near = {owner for t in terminals for end in job.lookup.crimped.get(t, ()) for owner in [_whole(end)]}
    for joint in {job.lookup.joint_of.get(end) for end in copied}:
        if joint is not None:
            near |= {_whole(end) for end in job.joints[joint].ends if kind_of(end) == "wire end"}
    return {name for name in near - wires if all(_attached(job, end, copied) for end in _ends(job, name))}


def _whole(end: str) -> str:
    """The wire or the cable that a wire end belongs to."""
    return owner_of_end(end).partition(".")[0]


def _attached(job: Job, end: str, copied: set[str]) -> bool:
    conductor = job.lookup.conductors[owner_of_end(end)]
    place = conductor.a_in if end.endswith("a") else conductor.b_in
    if place is not None:
        return place in copied
    joint = job.lookup.joint_of.get(end)
    return joint is None or any(other in copied for other in job.joints[joint].ends)


def _ends(job: Job, name: str) -> Iterator[str]:
    cable = job.cables.get(name)
    for conductor in [core for core, _ in conductors_of(cable)] if cable else [name]:
        yield f"{conductor}:a"
        yield f"{conductor}:b"


def _cut_loose(wire: Wire, parts: Iterable[str]) -> Wire:
    return replaced(wire, **_crimps(wire, lambda t: t if part_of(t) in parts else None))


def _cable_cut_loose(cable: Cable, parts: Iterable[str]) -> Cable:
    cores = (
        replaced(core, **_crimps(core, lambda t: t if part_of(t) in parts else None))
        for core in cable.conductors
    )
    return replaced(cable, conductors=tuple(cores))


def _crimps(conductor: Any, now: Callable[[str], str | None]) -> dict[str, str | None]:
    places = {"a_in": conductor.a_in, "b_in": conductor.b_in}
    return {field: now(place) if place else None for field, place in places.items()}


def paste(job: Job, clip: Clip, at: tuple[float, float] | None = None) -> Job:
    """Put a copy on the map, its top left at `at` (map units), under fresh tags and numbers.

    Without `at` it lies a little below where it was copied. Raises EditRefused.
    """
    content = clip.content
    if check_invariants(content):
        raise EditRefused("What was copied is not whole and cannot be pasted.")
    draft = Draft(job)
    names = _fresh_names(draft, content)

    def renamed(ref: str) -> str:
        """A part, connector, terminal, wire end or numbered id of the clip as it is called in the job."""
        whole = part_of(ref.partition(":")[0])
        return names[whole] + ref[len(whole) :]

    for tag, part in content.parts.items():
        draft.parts.put(names[tag], part if names[tag] == tag else part.changed(id=names[tag]))
    for mate in content.mates.values():
        draft.mates.put(
            names[mate.id], replaced(mate, id=names[mate.id], a=renamed(mate.a), b=renamed(mate.b))
        )
    for wire in content.wires.values():
        draft.add_wire(replaced(wire, id=names[wire.id], **_crimps(wire, renamed)))
    for cable in content.cables.values():
        cores = tuple(replaced(core, **_crimps(core, renamed)) for core in cable.conductors)
        draft.add_cable(replaced(cable, id=names[cable.id], conductors=cores))
    for joint in content.joints.values():
        ends = tuple(renamed(end) for end in joint.ends)
        draft.put_joint(replaced(joint, id=names[joint.id], ends=ends))
    for end, finish in content.finishes.items():
        draft.finishes.put(renamed(end), finish)
    for note in content.notes.values():
        draft.notes.put(names[note.id], replaced(note, id=names[note.id]))
    for ref, place in _moved(content.view, at).items():
        draft.places.put(names[ref], place)
    draft.opened += tuple(names[mate] for mate in content.view.opened)
    return draft.job()


def _fresh_names(draft: Draft, content: Job) -> dict[str, str]:
    names: dict[str, str] = {}
    taken = set(draft.parts.now)
    for tag in content.parts:
        names[tag] = free_tag(tag, taken)
        taken.add(names[tag])
    names.update((old, draft.next_id("M")) for old in content.mates)
    names.update((old, draft.next_id("W")) for old in content.wires)
    names.update((old, draft.next_id("C")) for old in content.cables)
    names.update((old, draft.next_id("J")) for old in content.joints)
    names.update((old, draft.next_id("N")) for old in content.notes)
    return names


def _moved(view: View, at: tuple[float, float] | None) -> dict[str, Place]:
    if not view.places:
        return {}
    left = min(place.x for place in view.places.values())
    top = min(place.y for place in view.places.values())
    x, y = at or (left + PASTE_OFFSET, top + PASTE_OFFSET)
    return {
        ref: made(Place, x=place.x - left + x, y=place.y - top + y, kept=True)
        for ref, place in view.places.items()
    }


def delete(job: Job, refs: Iterable[str]) -> Job:
    """Take away any mix of things. Raises EditRefused where one does not exist or nothing would go.

    Parts, wires, cables, joints, mates and notes go; a terminal or wire end leaves its joint or cavity and
    loses its cap; a connector is unplugged.
    """
    draft = Draft(job)
    wanted = list(dict.fromkeys(refs))
    for ref in wanted:
        if not _exists(job, ref):
            raise EditRefused(f"There is no {ref}.")
    for ref in wanted:
        _delete(draft, ref)
    after = draft.job()
    if after is job:
        raise EditRefused("There is nothing to delete here.")
    return after


def _exists(job: Job, ref: str) -> bool:
    match kind_of(ref):
        case "terminal":
            return job.cavity(ref) is not None
        case "connector":
            return job.connector(ref) is not None
        case "conductor" | "wire end":
            return owner_of_end(ref) in job.lookup.conductors
        case _:
            things = (job.parts, job.joints, job.wires, job.cables, job.mates, job.notes)
            return any(ref in collection for collection in things)


def _delete(draft: Draft, ref: str) -> None:
    """What went with another thing already is passed over."""
    match kind_of(ref):
        case "part" if ref in draft.parts:
            draft.drop_part(ref)
        case "joint" if ref in draft.joints:
            draft.drop_joint(ref)
        case "wire" | "cable" if ref in draft.wires or ref in draft.cables:
            draft.drop_conductors(ref)
        case "mate":
            draft.drop_mate(ref)
        case "note":
            draft.notes.drop(ref)
            draft.places.drop(ref)
        case "connector":
            mate = draft.mate_of(connector_of(ref))
            if mate is not None:
                draft.drop_mate(mate.id)
        case "terminal":
            draft.loosen([ref])
        case "wire end":
            _free_end(draft, ref)
        case "conductor":
            _free_end(draft, f"{ref}:a")
            _free_end(draft, other_end(f"{ref}:a"))
        case _:
            pass


def _free_end(draft: Draft, end: str) -> None:
    if draft.conductor(owner_of_end(end)) is None:
        return
    draft.leave_joints([end])
    draft.finishes.drop(end)
    if draft.crimped_into(end) is not None:
        draft.crimp(end, None)
