"""Going from conflict to conflict, mending and accepting."""

from __future__ import annotations

import datetime
from functools import partial

from app.desk import Desk
from app.dialogs.accept import ask_acceptance
from core.checks.finding import CheckResult, Conflict, Mend
from core.edits import record
from core.job.record import Acceptance


def _listed(desk: Desk) -> list[Conflict]:
    result = desk.session.result
    return list(result.unfolded()) if result is not None else []


def shown_conflict(desk: Desk) -> Conflict | None:
    """The conflict whose callout stands on the map, as the last check found it."""
    key = desk.view.conflict_key
    return next((conflict for conflict in _listed(desk) if conflict.key == key), None)


def _step(desk: Desk, by: int) -> None:
    conflicts = _listed(desk)
    if not conflicts:
        desk.notices.say("Nothing was found.")
        return
    keys = [conflict.key for conflict in conflicts]
    key = desk.view.conflict_key
    start = keys.index(key) + by if key in keys else (0 if by > 0 else -1)
    desk.places.show_place("map")
    desk.view.show_conflict(conflicts[start % len(conflicts)])


def next_conflict(desk: Desk) -> None:
    _step(desk, 1)


def previous_conflict(desk: Desk) -> None:
    _step(desk, -1)


def next_open(desk: Desk) -> None:
    """Select the next lead to decide, after the one selected."""
    result = desk.session.result
    ends = [end for end in (result.open_ends if result else ()) if desk.session.job.end_exists(end)]
    if not ends:
        desk.notices.say("Nothing is left to decide.")
        return
    here = next((ends.index(ref) for ref in desk.selection if ref in ends), -1)
    end = ends[(here + 1) % len(ends)]
    desk.places.show_place("map")
    desk.session.select([end])
    desk.view.zoom_to([end])


def mend(desk: Desk) -> None:
    conflict = shown_conflict(desk)
    if conflict is None or not conflict.mends:
        desk.notices.refuse("This one has no mend that can be done in one step.")
        return
    apply_mend(desk, conflict.mends[0])


def apply_mend(desk: Desk, chosen: Mend) -> None:
    if desk.session.apply(chosen.label, chosen.edit):
        desk.notices.say(f"{chosen.label}: done. Undo takes it back.")


def accept(desk: Desk) -> None:
    conflict = shown_conflict(desk)
    if conflict is not None:
        accept_conflict(desk, conflict)


def accept_conflict(desk: Desk, conflict: Conflict) -> None:
    """Ask for a reason and a name, and keep the conflict on purpose."""
    if not conflict.acceptable:
        desk.notices.refuse(f"This cannot be accepted: {conflict.rule}. It has to be mended.")
        return
    answer = ask_acceptance(desk.window, conflict, desk.program.settings.user_name)
    if answer is None:
        return
    desk.program.settings.user_name = answer.name
    desk.session.apply(
        f"Accept: {conflict.rule}",
        partial(
            record.accept,
            rule=conflict.rule,
            where=conflict.where,
            positions=conflict.positions,
            numbers=dict(conflict.numbers),
            reason=answer.reason,
            name=answer.name,
            date=datetime.date.today().isoformat(),
        ),
    )


def withdraw(desk: Desk, conflict: Conflict) -> None:
    """Take an acceptance back: the conflict stands open again."""
    if conflict.accepted is not None:
        remove_acceptance(desk, conflict.accepted)


def remove_acceptance(desk: Desk, acceptance: Acceptance) -> None:
    acceptances = desk.session.job.acceptances
    if acceptance in acceptances:
        index = acceptances.index(acceptance)
        desk.session.apply(f"Withdraw acceptance: {acceptance.rule}", lambda job: record.withdraw(job, index))


def lapsed(result: CheckResult) -> list[Acceptance]:
    """The acceptances of the job that match nothing found any more."""
    holding = [conflict.accepted for conflict in result.conflicts if conflict.accepted is not None]
    return [acceptance for acceptance in result.job.acceptances if acceptance not in holding]
