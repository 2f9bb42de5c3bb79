"""The job: one document, immutable, whole."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from functools import cached_property
from typing import Annotated, Literal

from pydantic import Field

from core.ids import connector_of, kind_of, owner_of_end, part_of
from core.job.base import ConnectorId, End, Frozen, NumberedId, PartId
from core.job.lookup import Lookup, build_lookup
from core.job.parts import Cavity, Connector, Part
from core.job.record import Acceptance, JobSheet, Note, Reading, Settings
from core.job.view import View
from core.job.wiring import Cable, Finish, Joint, Mate, Wire

FORMAT: Literal[2] = 2


class Job(Frozen):
    """Everything known and decided about one job. Collections are keyed by id and never changed in place.

    `counters` holds the highest number ever given to a joint, wire, cable, mate and note, so that a
    printed id is never used again.
    """

    format: Literal[2] = FORMAT
    sheet: JobSheet = JobSheet()
    settings: Settings = Settings()
    parts: Mapping[PartId, Part] = Field(default_factory=dict)
    mates: Mapping[NumberedId, Mate] = Field(default_factory=dict)
    wires: Mapping[NumberedId, Wire] = Field(default_factory=dict)
    cables: Mapping[NumberedId, Cable] = Field(default_factory=dict)
    joints: Mapping[NumberedId, Joint] = Field(default_factory=dict)
    finishes: Mapping[End, Finish] = Field(default_factory=dict)
    notes: Mapping[NumberedId, Note] = Field(default_factory=dict)
    acceptances: tuple[Acceptance, ...] = ()
    readings: tuple[Reading, ...] = ()
    counters: Mapping[Literal["J", "W", "C", "M", "N"], Annotated[int, Field(ge=0, le=999_999_999)]] = Field(
        default_factory=dict
    )
    view: View = View()

    @cached_property
    def lookup(self) -> Lookup:
        """What is joined, crimped and mated where; made once for each document."""
        return build_lookup(self.joints, self.wires, self.cables, self.mates, self.parts)

    def cavity(self, terminal: str) -> Cavity | None:
        part = self.parts.get(part_of(terminal))
        return part.cavities.get(terminal) if part else None

    def connector(self, ref: ConnectorId) -> Connector | None:
        """The connector of a connector id or terminal id."""
        part = self.parts.get(part_of(ref))
        return part.by_name.get(connector_of(ref).partition(".")[2]) if part else None

    def shown(self, ref: str) -> str:
        """Any id as people write it: `RAD-4` for a terminal of a part with a single connector."""
        part = self.parts.get(part_of(ref)) if kind_of(ref) == "terminal" else None
        return part.shown(ref) if part else ref

    def terminal_from(self, text: str) -> str | None:
        """The terminal that a person means by `RAD-4` or `RAD.A-4`; None where there is none."""
        owner, hyphen, pin = text.strip().partition("-")
        tag, dot, name = owner.partition(".")
        part = self.parts.get(tag) or self.parts.get(tag.upper())
        if part is None or not hyphen:
            return None
        connectors = [part.by_name[name]] if dot and name in part.by_name else [] if dot else part.connectors
        found = [f"{part.id}.{c.name}-{pin}" for c in connectors if pin in c.by_pin]
        return found[0] if len(found) == 1 else None

    def in_contact(self, terminal: str) -> bool:
        """Whether a terminal sits in its cavity so that a mated plug can touch it."""
        cavity, connector = self.cavity(terminal), self.connector(terminal)
        if cavity is None or connector is None:
            return False
        finish = self.finishes.get(terminal)
        return (
            cavity.filled
            and cavity.found != "empty"
            and not (connector.face and cavity.pin in connector.face.blocked)
            and not (finish and finish.kind == "pulled")
            and self.parts[part_of(terminal)].state != "removed"
        )

    def end_exists(self, end: str) -> bool:
        """Whether an end is there: a terminal's lead or bare cavity, or a wire's end not crimped in."""
        match kind_of(end):
            case "terminal":
                return self.cavity(end) is not None
            case "wire end":
                conductor = self.lookup.conductors.get(owner_of_end(end))
                crimped = conductor and (conductor.a_in if end.endswith("a") else conductor.b_in)
                return conductor is not None and crimped is None
            case _:
                return False

    def content_hash(self) -> str:
        """Sixteen hex digits that change when the job's meaning does, and not when things move on the map."""
        meaning = self.model_dump_json(exclude={"view"}, exclude_defaults=True)
        return hashlib.sha256(_sorted_bytes(meaning)).hexdigest()[:16]


def _sorted_bytes(text: str) -> bytes:
    return json.dumps(json.loads(text), sort_keys=True, separators=(",", ":")).encode()
