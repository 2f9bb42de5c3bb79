"""Numbers for named nodes and conditions, kept from one assembly to the next."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from core.circuit.network import ALWAYS
from core.circuit.positions import KEYS
from core.circuit.sketch import BODY, MINUS, PLUS
from core.job.internals import Key, LiveIn, Switch

_MOST_GONE = 64
Pair = tuple[str, str]


class Numbering:
    """A name keeps its number while it is there: what was made of it need not be made again.

    `edition` grows whenever numbers that were given before no longer hold. Numbers of names that have gone
    stay unused, until a quarter of all are.
    """

    def __init__(self) -> None:
        self.edition = 0
        self.conditions: list[LiveIn] = []
        self._numbers: dict[str, int] = {}
        self._joined: tuple[Pair, ...] = ()
        self._roots: dict[str, int] = {}
        self._known: dict[tuple[tuple[Key, ...], Switch | None, Switch | None], int] = {}

    def __len__(self) -> int:
        return len(self._numbers)

    def take(self, names: Iterable[str], joined: Sequence[Pair]) -> Mapping[str, int]:
        """The node of every name, once those that are joined are one. `battery -` is node 0."""
        numbers = self._numbers
        there = dict.fromkeys((MINUS, PLUS, BODY))
        there.update(dict.fromkeys(names))
        new = [name for name in there if name not in numbers]
        renumbered = len(numbers) + len(new) > len(there) * 1.25 + _MOST_GONE
        if renumbered:
            numbers = self._numbers = dict(zip(there, range(len(there)), strict=True))
        else:
            numbers.update(zip(new, range(len(numbers), len(numbers) + len(new)), strict=True))
        if renumbered or tuple(joined) != self._joined:
            self._joined = tuple(joined)
            self._roots = _roots(numbers, joined)
            self.edition += 1
        found = dict(zip(there, map(numbers.__getitem__, there), strict=True))
        found.update(self._roots)
        return found

    def condition(self, live: LiveIn | None) -> int:
        """The number of a condition; `ALWAYS` for what holds in every position."""
        if live is None:
            return ALWAYS
        key = (live.keys, live.switch, live.unless)
        number = self._known.get(key)
        if number is None:
            always = live.switch is None and live.unless is None and set(live.keys) == set(KEYS)
            number = ALWAYS if always else len(self.conditions)
            if not always:
                self.conditions.append(live)
            self._known[key] = number
        return number


def _roots(numbers: Mapping[str, int], joined: Iterable[Pair]) -> dict[str, int]:
    """The least number among those that are joined, for each of them."""
    above: dict[int, int] = {}

    def root(number: int) -> int:
        while (higher := above.setdefault(number, number)) != number:
            number = above[number] = above.setdefault(higher, higher)
        return number

    names: dict[str, None] = {}
    for pair in joined:
        names.update(dict.fromkeys(pair))
        a, b = sorted(root(numbers[name]) for name in pair)
        above[b] = a
    return {name: root(numbers[name]) for name in names}
