"""Joining, capping, pulling, leaving: what becomes of an end."""

from __future__ import annotations

from functools import partial

from app.desk import Desk
from app.dialogs.forms import ask_line
from core.edits import cables, cavities, finishes, joins
from core.ids import in_order, kind_of, part_of
from core.job.document import Job


def selected_ends(desk: Desk) -> list[str]:
    """Ends and joints in the selection: what a join can start from."""
    return in_order(
        ref for ref in desk.session.selection if kind_of(ref) in ("terminal", "wire end", "joint")
    )


def _leads(desk: Desk) -> list[str]:
    return [ref for ref in selected_ends(desk) if kind_of(ref) != "joint"]


def any_joined(desk: Desk) -> bool:
    """Whether a selected end stands in a joint."""
    return any(end in desk.session.job.lookup.joint_of for end in _leads(desk))


def any_decided(desk: Desk) -> bool:
    """Whether a selected end is capped, pulled or left."""
    return any(end in desk.session.job.finishes for end in _leads(desk))


def _names(desk: Desk, refs: list[str]) -> str:
    names = [desk.session.job.shown(ref) for ref in refs]
    return ", ".join(names) if len(names) <= 3 else f"{len(names)} ends"


def join(desk: Desk) -> None:
    """Two or more ends selected: join them. One: go on by keyboard or pointer to the other end."""
    ends = selected_ends(desk)
    if len(ends) == 1:
        desk.view.begin_join(ends[0])
    elif ends:
        desk.session.apply(f"Join {_names(desk, ends)}", partial(_join_all, ends=ends))


def _join_all(job: Job, ends: list[str]) -> Job:
    for end in ends[1:]:
        job = joins.join(job, ends[0], end)
    return job


def type_join(desk: Desk) -> None:
    ends = selected_ends(desk)
    if ends:
        desk.view.begin_typed_connection(ends[0])


def by_wire(desk: Desk) -> None:
    ends = selected_ends(desk)[:2]
    if len(ends) == 2:
        desk.session.apply(
            f"Join {_names(desk, ends)} with a wire", lambda job: joins.join_by_wire(job, ends[0], ends[1])
        )


def by_cable(desk: Desk) -> None:
    """Put one cable between the selected ends of two parts: like function to like, else in their order."""
    bunches: dict[str, list[str]] = {}
    for end in _leads(desk):
        bunches.setdefault(part_of(end), []).append(end)
    if len(bunches) != 2 or len({len(ends) for ends in bunches.values()}) != 1:
        desk.notices.refuse("Select as many ends of one part as of the other for a cable between them.")
        return
    first, second = bunches.values()
    pairs = _paired(desk.session.job, first, second)
    desk.session.apply("Join with a cable", lambda job: cables.join_by_cable(job, pairs))


def _paired(job: Job, first: list[str], second: list[str]) -> list[tuple[str, str]]:
    """Each of the first with the one of the second that has its function; the rest in their order."""
    left = list(second)
    pairs: dict[str, str] = {}
    for end in first:
        cavity = job.cavity(end)
        like = next(
            (o for o in left if cavity and (c := job.cavity(o)) and c.function == cavity.function), None
        )
        if like is not None:
            pairs[end] = like
            left.remove(like)
    return [(end, pairs.get(end) or left.pop(0)) for end in first]


def unjoin(desk: Desk) -> None:
    ends = _leads(desk)
    desk.session.apply(f"Take {_names(desk, ends)} out of its joint", partial(_unjoin_all, ends=ends))


def _unjoin_all(job: Job, ends: list[str]) -> Job:
    for end in ends:
        if end in job.lookup.joint_of or len(ends) == 1:
            job = joins.unjoin(job, end)
    return job


def swap(desk: Desk) -> None:
    ends = [ref for ref in selected_ends(desk) if kind_of(ref) == "terminal"]
    if len(ends) == 2:
        desk.session.apply(
            f"Swap {_names(desk, ends)}", lambda job: cavities.swap_pins(job, ends[0], ends[1])
        )
    else:
        desk.notices.refuse("Select exactly two pins of one plug to swap them.")


def cap(desk: Desk) -> None:
    ends = _leads(desk)
    desk.session.apply(f"Cap {_names(desk, ends)}", lambda job: finishes.cap(job, ends))


def pull(desk: Desk) -> None:
    ends = _leads(desk)
    desk.session.apply(f"Pull {_names(desk, ends)}", lambda job: finishes.pull(job, ends))


def leave(desk: Desk) -> None:
    ends = _leads(desk)
    reason = ask_line(desk.window, "Leave as it is", f"Why is {_names(desk, ends)} left as it is?")
    if reason:
        desk.session.apply(f"Leave {_names(desk, ends)}", lambda job: finishes.leave(job, ends, reason))


def reopen(desk: Desk) -> None:
    ends = _leads(desk)
    desk.session.apply(f"Decide {_names(desk, ends)} again", lambda job: finishes.clear_finish(job, ends))
