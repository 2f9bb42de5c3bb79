"""What the checker says: conflicts, their mends, and the result of a whole check."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from core.job.document import Job
from core.job.record import Acceptance

Level = Literal["stop", "look", "note"]
Status = Literal["red", "amber", "green"]
LEVELS: tuple[Level, ...] = ("stop", "look", "note")
NEVER_ACCEPTED = frozenset(
    {
        "airbag circuit touched",
        "feed shorted to ground",
        "added constant feed without a fuse near its source",
        "case on the wrong pole of a positive-ground car",
    }
)
"""Rules whose conflicts nobody may keep on purpose."""


@dataclass(frozen=True, slots=True)
class Mend:
    """A way out that can be applied in one step. `edit` raises EditRefused where it no longer fits."""

    label: str
    edit: Callable[[Job], Job] = field(compare=False)


@dataclass(frozen=True, slots=True)
class Conflict:
    """One thing found. `where` and `wires` are ids; `where[0]` is the worst point.

    Numbers carry their unit in the name.
    `path` is the chain of ids from cause to place, for drawing on the map. `follows_from` is the key of the
    conflict this one is folded under.
    """

    rule: str
    level: Level
    message: str
    why: str
    mend: str
    where: tuple[str, ...]
    wires: tuple[str, ...] = ()
    path: tuple[str, ...] = ()
    positions: tuple[str, ...] = ()
    numbers: Mapping[str, float] = field(default_factory=dict)
    mends: tuple[Mend, ...] = field(default=(), compare=False)
    follows_from: str | None = None
    accepted: Acceptance | None = None

    @property
    def key(self) -> str:
        """What names this conflict among all of one check."""
        return f"{self.rule}:{','.join(self.where)}"

    @property
    def acceptable(self) -> bool:
        """Whether a person may keep it, with a reason and a name."""
        return self.rule not in NEVER_ACCEPTED


@dataclass(frozen=True, slots=True)
class NotRun:
    rule: str
    because: str


@dataclass(frozen=True, slots=True)
class CheckResult:
    """A finished check. `job` is the very document that was checked; `open_ends` are still to decide."""

    job: Job = field(repr=False)
    conflicts: tuple[Conflict, ...]
    open_ends: tuple[str, ...]
    not_run: tuple[NotRun, ...]
    positions: tuple[str, ...]

    def unfolded(self) -> tuple[Conflict, ...]:
        """Conflicts that stand for themselves: not folded under another."""
        return tuple(c for c in self.conflicts if c.follows_from is None)

    def count(self, level: Level) -> int:
        """Unfolded conflicts of that level that nobody accepted."""
        return sum(1 for c in self.unfolded() if c.level == level and c.accepted is None)

    @property
    def status(self) -> Status:
        if self.count("stop"):
            return "red"
        if self.not_run or any(c.level == "stop" and c.accepted for c in self.unfolded()):
            return "amber"
        return "green"
