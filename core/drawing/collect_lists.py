"""Collects what the lists say: leads to trim, wires to cut, joints, unused ends, and what was accepted."""

from __future__ import annotations

from dataclasses import dataclass

from core.checks.finding import Conflict
from core.drawing.ends import UNKNOWN, Reader, nearest_awg, show_area
from core.drawing.marks import in_order as conflicts_in_order
from core.drawing.marks import numbered
from core.ids import in_order, kind_of, natural_key, owner_of_end
from core.job.wiring import Cable, Conductor, Wire
from core.units import area_mm2


@dataclass(frozen=True, slots=True)
class LeadRow:
    """A lead that comes with a part. Lengths are in the job's unit."""

    ref: str
    start: str
    goes_to: str
    function: str
    colour: str | None
    gauge: str
    length: str
    trim_to: str
    finish: str


@dataclass(frozen=True, slots=True)
class WireRow:
    """A wire from stock, or one conductor of a cable."""

    ref: str
    start: str
    end: str
    function: str
    colour: str | None
    gauge: str
    length: str
    finish: str
    note: str


@dataclass(frozen=True, slots=True)
class JointEnd:
    end: str
    name: str
    words: str
    gauge: str
    colour: str | None


@dataclass(frozen=True, slots=True)
class JointCard:
    """One joint. `order` counts from 1: ground first, audio leads last."""

    ref: str
    order: int
    ends: tuple[JointEnd, ...]
    method: str
    temporary_for: str
    area: str
    awg: str
    note: str


@dataclass(frozen=True, slots=True)
class UnusedEnd:
    end: str
    name: str
    words: str
    colour: str | None
    reason: str


@dataclass(frozen=True, slots=True)
class Verdict:
    """A conflict as printed: still open, or accepted by a name for a reason."""

    key: str
    mark: str
    level: str
    rule: str
    where: str
    message: str
    mend: str
    reason: str
    name: str
    date: str


def lead_rows(read: Reader) -> list[LeadRow]:
    """Every lead of every part, by tag and pin."""
    rows = []
    for tag in sorted(read.job.parts, key=natural_key):
        for name, cavity in read.job.parts[tag].cavities.items():
            lead = cavity.lead
            if lead is None:
                continue
            joint = read.joint(name)
            goes_to = read.goes_to(name)
            rows.append(
                LeadRow(
                    ref=name,
                    start=read.shown(name),
                    goes_to=f"{joint}: {goes_to}" if joint and goes_to else goes_to or "nothing",
                    function=read.function(name),
                    colour=lead.colour,
                    gauge=read.show_gauge(lead.gauge),
                    length=read.show_length(lead.length_mm),
                    trim_to=read.show_length(lead.trimmed_mm),
                    finish=read.finish(name) or UNKNOWN,
                )
            )
    return rows


def wire_rows(read: Reader) -> list[WireRow]:
    """Every wire, then every conductor of every cable."""
    job = read.job
    rows = [_wire_row(read, name, job.wires[name], None) for name in in_order(job.wires)]
    for name in in_order(job.cables):
        cable = job.cables[name]
        for number, conductor in enumerate(cable.conductors, start=1):
            rows.append(_wire_row(read, f"{name}.{number}", conductor, cable))
    return rows


def _wire_row(read: Reader, name: str, wire: Wire | Conductor, cable: Cable | None) -> WireRow:
    ends = [f"{name}:{letter}" for letter in "ab"]
    functions = dict.fromkeys(filter(None, map(read.end_function, ends)))
    length_mm = wire.length_mm if isinstance(wire, Wire) else cable.length_mm if cable else None
    notes = []
    if isinstance(wire, Wire):
        notes.append(wire.note)
    elif cable is not None:
        notes += [cable.name, "shield" if wire.shield else "", cable.note if name.endswith(".1") else ""]
    return WireRow(
        ref=name,
        start=_wire_end(read, ends[0]),
        end=_wire_end(read, ends[1]),
        function=", ".join(functions),
        colour=wire.colour,
        gauge=read.show_gauge(wire.gauge),
        length=read.show_length(length_mm),
        finish=" / ".join(_wire_finish(read, end) for end in ends),
        note="\n".join(note for note in notes if note),
    )


def _wire_end(read: Reader, end: str) -> str:
    """Where a wire's end goes: a cavity, or a joint and the terminals at it."""
    joint = read.job.lookup.joint_of.get(end)
    if joint is None:
        return read.far(end)
    return f"{joint}: {read.others_at_joint(end)}"


def _wire_finish(read: Reader, end: str) -> str:
    return "crimp" if read.place(end) else read.finish(end) or UNKNOWN


def joint_cards(read: Reader) -> list[JointCard]:
    """Every joint in the order of the work."""
    order = sorted(read.job.joints, key=lambda name: (read.rank(name), natural_key(name)))
    cards = []
    for number, name in enumerate(order, start=1):
        joint = read.job.joints[name]
        gauges = [read.gauge(end) for end in joint.ends]
        total = sum(area_mm2(gauge) for gauge in gauges if gauge)
        unknown = gauges.count(None)
        area = show_area(total) if total else UNKNOWN
        if total and unknown:
            area += f", {unknown} not known"
        cards.append(
            JointCard(
                ref=name,
                order=number,
                ends=tuple(_joint_end(read, end) for end in joint.ends),
                method=joint.method,
                temporary_for=joint.temporary_for,
                area=area,
                awg=nearest_awg(total) if total else "",
                note=joint.note,
            )
        )
    return cards


def _joint_end(read: Reader, end: str) -> JointEnd:
    pieces = [read.end_function(end), read.owner_words(end)]
    return JointEnd(
        end=end,
        name=read.end_words(end),
        words=", ".join(piece for piece in pieces if piece),
        gauge=read.show_gauge(read.gauge(end)),
        colour=read.colour(end),
    )


def unused(read: Reader, kind: str) -> list[UnusedEnd]:
    """Ends with that finish, or (kind `open`) those about which nothing was decided."""
    finishes = read.job.finishes
    ends = read.open_ends if kind == "open" else [end for end in finishes if finishes[end].kind == kind]
    return [
        UnusedEnd(
            end=end,
            name=read.shown(end) if kind_of(end) == "terminal" else _free_end(read, end),
            words=", ".join(filter(None, (read.end_function(end), read.owner_words(end)))),
            colour=read.colour(end),
            reason=finishes[end].reason if end in finishes else "",
        )
        for end in in_order(ends)
    ]


def _free_end(read: Reader, end: str) -> str:
    return f"{owner_of_end(end)}, end {end[-1]}"


def verdicts(read: Reader, *, accepted: bool) -> list[Verdict]:
    """Conflicts that stand for themselves, the worst first: the accepted ones or the open ones."""
    marks = numbered(read.result)
    found = conflicts_in_order(read.result, accepted=accepted)
    return [_verdict(read, conflict, marks[conflict.key]) for conflict in found]


def _verdict(read: Reader, conflict: Conflict, mark: str) -> Verdict:
    accepted = conflict.accepted
    return Verdict(
        key=conflict.key,
        mark=mark,
        level=conflict.level.capitalize(),
        rule=conflict.rule,
        where=", ".join(map(read.shown, conflict.where)),
        message=f"{conflict.message} {conflict.why}".strip(),
        mend=conflict.mend,
        reason=accepted.reason if accepted else "",
        name=accepted.name if accepted else "",
        date=accepted.date if accepted else "",
    )
