"""Where ids of a job stand in its circuit: nodes, rows of resistance, and what a conductor carries."""

from __future__ import annotations

from functools import cached_property

import numpy as np
import numpy.typing as npt

from core.circuit.network import Floats
from core.circuit.plan import Plan
from core.circuit.sketch import BODY, MINUS, PLUS
from core.ids import kind_of, other_end, owner_of_end
from core.job.document import Job
from core.job.parts import Lead
from core.job.record import BATTERY_POINTS
from core.library.library import Library
from core.net.graph import ConductorGraph


class Places:
    """The names of one plan. Nobody measures an airbag circuit: what touches one is hidden."""

    def __init__(self, job: Job, library: Library, graph: ConductorGraph, plan: Plan) -> None:
        self.job = job
        self.library = library
        self.graph = graph
        self.plan = plan
        self.limits = library.limits.but(job.settings.limits)

    def node(self, ref: str) -> int | None:
        """The node of a terminal, joint, wire end or pole; None where there is none to measure at."""
        return None if self.hidden(ref) else self.plan.node_of(ref)

    def row(self, ref: str) -> int | None:
        """The row of a wire, of a conductor or of a terminal's lead."""
        if self.plan.withheld and self.hidden(ref if kind_of(ref) == "terminal" else f"{ref}:a"):
            return None
        return self.plan.rows.get(ref)

    def contact(self, terminal: str) -> tuple[int, int] | None:
        """The row between a terminal and the one it touches; 1 where it counts from this one, else -1."""
        return None if self.hidden(terminal) else self.plan.contact(terminal)

    def hidden(self, ref: str) -> bool:
        """Whether a place is of an airbag circuit."""
        return bool(self.plan.withheld) and (self.graph.node_of(ref) or ref) in self.plan.withheld

    @cached_property
    def grounds(self) -> tuple[int, ...]:
        """The nodes that a way to ground ends at: the body, and the pole that it is strapped to."""
        pole = MINUS if self.job.settings.ground == "negative" else PLUS
        found = (self.plan.node_of(BODY), self.plan.node_of(pole))
        return tuple(node for node in found if node is not None)

    @cached_property
    def poles(self) -> tuple[int, ...]:
        """The nodes of the battery's poles and of the body."""
        return tuple(self.plan.nodes[point] for point in BATTERY_POINTS)

    # -- rows ------------------------------------------------------------------------------------

    @cached_property
    def names(self) -> dict[int, tuple[str, str, str]]:
        """Of every row that is a wire, a lead or a contact: its id and the places at its two ends. A lead is
        called by its terminal, a contact by the one it counts from.
        """
        conductors, joints = self.job.lookup.conductors, self.job.lookup.joint_of
        found: dict[int, tuple[str, str, str]] = {}
        for row, key in self.plan.names.items():
            if isinstance(key, tuple):
                found[row] = (key[0], *key)
            elif key in conductors:
                a, b = f"{key}:a", f"{key}:b"
                found[row] = (key, self.graph.node_of(a) or a, self.graph.node_of(b) or b)
            elif key in joints:
                found[row] = (key, key, joints[key])
        return found

    @cached_property
    def wiring(self) -> npt.NDArray[np.bool_]:
        """Which rows are wires, leads and contacts."""
        found = np.zeros(len(self.plan.network.resistors.ohms), np.bool_)
        found[list(self.names)] = True
        return found

    @cached_property
    def bears(self) -> Floats:
        """The amps that each row carries for good: without end for all but wires and leads."""
        found = np.full(len(self.plan.network.resistors.ohms), np.inf)
        known: dict[str | None, float] = {}
        for row, (ref, _, _) in self.names.items():
            if isinstance(self.plan.names[row], tuple):
                continue
            gauge = self._gauge(ref)
            if gauge not in known:
                ampacity = self.library.ampacity
                known[gauge] = (
                    ampacity.of_area(self.limits["lead_area_mm2"]) if gauge is None else ampacity.amps(gauge)
                )
            found[row] = known[gauge]
        return found

    def _gauge(self, ref: str) -> str | None:
        if kind_of(ref) != "terminal":
            return self.job.lookup.conductors[ref].gauge
        cavity = self.job.cavity(ref)
        lead: Lead | None = cavity.lead if cavity else None
        return lead.gauge if lead else None

    # -- points of a meter -----------------------------------------------------------------------

    def exists(self, point: str) -> bool:
        """Whether a meter can be held there at all."""
        return point in BATTERY_POINTS or self.plan.node_of(point) is not None

    def lifted_row(self, end: str) -> int | None:
        """The row that opens when an end is lifted: of its wire, of its lead, else of its contact."""
        if kind_of(end) == "wire end":
            return self.row(owner_of_end(end))
        lead = self.row(end)
        if lead is not None:
            return lead
        contact = self.contact(end)
        return None if contact is None else contact[0]

    def meter_node(self, point: str, lifted: str | None) -> int | None:
        """The node a meter's tip stands at: a lifted wire end is what hangs on its far end."""
        if lifted is not None and point == lifted and kind_of(point) == "wire end":
            return self.node(other_end(point))
        return self.node(point)
