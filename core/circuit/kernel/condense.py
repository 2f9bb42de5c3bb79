"""Takes out what needs no equation: wires in a row become one, dead ends fall away. Exact, and undone later.

A node is taken out where no device touches it and no more than two resistors meet that are always there. What
is left is a network a good deal smaller; its volts and amps are spread over the whole again by `Whole`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from core.circuit.kernel.solution import Flags
from core.circuit.network import Floats, Ints, Network, Resistors

PEELINGS = 8
"""Dead ends are peeled off so often; a longer one stays where it is."""


@dataclass(frozen=True, slots=True)
class Whole:
    """Volts by node, island by node and amps by resistor of the network as it was given."""

    volts: Floats
    island: Ints
    amps: Floats


class Condensed:
    """`resistors` between the nodes that are left; `place` of every node among them, -1 where taken out."""

    def __init__(self, network: Network, touched: Flags) -> None:
        """`touched`: nodes that have to stay."""
        rows = network.resistors
        self._nodes = network.nodes
        self._a, self._b, ohms = rows.a, rows.b, rows.ohms
        stay = touched.copy()
        stay[0] = True
        bound = rows.when >= 0
        stay[rows.a[bound]] = stay[rows.b[bound]] = True
        straight = ~bound & (rows.a != rows.b)
        gone = self._peel(stay, straight)
        alive = np.flatnonzero(straight)
        degree = self._degree(alive)
        inner = (degree == 2) & ~stay & ~gone
        inner = self._follow(alive, ohms[alive], inner)
        self.kept = np.flatnonzero(~inner & ~gone)
        self.place = np.full(network.nodes, -1)
        self.place[self.kept] = np.arange(len(self.kept))
        self._direct = np.flatnonzero(bound | (straight & ~inner[rows.a] & ~inner[rows.b]))
        direct = self._direct
        self.resistors = Resistors(
            np.concatenate((self.place[rows.a[direct]], self.place[self._from])),
            np.concatenate((self.place[rows.b[direct]], self.place[self._to])),
            np.concatenate((ohms[direct], self._chain_ohms)),
            np.concatenate((rows.when[direct], np.full(len(self._from), -1))),
        )

    def _degree(self, rows: Ints) -> Ints:
        ends = np.concatenate((self._a[rows], self._b[rows]))
        return np.bincount(ends, minlength=self._nodes)

    def _peel(self, stay: Flags, straight: Flags) -> Flags:
        """Takes dead ends off `straight`, from outside in; the nodes that went with them."""
        a, b = self._a, self._b
        gone = np.zeros(self._nodes, np.bool_)
        self._peels: list[tuple[Ints, Ints, Ints]] = []
        degree = self._degree(np.flatnonzero(straight))
        for _ in range(PEELINGS):
            loose = (degree == 1) & ~stay
            rows = np.flatnonzero(straight & (loose[a] | loose[b]))
            if not len(rows):
                break
            ends = np.where(loose[a[rows]], a[rows], b[rows])
            self._peels.append((ends, a[rows] + b[rows] - ends, rows))
            straight[rows] = False
            gone[ends] = True
            degree = degree - self._degree(rows)
        return gone

    def _follow(self, rows: Ints, ohms: Floats, inner: Flags) -> Flags:
        """Follows every wire both ways to its ends. What of `inner` stays so: not rings without an end."""
        count = len(rows)
        tail = np.concatenate((self._a[rows], self._b[rows]))
        head = np.concatenate((self._b[rows], self._a[rows]))
        every = np.arange(2 * count)
        back = np.where(every < count, every + count, every - count)
        starts = np.flatnonzero(inner[tail])
        starts = starts[np.argsort(tail[starts], kind="stable")]
        one, two = np.zeros((2, self._nodes), np.int64)
        nodes = tail[starts[::2]]
        one[nodes], two[nodes] = starts[::2], starts[1::2]
        onward = np.where(one[head] == back, two[head], one[head])
        goes = inner[head]
        last = np.where(goes, onward, every)
        twice = np.concatenate((ohms, ohms))
        before = np.where(goes, twice, 0.0)
        for _ in range((2 * count).bit_length()):
            if not inner[head[last]].any():
                break
            before = before + before[last]
            last = last[last]
        ring = inner[head[last]]
        inner = inner.copy()
        inner[tail[ring]] = False
        total = before + twice[last]
        begins = np.flatnonzero(~inner[tail] & inner[head] & ~ring)
        begins = begins[begins < back[last[begins]]]
        chain = np.full(2 * count, -1)
        chain[begins] = np.arange(len(begins))
        self._from, self._to = tail[begins], head[last[begins]]
        self._chain_ohms = total[begins]
        nodes = nodes[inner[nodes]]
        # the way that leads to the chain's first end
        first = np.where(chain[back[last[one[nodes]]]] >= 0, one[nodes], two[nodes])
        self._inner_nodes, self._inner_chain = nodes, chain[back[last[first]]]
        self._inner_ohms = total[first]
        along = np.flatnonzero((inner[tail] | inner[head])[:count])
        forth, fro = chain[back[last[along]]], chain[back[last[along + count]]]
        self._chain_rows = rows[along]
        self._row_chain = np.where(forth >= 0, forth, fro)
        self._row_sign = np.where(forth >= 0, -1.0, 1.0)
        return inner

    def core_rows(self, rows: Iterable[int]) -> list[int]:
        """Rows of `resistors` that are open where these of the whole network are."""
        wanted = np.array(sorted(rows), np.int64)
        direct = np.flatnonzero(np.isin(self._direct, wanted))
        chains = self._row_chain[np.isin(self._chain_rows, wanted)]
        return [*direct.tolist(), *(chains + len(self._direct)).tolist()]

    def whole(self, volts: Floats, island: Ints, amps: Floats, lifted: frozenset[int]) -> Whole:
        """Spreads volts and islands of the nodes that are left, and amps of `resistors`, over the whole."""
        all_volts, label = np.zeros(self._nodes), np.zeros(self._nodes, np.int64)
        all_volts[self.kept], label[self.kept] = volts, island
        share = self._inner_ohms / self._chain_ohms[self._inner_chain]
        at, to = self._from[self._inner_chain], self._to[self._inner_chain]
        nodes = self._inner_nodes
        all_volts[nodes] = all_volts[at] + share * (all_volts[to] - all_volts[at])
        label[nodes] = label[at]
        flows = np.zeros(len(self._a))
        direct = len(self._direct)
        flows[self._direct] = amps[:direct]
        flows[self._chain_rows] = self._row_sign * amps[direct:][self._row_chain]
        if lifted:
            self._part(all_volts, label, lifted)
        for ends, others, rows in reversed(self._peels):
            all_volts[ends], label[ends] = all_volts[others], label[others]
            for k in np.flatnonzero(np.isin(rows, list(lifted))) if lifted else ():
                all_volts[ends[k]], label[ends[k]] = 0.0, label.max() + 1
        return Whole(all_volts, label, flows)

    def _part(self, volts: Floats, label: Ints, lifted: frozenset[int]) -> None:
        """Chains with an open row: what lies on either side of it stands with its own end."""
        ohms = np.zeros(self._nodes)
        ohms[self._inner_nodes] = self._inner_ohms
        open_rows = np.flatnonzero(np.isin(self._chain_rows, list(lifted)))
        for chain in np.unique(self._row_chain[open_rows]).tolist():
            cuts = []
            for k in open_rows[self._row_chain[open_rows] == chain]:
                row = self._chain_rows[k]
                far = self._b[row] if self._row_sign[k] > 0 else self._a[row]
                # the chain's last end has all of its ohms
                cuts.append(self._chain_ohms[chain] if self.place[far] >= 0 else ohms[far])
            here = np.flatnonzero(self._inner_chain == chain)
            nodes = self._inner_nodes[here]
            parts = (self._inner_ohms[here][:, None] >= np.array(cuts)).sum(axis=1)
            first, last = self._from[chain], self._to[chain]
            for part in range(len(cuts) + 1):
                inside = nodes[parts == part]
                if part == 0:
                    volts[inside], label[inside] = volts[first], label[first]
                elif part == len(cuts):
                    volts[inside], label[inside] = volts[last], label[last]
                else:
                    volts[inside], label[inside] = 0.0, label.max() + 1


def device_nodes(nodes: int, used: Iterable[Ints]) -> Flags:
    """Flags of the nodes in any of these arrays."""
    found = np.zeros(nodes, np.bool_)
    for part in used:
        found[part] = True
    return found
