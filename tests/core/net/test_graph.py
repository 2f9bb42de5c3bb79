"""The graph of conductors: what conducts, and that following edits ends where a fresh graph starts."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.edits import cap, crimp, join, join_by_wire, mate, pull, set_cavity, unjoin
from core.errors import EditRefused
from core.job.delta import delta
from core.job.document import Job
from core.job.faces import Face, mate_of
from core.job.internals import Link
from core.job.parts import Cavity, Connector, Lead, Part
from core.net.graph import ConductorGraph, build
from tests.strategies import edits, jobs

_FACE = Face(grid=(("1", "2", "3"),), gender="male")


def _plug(tag: str, state: str = "to fit", face: Face | None = _FACE, leads: bool = True) -> Part:
    cavities = tuple(Cavity(pin=pin, lead=Lead() if leads else None) for pin in "123")
    return Part(
        id=tag,
        name=tag,
        state=state,
        connectors=(Connector(name="A", face=face, cavities=cavities),),
    )


def _job(*parts: Part) -> Job:
    return Job(parts={part.id: part for part in parts})


def _mated() -> Job:
    car = _plug("RADC", "on the car", leads=False)
    ours = _plug("RAD", face=mate_of(_FACE, "female"))
    return mate(_job(car, ours, _plug("REC")), "RADC.A", "RAD.A")


def _nets(graph: ConductorGraph) -> set[frozenset[str]]:
    return {frozenset(net) for net in graph.nets.values()}


def test_a_joint_makes_one_net_of_its_leads() -> None:
    job = join(_job(_plug("RAD"), _plug("REC")), "RAD.A-1", "REC.A-2")
    graph = build(job)
    assert graph.members("J1") == {"J1", "RAD.A-1", "REC.A-2"}
    assert graph.net_of("RAD.A-1") == graph.net_of("REC.A-2") != graph.net_of("REC.A-1")
    assert graph.path("RAD.A-1", "REC.A-2") == ("RAD.A-1", "J1", "REC.A-2")
    assert graph.path("RAD.A-1", "REC.A-1") == ()
    assert graph.path("RAD.A-1", "RAD.A-1") == ("RAD.A-1",)


def test_a_wire_is_on_the_path_between_its_ends() -> None:
    job = join_by_wire(_job(_plug("RAD"), _plug("REC")), "RAD.A-1", "REC.A-2")
    graph = build(job)
    assert graph.path("RAD.A-1", "REC.A-2") == ("RAD.A-1", "J1", "W1", "J2", "REC.A-2")
    assert graph.conductors("REC.A-2") == ("W1",)


def test_a_wire_end_in_no_joint_is_a_node_of_its_own() -> None:
    bare = _plug("REC", leads=False)
    job = join_by_wire(_job(_plug("RAD"), bare), "RAD.A-1", "REC.A-2")
    free = unjoin(job, "RAD.A-1")
    graph = build(free)
    assert graph.node_of("W1:b") == "REC.A-2"
    assert graph.node_of("W1:a") == "W1:a"
    assert graph.members("W1:a") == {"W1:a", "REC.A-2"}
    assert graph.node_of("W9:a") is None
    assert graph.net_of("ZZZ.A-1") is None
    assert graph.members("ZZZ.A-1") == set()
    assert build(crimp(free, "W1:a", "REC.A-3")).members("REC.A-2") == {"REC.A-2", "REC.A-3"}


def test_contacts_follow_the_faces_and_need_a_terminal_on_both_sides() -> None:
    job = _mated()
    assert build(job).members("RADC.A-1") == {"RADC.A-1", "RAD.A-1"}
    for spoiled in (
        set_cavity(job, "RADC.A-1", found="empty"),
        set_cavity(job, "RAD.A-1", filled=False),
        pull(job, ["RAD.A-1"]),
    ):
        assert build(spoiled).members("RADC.A-1") == {"RADC.A-1"}
    assert build(cap(job, ["RAD.A-1"])).members("RADC.A-1") == {"RADC.A-1", "RAD.A-1"}


def test_a_blocked_place_touches_nothing() -> None:
    car = _plug("RADC", "on the car", _FACE.changed(blocked=("2",)), leads=False)
    job = mate(_job(car, _plug("RAD", face=mate_of(_FACE, "female"))), "RADC.A", "RAD.A")
    assert build(job).members("RAD.A-2") == {"RAD.A-2"}
    assert build(job).members("RAD.A-3") == {"RAD.A-3", "RADC.A-3"}


def test_a_link_inside_a_part_conducts() -> None:
    part = _plug("REC").changed(internals=(Link(a="A-1", b="A-3"),))
    assert build(_job(part)).members("REC.A-1") == {"REC.A-1", "REC.A-3"}


def test_beyond_a_joint_lies_what_the_end_leads_to() -> None:
    job = join_by_wire(_job(_plug("RAD"), _plug("REC")), "RAD.A-1", "REC.A-2")
    graph = build(job)
    assert graph.beyond("J1", "RAD.A-1") == {"RAD.A-1"}
    assert graph.beyond("J1", "W1:a") == {"J2", "REC.A-2"}


def test_the_graph_takes_steps_only_from_where_it_stands() -> None:
    before = _mated()
    after = join(before, "RAD.A-1", "REC.A-1")
    graph = build(after)
    with pytest.raises(ValueError, match="another document"):
        graph.update(before, after, delta(before, after))


@settings(max_examples=150)
@given(st.data())
def test_following_edits_ends_where_a_fresh_graph_starts(data: st.DataObject) -> None:
    job = data.draw(jobs())
    graph = build(job)
    for _ in range(6):
        edit = data.draw(edits(job))
        try:
            after = edit.apply(job)
        except EditRefused:
            continue
        graph.update(job, after, delta(job, after))
        job = after
        fresh = build(job)
        assert _nets(graph) == _nets(fresh)
        assert graph.edges == fresh.edges
        assert graph.nodes.keys() == fresh.nodes.keys()


@given(st.data())
def test_nodes_of_one_net_have_a_path_and_the_same_one_both_times(data: st.DataObject) -> None:
    job = data.draw(jobs())
    graph = build(job)
    for net in graph.nets.values():
        first, *rest = sorted(net)
        for node in rest:
            path = graph.path(first, node)
            assert path[0] == first
            assert path[-1] == node
            assert path == build(job).path(first, node)
