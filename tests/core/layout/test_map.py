"""The whole map: flags, joints, curves, what is drawn where."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.job.document import Job
from core.job.record import Note
from core.job.view import Place, View
from core.job.wiring import Finish
from core.layout import bounds, flag_text, lay_out, thing_at
from core.layout.joints import box_at
from core.layout.routes import sampled
from core.layout.shapes import MapLayout, Point
from tests.core.layout.samples import LIBRARY, random_job, scattered, van

SIDES = st.sampled_from(["wire", "mating"])


def test_every_lead_and_bare_cavity_has_one_flag() -> None:
    job = van()
    layout = lay_out(job, LIBRARY)
    flags = [flag.terminal for block in layout.blocks.values() for flag in block.flags]
    assert len(flags) == len(set(flags))
    assert set(flags) == {t for tag, part in job.parts.items() if tag != "RADC" for t in part.cavities}
    assert set(layout.flag_of) == set(flags)


def test_flags_turn_to_what_they_are_joined_to() -> None:
    layout = lay_out(van(), LIBRARY)
    assert {flag.turned for flag in layout.blocks["RAD"].flags} == {"right"}
    assert {flag.turned for flag in layout.blocks["REC"].flags} == {"left"}
    job = van()
    places = {tag: Place(x=0, y=i * 500) for i, tag in enumerate(("REC", "STW", "VID"))}
    places |= {tag: Place(x=1500, y=i * 500) for i, tag in enumerate(("RAD", "CAM", "STEP"))}
    turned = lay_out(job.model_copy(update={"view": View(places=places)}), LIBRARY)
    assert {flag.turned for flag in turned.blocks["RAD"].flags} == {"left"}
    assert {flag.turned for flag in turned.blocks["REC"].flags} == {"right"}


def test_flags_of_two_blocks_stand_in_the_order_of_their_joins() -> None:
    """So that wires between two fans do not cross."""
    job = van()
    layout = lay_out(job, LIBRARY)
    joint_of = job.lookup.joint_of
    radio = [joint_of.get(flag.terminal) for flag in layout.blocks["RAD"].flags]
    receiver = [joint_of.get(flag.terminal) for flag in layout.blocks["REC"].flags]
    both = set(radio) & set(receiver) - {None}
    assert len(both) == 5
    assert [j for j in radio if j in both] == [j for j in receiver if j in both]


def test_a_lead_keeps_its_own_colour_up_to_the_joint() -> None:
    curves = lay_out(van(), LIBRARY).curves
    steering = [curves["lead:RAD.A-15"], curves["lead:STW.A-4"]]
    assert [curve.colour for curve in steering] == ["BN", "GN"]
    assert {curve.ends for curve in steering} == {("RAD.A-15", "J7"), ("STW.A-4", "J7")}
    fan = curves["fan:RAD.A-15"]
    assert fan.colour == "BN"


def test_leads_run_from_anchor_to_joint_and_leave_flags_level() -> None:
    layout = lay_out(van(), LIBRARY)
    for curve in layout.curves.values():
        if curve.role == "lead" and "/" not in curve.key:
            flag = layout.flag_of[curve.owner]
            assert curve.a == flag.anchor
            assert curve.c1.y == curve.a.y
            assert (curve.c1.x > curve.a.x) == (flag.turned == "right")


def test_the_pieces_of_a_way_join_smoothly() -> None:
    layout = lay_out(scattered(random_job(27, parts=7), 27), LIBRARY)
    pieces = [curve for curve in layout.curves.values() if "/" in curve.key]
    assert pieces
    for piece in pieces:
        key, _, number = piece.key.partition("/")
        before = layout.curves[key if number == "1" else f"{key}/{int(number) - 1}"]
        assert before.b == piece.a
        assert before.c2.y == before.b.y == piece.c1.y
        assert (before.owner, before.ends) == (piece.owner, piece.ends)


def test_wires_run_between_joints_cavities_and_free_ends() -> None:
    layout = lay_out(van(), LIBRARY)
    assert layout.curves["wire:W1"].ends == ("J10", "J11")
    assert layout.curves["wire:W2"].ends == ("CAM.A-6", "VID.A-2")
    assert layout.curves["wire:W2"].a == layout.flag_of["CAM.A-6"].anchor
    free = layout.curves["wire:W3"]
    assert free.ends == ("CAM.A-3", "W3:b")
    assert free.b.x > free.a.x


@pytest.mark.parametrize("kind", ["capped", "pulled"])
def test_a_capped_or_pulled_lead_has_a_flag_and_no_wire(kind: str) -> None:
    job = van().model_copy(update={"finishes": {"RAD.A-5": Finish(kind=kind)}})  # type: ignore[arg-type]
    layout = lay_out(job, LIBRARY)
    assert "RAD.A-5" in layout.flag_of
    assert "lead:RAD.A-5" not in layout.curves


def test_a_joint_stands_where_a_person_put_it() -> None:
    job = van().model_copy(update={"view": View(places={"J3": Place(x=700, y=90, kept=True)})})
    layout = lay_out(job, LIBRARY)
    assert layout.joints["J3"].centre == Point(700, 90)
    assert layout.curves["lead:RAD.A-4"].b == Point(700, 90) or layout.curves["lead:RAD.A-4/1"]


def test_joints_and_their_names_lie_apart_and_off_the_blocks() -> None:
    """Hardly any on jobs joined at random, whose brackets meet blocks where there is no better place."""
    joints = over = inside = 0
    for seed in range(60):
        layout = lay_out(random_job(seed, parts=5), LIBRARY)
        boxes = [box_at(name, shape.centre) for name, shape in layout.joints.items()]
        joints += len(boxes)
        over += sum(a.overlaps(b) for i, a in enumerate(boxes) for b in boxes[i + 1 :])
        inside += sum(box.overlaps(block.bounds) for box in boxes for block in layout.blocks.values())
    assert joints > 300
    assert over * 200 <= joints
    assert inside * 100 <= joints


@given(seed=st.integers(0, 5_000), jumbled=st.booleans(), side=SIDES)
@settings(max_examples=40)
def test_bounds_hold_everything(seed: int, jumbled: bool, side: str) -> None:
    job = random_job(seed, parts=4)
    if jumbled:
        job = scattered(job, seed)
    job = job.model_copy(update={"notes": {"N1": Note(id="N1", text="read the fault codes first " * 9)}})
    layout = lay_out(job, LIBRARY, side)  # type: ignore[arg-type]
    whole, slack = bounds(layout), 1e-6
    points = [p for c in layout.curves.values() for p in sampled((c.a, c.c1, c.c2, c.b))]
    points += [shape.centre for shape in layout.joints.values()]
    rects = list(layout.notes.values())
    for block in layout.blocks.values():
        inner = [flag.rect for flag in block.flags]
        inner += [face.body for face in block.faces]
        inner += [face.latch for face in block.faces if face.latch is not None]
        for rect in inner:
            assert block.bounds.x <= rect.x + slack
            assert rect.right <= block.bounds.right + slack
            assert block.bounds.y <= rect.y + slack
            assert rect.bottom <= block.bounds.bottom + slack
        rects.append(block.bounds)
    for rect in rects:
        points += [Point(rect.x, rect.y), Point(rect.right, rect.bottom)]
    for x, y in points:
        assert whole.x - slack <= x <= whole.right + slack
        assert whole.y - slack <= y <= whole.bottom + slack


def test_an_empty_job_is_an_empty_map() -> None:
    layout = lay_out(Job(), LIBRARY)
    assert not layout.blocks
    assert bounds(layout).width == 0


def middle_of(layout: MapLayout, terminal: str) -> Point:
    for block in layout.blocks.values():
        for face in block.faces:
            for cell in face.cavities:
                if cell.terminal == terminal:
                    return Point(cell.rect.x + cell.rect.width / 2, cell.rect.y + cell.rect.height / 2)
    raise AssertionError(terminal)


def test_what_is_at_a_point() -> None:
    job = van().model_copy(update={"notes": {"N1": Note(id="N1", text="wait")}})
    layout = lay_out(job, LIBRARY)
    flag = layout.flag_of["REC.A-5"]
    cases = {
        flag.tab: ("flag", "REC.A-5"),
        middle_of(layout, "RAD.A-10"): ("cavity", "RAD.A-10"),
        layout.joints["J3"].centre: ("joint", "J3"),
        Point(layout.blocks["RAD"].title_at.x, layout.blocks["RAD"].title_at.y + 4): ("block", "RAD"),
        Point(layout.notes["N1"].x + 3, layout.notes["N1"].y + 3): ("note", "N1"),
    }
    for point, expected in cases.items():
        hit = thing_at(layout, point)
        assert hit is not None
        assert (hit.kind, hit.ref) == expected
    assert thing_at(layout, Point(-5000, -5000)) is None


def test_words_on_a_flag() -> None:
    assert flag_text(van(), LIBRARY, "RAD.A-5") == ("5", "OG/WH", "illumination")
    assert flag_text(van(), LIBRARY, "CAM.A-6") == ("6", "BK", "video shield")


PROGRAM = """
from core.layout import arrange, lay_out
from tests.core.layout.samples import LIBRARY, random_job, van
for job in (van(), random_job(5), random_job(15, parts=9)):
    layout = lay_out(job, LIBRARY)
    print(list(layout.blocks.items()), list(layout.joints.items()), list(layout.curves.items()))
    print(arrange(job, LIBRARY))
"""


def test_the_same_job_gives_the_same_map_in_every_process(root: Path) -> None:
    outputs = {
        subprocess.run(
            [sys.executable, "-c", PROGRAM],
            cwd=root,
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": str(root)},
            check=True,
            capture_output=True,
            text=True,
        ).stdout
        for seed in ("0", "1", "77")
    }
    assert len(outputs) == 1
