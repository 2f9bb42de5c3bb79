"""Protection: gauges, fuses and clamps."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from math import inf

from core import edits as ed
from core.ids import kind_of, part_of
from core.job import internals as kinds
from core.units import area_mm2
from tests.mutation.expect import unprotected
from tests.mutation.facts import Facts
from tests.mutation.fused import copper, gauge_of, protection
from tests.mutation.made import (
    Expected,
    Mutation,
    bridged,
    exactly,
    joined_end,
    places,
    with_gauge,
)

BEFORE_FUSE_MM = 178
FUSE_SIZES = (1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 70, 80, 100)
"""Amps of blade fuses (ISO 8820-3: small ones to 40 A; maxi ones above)."""


def wrong_gauge(facts: Facts) -> Iterator[Mutation]:
    """Stop if the fuse no longer protects it: the thickest size that the table of ampacities gives less than
    the fuse, alone in free air; so that no factor for bundles is needed to say so.
    """
    fuses = protection(facts)
    for ref in copper(facts.job):
        fuse = fuses[ref]
        old = gauge_of(facts.job, ref)
        if not 0 < fuse < inf or _short_before_fuse(facts, ref):
            continue
        thinner = [
            size.gauge
            for size in facts.library.wires
            if size.system == old.partition(" ")[2]
            and size.area_mm2 < area_mm2(old)
            and facts.library.ampacity.amps(size.gauge) < fuse
        ]
        if thinner:
            gauge = thinner[-1]
            yield Mutation(
                "wrong gauge",
                f"{ref} of {gauge} for {old}, behind {fuse:g} A",
                places(facts.job, (ref,)),
                exactly("stop", "the fuse does not protect it"),
                partial(with_gauge, ref=ref, gauge=gauge),
            )


def _short_before_fuse(facts: Facts, ref: str) -> bool:
    """A fuse holder's own lead, short enough to stand before the fuse (33 CFR 183.460: 7 in, 178 mm)."""
    if kind_of(ref) != "terminal" or not facts.passes(ref):
        return False
    lead = facts.terminals[ref].lead
    length = lead.length_mm if lead else None
    fuse = [
        one
        for tag, one in facts.insides
        if tag == part_of(ref) and isinstance(one, kinds.Fuse | kinds.Breaker)
    ]
    return (
        bool(fuse) and length is not None and length <= BEFORE_FUSE_MM and facts.fuse_of(ref) > fuse[0].amps
    )


def fuse_one_size_up(facts: Facts) -> Iterator[Mutation]:
    """Stop if above any conductor, contact or holder of the loop; else Note."""
    for tag, index, one in facts.of_kind(kinds.Fuse, kinds.Breaker, kinds.Feed):
        amps = one.fuse_amps if isinstance(one, kinds.Feed) else one.amps  # type: ignore[union-attr]
        larger = next((size for size in FUSE_SIZES if amps and size > amps), None)
        if larger is None:
            continue
        field = "fuse_amps" if isinstance(one, kinds.Feed) else "amps"
        ends = [one.terminal] if isinstance(one, kinds.Feed) else [one.a, one.b]  # type: ignore[union-attr]
        refs = [f"{tag}.{name}" for name in ends]
        yield Mutation(
            "fuse one size up",
            f"{tag} {'/'.join(ends)}: {larger:g} A for {amps:g} A",
            places(facts.job, refs),
            _one_up(facts, tag, index, field, larger),
            partial(ed.set_internal, tag=tag, index=index, **{field: larger}),
        )


def _one_up(facts: Facts, tag: str, index: int, field: str, larger: float) -> Expected:
    one = facts.job.parts[tag].internals[index]
    holder = getattr(one, "holder_amps", None)
    if holder is not None and larger > holder:
        return exactly("stop", f"its holder stands {holder:g} A")
    before = protection(facts)
    changed = Facts(ed.set_internal(facts.job, tag, index, **{field: larger}), facts.library)
    after = protection(changed)
    behind = [ref for ref, amps in after.items() if amps != before[ref] and amps < inf]
    for ref in behind:
        most = facts.library.ampacity.amps(gauge_of(facts.job, ref))
        if after[ref] > most:
            return exactly("stop", f"{ref} carries {most:.3g} A at most")
    contact = _contact(changed)
    if contact:
        return exactly("stop", contact)
    return Expected("note", "stop", "all of the loop stands it")


def _contact(facts: Facts) -> str:
    for tag, one in facts.insides:
        match one:
            case kinds.SwitchContact():
                most, end = one.amps, one.a
            case kinds.Relay():
                most, end = one.contact_amps, one.common
            case _:
                continue
        if most is not None and most < facts.fuse_of(f"{tag}.{end}") < inf:
            return f"the contact of {tag} stands {most:g} A"
    return ""


def missing_fuse(facts: Facts) -> Iterator[Mutation]:
    """A fuse left away, its two sides joined."""
    for tag, _, one in facts.of_kind(kinds.Fuse, kinds.Breaker):
        assert isinstance(one, kinds.Fuse | kinds.Breaker)
        a, b = f"{tag}.{one.a}", f"{tag}.{one.b}"
        if joined_end(facts.job, a) is None or joined_end(facts.job, b) is None:
            continue
        edit = partial(bridged, tag=tag, pairs=[(a, b)])
        yield Mutation(
            "missing fuse",
            f"{tag} left away",
            _without(facts, tag, a, b),
            unprotected(facts, Facts(edit(facts.job), facts.library)),
            edit,
        )


def _without(facts: Facts, tag: str, *refs: str) -> tuple[str, ...]:
    """What was joined to a part that is gone."""
    joints = [facts.job.lookup.joint_of[end] for ref in refs if (end := joined_end(facts.job, ref))]
    ends = [end for joint in joints for end in facts.job.joints[joint].ends if not end.startswith(f"{tag}.")]
    return tuple(dict.fromkeys((*joints, *places(facts.job, ends))))


def missing_clamp(facts: Facts) -> Iterator[Mutation]:
    """Stop on an electronic output; else Look."""
    for tag, index, one in facts.of_kind(kinds.Relay):
        assert isinstance(one, kinds.Relay)
        if one.clamp == "none":
            continue
        coil = (f"{tag}.{one.coil_plus}", f"{tag}.{one.coil_minus}")
        nets = {facts.net[ref] for ref in coil}
        driven = [
            f"{t}.{o.terminal}"
            for t, o in facts.insides
            if isinstance(o, kinds.Output | kinds.LowSideOutput) and facts.net[f"{t}.{o.terminal}"] in nets
        ]
        expected = (
            exactly("stop", f"{driven[0]} is electronic")
            if driven
            else exactly("look", "a switch of the car")
        )
        yield Mutation(
            "missing clamp",
            f"{tag} without its {one.clamp}",
            places(facts.job, coil),
            expected,
            partial(ed.set_internal, tag=tag, index=index, clamp="none", clamp_ohms=None),
        )
