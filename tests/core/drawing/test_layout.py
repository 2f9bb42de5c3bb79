"""Nothing is cut off, nothing overlaps, everything stands on its sheet once: samples and random jobs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence

import pytest

from core.checks.finding import CheckResult
from core.drawing.build import build_drawing
from core.drawing.collect_faces import speaks
from core.drawing.ends import Reader
from core.drawing.items import Box, Page, Rect, Text
from core.drawing.paper import PAPERS
from core.job.document import Job
from core.job.faces import Face, numbered_grid
from core.job.parts import Cavity, Connector, Part
from core.job.record import JobSheet, Note
from core.job.wiring import Finish, Joint, Wire
from tests.core.drawing.looking import faults, rows
from tests.core.drawing.made import LIBRARY, empty, lead, random_job, two_parts, van

Made = tuple[Job, CheckResult]


def wild() -> Made:
    """Every text as long as it may be, faces larger than a page, a joint of 200 ends."""
    long = "W" * 200
    grid = numbered_grid(40, 25)
    big = Face(grid=grid, latch="right", blocked=("7",))
    labels, notes = {"1": long}, {"2": "word " * 1600}
    cavities = tuple(
        Cavity(pin=pin, label=labels.get(pin, ""), note=notes.get(pin, ""), lead=lead("LBN/DGN/YE"))
        for row in grid
        for pin in row[:3]
    )
    wide = Face(grid=(tuple(f"{n:x>16}" for n in range(80)),), latch="bottom")
    halves = tuple(
        Connector(
            name=f"CONNECTOR{n:03}", face=wide, cavities=(Cavity(pin=wide.grid[0][n] or "", lead=lead("CL")),)
        )
        for n in range(4)
    )
    bulky = Connector(name="A", title=long, face=big, cavities=cavities)
    parts = [
        Part(id="BIG", name=long, maker=long, type=long, serial=long, connectors=(bulky,)),
        Part(id="WIDEPLUGNAME", name="Wide", connectors=halves),
    ]
    wires = {
        f"W{n}": Wire(id=f"W{n}", colour="RD/WH", note="long " * 40) for n in range(999_999_000, 999_999_200)
    }
    names = list(wires)
    ends = tuple(f"{name}:a" for name in names)
    job = Job(
        sheet=JobSheet(
            shop=long,
            number=long,
            title="i" * 200,
            vehicle="car " * 2000,
            technician=long,
            approved_by=long,
            revision="R" * 60,
        ),
        parts={part.id: part for part in parts},
        wires=wires,
        joints={"J1": Joint(id="J1", ends=ends, temporary_for=long, note="w" * 8000)},
        finishes={f"{name}:b": Finish(kind="left", reason=long) for name in names[:20]},
        notes={"N1": Note(id="N1", text="x" * 8000)},
    )
    return job, CheckResult(job, (), tuple(f"{name}:b" for name in names[20:40]), (), ("run",))


JOBS: dict[str, Callable[[], Made]] = {
    "van": van,
    "two parts": two_parts,
    "empty": empty,
    "wild": wild,
    **{f"random {seed}": lambda seed=seed: random_job(seed, parts=4) for seed in range(4)},  # type: ignore[misc]
}


@pytest.fixture(scope="module")
def drawn() -> Callable[[str, str], tuple[Job, Sequence[Page]]]:
    kept: dict[tuple[str, str], tuple[Job, Sequence[Page]]] = {}

    def draw(name: str, paper: str) -> tuple[Job, Sequence[Page]]:
        if (name, paper) not in kept:
            job, result = JOBS[name]()
            kept[name, paper] = job, build_drawing(job, result, LIBRARY, paper)
        return kept[name, paper]

    return draw


Drawn = Callable[[str, str], tuple[Job, Sequence[Page]]]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", [name for name in JOBS if name != "wild"])
def test_nothing_overlaps_and_nothing_is_cut_off(name: str, paper: str, drawn: Drawn) -> None:
    _, pages = drawn(name, paper)
    assert {page.number: found for page in pages if (found := faults(page))} == {}


@pytest.mark.parametrize("paper", ["letter", "a3"])
def test_the_longest_texts_and_the_largest_faces_find_room(paper: str, drawn: Drawn) -> None:
    _, pages = drawn("wild", paper)
    assert {page.number: found for page in pages if (found := faults(page))} == {}


def test_the_looking_itself_finds_faults() -> None:
    frame = Box("frame", (), 0, 0, 100, 100)
    good = Text(10, 20, "one", "Loom", 8, "#000000")
    texts = (good, good._replace(x=12), good._replace(x=95, y=60), good._replace(y=80, size=6))
    boxes = (Box("pin", ("A",), 0, 0, 50, 10), Box("pin", ("B",), 0, 9, 50, 10))
    page = Page("map", 1, 1, 100, 100, frame, (Rect(90, 90, 20, 5, "#000000"),), texts, boxes)
    found = faults(page)
    assert len(found) == 5
    assert faults(Page("map", 1, 1, 100, 100, frame, (), (good,), boxes[:1])) == []


@pytest.mark.parametrize("name", JOBS)
def test_every_pin_has_one_row(name: str, drawn: Drawn) -> None:
    job, pages = drawn(name, "letter")
    read = Reader(job, JOBS[name]()[1], LIBRARY)
    met = job.lookup.meets
    everything = [terminal for part in job.parts.values() for terminal in part.cavities]
    wanted = {terminal for terminal in everything if speaks(read, terminal, None)}
    found = rows(pages, "faces", "pin")
    assert wanted <= found.keys()
    assert max(found.values(), default=1) == 1
    assert all(ref in wanted or met.get(ref) in wanted for ref in found)


@pytest.mark.parametrize("name", JOBS)
def test_every_lead_wire_and_joint_has_one_row(name: str, drawn: Drawn) -> None:
    job, pages = drawn(name, "letter")
    leads = [ref for part in job.parts.values() for ref, cavity in part.cavities.items() if cavity.lead]
    assert rows(pages, "leads", "lead") == Counter(leads)
    assert rows(pages, "leads", "wire") == Counter(list(job.lookup.conductors))
    first, more = rows(pages, "joints", "joint"), rows(pages, "joints", "joint continued")
    assert {ref: first[ref] for ref in job.joints} == dict.fromkeys(job.joints, 1)
    ends = [end for joint in job.joints.values() for end in joint.ends]
    assert {end: first[end] + more[end] for end in ends} == dict.fromkeys(ends, 1)
    assert rows(pages, "map", "part") == Counter(list(job.parts))


@pytest.mark.parametrize("name", JOBS)
def test_every_finish_and_open_end_has_one_row(name: str, drawn: Drawn) -> None:
    job, pages = drawn(name, "letter")
    for kind, row in (("capped", "cap"), ("pulled", "pull"), ("left", "left")):
        wanted = [end for end, finish in job.finishes.items() if finish.kind == kind]
        assert rows(pages, "joints", row) == Counter(wanted)
    assert rows(pages, "joints", "open") == Counter(JOBS[name]()[1].open_ends)


@pytest.mark.parametrize("name", JOBS)
def test_every_conflict_and_every_rule_not_run_is_printed_once(name: str, drawn: Drawn) -> None:
    _, pages = drawn(name, "letter")
    result = JOBS[name]()[1]
    accepted = [c.key for c in result.unfolded() if c.accepted]
    still_open = [c.key for c in result.unfolded() if not c.accepted]
    assert rows(pages, "joints", "accepted") == Counter(accepted)
    assert rows(pages, "joints", "open conflict") == Counter(still_open)
    assert rows(pages, "joints", "rule not run") == Counter(item.rule for item in result.not_run)


@pytest.mark.parametrize("name", JOBS)
def test_every_face_is_drawn_from_both_sides_with_every_cavity_once(name: str, drawn: Drawn) -> None:
    job, pages = drawn(name, "letter")
    found = Counter(
        box.refs for page in pages if page.sheet == "faces" for box in page.boxes if box.kind == "cell"
    )
    wanted = Counter(
        (f"{part.id}.{connector.name}-{pin}", side)
        for part in job.parts.values()
        for connector in part.connectors
        if connector.face
        for pin in connector.face.places
        for side in ("wire", "mating")
    )
    assert found == wanted


@pytest.mark.parametrize("name", [name for name in JOBS if name != "empty"])
def test_everything_is_on_the_map(name: str, drawn: Drawn) -> None:
    """On one sheet as drawn on the screen, or part by part."""
    job, pages = drawn(name, "letter")
    assert rows(pages, "map", "block").keys() == job.parts.keys()
    assert rows(pages, "map", "joint") == Counter(list(job.joints))
    joined = {end for joint in job.joints.values() for end in joint.ends if "-" in end}
    assert joined <= rows(pages, "map", "flag").keys()
    assert max(rows(pages, "map", "flag").values(), default=1) == 1
    assert rows(pages, "map", "note") == Counter(list(job.notes))


def test_pages_are_counted_through() -> None:
    job, result = van()
    pages = build_drawing(job, result, LIBRARY)
    assert [(page.number, page.of) for page in pages] == [(n, len(pages)) for n in range(1, len(pages) + 1)]
