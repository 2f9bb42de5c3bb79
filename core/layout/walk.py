"""From terminals to joints and back, along wires."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from core.ids import other_end
from core.job.lookup import Lookup
from core.job.wiring import Joint


@dataclass(frozen=True)
class Walk:
    """One job's joints and what hangs on them."""

    lookup: Lookup
    joints: Mapping[str, Joint]

    def crimped_at(self, end: str) -> str | None:
        """The terminal that a wire's end is crimped into."""
        name, _, letter = end.partition(":")
        conductor = self.lookup.conductors.get(name)
        if conductor is None:
            return None
        return conductor.a_in if letter == "a" else conductor.b_in

    def terminals_beside(self, joint: str) -> list[str]:
        """The terminals joined here, and those at the far ends of the wires joined here."""
        found: list[str] = []
        for end in self.joints[joint].ends:
            terminal = self.crimped_at(other_end(end)) if ":" in end else end
            if terminal is not None:
                found.append(terminal)
        return found

    def joints_beside(self, joint: str) -> list[str]:
        """The joints at the far ends of the wires joined here."""
        ends = [other_end(end) for end in self.joints[joint].ends if ":" in end]
        return [self.lookup.joint_of[end] for end in ends if end in self.lookup.joint_of]

    def joints_of(self, terminal: str) -> list[str]:
        """The joints that stand where they do because of this terminal's flag."""
        ends = [terminal, *(other_end(end) for end in self.lookup.crimped.get(terminal, ()))]
        return [self.lookup.joint_of[end] for end in ends if end in self.lookup.joint_of]

    def terminals_at(self, joint: str) -> list[str]:
        """The terminals a joint stands between; where all its wires end in joints, those of the nearest."""
        seen, ring = {joint}, [joint]
        while ring:
            found = [terminal for name in ring for terminal in self.terminals_beside(name)]
            if found:
                return found
            ring = [
                n
                for n in dict.fromkeys(b for name in ring for b in self.joints_beside(name))
                if n not in seen
            ]
            seen.update(ring)
        return []

    def leaning(self, joints: Iterable[str]) -> set[str]:
        """These joints, and those without a terminal of their own that stand where these make them."""
        found = {joint for joint in joints if joint in self.joints}
        ring = list(found)
        while ring:
            beside = {n for name in ring for n in self.joints_beside(name)} - found
            ring = [name for name in beside if not self.terminals_beside(name)]
            found.update(ring)
        return found
