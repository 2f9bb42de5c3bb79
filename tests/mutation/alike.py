"""Whether two jobs are the same circuit, like parts exchanged: by refining names round after round."""

from __future__ import annotations

from collections import Counter
from hashlib import blake2b

from core.ids import local
from core.job import internals as kinds
from core.job.parts import Part
from tests.mutation.facts import Facts

ROUNDS = 8


def same_circuit(one: Facts, other: Facts) -> bool:
    """Whether nothing but the tags of like parts, and which way to the body is taken, tells them apart."""
    return _names(one) == _names(other)


def _names(facts: Facts) -> Counter[str]:
    """Of every terminal, a name made of its part, its function and all that hangs on it."""
    terminals = [ref for ref in facts.terminals if not facts.is_ours(ref)]
    of_net: dict[int, list[str]] = {}
    of_part: dict[str, list[str]] = {}
    for ref in terminals:
        of_net.setdefault(_net(facts, ref), []).append(ref)
        of_part.setdefault(facts.part(ref).id, []).append(ref)
    names = {ref: _first(facts, ref) for ref in terminals}
    for _ in range(ROUNDS):
        nets = {net: _digest(*sorted(names[r] for r in refs)) for net, refs in of_net.items()}
        parts = {tag: _digest(*sorted(names[r] for r in refs)) for tag, refs in of_part.items()}
        names = {
            ref: _digest(names[ref], nets[_net(facts, ref)], parts[facts.part(ref).id]) for ref in terminals
        }
    return Counter(names.values())


def _net(facts: Facts, ref: str) -> int:
    """All that is grounded well is one place."""
    net = facts.net[ref]
    return -1 if facts.reach.grounded(net) and not facts.reach.feeds(net) else net


def _first(facts: Facts, ref: str) -> str:
    part, cavity = facts.part(ref), facts.terminals[ref]
    if ref in facts.grounds:
        return "body"
    capped = ref in facts.job.finishes
    return _digest(part.name, _side(part, local(ref)), cavity.function, str(cavity.flow), str(capped))


def _side(part: Part, name: str) -> str:
    """A terminal's name in its part; the two ends of what works either way round have one name."""
    for place, one in enumerate(part.internals):
        match one:
            case kinds.Fuse() | kinds.Breaker() | kinds.SwitchContact() | kinds.Resistor() | kinds.Lamp():
                if name in (one.a, one.b) and len(part.internals) == 1:
                    return f"end of {place}"
    return name


def _digest(*words: str) -> str:
    return blake2b("\x00".join(words).encode(), digest_size=12).hexdigest()
