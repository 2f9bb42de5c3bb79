"""The bench's tables as text."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from core.checks.finding import LEVELS
from tests.mutation.bench import NEAR, REACH, Outcome, Run, missed
from tests.mutation.kinds import KINDS
from tests.mutation.made import Expected

_WIDTH = max(len(kind) for kind in KINDS)


def report(runs: Sequence[Run]) -> str:
    outcomes = [outcome for run in runs for outcome in run.outcomes]
    lines = [
        *_table(outcomes),
        "",
        *_distribution(outcomes),
        "",
        *_not_counted(outcomes),
        "",
        *_untouched(runs),
        *(f"drawn by lot, the same each time: {run.sampled}" for run in runs if run.sampled),
    ]
    return "\n".join(lines)


def _table(outcomes: Sequence[Outcome]) -> Iterator[str]:
    heads = ["made", "caught", "right level", f"first within {NEAR}", "Stop missed", "median said"]
    yield f"{'mistake':{_WIDTH}}  " + "  ".join(f"{head:>14}" for head in heads)
    by_kind = {kind: [o for o in outcomes if o.mutation.kind == kind and o.counted] for kind in KINDS}
    for kind, found in (*by_kind.items(), ("all", [o for o in outcomes if o.counted])):
        if found:
            numbers = [
                str(len(found)),
                _share(sum(o.caught for o in found), len(found)),
                _share(sum(o.right for o in found), len(found)),
                _share(sum(o.first_near for o in found), len(found)),
                str(sum(missed(o) and o.mutation.expected.level == "stop" for o in found)),
                str(sorted(len(o.unfolded) for o in found)[len(found) // 2]),
            ]
            yield f"{kind:{_WIDTH}}  " + "  ".join(f"{number:>14}" for number in numbers)
    yield f"Caught: at the level expected or above, within {REACH} steps of the place."


def _share(part: int, whole: int) -> str:
    return f"{part} ({100 * part / whole:.0f} %)"


def _distribution(outcomes: Sequence[Outcome]) -> Iterator[str]:
    yield "Unfolded conflicts that one mistake leaves:"
    yield f"{'mistake':{_WIDTH}}  " + "  ".join(f"{head:>14}" for head in ("0", "1", "2", "3 and more"))
    for kind in (*KINDS, "all"):
        found = [o for o in outcomes if o.counted and kind in (o.mutation.kind, "all")]
        if found:
            counts = Counter(min(len(o.unfolded), 3) for o in found)
            yield f"{kind:{_WIDTH}}  " + "  ".join(f"{_share(counts[n], len(found)):>14}" for n in range(4))


def _not_counted(outcomes: Iterable[Outcome]) -> Iterator[str]:
    yield "Not counted:"
    reasons = Counter(
        (o.mutation.kind, o.mutation.expected.unseen or f"refused: {o.refused}")
        for o in outcomes
        if not o.counted
    )
    for (kind, reason), number in sorted(reasons.items()):
        yield f"  {number:5}  {kind}: {reason}"


def _untouched(runs: Sequence[Run]) -> Iterator[str]:
    yield "Untouched jobs:"
    for run in runs:
        said = [f"{c.level} {c.rule} ({', '.join(c.where)})" for c in run.untouched.said]
        words = "; ".join(said) or "nothing"
        bad = f"  NOT EXPECTED: {len(run.untouched.strange)}" if run.untouched.strange else ""
        yield f"  {run.untouched.sample}: {words}{bad}"


def misses(runs: Sequence[Run]) -> str:
    """Each mistake that was not caught, or was called by another level: what was done, what was said."""
    lines = []
    for run in runs:
        for outcome in run.outcomes:
            if outcome.counted and not (outcome.caught and outcome.right):
                lines += _told(outcome)
    return "\n".join(lines)


def _told(outcome: Outcome) -> Iterator[str]:
    mutation = outcome.mutation
    verdict = "LEVEL" if outcome.caught else "MISSED"
    yield f"{verdict} {outcome.sample}, {mutation.kind}: {mutation.what}"
    yield f"    expected {_expected(mutation.expected)}; at {', '.join(mutation.place)}"
    for said in sorted(outcome.said, key=lambda s: (s.folded, LEVELS.index(s.level))):
        folded = " (folded)" if said.folded else ""
        yield f"    said {said.level}, {said.steps} steps: {said.rule}{folded}: {said.message}"
    if not outcome.said:
        yield "    said nothing"


def _expected(expected: Expected) -> str:
    span = expected.level if expected.level == expected.most else f"{expected.level} to {expected.most}"
    return f"{span} ({expected.why})"
