"""Runs the rules over a document, in slices."""

from __future__ import annotations

import logging
from collections.abc import Generator, Sequence

from core.checks.acceptance import accepted
from core.checks.context import Context
from core.checks.finding import CheckResult, Conflict, NotRun
from core.checks.folding import folded
from core.checks.phrases import listed
from core.checks.registry import Rule
from core.checks.rules import RULES
from core.circuit.assemble import SketchCache
from core.circuit.cache import ElementCache, whole
from core.circuit.elements import Elements
from core.circuit.engine import Engine
from core.circuit.levels import Levels
from core.circuit.positions import Position
from core.circuit.shown import Shown, shown
from core.edits.decide import open_ends
from core.job.delta import delta
from core.job.document import Job
from core.library.library import Library
from core.net.graph import ConductorGraph

_log = logging.getLogger(__name__)

Steps = Generator[None, None, CheckResult]


class Checker:
    """Checks documents one after the other, and keeps the graph of conductors between them.

    `final`: for the command line, print and hand-over, where what is open is not decided. The window's own
    checks count it as to decide.
    """

    def __init__(self, library: Library, *, final: bool = True, rules: Sequence[Rule] = RULES) -> None:
        self._library = library
        self._final = final
        self._rules = tuple(rules)
        self._cache = ElementCache(library)
        self._sketches = SketchCache(library)
        self._job: Job | None = None
        self._graph: ConductorGraph | None = None
        self._finished: tuple[Job, Levels] | None = None

    def run(self, job: Job) -> Steps:
        """Yields after every few milliseconds of work; returns the result. May be closed at any time."""
        graph = yield from self._graph_of(job)
        yield
        open_now = open_ends(job)
        yield
        parts: list[Elements] = []
        for part in job.parts.values():
            parts.append(self._cache.of(job, part))
            yield
        self._cache.keep(job.parts)
        yield from self._sketches.fill(job)
        elements = whole(parts)
        engine = Engine(job, self._library, graph, cache=self._sketches, used=elements.switches)
        levels = Levels(engine, elements)
        yield
        not_run: list[NotRun] = []
        levels_failed = yield from self._levels(levels, not_run)
        context = Context(job, self._library, graph, elements, levels, frozenset(open_now), self._final)
        conflicts: list[Conflict] = []
        off = frozenset(job.settings.rules_off)
        for rule in self._rules:
            if rule.name in off and rule.level != "stop":
                not_run.append(NotRun(rule.name, "it is switched off for this job"))
                continue
            if levels_failed and "levels" in rule.needs:
                not_run.append(NotRun(rule.name, levels_failed))
                continue
            conflicts += yield from self._rule(rule, context, not_run)
        settled: tuple[Conflict, ...] = ()
        for step in folded(conflicts, self._rules, graph):
            settled = step if step is not None else settled
            yield
        self._finished = None if levels_failed else (job, levels)
        return CheckResult(
            job=job,
            conflicts=accepted(settled, job.acceptances),
            open_ends=open_now,
            not_run=tuple(not_run),
            positions=tuple(position.name for position in levels.positions),
        )

    def shown(self, position: Position) -> Shown | None:
        """What the last run found in a position. None while a run is under way, and where the levels could
        not be worked out.
        """
        if self._finished is None:
            return None
        job, levels = self._finished
        return shown(levels, job, self._library, position)

    def engine(self) -> Engine | None:
        """What answers for the circuit of the last run's document; None as for `shown`."""
        return self._finished[1].engine if self._finished is not None else None

    def _graph_of(self, job: Job) -> Generator[None, None, ConductorGraph]:
        before, graph = self._job, self._graph
        # The levels of the run before ask the graph, which is about to change.
        self._finished = None
        # Until it stands at the new job, a run that is closed or fails leaves no graph behind.
        self._job = self._graph = None
        if before is None or graph is None:
            graph = ConductorGraph()
            yield from graph.fill(job)
        elif job is not before:
            graph.update(before, job, delta(before, job))
        self._job, self._graph = job, graph
        return graph

    def _levels(self, levels: Levels, not_run: list[NotRun]) -> Generator[None, None, str]:
        try:
            yield from levels.steps()
        except Exception as error:
            _log.exception("the levels could not be worked out")
            return f"the volts of this job could not be worked out ({str(error) or type(error).__name__})"
        for position, parts in levels.unsettled.items():
            not_run.append(NotRun("levels", f"{listed(parts)} would chatter in {position}"))
        return ""

    def _rule(
        self, rule: Rule, context: Context, not_run: list[NotRun]
    ) -> Generator[None, None, list[Conflict]]:
        found: list[Conflict] = []
        try:
            for conflict in rule.check(context):
                if conflict is not None:
                    found.append(conflict)
                yield
        except Exception as error:
            _log.exception("rule %r raised", rule.name)
            not_run.append(NotRun(rule.name, f"the rule itself failed: {str(error) or type(error).__name__}"))
            return []
        return found


def drained(steps: Steps) -> CheckResult:
    """The result of a run, without a pause."""
    while True:
        try:
            next(steps)
        except StopIteration as done:
            result: CheckResult = done.value
            return result


def check(job: Job, library: Library, *, final: bool = True) -> CheckResult:
    """The result of one check from scratch."""
    return drained(Checker(library, final=final).run(job))
