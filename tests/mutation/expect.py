"""The table of the mutation bench: what must be said of each kind of mistake, from what a job declares.

Rows are quoted where they are worked out. Where the table says "else Look", a pair of functions that the
library's table of pairs calls Stop may be called so: the shop's own table is part of what is declared.
"""

from __future__ import annotations

from collections import deque
from itertools import permutations, product
from math import inf

from core import edits as ed
from core.ids import kind_of, part_of
from core.job import internals as kinds
from core.job.internals import LiveIn
from core.library.model import Verdict
from tests.mutation.alike import same_circuit
from tests.mutation.facts import DELICATE, Bridge, Facts
from tests.mutation.fused import gauge_of, protection
from tests.mutation.made import Expected, exactly, unseen
from tests.mutation.reach import Source

SAME = "the same circuit again: like parts, or ways to the body, exchanged"

GRAVE = frozenset({"feed", "ground", "output", "speaker"})
"""The row "swap two pins": Stop if one of these, or a volt-limited input, is among them."""


# -- swapping ------------------------------------------------------------------------------------------


def swapped(facts: Facts, first: str, second: str) -> Expected:
    """Stop if a feed, ground, output, speaker lead or volt-limited input is among them; else Look; two
    capped leads: Note.
    """
    if facts.net_of(first) == facts.net_of(second):
        return unseen("both pins are on one net")
    if symmetrical(facts, first, second):
        return unseen("both ends of a part that works either way round")
    finishes = [facts.job.finishes.get(ref) for ref in (first, second)]
    if all(finishes):
        return exactly("note", "two capped leads")
    after = Facts(ed.swap_pins(facts.job, first, second), facts.library)
    if same_circuit(facts, after):
        return unseen(SAME)
    if any(finishes) or all(facts.cls(ref) == "none" for ref in (first, second)):
        # One ends capped, or neither is a feed or ground by itself: what the nets become decides.
        return remade(facts, after)
    if _live_alike(facts, first, second):
        return Expected("look", "stop", "two outputs that are on together")
    grave = [ref for ref in (first, second) if role(facts, ref) & GRAVE or facts.met(ref) in facts.limited]
    if grave:
        return exactly("stop", f"{grave[0]} is {', '.join(sorted(role(facts, grave[0])))}")
    if most_of_pairs(facts, first, second) == "fits":
        return unseen("the library's table of pairs says that they fit")
    return Expected("look", "stop", "signals exchanged")


def _live_alike(facts: Facts, first: str, second: str) -> bool:
    """Two outputs of one part that differ in nothing but their names."""
    made = [
        one.changed(terminal=first.partition(".")[2])
        for ref in (first, second)
        for tag, one in facts.insides
        if isinstance(one, kinds.Output) and f"{tag}.{one.terminal}" == ref
    ]
    return len(made) == 2 and made[0] == made[1] and part_of(first) == part_of(second)


def role(facts: Facts, ref: str) -> frozenset[str]:
    """What a pin is: its function's class; where that says nothing, what is on its net."""
    cls = facts.cls(ref)
    return frozenset({cls}) if cls != "none" else facts.carries(ref) & GRAVE


def symmetrical(facts: Facts, first: str, second: str) -> bool:
    """Whether two pins are the ends of a fuse, switch, resistor, filament or unclamped coil."""
    for tag, one in facts.insides:
        ends: set[str] = set()
        match one:
            case kinds.Fuse() | kinds.Breaker() | kinds.SwitchContact() | kinds.Resistor() | kinds.Lamp():
                ends = {one.a, one.b}
            case kinds.Relay():
                if one.clamp != "diode" and {f"{tag}.{one.coil_plus}", f"{tag}.{one.coil_minus}"} == {
                    first,
                    second,
                }:
                    return True
                if one.rest is None and one.make is not None:
                    ends = {one.common, one.make}
        if {f"{tag}.{name}" for name in ends} == {first, second}:
            return True
    return False


# -- what a net becomes ----------------------------------------------------------------------------------


def joined(facts: Facts, a: str, b: str) -> Expected:
    """Stop for feed to ground, feed to feed, feed or ground to speaker, output or data; else Look."""
    ours, theirs = facts.carries(a), facts.carries(b)
    for one, other in ((ours, theirs), (theirs, ours)):
        if "feed" in one and "ground" in other:
            return exactly("stop", "feed to ground")
        for source in ("feed", "ground"):
            if source in one and other & DELICATE:
                return exactly("stop", f"{source} to {min(other & DELICATE)}")
    if "feed" in ours and "feed" in theirs:
        if facts.feeds(a) != facts.feeds(b):
            if same_functions(facts, a, b):
                return Expected("look", "stop", "two feeds live alike")
            return exactly("stop", "feed to feed")
        return _bypassed(facts, a, b)
    if "ground" in ours and "ground" in theirs:
        return unseen("both are ground: it is no mistake")
    if same_functions(facts, a, b):
        return unseen("both are for the same: it is no mistake")
    grave = "sense" in ours | theirs or {"speaker"} <= ours & theirs or most_of_pairs(facts, a, b) == "stop"
    return Expected("look", "stop" if grave else "look", "nets of two kinds")


def _bypassed(facts: Facts, a: str, b: str) -> Expected:
    """One feed on both sides of something: a fuse is missing then, a switch is never off."""
    passed = _between(facts, facts.net_of(a), facts.net_of(b))
    if any(bridge.fuse for bridge in passed):
        lost = unprotected(facts, Facts(ed.join(facts.job, a, b), facts.library))
        return lost if not lost.unseen else Expected("look", "stop", "a fuse bypassed")
    return Expected("look", "stop", "never off" if passed else "one feed by two ways")


def _between(facts: Facts, start: int, goal: int) -> list[Bridge]:
    """The insides that lead from one net to another."""
    ways: dict[int, list[tuple[int, Bridge]]] = {}
    for bridge in facts.bridges:
        one, other = facts.net[bridge.a], facts.net[bridge.b]
        ways.setdefault(one, []).append((other, bridge))
        ways.setdefault(other, []).append((one, bridge))
    before: dict[int, tuple[int, Bridge] | None] = {start: None}
    queue = deque([start])
    while queue:
        here = queue.popleft()
        for there, bridge in ways.get(here, ()):
            if there not in before:
                before[there] = (here, bridge)
                queue.append(there)
    found = []
    step = before.get(goal)
    while step is not None:
        found.append(step[1])
        step = before[step[0]]
    return found


def same_functions(facts: Facts, a: str, b: str) -> bool:
    names = [{f.id for r in facts.on_net[facts.net_of(x)] if (f := facts.function(r))} for x in (a, b)]
    return len(names[0]) == 1 and names[0] == names[1]


def most_of_pairs(facts: Facts, *refs: str) -> Verdict:
    """The gravest that the library's table says of any two functions of two nets."""
    sides = [[r for r in facts.on_net.get(facts.net_of(ref), ()) if facts.function(r)] for ref in refs[:2]]
    verdicts = {
        facts.library.pair_fits(facts.function(r).id, facts.function(s).id).verdict  # type: ignore[union-attr]
        for r, s in product(*sides)
    }
    return next(verdict for verdict in ("stop", "look", "fits") if verdict in verdicts or verdict == "fits")


# -- what is lost ------------------------------------------------------------------------------------


def dropped(before: Facts, after: Facts) -> Expected:
    """Stop if a needed terminal loses feed or return, even if a shield still carries it; optional: Look.

    What is left bare and live, or is needed in itself, may be Stop for that.
    """
    lost = lost_terminals(before, after)
    if lost:
        return exactly("stop", f"{lost[0]} loses what it needs")
    bare = set(ed.open_ends(after.job)) - set(ed.open_ends(before.job))
    grave = any(_bare_is_grave(before, end) for end in bare)
    return Expected("look", "stop" if grave else "look", "an optional lead")


def _bare_is_grave(facts: Facts, end: str) -> bool:
    return bool({"feed", "output", "speaker"} & facts.carries(end)) or end in facts.needed


def lost_terminals(before: Facts, after: Facts) -> list[str]:
    """Needed terminals that had a feed, a return or their partner, and have it no more. The ends of what only
    passes on count where nothing is joined to them any more: what hangs behind them speaks for itself.
    """
    kept = [ref for ref in before.needed if ref in after.terminals]
    lost = {ref: before.served(ref) - after.served(ref) for ref in kept}
    return sorted(ref for ref, what in lost.items() if (what & {"joined"} if before.passes(ref) else what))


def remade(before: Facts, after: Facts) -> Expected:
    """As the nets it makes; Look if electrically right."""
    if same_circuit(before, after):
        return unseen(SAME)
    lost = lost_terminals(before, after)
    if lost:
        return exactly("stop", f"{lost[0]} loses what it needs")
    for net, refs in after.on_net.items():
        made = _made(before, after, net, refs)
        if made:
            return exactly("stop", made)
    bare = unprotected(before, after)
    if bare.level == "stop" and not bare.unseen:
        return bare
    return Expected("look", "stop", "as the nets it makes")


def _made(before: Facts, after: Facts, net: int, refs: list[str]) -> str:
    """What the row "join two nets" says Stop to, of a net as it is now."""
    fed, grounded = after.reach.feeds(net), after.reach.grounded(net)
    if fed and grounded:
        return "feed to ground"
    groups: dict[int, str] = {}
    for ref in refs:
        groups.setdefault(before.net[ref], ref)
    feeds = {ref: before.feeds(ref) & fed for ref in groups.values()}
    if len(set(feeds.values()) - {frozenset()}) > 1:
        return "feed to feed"
    for one, other in permutations(groups.values(), 2):
        here = [ref for ref in refs if before.net[ref] == before.net[one]]
        delicate = {before.cls(ref) for ref in here} & DELICATE
        if delicate and (feeds[other] or (grounded and before.grounded(other))):
            return f"feed or ground to {min(delicate)}"
    return ""


# -- protection ----------------------------------------------------------------------------------------


FUSE_WITHIN_MM = 178
"""So far from where it branches off a conductor may be without a fuse of its own: 33 CFR 183.455."""


def _leads_to_a_fuse(facts: Facts, ref: str) -> bool:
    """Whether a lead is the short stub before a fuse."""
    part = facts.job.parts.get(part_of(ref)) if kind_of(ref) == "terminal" else None
    if part is None or not any(isinstance(one, (kinds.Fuse, kinds.Breaker)) for one in part.internals):
        return False
    lead = part.cavities[ref].lead
    return lead is not None and lead.length_mm is not None and lead.length_mm <= FUSE_WITHIN_MM


def unprotected(before: Facts, after: Facts) -> Expected:
    """Missing fuse: Stop on an added constant feed; else Look. A larger fuse that is left before it is Stop
    where a conductor does not stand it, alone in free air; where all stand it, nothing is wrong.
    """
    was, now = protection(before), protection(after)
    grown = [
        ref for ref in was if ref in now and 0 < was[ref] < now[ref] and not _leads_to_a_fuse(after, ref)
    ]
    for ref in grown:
        if now[ref] == inf:
            constant = any(_constant(source) for source in after.feeds(_end_of(after, ref)))
            why = f"{ref} on a feed without its fuse"
            return exactly("stop", why) if constant else Expected("look", "stop", why)
        if now[ref] > after.library.ampacity.amps(gauge_of(after.job, ref)):
            return exactly("stop", f"{now[ref]:g} A do not protect {ref}")
    return unseen("the fuse that is left protects all that is behind it")


def _constant(source: Source) -> bool:
    return source.live is not None and "off" in source.live.keys and not source.live.switch


def _end_of(facts: Facts, ref: str) -> str:
    if kind_of(ref) == "terminal":
        return ref
    ends = [f"{ref}:a", f"{ref}:b"]
    conductor = facts.job.lookup.conductors[ref]
    places = [end for end in ends if end in facts.net or end in facts.job.lookup.joint_of]
    return next(iter(places), conductor.a_in or conductor.b_in or ref)


# -- positions -----------------------------------------------------------------------------------------


def fed_by(facts: Facts, ref: str, needed: LiveIn | None, joint: str, source: Source) -> Expected:
    """Stop if dead where needed, or fed in the wrong sense; Look for drain. Before a fuse it lacks that."""
    live = source.live
    assert live is not None
    if needed is not None and not _covers(live, needed):
        return exactly("stop", "dead where it is needed")
    if facts.fused(ref) and not facts.fused(joint) and _constant(source):
        return exactly("stop", "a constant feed before its fuse")
    usual = [own.live for own in facts.feeds(ref) if own.live is not None]
    if usual and all("off" not in own.keys for own in usual) and "off" in live.keys:
        return Expected("look", "stop", "drain")
    function = facts.function(ref)
    if function is None or not function.live or (live.keys, live.switch) == (function.live, function.switch):
        weak = facts.amps(ref) > facts.fuse_of(joint)
        return Expected("look", "stop", "a feed too weak") if weak else unseen("fed whenever it must be")
    return Expected("look", "stop", "another feed")


def _covers(live: LiveIn, needed: LiveIn) -> bool:
    switched = live.switch in (None, needed.switch) and live.unless in (None, needed.unless)
    return set(needed.keys) <= set(live.keys) and switched
