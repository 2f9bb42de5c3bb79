"""A whole job as one circuit, and where in it each id of the job is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from core.circuit.network import Ints, Network
from core.circuit.sketch import Sketch
from core.job.document import Job
from core.job.internals import Internal, Switch
from core.net.graph import ConductorGraph

RowKey = str | tuple[str, str]
"""What a resistor row is told by: a wire, a cable's conductor, the terminal of a lead, the two terminals of a
mated contact, or the name of a device that is a plain resistance."""


@dataclass(frozen=True)
class Plan:
    """A job as a network, and the way from ids to its nodes, rows and devices.

    `nodes`: the node's number of every terminal, joint and free wire end, of `battery +`, `battery -` and
    `body`. `battery`: the name of the source that stands for the car's battery. `network_full`: the same
    with pulsed feeds on; the very same where nothing pulses. `withheld`: what conducts to an airbag
    circuit, by id. `sketches`: the parts as pieces.
    """

    job: Job = field(repr=False)
    network: Network = field(repr=False)
    network_full: Network = field(repr=False)
    nodes: Mapping[str, int] = field(repr=False)
    battery: str
    bench: bool
    withheld: frozenset[str] = field(repr=False)
    graph: ConductorGraph = field(repr=False)
    sketches: Mapping[str, Sketch] = field(repr=False)
    row_keys: Sequence[RowKey] = field(repr=False)
    row_numbers: Ints = field(repr=False)

    @property
    def pulsed(self) -> bool:
        """Whether anything is pulsed, so that the full volts differ from the average."""
        return self.network_full is not self.network

    @cached_property
    def devices(self) -> Mapping[str, tuple[str, Internal]]:
        """Device name to its part and internal; those of the car itself have none."""
        parts = self.sketches.items()
        return {name: (tag, it) for tag, sketch in parts for name, it in sketch.names.items()}

    @cached_property
    def switches(self) -> frozenset[Switch]:
        """The switches that anything in the job depends on, held buttons apart."""
        return frozenset().union(*(sketch.switches for sketch in self.sketches.values()))

    def node_of(self, ref: str) -> int | None:
        """The node of a terminal, joint, wire end or pole; None where there is no such place."""
        found = self.nodes.get(ref)
        if found is None and ":" in ref:
            place = self.graph.node_of(ref)
            found = None if place is None else self.nodes.get(place)
        return found

    @cached_property
    def rows(self) -> Mapping[RowKey, int]:
        """The row of `network.resistors` by its key. What lies within one joined node has none."""
        both = zip(self.row_keys, self.row_numbers.tolist(), strict=True)
        return {key: row for key, row in both if row >= 0}

    @cached_property
    def names(self) -> Mapping[int, RowKey]:
        """What each row is told by."""
        return {row: key for key, row in self.rows.items()}

    @cached_property
    def plain(self) -> tuple[tuple[str, int], ...]:
        """The part and row of every plain resistance inside a part; what hangs on a feed is the car's."""
        return tuple(
            (self.devices[name][0], row)
            for key, row in self.rows.items()
            if isinstance(key, str) and (name := key.partition(" ")[0]) in self.devices
            if not key.endswith(" rest")
        )

    def contact(self, terminal: str) -> tuple[int, int] | None:
        """The row of a terminal's mated contact, and 1 where it runs from it to its mate, -1 where back."""
        mate = self.job.lookup.meets.get(terminal)
        if mate is None:
            return None
        away, back = self.rows.get((terminal, mate)), self.rows.get((mate, terminal))
        if away is not None:
            return away, 1
        return None if back is None else (back, -1)

    @cached_property
    def rests(self) -> tuple[int, ...]:
        """The rows that stand for what else hangs on the car's feeds: no draw of this job's."""
        rests = (f"{name} rest" for name in self.devices)
        return tuple(self.rows[name] for name in rests if name in self.rows)
