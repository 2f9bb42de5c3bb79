"""Every drop target answers one of three: fits; fits, but; cannot.

Only `cannot` is refused: anything hands could build can be drawn, and is marked. This is a first glance by
functions and nominal volts; the checker has the last word.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from core.edits.answers import FITS, Verdict
from core.edits.plans import Plan, lifted, plan_spots, stays_put
from core.edits.reach import FunctionTable, Net, Nets, is_blocked, is_car_plug
from core.edits.spots import Near, Spot, spot
from core.errors import EditRefused
from core.job.document import Job
from core.job.internals import VoltWindow
from core.units import show_volts

_GROUNDS = frozenset({"ground", "signal ground"})
_SHORTED = "feed shorted to ground"
_ODD = "functions that do not belong together"
_OTHER_POSITIONS = "it is live in other positions than the other wants"
_WRONG_SIDE = "the one is on a feed's side, the other on ground's"


class _Found(NamedTuple):
    """An answer and how much it weighs: the lowest rank is shown."""

    rank: int
    answer: Verdict


_AIRBAG, _SHORT, _STOP, _VOLTS, _CUT, _LOOK, _CAVITY, _NOTHING = range(8)
_FITS = _Found(_NOTHING, FITS)
_CONNECTED = _Found(_NOTHING, Verdict("fits", "They are connected already."))


def verdict(job: Job, a: str, b: str, library: FunctionTable, near: Near | None = None) -> Verdict:
    """What joining `a` and `b` would come to; `near` is the end of wire `b` that is meant."""
    return Verdicts(job, a, library).of(b, near)


class Verdicts:
    """The answers of all targets to one dragged end.

    The dragged side is looked at once, and each net of the targets once. With `replug` the end is first taken
    out of the joint or cavity that it is in.
    """

    def __init__(self, job: Job, a: str, library: FunctionTable, replug: bool = False) -> None:
        self._a = a
        self._library = library
        self._before = job if replug else None
        self._refused = ""
        self._clashes: dict[int, _Found] = {}
        self._pairs: dict[tuple[str, str], tuple[str, str]] = {}
        try:
            self._job = lifted(job, a) if replug else job
            self._here = spot(self._job, a)
        except EditRefused as refusal:
            self._refused = str(refusal)
            return
        self._nets = Nets(self._job, library)
        self._net = self._nets.net(self._here.ref)
        self._own = _about_spot(self._job, self._here)

    def of(self, b: str, near: Near | None = None) -> Verdict:
        """What joining to `b` would come to."""
        if self._refused:
            return Verdict("cannot", self._refused)
        try:
            if self._before is not None and stays_put(self._before, self._a, b, near):
                return Verdict("cannot", "It is there already.")
            there = spot(self._job, b, near)
            plan = plan_spots(self._job, self._a, self._here, b, there)
        except EditRefused as refusal:
            return Verdict("cannot", str(refusal))
        found = (
            self._clash(self._nets.net(there.ref)),
            self._own,
            _about_spot(self._job, there),
            _about_plan(self._job, plan),
        )
        return min(found, key=_rank).answer

    def _clash(self, net: Net) -> _Found:
        """What the dragged net and this one say to each other; the same for every end of it."""
        if net is self._net:
            return _CONNECTED
        known = self._clashes.get(id(net))
        if known is None:
            found = (*self._airbag(net), *self._volts(net), *self._functions(net))
            known = self._clashes[id(net)] = min(found, key=_rank, default=_FITS)
        return known

    def _airbag(self, net: Net) -> Iterator[_Found]:
        terminal = self._net.airbag or net.airbag
        if terminal is not None:
            reason = f"{self._job.shown(terminal)} belongs to an airbag; nothing is ever joined to it."
            yield _Found(_AIRBAG, Verdict("but", reason, "airbag circuit touched"))

    def _volts(self, net: Net) -> Iterator[_Found]:
        for giving, taking in ((self._net, net), (net, self._net)):
            for giver, volts in giving.gives.items():
                for taker, window in taking.accepts.items():
                    if not window.least <= volts <= window.most:
                        yield _Found(_VOLTS, self._wrong_volts(giver, volts, taker, window))

    def _wrong_volts(self, giver: str, volts: float, taker: str, window: VoltWindow) -> Verdict:
        least = show_volts(window.least).removesuffix(" V")
        reason = (
            f"{self._job.shown(giver)} gives {show_volts(volts)}, and {self._job.shown(taker)} accepts"
            f" {least} to {show_volts(window.most)}."
        )
        return Verdict("but", reason, "more volts than the part accepts" if volts > window.most else None)

    def _functions(self, net: Net) -> Iterator[_Found]:
        for mine, here in self._net.functions.items():
            for theirs, there in net.functions.items():
                level, why, rule = self._pair(mine, theirs, net)
                if level == "fits":
                    continue
                words = self._library.functions[mine].words, self._library.functions[theirs].words
                names = self._job.shown(here), self._job.shown(there)
                reason = f"{names[0]} is {words[0]} and {names[1]} is {words[1]}: {why}."
                yield _Found(_rank_of(level, rule), Verdict("but", reason, rule))

    def _pair(self, a: str, b: str, net: Net) -> tuple[str, str, str]:
        """What the function table says of the two, made milder where only one side of two feeds gives."""
        known = self._pairs.get((a, b))
        if known is None:
            known = self._pairs[a, b] = self._library.pair_fits(a, b)
        level, why = known
        a_class, b_class = (self._library.functions[name].cls for name in (a, b))
        classes = {a_class, b_class}
        given = {cls for cls, yes in ((a_class, a in self._net.giving), (b_class, b in net.giving)) if yes}
        grounded = bool(classes & _GROUNDS)
        if classes == {"feed"}:
            if a in self._net.giving and b in net.giving:
                return level, why, "feeds of different positions joined"
            return ("look", _OTHER_POSITIONS, _ODD) if level == "stop" else (level, why, _ODD)
        if "feed" in classes and grounded:
            if "feed" in given:
                return level, why, _SHORTED
            return level, _WRONG_SIDE if level == "stop" else why, _ODD
        return level, why, "speaker lead grounded" if "speaker" in classes and grounded else _ODD


def _rank_of(level: str, rule: str) -> int:
    if level == "stop":
        return _SHORT if rule == _SHORTED else _STOP
    return _LOOK


def _rank(found: _Found) -> int:
    return found.rank


def _about_spot(job: Job, here: Spot) -> _Found:
    """What is to be said of one end whatever it is joined to."""
    if here.kind == "end" and is_car_plug(job, here.ref):
        reason = f"{job.shown(here.ref)} is a plug of the car: joining here means cutting into its wire."
        return _Found(_CUT, Verdict("but", reason, "cut into the car"))
    if here.kind == "cavity" and is_blocked(job, here.ref):
        reason = f"{job.shown(here.ref)} is a blocked cavity."
        return _Found(_CAVITY, Verdict("but", reason, "lead whose mate is empty or blocked"))
    return _FITS


def _about_plan(job: Job, plan: Plan) -> _Found:
    cavities = {
        "crimp": (plan.first,),
        "wire to end": (plan.first,),
        "wire to joint": (plan.first,),
        "wire between": (plan.first, plan.second),
    }.get(plan.kind, ())
    full = next((terminal for terminal in cavities if terminal in job.lookup.crimped), None)
    if full is None:
        return _FITS
    reason = f"There would be two wires in {job.shown(full)}."
    return _Found(_CAVITY, Verdict("but", reason, "two conductors in one cavity"))
