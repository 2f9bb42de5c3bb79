"""Adding parts, plugging them together, replacing them."""

from __future__ import annotations

from functools import partial

from app.desk import Desk
from app.dialogs.blank_plug import ask_blank_plug
from app.dialogs.choose_part import choose_part
from app.dialogs.forms import ask_text
from core.edits import mates, notes, place, replacing
from core.edits import parts as part_edits
from core.ids import kind_of, part_of
from core.job.document import Job
from core.job.parts import Part


def selected_parts(desk: Desk) -> list[str]:
    return sorted({part_of(ref) for ref in desk.session.selection if kind_of(ref) in ("part", "connector")})


def add(desk: Desk) -> None:
    """To the shelf's search field: typing finds a part, Enter puts it on the map."""
    desk.places.find_part()


def add_from_library(desk: Desk, entry: str, at: tuple[float, float] | None = None) -> None:
    """Put a part of the shop library on the map; a plug of the car brings the half that mates with it."""
    found = desk.session.library.parts[entry]
    place_at = at or desk.view.free_place_for(found.part)
    if found.mate is None:
        edit = partial(part_edits.add_part, part=found.part, at=place_at)
    else:
        edit = partial(part_edits.add_mated, part=found.part, mate_part=found.mate, at=place_at)
    _add(desk, f"Add {found.name}", edit)


def blank_plug(desk: Desk) -> None:
    answer = ask_blank_plug(desk.window)
    if answer is not None:
        place_at = desk.view.free_place_for(answer.part)
        edit = partial(part_edits.add_part, part=answer.part, at=place_at)
        if answer.mate is not None:
            edit = partial(part_edits.add_mated, part=answer.part, mate_part=answer.mate, at=place_at)
        _add(desk, f"Add {answer.part.name}", edit)


def _add(desk: Desk, text: str, edit: partial[Job]) -> None:
    before = desk.session.job
    if desk.session.apply(text, edit):
        added = desk.session.job.parts.keys() - before.parts.keys()
        desk.session.select(added)
        desk.view.reveal(added)


def add_note(desk: Desk) -> None:
    text = ask_text(desk.window, "Note", "What should stand on the map?")
    if text:
        centre = desk.view.centre_of_map()
        desk.session.apply("Add a note", lambda job: notes.add_note(job, text, centre))


def edit_note(desk: Desk, note: str) -> None:
    text = ask_text(desk.window, "Note", "What should stand on the map?", desk.session.job.notes[note].text)
    if text:
        desk.session.apply("Change a note", lambda job: notes.set_note(job, note, text))


def change(desk: Desk) -> None:
    """To the details panel, into the field of the tag."""
    desk.places.edit_field("Tag")


def replace(desk: Desk) -> None:
    chosen = selected_parts(desk)
    if len(chosen) != 1:
        desk.notices.refuse("Select the one part that is to be replaced.")
        return
    entry = choose_part(desk.window, desk.session.library, f"Replace {chosen[0]} by")
    if entry is None:
        return
    new: Part = (
        entry.part
        if desk.session.job.parts[chosen[0]].state == entry.part.state
        else entry.mate or entry.part
    )
    before = desk.session.job
    if desk.session.apply(
        f"Replace {chosen[0]} by {entry.name}", lambda job: replacing.replace_part(job, chosen[0], new)
    ):
        lost = replacing.lost_joins(before, desk.session.job)
        if lost:
            desk.notices.say(f"These joins could not be kept: {', '.join(lost)}.", "look")


def mate(desk: Desk) -> None:
    """Plug two selected parts together, by the first connectors that fit."""
    chosen = selected_parts(desk)
    if len(chosen) != 2:
        desk.notices.refuse("Select the two parts that are to be plugged together.")
        return
    job = desk.session.job
    pairs = [
        (f"{chosen[0]}.{one.name}", f"{chosen[1]}.{other.name}")
        for one in job.parts[chosen[0]].connectors
        for other in job.parts[chosen[1]].connectors
    ]
    verdicts = [(pair, mates.can_mate(job, *pair)) for pair in pairs]
    fitting = next((pair for pair, verdict in verdicts if verdict.kind != "cannot"), None)
    if fitting is None:
        desk.notices.refuse(verdicts[0][1].reason)
        return
    desk.session.apply(f"Mate {chosen[0]} and {chosen[1]}", lambda job: mates.mate(job, *fitting))


def _mates_of(desk: Desk) -> list[str]:
    chosen = set(selected_parts(desk))
    return [m.id for m in desk.session.job.mates.values() if {part_of(m.a), part_of(m.b)} & chosen]


def is_mated(desk: Desk) -> bool:
    """Whether something is plugged into a selected part."""
    return bool(_mates_of(desk))


def unmate(desk: Desk) -> None:
    found = _mates_of(desk)
    if not found:
        desk.notices.refuse("Nothing is plugged into this part.")
        return
    desk.session.apply("Unplug", partial(_unmate_all, found=found))


def _unmate_all(job: Job, found: list[str]) -> Job:
    for mate_id in found:
        job = mates.unmate(job, mate_id)
    return job


def open_pair(desk: Desk) -> None:
    for mate_id in _mates_of(desk):
        is_open = mate_id in desk.session.job.view.opened
        desk.session.apply(
            "Close a mated pair" if is_open else "Show both faces",
            partial(place.open_pair, mate=mate_id, open_it=not is_open),
        )


def done(desk: Desk) -> None:
    """Mark parts as done, or as not done where all of them are."""
    chosen = [tag for tag in selected_parts(desk) if tag in desk.session.job.parts]
    value = not all(desk.session.job.parts[tag].done for tag in chosen)
    words = "done" if value else "not done"
    desk.session.apply(f"Mark {', '.join(chosen)} as {words}", partial(_set_done, chosen=chosen, value=value))


def _set_done(job: Job, chosen: list[str], value: bool) -> Job:
    for tag in chosen:
        job = part_edits.set_part(job, tag, done=value)
    return job
