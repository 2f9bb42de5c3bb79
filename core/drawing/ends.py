"""What the sheets say about one end: its function, colour, gauge, what it goes to and what becomes of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from core.checks.finding import CheckResult
from core.drawing.marks import by_place, told
from core.ids import kind_of, other_end, owner_of_end, part_of
from core.job.document import Job
from core.library.library import Library
from core.units import area_mm2, awg_area_mm2, show_length

UNKNOWN = "–"
AWG_SIZES = range(-3, 41)
"""0000 AWG to 40 AWG; 0000 is -3."""
MOST_OTHERS = 8
_FINISH_WORDS = {"capped": "cap", "pulled": "pull out"}
_AUDIO = frozenset(["speaker", "line", "microphone"])


@dataclass(frozen=True)
class Reader:
    """Answers about the ends of one checked job, in the words and units of the sheets."""

    job: Job
    result: CheckResult
    library: Library
    open_ends: frozenset[str] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "open_ends", frozenset(self.result.open_ends))

    @cached_property
    def _marks(self) -> Mapping[str, tuple[str, ...]]:
        return by_place(self.result)

    def marks_at(self, ref: str) -> str:
        """The marks of the conflicts that a lead, wire or joint is in: `S1 L2`; empty where in none."""
        return told(self._marks.get(ref, ()))

    def shown(self, ref: str) -> str:
        return self.job.shown(ref)

    def function(self, terminal: str) -> str:
        """What a terminal is for: its function in words, else what its sheet calls it."""
        cavity = self.job.cavity(terminal)
        if cavity is None:
            return ""
        return self.library.words(cavity.function) if cavity.function else cavity.label

    def end_function(self, end: str) -> str:
        """What an end is for. A wire's end: what is at the other end of the wire."""
        if kind_of(end) == "terminal":
            return self.function(end)
        return ", ".join(dict.fromkeys(filter(None, map(self.function, self._met(other_end(end))))))

    def _met(self, end: str) -> list[str]:
        """The terminals that an end of a wire reaches without a further wire."""
        place = self.place(end)
        if place is not None:
            return [place]
        joint = self.job.lookup.joint_of.get(end)
        if joint is None:
            return []
        return [other for other in self.job.joints[joint].ends if kind_of(other) == "terminal"]

    def place(self, end: str) -> str | None:
        """The cavity that an end of a wire or conductor is crimped into."""
        conductor = self.job.lookup.conductors.get(owner_of_end(end))
        if conductor is None:
            return None
        return conductor.a_in if end.endswith("a") else conductor.b_in

    def colour(self, end: str) -> str | None:
        """The colour of the insulation at an end: the lead's or the wire's, else what a car's plug shows."""
        if kind_of(end) == "wire end":
            conductor = self.job.lookup.conductors.get(owner_of_end(end))
            return conductor.colour if conductor else None
        cavity = self.job.cavity(end)
        if cavity is None:
            return None
        if cavity.lead is not None:
            return cavity.lead.colour
        return cavity.colour_found or cavity.colour_sheet

    def insulation(self, terminal: str) -> str | None:
        """The colour seen at a cavity: of the wire crimped into it, else of its lead or of the car's wire."""
        for end in self.job.lookup.crimped.get(terminal, ()):
            if colour := self.colour(end):
                return colour
        return self.colour(terminal)

    def gauge(self, end: str) -> str | None:
        if kind_of(end) == "wire end":
            conductor = self.job.lookup.conductors.get(owner_of_end(end))
            return conductor.gauge if conductor else None
        cavity = self.job.cavity(end)
        return cavity.lead.gauge if cavity and cavity.lead else None

    def joint(self, terminal: str) -> str:
        """The joint that a terminal's lead, or a wire crimped into it, leads to."""
        lookup = self.job.lookup
        joints = [lookup.joint_of.get(terminal)]
        joints += [lookup.joint_of.get(other_end(end)) for end in lookup.crimped.get(terminal, ())]
        return ", ".join(dict.fromkeys(filter(None, joints)))

    def goes_to(self, terminal: str) -> str:
        """Every other end at the terminal's joint, and the far ends of wires crimped into it."""
        lookup = self.job.lookup
        found = [self.end_words(end) for end in lookup.crimped.get(terminal, ())]
        if terminal in lookup.joint_of:
            found.append(self.others_at_joint(terminal))
        return ", ".join(found)

    def others_at_joint(self, end: str) -> str:
        """What meets `end` in its joint. Of many the first are named: the joints sheet has them all."""
        ends = self.job.joints[self.job.lookup.joint_of[end]].ends
        others = [self.end_words(other) for other in ends if other != end]
        if len(others) > MOST_OTHERS:
            others[MOST_OTHERS:] = [f"and {len(others) - MOST_OTHERS} more"]
        return ", ".join(others)

    def end_words(self, end: str) -> str:
        """An end as people name it: `RAD-4`, or a wire and where it leads, `W3 to FUS-1`."""
        if kind_of(end) == "terminal":
            return self.shown(end)
        return f"{owner_of_end(end)} to {self.far(other_end(end))}"

    def far(self, end: str) -> str:
        """Where an end of a wire is: a cavity, a joint, or nowhere yet."""
        place = self.place(end)
        if place is not None:
            return self.shown(place)
        joint = self.job.lookup.joint_of.get(end)
        return joint or ("a cap" if self.finish(end) == "cap" else "a free end")

    def finish(self, end: str) -> str:
        """What becomes of an end: the method of its joint, its cap, or that it is still to decide."""
        joint = self.job.lookup.joint_of.get(end)
        if joint is not None:
            record = self.job.joints[joint]
            return f"{record.method}, temporary" if record.temporary_for else record.method
        finish = self.job.finishes.get(end)
        if finish is not None:
            return f"left: {finish.reason}" if finish.kind == "left" else _FINISH_WORDS[finish.kind]
        if end in self.open_ends:
            return "to decide"
        return "crimp" if self.job.lookup.crimped.get(end) else ""

    def owner_words(self, end: str) -> str:
        """The name of the part that an end belongs to; of a wire, none."""
        part = self.job.parts.get(part_of(end)) if kind_of(end) == "terminal" else None
        return part.name if part else ""

    def rank(self, joint: str) -> int:
        """Ground first, then signal grounds and feeds; audio leads last."""
        classes = set()
        for end in self.job.joints[joint].ends:
            terminals = [end] if kind_of(end) == "terminal" else self._met(other_end(end))
            for terminal in terminals:
                cavity = self.job.cavity(terminal)
                known = self.library.functions.get(cavity.function) if cavity else None
                if known:
                    classes.add(known.cls)
        if classes & _AUDIO:
            return 9
        for rank, cls in enumerate(("ground", "signal ground", "feed")):
            if cls in classes:
                return rank
        return 5

    def show_length(self, length_mm: float | None) -> str:
        return UNKNOWN if length_mm is None else show_length(length_mm, self.job.settings.lengths)

    def show_gauge(self, gauge: str | None) -> str:
        """A gauge in the job's unit; as bought in brackets where that is the other one."""
        if gauge is None:
            return UNKNOWN
        as_bought = gauge.replace("mm2", "mm²")
        wanted = self.job.settings.gauges
        if gauge.endswith(wanted):
            return as_bought
        shown = show_area(area_mm2(gauge)) if wanted == "mm2" else nearest_awg(area_mm2(gauge))
        return f"{shown} ({as_bought})"


def show_area(area: float) -> str:
    """Copper area to two figures after the point, without trailing zeros."""
    return f"{area:.2f}".rstrip("0").rstrip(".") + " mm²"


def nearest_awg(area: float) -> str:
    """The AWG size whose area is nearest in ratio. ASTM B258."""
    if area <= 0:
        return UNKNOWN

    def misfit(number: int) -> float:
        size = awg_area_mm2(number)
        return max(size / area, area / size)

    number = min(AWG_SIZES, key=misfit)
    return f"{number if number >= 0 else '0' * (1 - number)} AWG"
