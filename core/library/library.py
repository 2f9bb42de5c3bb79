"""The library as the rest of the program asks it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from core.job.parts import Part
from core.library.ampacity import Ampacity
from core.library.carrying import Carrying
from core.library.functions import PairKey, PairVerdict, judge
from core.library.limits import Limits
from core.library.mates import LeadKind
from core.library.model import ConnectorShape, Function, GaugeSystem, LibraryPart, WireSize
from core.library.wires import in_size_order, nearest


@dataclass(frozen=True)
class Library:
    """Everything read from `shared/` and from the user's own folder, by id, gauge or name."""

    functions: Mapping[str, Function] = field(default_factory=dict)
    pairs: Mapping[PairKey, PairVerdict] = field(default_factory=dict)
    sizes: Mapping[str, WireSize] = field(default_factory=dict)
    leads: Mapping[str, LeadKind] = field(default_factory=dict)
    connectors: Mapping[str, ConnectorShape] = field(default_factory=dict)
    parts: Mapping[str, LibraryPart] = field(default_factory=dict)
    limits: Limits = field(default_factory=Limits)
    ampacity: Ampacity = field(default_factory=Ampacity)
    carrying: Carrying = field(default_factory=Carrying)

    @cached_property
    def wires(self) -> tuple[WireSize, ...]:
        """Every wire size: mm2 before AWG, thin before thick."""
        return in_size_order(self.sizes.values())

    @cached_property
    def lead_colours(self) -> dict[str, str]:
        """The colour that equipment's lead of a function usually has, by function."""
        return {function: kind.colour for function, kind in self.leads.items()}

    def wire(self, gauge: str) -> WireSize:
        """The size written like that, else the nearest by area of the same system. Raises ValueError."""
        known = self.sizes.get(gauge)
        return known or self.sizes[nearest(self.sizes, gauge, _system(gauge))]

    def nearest(self, gauge: str, system: GaugeSystem) -> str:
        """The gauge of that system nearest in area; one of that system stays. Raises ValueError."""
        return gauge if _system(gauge) == system else nearest(self.sizes, gauge, system)

    def words(self, function: str) -> str:
        """A function as people read it; what is not in the table is shown as it is written."""
        known = self.functions.get(function)
        return known.words if known else function

    def pair_fits(self, a: str, b: str) -> PairVerdict:
        """What becomes of two functions that are joined, and why. The order does not matter."""
        return judge(self.pairs, self.functions, a, b)

    def groups(self) -> dict[str, list[LibraryPart]]:
        """The parts under their shelf headings, both in the order of the files."""
        return _grouped(self.parts.values())

    def find(self, text: str) -> list[LibraryPart]:
        """The parts in whose name, heading or words every word of `text` begins a word; names first."""
        wanted = text.casefold().split()
        ranked = [(_rank(entry, wanted), entry) for entry in self.parts.values()]
        return [entry for rank, entry in sorted(ranked, key=lambda pair: -pair[0]) if rank > 0 or not wanted]


def _system(gauge: str) -> GaugeSystem:
    return "AWG" if gauge.endswith(" AWG") else "mm2"


def _grouped(entries: Iterable[LibraryPart]) -> dict[str, list[LibraryPart]]:
    groups: dict[str, list[LibraryPart]] = {}
    for entry in entries:
        groups.setdefault(entry.group, []).append(entry)
    return groups


def _rank(entry: LibraryPart, wanted: list[str]) -> int:
    name = [*entry.name.casefold().replace("-", " ").split(), entry.name.casefold()]
    other = " ".join((entry.group, *entry.words)).casefold().replace("-", " ").split()
    rank = 0
    for word in wanted:
        if any(piece.startswith(word) for piece in name):
            rank += 2
        elif any(piece.startswith(word) for piece in other):
            rank += 1
        else:
            return 0
    return rank


def new_part(entry: LibraryPart) -> Part:
    """The part as it is put on the map: the template, with the entry it was taken from."""
    return entry.part.changed(library=entry.name)
