"""Runs mistakes through the checker, and judges what it said."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from time import perf_counter

from core.checks.finding import LEVELS, CheckResult, Conflict, Level
from core.checks.runner import Checker, drained
from core.errors import EditRefused
from core.files import SUFFIX
from core.files.job_file import load_job
from core.job.document import Job
from core.job.invariants import check_invariants
from core.library import Library, load_library
from core.paths import sample_jobs_folder, shared_folder
from tests.mutation.facts import Facts
from tests.mutation.hops import FAR, Neighbours, hops
from tests.mutation.kinds import KINDS
from tests.mutation.kinds.joins import MOST_PAIRS, pairs_of_nets
from tests.mutation.made import Mutation

REACH = 2
"""Steps within which a conflict speaks of the mistake."""
NEAR = 1
"""Steps within which the first conflict must be."""


@dataclass(frozen=True)
class Said:
    """One conflict of a changed job, with how far from the mistake it is: all it names, and its places."""

    rule: str
    level: Level
    where: tuple[str, ...]
    message: str
    folded: bool
    steps: int
    steps_to_where: int


@dataclass(frozen=True)
class Outcome:
    """What was said of one mistake. `refused`: hands could not do it, and why."""

    sample: str
    mutation: Mutation
    said: tuple[Said, ...] = ()
    refused: str = ""

    @property
    def counted(self) -> bool:
        return not self.refused and not self.mutation.expected.unseen

    @property
    def unfolded(self) -> tuple[Said, ...]:
        return tuple(said for said in self.said if not said.folded)

    @property
    def within(self) -> tuple[Said, ...]:
        return tuple(said for said in self.said if said.steps <= REACH)

    @property
    def caught(self) -> bool:
        """A conflict at the expected level or above is within reach."""
        return any(self.mutation.expected.met_by(said.level) for said in self.within)

    @property
    def right(self) -> bool:
        """And the gravest within reach is no graver than it should be."""
        grave = [said.level for said in self.within]
        return self.caught and self.mutation.expected.right(min(grave, key=LEVELS.index))

    @property
    def first_near(self) -> bool:
        return bool(self.unfolded) and self.unfolded[0].steps_to_where <= NEAR


@dataclass(frozen=True)
class Untouched:
    """What is said of a job as it is: `strange` is what its expectations do not name with a reason."""

    sample: str
    said: tuple[Conflict, ...]
    strange: tuple[Conflict, ...]
    seconds: float


@dataclass(frozen=True)
class Run:
    """All of one job."""

    untouched: Untouched
    outcomes: tuple[Outcome, ...]
    sampled: str
    seconds: float


def shipped_library() -> Library:
    return load_library([shared_folder()])


def good_samples() -> list[str]:
    """The correct jobs: those whose expectations say green."""
    paths = sorted(sample_jobs_folder().glob("*.expect.json"))
    green = (path for path in paths if json.loads(path.read_text(encoding="utf-8"))["status"] == "green")
    return [path.name.removesuffix(".expect.json") for path in green]


def sample(name: str) -> Job:
    return load_job(sample_jobs_folder() / f"{name}{SUFFIX}")


def mutations(job: Job, library: Library, kinds: Iterable[str]) -> list[Mutation]:
    facts = Facts(job, library)
    return [mutation for kind in kinds for mutation in KINDS[kind](facts)]


class Bench:
    """One job and one checker: what is said of the job, then of each mistake in it."""

    def __init__(self, name: str, job: Job, library: Library) -> None:
        self.name, self.job, self.library = name, job, library
        self._checker = Checker(library, final=True)
        start = perf_counter()
        self.result = drained(self._checker.run(job))
        self.seconds = perf_counter() - start
        self._before = {(c.key, c.level) for c in self.result.conflicts}

    def try_one(self, mutation: Mutation) -> Outcome:
        if mutation.expected.unseen:
            return Outcome(self.name, mutation)
        try:
            after = mutation.edit(self.job)
        except EditRefused as error:
            return Outcome(self.name, mutation, refused=str(error))
        wrong = check_invariants(after)
        if wrong:
            raise AssertionError(f"{self.name}, {mutation.kind}, {mutation.what}: {wrong[0]}")
        result = drained(self._checker.run(after))
        near = Neighbours(self.job, after).within(mutation.place, REACH)
        return Outcome(self.name, mutation, tuple(self._new(result, near)))

    def _new(self, result: CheckResult, near: dict[str, int]) -> Iterable[Said]:
        for conflict in result.conflicts:
            if (conflict.key, conflict.level) in self._before:
                continue
            refs = (*conflict.where, *conflict.path, *conflict.wires)
            yield Said(
                conflict.rule,
                conflict.level,
                conflict.where,
                conflict.message,
                conflict.follows_from is not None,
                hops(near, refs),
                hops(near, conflict.where[:1]) if conflict.where else FAR,
            )

    def untouched(self) -> Untouched:
        """Stops are never expected of a correct job; a Look only with its reason."""
        path = sample_jobs_folder() / f"{self.name}.expect.json"
        expected = json.loads(path.read_text(encoding="utf-8"))["conflicts"] if path.exists() else []
        named = [
            (one["rule"], one["level"], set(one["where"]))
            for one in expected
            if one["level"] != "stop" and one.get("reason")
        ]
        said = self.result.unfolded()
        strange = tuple(c for c in said if c.level != "note" and not self._named(c, named))
        return Untouched(self.name, said, strange, self.seconds)

    def _named(self, conflict: Conflict, named: list[tuple[str, str, set[str]]]) -> bool:
        shown = {self.job.shown(ref) for ref in conflict.where}
        return any(
            conflict.rule == rule and conflict.level == level and pins <= shown for rule, level, pins in named
        )


def run_job(name: str, kinds: tuple[str, ...]) -> Run:
    """Every mistake of these kinds in one sample."""
    start = perf_counter()
    library = shipped_library()
    job = sample(name)
    bench = Bench(name, job, library)
    untouched = bench.untouched()
    found = mutations(job, library, kinds)
    outcomes = tuple(bench.try_one(mutation) for mutation in found)
    pairs = pairs_of_nets(Facts(job, library))
    drawn = f"{name}: {MOST_PAIRS} of {pairs} pairs of nets" if pairs > MOST_PAIRS else ""
    # What leaves this process says what was done, and no longer how.
    done = tuple(Outcome(o.sample, _told(o.mutation), o.said, o.refused) for o in outcomes)
    return Run(untouched, done, drawn if "join two nets" in kinds else "", perf_counter() - start)


def _told(mutation: Mutation) -> Mutation:
    return Mutation(mutation.kind, mutation.what, mutation.place, mutation.expected, _same)


def _same(job: Job) -> Job:
    return job


def run_all(
    names: Iterable[str], kinds: Iterable[str], processes: int, told: Callable[[str], None]
) -> list[Run]:
    """Every mistake in every sample, over some processes; the largest jobs first."""
    work = partial(run_job, kinds=tuple(kinds))
    by_size = sorted(names, key=lambda name: -len(sample(name).joints))
    if processes == 1 or len(by_size) == 1:
        runs = map(work, by_size)
        return _collected(runs, told)
    with ProcessPoolExecutor(processes) as pool:
        return _collected(pool.map(work, by_size), told)


def _collected(runs: Iterable[Run], told: Callable[[str], None]) -> list[Run]:
    found = []
    for run in runs:
        told(f"{run.untouched.sample}: {len(run.outcomes)} mistakes in {run.seconds:.0f} s")
        found.append(run)
    return sorted(found, key=lambda run: run.untouched.sample)


def failed(runs: Iterable[Run]) -> bool:
    """A Stop-level mistake was missed, or an untouched job has what it must not have."""
    return any(
        run.untouched.strange or any(missed(o) and o.mutation.expected.level == "stop" for o in run.outcomes)
        for run in runs
    )


def missed(outcome: Outcome) -> bool:
    return outcome.counted and not outcome.caught
