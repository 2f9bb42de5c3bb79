"""The mutation bench itself, and a small draw of its mistakes; all of them run by name."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from random import Random

import pytest

from core import edits as ed
from core.checks.finding import Conflict, Level
from core.job.document import Job
from core.library import Library
from tests.mutation.__main__ import main
from tests.mutation.alike import same_circuit
from tests.mutation.bench import (
    Bench,
    Outcome,
    Run,
    Said,
    Untouched,
    failed,
    good_samples,
    missed,
    mutations,
    sample,
    shipped_library,
)
from tests.mutation.expect import joined, swapped
from tests.mutation.facts import Facts
from tests.mutation.hops import FAR, Neighbours, hops
from tests.mutation.kinds import KINDS
from tests.mutation.made import Expected, Mutation, exactly
from tests.mutation.report import misses, report

DRAWN = 6
"""Mistakes of each kind that are tried here, the same ones each time."""
JOBS = ("classic_relay", "steering_ladder", "camper_second_battery")


@cache
def library() -> Library:
    return shipped_library()


@cache
def facts(name: str) -> Facts:
    return Facts(sample(name), library())


@cache
def all_of(name: str) -> tuple[Mutation, ...]:
    return tuple(mutations(sample(name), library(), KINDS))


def drawn(name: str) -> Iterator[Mutation]:
    for kind in KINDS:
        found = [m for m in all_of(name) if m.kind == kind]
        yield from Random(name + kind).sample(found, min(DRAWN, len(found)))


# -- the checker -----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", JOBS)
def test_mistakes_drawn_by_lot_are_caught(name: str) -> None:
    bench = Bench(name, sample(name), library())
    assert bench.untouched().strange == ()
    outcomes = [bench.try_one(mutation) for mutation in drawn(name)]
    grave = [o for o in outcomes if missed(o) and o.mutation.expected.level == "stop"]
    assert not grave, misses([Run(bench.untouched(), tuple(grave), "", 0)])


# -- every kind makes something ----------------------------------------------------------------------


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_mistake_is_made_somewhere(kind: str) -> None:
    assert any(m.kind == kind and not m.expected.unseen for name in JOBS for m in all_of(name)) or any(
        True for name in good_samples() for _ in KINDS[kind](facts(name))
    )


def test_no_mistake_is_made_twice() -> None:
    for name in JOBS:
        told = [(m.kind, m.what) for m in all_of(name)]
        assert len(told) == len(set(told))


# -- what is expected --------------------------------------------------------------------------------


def terminal(name: str, shown: str) -> str:
    found = sample(name).terminal_from(shown)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("first", "second", "level"),
    [
        ("REC-1", "REC-4", "stop"),  # constant and a speaker lead
        ("REC-2", "REC-3", "stop"),  # ground and accessory
        ("RLY-85", "RLY-86", "stop"),  # the coil's diode would conduct
    ],
)
def test_swapped_pins_of_the_classic(first: str, second: str, level: Level) -> None:
    pins = [terminal("classic_relay", pin) for pin in (first, second)]
    expected = swapped(facts("classic_relay"), *pins)
    assert (expected.level, expected.unseen) == (level, "")


@pytest.mark.parametrize(("first", "second"), [("FUS-1", "FUS-2"), ("RLY-30", "RLY-87")])
def test_what_works_either_way_round_cannot_be_seen(first: str, second: str) -> None:
    pins = [terminal("classic_relay", pin) for pin in (first, second)]
    assert swapped(facts("classic_relay"), *pins).unseen


@pytest.mark.parametrize(
    ("sample_name", "a", "b", "level"),
    [
        ("van_receiver", "J1", "J2", "stop"),  # constant, ground
        ("van_receiver", "J1", "J3", "stop"),  # constant, accessory
        ("van_receiver", "J2", "J17", "stop"),  # ground, speaker
        ("van_receiver", "J1", "J9", "stop"),  # constant, output
        ("van_receiver", "J10", "J15", "look"),  # steering, video
        ("classic_relay", "J1", "J2", "stop"),  # past the only fuse of a constant feed
        ("van_receiver", "J1", "J4", "look"),  # past a fuse, behind the car's own
        ("camper_second_battery", "J8", "J16", "look"),  # past a hand switch
    ],
)
def test_joined_nets(sample_name: str, a: str, b: str, level: Level) -> None:
    assert joined(facts(sample_name), a, b).level == level


def test_like_parts_exchanged_are_the_same_circuit() -> None:
    job = sample("camera_two_triggers")
    both_ends = ed.swap_pins(ed.swap_pins(job, "DIR.A-1", "DIB.A-1"), "DIR.A-2", "DIB.A-2")
    triggers = ed.swap_pins(job, "RVT.A-1", "BPT.A-1")
    one_turned = ed.swap_pins(job, "DIR.A-1", "DIR.A-2")
    before = Facts(job, library())
    for same in (job, both_ends):
        assert same_circuit(before, Facts(same, library()))
    for other in (triggers, one_turned):
        assert not same_circuit(before, Facts(other, library()))


# -- steps -------------------------------------------------------------------------------------------


def test_steps_go_over_parts_joints_and_wires() -> None:
    job = sample("estate_amplifier")
    near = Neighbours(job).within(["AMP.P-1"], 3)
    assert near["AMP.P-1"] == 0
    assert near["W1"] == near["AMP.P-2"] == 1
    assert near["J9"] == 2
    assert near["FUS.A-2"] == 3
    assert hops(near, ["FUS.A-1", "J9"]) == 2
    assert hops(near, ["RAD.A-1"]) == FAR


def test_a_contact_is_where_the_one_it_meets_is() -> None:
    near = Neighbours(sample("van_receiver")).within(["RAD.A-2"], 1)
    assert near["RADC.A-2"] == 0


# -- judging -----------------------------------------------------------------------------------------


def outcome(expected: Expected, *said: tuple[Level, int]) -> Outcome:
    mutation = Mutation("missing cap", "x", ("J1",), expected, lambda job: job)
    made = (Said("rule", level, ("J1",), "", False, steps, steps) for level, steps in said)
    return Outcome("van_receiver", mutation, tuple(made))


def run_of(*outcomes: Outcome, strange: tuple[Conflict, ...] = ()) -> Run:
    return Run(Untouched("van_receiver", strange, strange, 0.0), outcomes, "", 0.0)


STRANGE = Conflict("a rule", "stop", "", "", "", ("J1",))


@pytest.mark.parametrize(
    ("run", "bad"),
    [
        (run_of(), False),
        (run_of(outcome(exactly("stop"), ("stop", 1))), False),
        (run_of(outcome(exactly("stop"))), True),
        (run_of(outcome(exactly("stop"), ("look", 0))), True),
        (run_of(outcome(exactly("stop"), ("stop", FAR))), True),
        (run_of(outcome(exactly("look"))), False),
        (run_of(outcome(exactly("look"), ("stop", 0))), False),
        (run_of(strange=(STRANGE,)), True),
    ],
)
def test_what_makes_the_bench_fail(run: Run, bad: bool) -> None:
    assert failed([run]) is bad


def test_level_is_right_only_where_it_is_no_graver_than_it_should_be() -> None:
    graver = outcome(exactly("look"), ("stop", 0))
    assert graver.caught
    assert not graver.right
    assert outcome(Expected("look", "stop"), ("stop", 0)).right


class _Named(Bench):
    """A bench whose job has a Look, with and without a reason in its expectations."""

    def __init__(self) -> None:
        self.job = Job()


@pytest.mark.parametrize(("rule", "named"), [("a rule", True), ("another", False)])
def test_a_look_is_named_by_rule_level_and_place(rule: str, named: bool) -> None:
    conflict = Conflict("a rule", "look", "", "", "", ("J1", "J2"))
    assert _Named()._named(conflict, [(rule, "look", {"J1"})]) is named


def test_what_is_missed_is_told() -> None:
    told = misses([run_of(outcome(exactly("stop"), ("look", 0)))])
    assert "MISSED van_receiver" in told
    assert "expected stop" in told


def test_the_whole_program_on_a_few(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--job", "classic_relay", "--kind", "reversed speaker", "--list-missed"]) == 0
    out = capsys.readouterr().out
    assert "reversed speaker" in out
    assert "classic_relay: nothing" in out
    assert report([]).startswith("mistake")
