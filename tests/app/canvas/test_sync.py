"""What is on the screen is what the layout says, after any edits; nothing is left behind."""

from __future__ import annotations

import gc
import random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.canvas.connector import BlockItem
from app.canvas.dress import dress
from app.canvas.view import MapView
from app.session import Session
from app.theme import load_tokens
from core.edits.decide import open_ends
from core.edits.finishes import cap, clear_finish
from core.edits.joins import join, remove_joint
from core.edits.place import move
from core.errors import EditRefused
from core.job.document import Job
from core.layout import lay_out
from core.library.library import Library
from tests.app.canvas.conftest import ShowMap
from tests.app.jobs import bench_job
from tests.core.layout.samples import random_job
from tests.strategies import edits, jobs


def assert_shows(view: MapView, job: Job, library: Library) -> None:
    """Items, wires and joints are those of a layout made from scratch."""
    wanted, scene, store = lay_out(job, library), view.map_scene, view.store
    assert scene.blocks.keys() == wanted.blocks.keys()
    assert scene.notes.keys() == wanted.notes.keys()
    undecided = frozenset(open_ends(job))
    for name, item in scene.blocks.items():
        assert item.shape_ == wanted.blocks[name]
        assert item.worn == dress(wanted.blocks[name], job, library, undecided, {}, {})
        fans = {c.key for c in wanted.curves.values() if c.role == "fan"} & {c.key for c, _ in item.fan}
        assert fans == {curve.key for curve, _ in item.fan}
    drawn = {key: store.index.curves[row] for key, row in store.index.row_of.items()}
    assert drawn == {key: curve for key, curve in wanted.curves.items() if curve.role != "fan"}
    assert store.joints == wanted.joints
    fanned = {curve.key for item in scene.blocks.values() for curve, _ in item.fan}
    assert fanned == {key for key, curve in wanted.curves.items() if curve.role == "fan"}


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(jobs(), st.data())
def test_items_match_the_layout_after_any_edits(
    qapp: object, library: Library, job: Job, data: st.DataObject
) -> None:
    session = Session(job, library)
    view = MapView(session, load_tokens("light"))
    assert_shows(view, job, library)
    for _ in range(data.draw(st.integers(1, 4))):
        edit = data.draw(edits(session.job))
        try:
            session.apply("edit", edit.apply)
        except EditRefused:
            continue
        assert_shows(view, session.job, library)
    while session.undo_stack.canUndo():
        session.undo_stack.undo()
    assert_shows(view, job, library)
    view.deleteLater()


def test_nothing_leaks_in_two_hundred_edits(show_map: ShowMap, library: Library) -> None:
    job = bench_job(library)
    view = show_map(job)
    session, chance = view.session, random.Random(7)
    ends = [t for part in job.parts.values() if part.state != "on the car" for t in part.cavities]
    before = len(view.map_scene.items())
    for number in range(200):
        one, two = chance.sample(ends, 2)
        match number % 4:
            case 0:
                session.apply("join", lambda job, a=one, b=two: join(job, a, b))
            case 1:
                session.apply("move", lambda job: move(job, {"REC": (chance.uniform(0, 900), 50.0)}))
            case 2:
                session.apply("cap", lambda job, a=one: cap(job, [a]))
            case _:
                session.apply("take", lambda job: remove_joint(job, chance.choice(sorted(job.joints))))
    session.apply("open", lambda job: clear_finish(job, tuple(job.finishes)))
    for joint in list(session.job.joints):
        session.apply("take", lambda job, joint=joint: remove_joint(job, joint))
    view.backdrop.finish()
    assert len(view.map_scene.items()) == before
    assert view.store.index.row_of.keys() <= {f"wire:{name}" for name in session.job.lookup.conductors}
    gc.collect()
    alive = [
        thing
        for thing in gc.get_objects()
        if isinstance(thing, BlockItem) and thing.scene() is view.map_scene
    ]
    assert len(alive) == len(view.sync.layout.blocks)
    assert_shows(view, session.job, library)


def test_a_frame_of_a_thousand_wires(show_map: ShowMap) -> None:
    job = random_job(3, parts=220, share=0.9)
    assert sum(len(joint.ends) for joint in job.joints.values()) >= 1_000
    view = show_map(job)
    for scale in (0.1, 0.3, 1.0, 3.0):
        view.show_scale(scale, view.viewport().rect().center(), view.visible_rect().center())
        view.viewport().repaint()
        view.backdrop.finish()
        assert not view.grab().isNull()
