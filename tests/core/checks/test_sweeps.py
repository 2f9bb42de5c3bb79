"""The library's parts wired as they should be, and every two joints of a good job made one."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations

import pytest

from core import edits as ed
from core.job.document import Job
from tests.core.checks.jobs import add, camera, capped, checked, join_alike, library, radio
from tests.core.checks.test_rules import assert_mended

PLUGS = [name for name, entry in library().parts.items() if entry.mate is not None]
LACKS = ("load dead where it is needed", "needs a feed by data that nothing makes")
EQUIPMENT = [name for name, entry in library().parts.items() if entry.part.state == "to fit"]


@pytest.mark.parametrize("name", library().parts)
def test_of_a_part_as_it_comes_nothing_is_said(name: str) -> None:
    assert checked(add(Job(), name)).conflicts == ()


@pytest.mark.parametrize("plug", PLUGS)
def test_what_is_joined_alike_and_capped_belongs_together(plug: str) -> None:
    """A part may lack a feed that this plug does not have; nothing else may be said."""
    for name in EQUIPMENT:
        job = add(add(Job(), plug), name)
        ours = next(tag for tag, part in job.parts.items() if part.kind == "pigtail")
        result = checked(capped(join_alike(job, ours, list(job.parts)[-1])), final=True)
        said = {(c.rule, c.message) for c in result.unfolded() if c.rule not in LACKS}
        assert said == set(), (name, said)


@pytest.mark.parametrize("make", [radio, camera], ids=lambda make: make.__name__)
def test_two_joints_made_one_are_marked_once_and_can_be_parted_again(make: Callable[[], Job]) -> None:
    job = make()
    for one, other in combinations(job.joints, 2):
        joined = ed.join(job, one, other)
        result = checked(joined)
        assert result.status != "green" or result.count("look"), (one, other)
        assert len(result.unfolded()) <= 2, [(c.rule, c.where) for c in result.unfolded()]
        for conflict in result.conflicts:
            for mend in conflict.mends:
                assert_mended(conflict, mend.label, mend.edit(joined), result.conflicts, final=False)
