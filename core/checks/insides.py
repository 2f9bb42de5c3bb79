"""What parts do between their terminals, as rules ask for it: by kind, with terminals named in full."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Generic, TypeVar

from core.checks.context import Context
from core.job.internals import Kind

K = TypeVar("K", bound=Kind)


@dataclass(frozen=True, slots=True)
class Inside(Generic[K]):
    """One internal of a part, its own or implied. `name` is that of its device in the solver's answers."""

    part: str
    name: str
    it: K

    def at(self, terminal: str) -> str:
        """A local terminal by its full name."""
        return f"{self.part}.{terminal}"


def insides(ctx: Context, kind: type[K]) -> Iterator[Inside[K]]:
    """Every internal of one kind, parts in their order; what removed parts had is none."""
    for part, name, it in ctx.by_kind.get(kind, ()):
        if isinstance(it, kind):
            yield Inside(part, name, it)
