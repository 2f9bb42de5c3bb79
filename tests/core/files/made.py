"""Jobs made for the tests of files: one of any size, and any that hypothesis can think of."""

from __future__ import annotations

from hypothesis import strategies as st

from core.colours import swatches
from core.job.document import Job
from core.job.faces import Face, numbered_grid
from core.job.internals import ButtonLadder, Diode, Feed, Internal, Link, LiveIn, Load, VoltWindow
from core.job.parts import Cavity, Connector, Lead, Part
from core.job.record import Acceptance, JobSheet, Note, Settings
from core.job.view import Place, View
from core.job.wiring import Cable, Conductor, Finish, Joint, Wire

PINS = 20
FUNCTIONS = ("constant", "accessory", "ground", "speaker-lf+")


def big_job(wires: int) -> Job:
    """A job with that many wires, each crimped into a cavity of one part and joined to a lead of another."""
    tags = [f"P{number}" for number in range(1, -(-wires // PINS) * 2 + 1)]
    parts = {tag: _part(tag) for tag in tags}
    made: dict[str, Wire] = {}
    joints: dict[str, Joint] = {}
    finishes: dict[str, Finish] = {}
    for index in range(wires):
        here = f"{tags[index // PINS * 2]}.A-{index % PINS + 1}"
        there = f"{tags[index // PINS * 2 + 1]}.A-{index % PINS + 1}"
        wire = Wire(id=f"W{index + 1}", colour="BK/WH", gauge="18 AWG", length_mm=850.5, a_in=here)
        made[wire.id] = wire
        if index % 10:
            joint = Joint(id=f"J{index + 1}", ends=(f"{wire.id}:b", there), method="crimp")
            joints[joint.id] = joint
        else:
            finishes[f"{wire.id}:b"] = Finish(kind="left", reason="for later")
    places = {tag: Place(x=40.25 * index, y=-80.0 * index) for index, tag in enumerate(tags)}
    return Job(
        sheet=JobSheet(title="A made job", vehicle="van, übergroß"),
        parts=parts,
        wires=made,
        joints=joints,
        finishes=finishes,
        counters={"W": wires, "J": wires},
        view=View(places=places),
    )


def _part(tag: str) -> Part:
    cavities = tuple(
        Cavity(
            pin=str(number),
            function=FUNCTIONS[number % len(FUNCTIONS)],
            label="as the sheet says",
            lead=Lead(colour="YE/BK", gauge="0.75 mm2", length_mm=120.0),
        )
        for number in range(1, PINS + 1)
    )
    face = Face(grid=numbered_grid(2, PINS // 2), gender="female")
    return Part(id=tag, name=f"Part {tag}", connectors=(Connector(name="A", face=face, cavities=cavities),))


_TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
_WORD = _TEXT.filter(str.strip)
_NUMBER = st.floats(0, 1000, allow_nan=False)
_COLOUR = st.none() | st.sampled_from(sorted(swatches())) | st.just("BK/WH")
_GAUGE = st.sampled_from([None, "18 AWG", "0000 AWG", "0.75 mm2"])
_LEAD = st.builds(Lead, colour=_COLOUR, gauge=_GAUGE, length_mm=st.none() | _NUMBER)
_PIN = st.from_regex(r"[A-Za-z0-9+#_-]{1,4}", fullmatch=True) | st.just("é1")


def _cavities(pins: list[str]) -> st.SearchStrategy[tuple[Cavity, ...]]:
    return st.tuples(
        *(
            st.builds(
                Cavity,
                pin=st.just(pin),
                label=_TEXT,
                function=_TEXT,
                flow=st.sampled_from([None, "gives", "takes"]),
                airbag=st.booleans(),
                filled=st.booleans(),
                aliases=st.lists(_TEXT, max_size=2).map(tuple),
                colour_sheet=_COLOUR,
                volts=st.none() | st.floats(-1000, 1000),
                lead=st.none() | _LEAD,
                note=_TEXT,
            )
            for pin in pins
        )
    )


@st.composite
def _made_parts(draw: st.DrawFn) -> dict[str, Part]:
    tags = draw(st.lists(st.from_regex(r"[A-Z]{2}[A-Z0-9]{0,3}", fullmatch=True), max_size=4, unique=True))
    parts = {}
    for tag in tags:
        pins = draw(st.lists(_PIN, min_size=2, max_size=5, unique=True))
        cavities = draw(_cavities(pins))
        face = draw(st.none() | st.just(Face(grid=(tuple(pins), (None,) * len(pins)))))
        here, there = f"A-{pins[0]}", f"A-{pins[1]}"
        internals: list[Internal] = [
            Link(a=here, b=there),
            Diode(anode=here, cathode=there),
            Feed(terminal=here, live=LiveIn(keys=("run",))),
            Load(plus=here, accepts=VoltWindow(least=9, most=16)),
            ButtonLadder(signal=here, reference=there, ohms={draw(_TEXT): 120.5}),
        ]
        connector = Connector(name="A", title=draw(_TEXT), face=face, cavities=cavities)
        kept = tuple(draw(st.lists(st.sampled_from(internals), max_size=3)))
        parts[tag] = Part(id=tag, name=draw(_TEXT), connectors=(connector,), internals=kept)
    return parts


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """Any job that keeps the invariants, with all kinds of text in it."""
    parts = draw(_made_parts())
    free = [terminal for part in parts.values() for terminal in part.cavities]
    wires = {
        f"W{number}": Wire(id=f"W{number}", colour=draw(_COLOUR), gauge=draw(_GAUGE), note=draw(_TEXT))
        for number in draw(st.sets(st.integers(1, 10**9 - 1), max_size=4))
    }
    cores = draw(st.lists(st.builds(Conductor, colour=_COLOUR, shield=st.booleans()), min_size=1, max_size=3))
    cables = {"C7": Cable(id="C7", name=draw(_TEXT), conductors=tuple(cores))} if draw(st.booleans()) else {}
    free += [f"{wire}:{letter}" for wire in wires for letter in "ab"]
    free += [f"C7.{number}:a" for number in range(1, len(cores) + 1) if cables]
    free = draw(st.permutations(free))
    joints = {}
    for number in range(1, draw(st.integers(0, len(free) // 2)) + 1):
        joints[f"J{number}"] = Joint(id=f"J{number}", ends=(free.pop(), free.pop()), note=draw(_TEXT))
    finishes = {end: Finish(kind="left", reason=draw(_WORD)) for end in free[::2]}
    notes = {f"N{n}": Note(id=f"N{n}", text=draw(_TEXT)) for n in range(1, draw(st.integers(0, 2)) + 1)}
    acceptance = st.builds(
        Acceptance,
        rule=_TEXT,
        where=st.just(("X",)),
        numbers=st.dictionaries(_TEXT, st.floats(allow_nan=False, allow_infinity=False), max_size=2),
        reason=_WORD,
        name=_WORD,
    )
    highest = {"W": wires, "C": cables, "J": joints, "N": notes}
    place = st.builds(Place, x=st.floats(-1e6, 1e6), y=st.floats(-1e6, 1e6), kept=st.booleans())
    return Job(
        sheet=JobSheet(
            title=draw(_TEXT), vehicle=draw(_TEXT), date=draw(st.sampled_from(["", "2031-05-17"]))
        ),
        settings=Settings(system_volts=draw(st.sampled_from([6, 12, 24]))),
        parts=parts,
        wires=wires,
        cables=cables,
        joints=joints,
        finishes=finishes,
        notes=notes,
        acceptances=tuple(draw(st.lists(acceptance, max_size=2))),
        counters={
            letter: max(int(ref[1:]) for ref in things) for letter, things in highest.items() if things
        },
        view=View(places={ref: draw(place) for ref in [*parts, *joints, *notes]}),
    )
