"""The map after an edit is the map that would be made from scratch."""

from __future__ import annotations

import random
from typing import Any, TypeVar

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.job.base import Frozen
from core.job.delta import delta
from core.job.document import Job
from core.job.view import Place, View
from core.job.wiring import Cable, Conductor, Joint, Wire
from core.layout import arrange, lay_out, update
from core.layout.shapes import MapLayout
from tests.core.layout.samples import LIBRARY, random_job, scattered, van

AnyFrozen = TypeVar("AnyFrozen", bound=Frozen)


def with_(thing: AnyFrozen, **fields: Any) -> AnyFrozen:
    """A changed copy that works out anew what it keeps in mind (a plain copy would take that along)."""
    kept = {name: getattr(thing, name) for name in type(thing).model_fields}
    return type(thing).model_construct(**{**kept, **fields})


def viewed(job: Job, **fields: Any) -> Job:
    return with_(job, view=job.view.model_copy(update=fields))


def placed(job: Job) -> Job:
    return viewed(job, places=arrange(job, LIBRARY))


def assert_same(kept: MapLayout, fresh: MapLayout) -> None:
    assert kept.side == fresh.side
    assert kept.block_of == fresh.block_of
    assert kept.blocks == fresh.blocks
    assert kept.flag_of == fresh.flag_of
    assert kept.joints == fresh.joints
    assert kept.notes == fresh.notes
    assert kept.curves == fresh.curves


def move(job: Job, chance: random.Random) -> Job:
    ref = chance.choice(sorted(job.view.places))
    old = job.view.places[ref]
    place = Place(x=old.x + chance.uniform(-300, 300), y=old.y + chance.uniform(-300, 300), kept=True)
    return viewed(job, places={**job.view.places, ref: place})


def place_joint(job: Job, chance: random.Random) -> Job:
    if not job.joints:
        return job
    joint = chance.choice(sorted(job.joints))
    places = dict(job.view.places)
    if joint in places:
        del places[joint]
    else:
        places[joint] = Place(x=chance.uniform(0, 1500), y=chance.uniform(0, 1500), kept=True)
    return viewed(job, places=places)


def unjoin(job: Job, chance: random.Random) -> Job:
    if not job.joints:
        return job
    joint = job.joints[chance.choice(sorted(job.joints))]
    joints = dict(job.joints)
    if len(joint.ends) > 2 and chance.random() < 0.7:
        joints[joint.id] = joint.model_copy(update={"ends": joint.ends[1:]})
    else:
        del joints[joint.id]
    return with_(job, joints=joints)


def join(job: Job, chance: random.Random) -> Job:
    ends = [t for part in job.parts.values() for t in part.cavities if t not in job.lookup.joint_of]
    ends += [
        f"{name}:{letter}"
        for name, wire in job.lookup.conductors.items()
        for letter, place in (("a", wire.a_in), ("b", wire.b_in))
        if place is None and f"{name}:{letter}" not in job.lookup.joint_of
    ]
    if len(ends) < 2:
        return job
    number = max((int(name[1:]) for name in job.joints), default=0) + 1
    made = Joint(id=f"J{number}", ends=tuple(chance.sample(ends, 2)))
    return with_(job, joints={**job.joints, made.id: made})


def add_wire(job: Job, chance: random.Random) -> Job:
    terminals = [t for part in job.parts.values() for t in part.cavities]
    number = max((int(name[1:]) for name in job.wires), default=0) + 1
    ends = [chance.choice([None, *terminals]) for _ in range(2)]
    made = Wire(id=f"W{number}", colour=chance.choice([None, "RD"]), a_in=ends[0], b_in=ends[1])
    return with_(job, wires={**job.wires, made.id: made})


def change_wire(job: Job, chance: random.Random) -> Job:
    if not job.wires:
        return add_wire(job, chance)
    wire = job.wires[chance.choice(sorted(job.wires))]
    return with_(job, wires={**job.wires, wire.id: wire.model_copy(update={"colour": "PK", "b_in": None})})


def add_cable(job: Job, chance: random.Random) -> Job:
    terminals = [t for part in job.parts.values() for t in part.cavities]
    cores = tuple(Conductor(colour="GN", a_in=chance.choice(terminals)) for _ in range(2))
    return with_(job, cables={**job.cables, "C1": Cable(id="C1", conductors=cores)})


def remove_part(job: Job, chance: random.Random) -> Job:
    tag = chance.choice(sorted(job.parts))
    if len(job.parts) < 3:
        return job

    def other(end: str) -> bool:
        return end.partition(".")[0] != tag

    kept = {n: [end for end in joint.ends if other(end)] for n, joint in job.joints.items()}
    wires = {
        n: w.model_copy(
            update={
                "a_in": w.a_in if w.a_in and other(w.a_in) else None,
                "b_in": w.b_in if w.b_in and other(w.b_in) else None,
            }
        )
        for n, w in job.wires.items()
    }
    return with_(
        job,
        parts={name: part for name, part in job.parts.items() if name != tag},
        joints={
            n: job.joints[n].model_copy(update={"ends": tuple(ends)})
            for n, ends in kept.items()
            if len(ends) > 1
        },
        wires=wires,
        cables={},
        mates={n: m for n, m in job.mates.items() if other(m.a) and other(m.b)},
        view=job.view.model_copy(
            update={"places": {n: place for n, place in job.view.places.items() if n != tag}}
        ),
    )


def change_part(job: Job, chance: random.Random) -> Job:
    part = job.parts[chance.choice(sorted(job.parts))]
    connector = part.connectors[0]
    if not connector.cavities:
        return job
    at = chance.randrange(len(connector.cavities))
    changes: dict[str, Any] = chance.choice(
        [
            {"label": "something longer than the others", "function": ""},
            {"lead": None},
            {"filled": False},
        ]
    )
    cavities = list(connector.cavities)
    cavities[at] = with_(cavities[at], **changes)
    changed = with_(part, connectors=(with_(connector, cavities=tuple(cavities)), *part.connectors[1:]))
    return with_(job, parts={**job.parts, part.id: changed})


def add_part(job: Job, chance: random.Random) -> Job:
    extra = next(iter(random_job(chance.randrange(1000), parts=1).parts.values()))
    extra = with_(extra, id="NEW", name="New part")
    place = Place(x=chance.uniform(0, 1000), y=chance.uniform(0, 1000))
    job = viewed(job, places={**job.view.places, "NEW": place})
    return with_(job, parts={**job.parts, "NEW": extra})


EDITS = (
    move, move, place_joint, unjoin, join, add_wire, change_wire, add_cable, remove_part, change_part,
    add_part,
)  # fmt: skip


@given(seed=st.integers(0, 10_000), jumbled=st.booleans())
@settings(max_examples=60)
def test_update_gives_what_lay_out_gives(seed: int, jumbled: bool) -> None:
    chance = random.Random(seed)
    start = van() if seed % 7 == 0 else random_job(seed, parts=chance.randint(2, 7))
    job = scattered(start, seed) if jumbled else placed(start)
    layout = lay_out(job, LIBRARY)
    for _ in range(6):
        after = chance.choice(EDITS)(job, chance)
        layout = update(layout, job, after, delta(job, after), LIBRARY)
        assert_same(layout, lay_out(after, LIBRARY))
        job = after


def test_update_leaves_the_map_before_it_alone() -> None:
    job = placed(van())
    layout, again = lay_out(job, LIBRARY), lay_out(job, LIBRARY)
    after = viewed(job, places={**job.view.places, "REC": Place(x=2000, y=50)})
    update(layout, job, after, delta(job, after), LIBRARY)
    assert_same(layout, again)


def test_update_keeps_the_shapes_that_were_not_touched() -> None:
    job = placed(van())
    layout = lay_out(job, LIBRARY)
    video = layout.blocks["VID"]
    after = viewed(job, places={**job.view.places, "REC": Place(x=2000, y=50)})
    moved = update(layout, job, after, delta(job, after), LIBRARY)
    assert moved.blocks["VID"] is video
    assert moved.blocks["REC"] != layout.blocks["REC"]


@pytest.mark.parametrize("fields", [{"side": "mating"}, {"opened": ("M1",)}])
def test_update_after_the_view_changed(fields: dict[str, Any]) -> None:
    job = placed(van())
    after = viewed(job, **fields)
    layout = update(lay_out(job, LIBRARY), job, after, delta(job, after), LIBRARY)
    assert_same(layout, lay_out(after, LIBRARY))
    back = update(layout, after, job, delta(after, job), LIBRARY)
    assert_same(back, lay_out(job, LIBRARY))


def test_a_part_without_a_place_joins_the_map() -> None:
    job = placed(van())
    places = {ref: place for ref, place in job.view.places.items() if ref != "VID"}
    after = with_(job, view=View(places=places))
    layout = update(lay_out(job, LIBRARY), job, after, delta(job, after), LIBRARY)
    assert_same(layout, lay_out(after, LIBRARY))
    assert "VID" in layout.blocks
