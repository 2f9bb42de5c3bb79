"""What a rule is."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

from core.checks.context import Context
from core.checks.finding import Conflict, Level

Need = Literal["levels"]
Check = Callable[[Context], Iterator[Conflict | None]]
"""Yields what it finds, and None where it may be interrupted."""


@dataclass(frozen=True)
class Rule:
    """One rule. Its docstring is the user's help text: what, why it matters, how to mend.

    `level` is the worst it says. `under` are the rules that its conflicts are folded under, where they speak
    of the same net or the same place; `over` those whose conflicts are folded under its own.
    `limits` are the rows of the limits tables that it reads.
    """

    name: str
    level: Level
    needs: tuple[Need, ...]
    under: tuple[str, ...]
    check: Check
    over: tuple[str, ...] = ()
    limits: tuple[str, ...] = ()

    @property
    def family(self) -> str:
        """The family it stands with in the catalogue: feeds, grounds and so on."""
        return self.check.__module__.split(".")[-2]

    @property
    def help(self) -> tuple[str, str, str]:
        """What it finds, why it matters, and how it is mended."""
        what, why, mend = inspect.getdoc(self.check).split("\n\n")  # type: ignore[union-attr]
        return " ".join(what.split()), " ".join(why.split()), " ".join(mend.split())


def rule(
    name: str,
    level: Level,
    *,
    needs: tuple[Need, ...] = (),
    under: tuple[str, ...] = (),
    over: tuple[str, ...] = (),
    limits: tuple[str, ...] = (),
) -> Callable[[Check], Rule]:
    """Makes a rule of a generator function. The name is for ever."""

    def made(check: Check) -> Rule:
        return Rule(name, level, needs, under, check, over, limits)

    return made
