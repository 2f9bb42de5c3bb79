"""Random jobs and random edits for hypothesis, shared by all tests.

`jobs()` draws a job that was made by edits alone, so it is whole. `edits(job)` draws one edit for that job,
by name, out of everything in `core.edits`; its arguments are mostly sensible and sometimes not.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, NamedTuple

from hypothesis import strategies as st

from core import edits as ed
from core.errors import EditRefused
from core.ids import local, terminal
from core.job.document import Job
from core.job.faces import Face, mate_of, numbered_grid
from core.job.internals import Feed, GroundPoint, Internal, Link, LiveIn, Load, StepDown, VoltWindow
from core.job.parts import Cavity, Connector, Lead, Part
from core.job.view import Place
from core.job.wiring import Conductor

Draw = Callable[[st.SearchStrategy[Any]], Any]

COLOURS = ("BK", "RD", "YE", "BU/WH", None)
GAUGES = ("18 AWG", "0.75 mm2", None)
FUNCTIONS = ("constant", "accessory", "ground", "speaker-lf+", "speaker-lf-", "camera-feed", "reverse", "")
STATES = ("on the car", "to fit", "donor", "removed")
WORDS = ("beside the heater", "<b>&amp;", "Ω 12 V ±", "")
BOGUS = ("RAD.A-99", "ZZZ.Q-1", "W999:a", "J999", "C999.1:b", "W999", "M999", "N999", "ZZZ", "ZZZ.Q", "C999")

colours = st.sampled_from(COLOURS)
gauges = st.sampled_from(GAUGES)
lengths_mm = st.sampled_from((None, 0.0, 120.0, 1500.5))
leads = st.builds(Lead, colour=colours, gauge=gauges, length_mm=lengths_mm)
points = st.tuples(*[st.floats(-2000, 2000).map(lambda x: round(x, 1))] * 2)


@st.composite
def cavities(draw: Draw, pin: str) -> Cavity:
    return Cavity(
        pin=pin,
        function=draw(st.sampled_from(FUNCTIONS)),
        colour_sheet=draw(colours),
        accepts=draw(st.sampled_from((None, None, VoltWindow(least=5.5, most=6.5)))),
        filled=draw(st.sampled_from((True, True, True, False))),
        airbag=draw(st.sampled_from((False, False, False, True))),
        lead=draw(st.none() | leads),
    )


@st.composite
def connectors(draw: Draw, name: str) -> Connector:
    """A plug with a face, or (now and then) loose leads."""
    rows, columns = draw(st.integers(1, 2)), draw(st.integers(1, 4))
    grid = numbered_grid(rows, columns, draw(st.sampled_from(("by rows", "by columns", "by pairs"))))
    pins = [pin for row in grid for pin in row]
    face = None
    if draw(st.integers(0, 3)):
        blocked = (pins[-1],) if draw(st.booleans()) and len(pins) > 1 else ()
        face = Face(grid=grid, blocked=blocked, gender=draw(st.sampled_from(("male", "female", "none"))))
    kept = [pin for pin in pins if draw(st.integers(0, 5))]
    return Connector(name=name, face=face, cavities=tuple(draw(cavities(pin)) for pin in kept))


@st.composite
def internals(draw: Draw, names: list[str], least: int = 0) -> tuple[Internal, ...]:
    some = st.sampled_from(names)
    live = LiveIn(keys=("accessory", "run", "running"))
    kinds: tuple[Callable[[], Internal], ...] = (
        lambda: Feed(terminal=draw(some), live=live),
        lambda: GroundPoint(terminal=draw(some)),
        lambda: Load(plus=draw(some), minus=draw(some)),
        lambda: Link(a=draw(some), b=draw(some)),
        lambda: StepDown(
            input=draw(some),
            output=draw(some),
            common=draw(some),
            volts_out=6.0,
            accepts=VoltWindow(least=9, most=16),
        ),
    )
    return tuple(draw(st.sampled_from(kinds))() for _ in range(draw(st.integers(least, 2))))


@st.composite
def parts(draw: Draw, tag: str | None = None) -> Part:
    """A part with one or two connectors."""
    made = tuple(draw(connectors(name)) for name in ("A", "B")[: draw(st.integers(1, 2))])
    names = [f"{c.name}-{cavity.pin}" for c in made for cavity in c.cavities]
    return Part(
        id=tag or draw(st.sampled_from(("RAD", "CAM", "AMP", "J", "STEP"))),
        name=draw(st.sampled_from(("Receiver", "Camera", "Step-down"))),
        state=draw(st.sampled_from(STATES)),
        connectors=made,
        internals=draw(internals(names)) if names else (),
    )


class NamedEdit(NamedTuple):
    """An edit as the session gets it. `name` is that of the function in `core.edits`."""

    name: str
    apply: Callable[[Job], Job]


_seldom = st.sampled_from((False,) * 15 + (True,))


class _Refs:
    """The ids of a job, for drawing arguments; now and then one that does not exist."""

    def __init__(self, draw: Draw, job: Job) -> None:
        self.draw, self.job = draw, job

    def one(self, *groups: Iterable[str]) -> str:
        known = sorted({ref for group in groups for ref in group})
        wrong = not known or self.draw(_seldom)
        return str(self.draw(st.sampled_from(BOGUS if wrong else known)))

    def some(self, *groups: Iterable[str]) -> list[str]:
        return [self.one(*groups) for _ in range(self.draw(st.integers(1, 3)))]

    def two(self, *groups: Iterable[str]) -> tuple[str, str]:
        """Mostly two different ones."""
        first = self.one(*groups)
        others = [ref for group in groups for ref in group if ref != first]
        return first, first if self.draw(_seldom) else self.one(others)

    def terminals(self) -> list[str]:
        return [t for part in self.job.parts.values() for t in part.cavities]

    def internal(self) -> tuple[str, int]:
        """A part and the place of one of its internals, mostly one that is there."""
        known = [(tag, i) for tag, part in self.job.parts.items() for i in range(len(part.internals))]
        made_up = (self.one(self.job.parts), self.draw(st.integers(-1, 2)))
        return made_up if not known or self.draw(_seldom) else self.draw(st.sampled_from(known))

    def connectors(self) -> list[str]:
        return [f"{tag}.{c.name}" for tag, part in self.job.parts.items() for c in part.connectors]

    def fitting(self) -> list[tuple[str, str]]:
        """Connectors that can be mated as things are."""
        known = self.connectors()
        pairs = ((a, b) for a in known for b in known if a < b)
        return [pair for pair in pairs if ed.can_mate(self.job, *pair).kind != "cannot"]

    def conductors(self) -> list[str]:
        return list(self.job.lookup.conductors)

    def wire_ends(self) -> list[str]:
        return [f"{name}:{letter}" for name in self.conductors() for letter in "ab"]

    def ends(self) -> list[str]:
        return self.terminals() + self.wire_ends()

    def crimped(self) -> list[str]:
        return [end for ends in self.job.lookup.crimped.values() for end in ends]

    def targets(self) -> list[str]:
        return [*self.ends(), *self.job.joints, *self.conductors()]

    def everything(self) -> list[str]:
        job = self.job
        named = (job.parts, job.joints, job.wires, job.cables, job.mates, job.notes)
        return [ref for things in named for ref in things] + self.ends() + self.connectors()


def target(draw: Draw, job: Job) -> str:
    """Something that an end may be dropped on, or that does not exist."""
    refs = _Refs(draw, job)
    return refs.one(refs.targets())


def end(draw: Draw, job: Job) -> str:
    """An end, or something that does not exist."""
    refs = _Refs(draw, job)
    return refs.one(refs.ends())


Args = tuple[tuple[Any, ...], dict[str, Any]]
_near = st.sampled_from((None, "a", "b"))


def _wire_fields(draw: Draw) -> dict[str, Any]:
    whole = {"colour": draw(colours), "gauge": draw(gauges), "length_mm": draw(lengths_mm)}
    return draw(
        st.sampled_from((whole, whole, {"note": "long way"}, {"length_mm": -1.0}, {"gauge": "thick"}))
    )


def _cavity_fields(draw: Draw) -> dict[str, Any]:
    return draw(
        st.sampled_from(
            (
                {"function": "constant"},
                {"colour_found": "RD/BK"},
                {"filled": False},
                {"airbag": True},
                {"label": "x" * 300},
                {"accepts": VoltWindow(least=9, most=16), "needed": True},
            )
        )
    )


def _part_fields(draw: Draw) -> dict[str, Any]:
    return draw(
        st.sampled_from(
            ({"state": draw(st.sampled_from(STATES))}, {"done": True}, {"name": "Other"}, {"state": "lost"})
        )
    )


def _lead_fields(draw: Draw) -> dict[str, Any]:
    return draw(
        st.sampled_from(({"colour": "WH"}, {"length_mm": 200.0, "gauge": "18 AWG"}, {"colour": "??"}))
    )


def _clip(draw: Draw, r: _Refs) -> ed.Clip:
    try:
        return ed.copy(r.job, r.some(r.job.parts, r.job.wires, r.job.cables, r.job.notes))
    except EditRefused:
        return ed.Clip(content=Job())


def _pair(draw: Draw) -> tuple[Part, Part]:
    part = draw(parts())
    return part, draw(parts()) if draw(_seldom) else _other_half(part)


def _other_half(part: Part) -> Part:
    """A car's half that mates with every plug of the part."""
    genders = {"male": "female", "female": "male", "none": "none"}
    halves = []
    for c in part.connectors:
        face = c.face and mate_of(c.face, genders[c.face.gender])
        halves.append(c.changed(face=face, cavities=tuple(k.changed(lead=None) for k in c.cavities)))
    return part.changed(id=part.id + "C", state="on the car", connectors=tuple(halves))


_CABLE = (Conductor(colour="RD"), Conductor(colour="BK"), Conductor(shield=True))

_ARGUMENTS: dict[str, Callable[[Draw, _Refs], Args]] = {
    "accept": lambda d, r: (
        ("feed shorted to ground", r.some(r.everything())),
        {
            "reason": d(st.sampled_from(("tried it", "tried it", ""))),
            "name": "A. Fitter",
            "numbers": {"volts": 12.0},
        },
    ),
    "add_cable": lambda d, r: ((_CABLE[d(st.integers(0, 3)) :],), {"name": "Video"}),
    "add_internal": lambda d, r: (
        (r.one(r.job.parts), *d(internals(sorted(map(local, r.terminals())) or ["A-99"], least=1))[:1]),
        {},
    ),
    "add_mated": lambda d, r: ((*_pair(d), d(st.none() | points)), {}),
    "add_note": lambda d, r: ((d(st.sampled_from(WORDS)), d(points)), {}),
    "add_part": lambda d, r: ((d(parts()), d(st.none() | points)), {}),
    "add_reading": lambda d, r: (
        (r.one(r.ends(), r.job.joints, ("body",)), r.one(r.ends(), ("battery -",))),
        {
            "position": d(st.sampled_from(("off", "running+lights", "parked"))),
            "value": d(st.sampled_from((12.4, -0.05, 1e12))),
            "lifted": d(st.none() | st.sampled_from(r.ends() or ["ZZZ.Q-1"])),
            "name": "A. Fitter",
        },
    ),
    "add_wire": lambda d, r: ((), _wire_fields(d)),
    "cap": lambda d, r: ((r.some(r.ends()),), {}),
    "clear_finish": lambda d, r: ((r.some(r.job.finishes or r.wire_ends()),), {}),
    "crimp": lambda d, r: ((r.one(r.wire_ends()), r.one(r.terminals())), {}),
    "delete": lambda d, r: ((r.some(r.everything()),), {}),
    "join": lambda d, r: ((*r.two(r.targets()), d(_near)), {}),
    "join_by_wire": lambda d, r: (r.two(r.targets()), {"colour": d(colours)}),
    "join_by_cable": lambda d, r: (
        ([r.two(r.targets()) for _ in range(d(st.integers(0, 3)))],),
        {"name": "Camera cable"},
    ),
    "leave": lambda d, r: ((r.some(r.ends()), d(st.sampled_from(WORDS))), {}),
    "lifted": lambda d, r: ((r.one(r.ends()),), {}),
    "mate": lambda d, r: (d(st.sampled_from(r.fitting() or [r.two(r.connectors())])), {}),
    "move": lambda d, r: (
        ({ref: d(points) for ref in r.some(r.job.parts, r.job.joints, r.job.notes)}, d(st.booleans())),
        {},
    ),
    "open_pair": lambda d, r: ((r.one(r.job.mates), d(st.booleans())), {}),
    "paste": lambda d, r: ((_clip(d, r), d(st.none() | points)), {}),
    "place_all": lambda d, r: (({r.one(r.job.parts): Place(x=1, y=2)},), {}),
    "pull": lambda d, r: ((r.some(r.ends()),), {}),
    "remove_cables": lambda d, r: ((r.some(r.job.cables),), {}),
    "remove_internal": lambda d, r: (r.internal(), {}),
    "remove_joint": lambda d, r: ((r.one(r.job.joints),), {}),
    "remove_lead": lambda d, r: ((r.one(r.terminals()),), {}),
    "remove_notes": lambda d, r: ((r.some(r.job.notes),), {}),
    "remove_parts": lambda d, r: ((r.some(r.job.parts),), {}),
    "remove_reading": lambda d, r: ((d(st.sampled_from((0, 1, 5, -1))),), {}),
    "remove_wires": lambda d, r: ((r.some(r.job.wires),), {}),
    "rename_tag": lambda d, r: (
        (r.one(r.job.parts), d(st.sampled_from(("RX", "RAD", "RX", "LONGNAME1234", "J3", "")))),
        {},
    ),
    "replace_part": lambda d, r: ((r.one(r.job.parts), d(parts())), {}),
    "replug": lambda d, r: ((r.one(r.ends()), r.one(r.targets()), d(_near)), {}),
    "set_cable": lambda d, r: (
        (r.one(r.job.cables),),
        {"length_mm": d(st.sampled_from((900.0, -5.0)))},
    ),
    "set_cavities": lambda d, r: ((r.some(r.terminals()),), _cavity_fields(d)),
    "set_cavity": lambda d, r: ((r.one(r.terminals()),), _cavity_fields(d)),
    "set_conductor": lambda d, r: ((r.one(n for n in r.conductors() if "." in n),), {"colour": d(colours)}),
    "set_internal": lambda d, r: (r.internal(), {"source": d(st.sampled_from((*WORDS, "x" * 300)))}),
    "set_joint": lambda d, r: (
        (r.one(r.job.joints),),
        {"method": d(st.sampled_from(("crimp", "tap", "glue")))},
    ),
    "set_lead": lambda d, r: ((r.one(r.terminals()),), _lead_fields(d)),
    "set_leads": lambda d, r: ((r.some(r.terminals()),), _lead_fields(d)),
    "set_note": lambda d, r: ((r.one(r.job.notes), d(st.sampled_from(WORDS))), {}),
    "set_part": lambda d, r: ((r.one(r.job.parts),), _part_fields(d)),
    "set_parts": lambda d, r: ((r.some(r.job.parts),), _part_fields(d)),
    "set_settings": lambda d, r: ((), {"system_volts": d(st.sampled_from((6, 12, 24, 48)))}),
    "set_sheet": lambda d, r: ((), {"title": d(st.sampled_from(WORDS)), "date": "2031-05-04"}),
    "set_side": lambda d, r: ((d(st.sampled_from(("wire", "mating"))),), {}),
    "set_wire": lambda d, r: ((r.one(r.job.wires),), _wire_fields(d)),
    "set_wires": lambda d, r: ((r.some(r.job.wires),), _wire_fields(d)),
    "swap_pins": lambda d, r: (r.two(r.terminals()), {}),
    "uncrimp": lambda d, r: ((r.one(r.crimped() or r.wire_ends()),), {}),
    "unjoin": lambda d, r: ((r.one(r.job.lookup.joint_of, r.terminals()),), {}),
    "unmate": lambda d, r: ((r.one(r.job.mates),), {}),
    "withdraw": lambda d, r: ((d(st.sampled_from((0, 1, 5, -1))),), {}),
}

EDIT_NAMES = tuple(_ARGUMENTS)
# Drawn more often than the rest, so that jobs have something to be edited.
_BUILDING = (
    *("join", "join", "join_by_wire", "crimp", "mate", "cap", "leave", "add_part", "add_mated"),
    *("add_cable", "add_wire", "add_note", "open_pair", "accept", "move"),
)


@st.composite
def edits(draw: Draw, job: Job, names: tuple[str, ...] = EDIT_NAMES) -> NamedEdit:
    """One edit with arguments for that job. It may be refused."""
    name = draw(st.sampled_from(names))
    args, fields = _ARGUMENTS[name](draw, _Refs(draw, job))
    return NamedEdit(name, lambda given: getattr(ed, name)(given, *args, **fields))


def tried(job: Job, edit: NamedEdit) -> Job:
    """The job after the edit, or the job itself where the edit is refused."""
    try:
        return edit.apply(job)
    except EditRefused:
        return job


@st.composite
def jobs(draw: Draw, most_edits: int = 16) -> Job:
    """A whole job made by edits: two or more parts, joined, mated, capped."""
    job = ed.add_part(ed.add_part(Job(), draw(parts("RAD"))), draw(parts("CAM")))
    if draw(st.sampled_from((True, True, False))):
        job = _with_one_of_each(job)
    for _ in range(draw(st.integers(0, most_edits))):
        job = tried(job, draw(edits(job, _BUILDING)))
    return job


def _with_one_of_each(job: Job) -> Job:
    own = plug("OWN", {"1": "constant", "2": "ground", "3": "reverse"}, lead=Lead(colour="GN"))
    job = ed.add_mated(job, own, _other_half(own), (0, 0))
    job = ed.join_by_wire(job, "OWN.A-1", "OWN.A-2", colour="RD")
    job = ed.cap(ed.add_cable(job, _CABLE), ["OWN.A-3", "C1.1:a"])
    job = ed.add_note(job, "look here", (9, 9))
    return ed.accept(job, "cut into the car", ["OWN.A-1"], reason="agreed", name="A. Fitter")


def plug(
    tag: str,
    functions: dict[str, str],
    *,
    lead: Lead | None = None,
    state: str = "to fit",
    gender: str = "female",
) -> Part:
    """A readable part for unit tests: one connector A, a single row of pins, functions by pin."""
    face = Face(grid=numbered_grid(1, max(int(pin) for pin in functions)), gender=gender)
    made = tuple(Cavity(pin=pin, function=function, lead=lead) for pin, function in functions.items())
    return Part(id=tag, name=tag, state=state, connectors=(Connector(name="A", face=face, cavities=made),))


def pin_of(tag: str, pin: str | int) -> str:
    """A terminal of such a part."""
    return terminal(tag, "A", str(pin))
