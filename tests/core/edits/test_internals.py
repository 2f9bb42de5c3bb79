"""What a part does inside: added, changed, taken away."""

from __future__ import annotations

import pytest

from core.edits import add_internal, add_part, check_invariants, remove_internal, set_internal
from core.errors import EditRefused
from core.job.document import Job
from core.job.internals import Fuse, Link, Load
from tests.strategies import plug

FUSE = Fuse(a="A-1", b="A-2", amps=10)
LINK = Link(a="A-1", b="A-3")


def bench() -> Job:
    return add_part(Job(), plug("BOX", {"1": "constant", "2": "ground", "3": "accessory"}))


def test_pieces_are_added_changed_and_taken_away() -> None:
    before = bench()
    job = add_internal(add_internal(before, "BOX", FUSE), "BOX", LINK)
    assert job.parts["BOX"].internals == (FUSE, LINK)
    job = set_internal(job, "BOX", 0, amps=15, b="A-3", form="mini")
    assert job.parts["BOX"].internals == (Fuse(a="A-1", b="A-3", amps=15, form="mini"), LINK)
    job = remove_internal(job, "BOX", 0)
    assert job.parts["BOX"].internals == (LINK,)
    assert remove_internal(job, "BOX", 0) == before
    assert check_invariants(job) == []


def test_what_changes_nothing_is_the_very_same_job() -> None:
    job = add_internal(bench(), "BOX", FUSE)
    assert set_internal(job, "BOX", 0, amps=10.0) is job


def test_what_cannot_be_is_refused() -> None:
    job = add_internal(bench(), "BOX", Load(plus="A-1", amps=3))
    with pytest.raises(EditRefused, match=r"BOX has no cavity A-9\."):
        add_internal(job, "BOX", Link(a="A-1", b="A-9"))
    with pytest.raises(EditRefused, match=r"BOX has no cavity A-9\."):
        set_internal(job, "BOX", 0, minus="A-9")
    with pytest.raises(EditRefused, match=r"Amps: Input should be greater than 0"):
        set_internal(job, "BOX", 0, amps=-1)
    with pytest.raises(EditRefused, match="one of amps, ohms and watts"):
        set_internal(job, "BOX", 0, watts=5)
    for index in (-1, 1):
        with pytest.raises(EditRefused, match="no such piece"):
            remove_internal(job, "BOX", index)
        with pytest.raises(EditRefused, match="no such piece"):
            set_internal(job, "BOX", index, amps=2)
    with pytest.raises(EditRefused, match="There is no part ZZZ"):
        add_internal(job, "ZZZ", FUSE)
    with pytest.raises(EditRefused, match=r"A load has no kind\."):
        set_internal(job, "BOX", 0, kind="fuse")
    with pytest.raises(EditRefused, match=r"A load has no holder amps\."):
        set_internal(job, "BOX", 0, holder_amps=20)
