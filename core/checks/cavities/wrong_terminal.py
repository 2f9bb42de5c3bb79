"""Rule: wrong terminal for the cavity or the gauge."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.mends_protection import change_gauges
from core.checks.phrases import plug_words
from core.checks.registry import rule
from core.ids import owner_of_end, part_of, terminal
from core.job.faces import Face
from core.units import area_mm2

_BLADES = {0.64: "0_64", 1.5: "1_5", 2.8: "2_8", 4.8: "4_8", 6.3: "6_3", 9.5: "9_5"}
"""The widths of blades in mm that the limits table has a range of gauges for, as its names write them."""

_LIMITS = tuple(f"blade_{size}_{end}_mm2" for size in _BLADES.values() for end in ("least", "most"))


@rule(
    "wrong terminal for the cavity or the gauge",
    "look",
    under=("lead whose mate is empty or blocked",),
    limits=_LIMITS,
)
def wrong_terminal(ctx: Context) -> Iterator[Conflict | None]:
    """The terminals of two halves that mate are of different families, or a wire is too thick or too thin for
    the terminals that its connector takes.

    A blade that is too narrow wobbles in its spring and gets hot. A crimp on too thin a wire slips off, one
    on too thick a wire does not close.

    Use the family that the mating half has, and a gauge that its crimp is made for.
    """
    for mate in ctx.job.mates.values():
        yield None
        a, b = ctx.job.connector(mate.a), ctx.job.connector(mate.b)
        families = [c.face.terminal_family.strip() for c in (a, b) if c is not None and c.face is not None]
        if len(families) == 2 and all(families) and families[0].lower() != families[1].lower():
            yield Conflict(
                rule=wrong_terminal.name,
                level="look",
                message=f"{plug_words(ctx.job, mate.a)} takes terminals of {families[0]}, and "
                f"{plug_words(ctx.job, mate.b)} of {families[1]}: they would not hold each other.",
                why="The two halves are plugged together.",
                mend="Use the family that the mating half has, or correct the face.",
                where=tuple(
                    terminal(part_of(ref), c.name, c.cavities[0].pin)
                    for ref, c in ((mate.a, a), (mate.b, b))
                    if c is not None and c.cavities
                ),
            )
    for part in ctx.job.parts.values():
        for connector in part.connectors:
            blade = _blade(connector.face)
            if blade is None:
                continue
            least, most = (ctx.limits[f"blade_{_BLADES[blade]}_{end}_mm2"] for end in ("least", "most"))
            for cavity in connector.cavities:
                yield None
                ref = terminal(part.id, connector.name, cavity.pin)
                yield from _gauges(ctx, ref, blade, least, most)


def _blade(face: Face | None) -> float | None:
    """The width in mm that a family's words begin with, where the table knows it: `2.8 mm, sealed`."""
    found = re.match(r"\s*(\d+(?:[.,]\d+)?)\s*mm\b", face.terminal_family) if face else None
    width = float(found[1].replace(",", ".")) if found else None
    return width if width in _BLADES else None


def _gauges(ctx: Context, ref: str, blade: float, least: float, most: float) -> Iterator[Conflict]:
    """What is crimped on the terminal in a cavity: the lead that came with it, or wires from stock."""
    lead = ctx.cavity(ref).lead
    copper = {ref: lead.gauge} if lead else {}
    for end in ctx.job.lookup.crimped.get(ref, ()):
        copper[owner_of_end(end)] = ctx.job.lookup.conductors[owner_of_end(end)].gauge
    for what, gauge in copper.items():
        if gauge is None or least <= area_mm2(gauge) <= most:
            continue
        thick = area_mm2(gauge) > most
        name = f"The lead of {ctx.job.shown(ref)}" if what == ref else what
        yield Conflict(
            rule=wrong_terminal.name,
            level="look",
            message=f"{name}, of {gauge}, is too {'thick' if thick else 'thin'} for a terminal of {blade:g} "
            f"mm, which takes {least:g} to {most:g} mm2.",
            why=f"It is crimped into {ctx.job.shown(ref)}.",
            mend=f"Use {'a thinner' if thick else 'a thicker'} wire at the connector, or another terminal.",
            where=(ref,) if what == ref else (what, ref),
            wires=() if what == ref else (what,),
            numbers={"area_mm2": area_mm2(gauge), "least_mm2": least, "most_mm2": most},
            mends=() if thick else _thicker(ctx, what, name, least),
        )


def _thicker(ctx: Context, what: str, name: str, least: float) -> tuple[Mend, ...]:
    """The thinnest size that the crimp takes. A thinner wire may not carry what flows, so none is offered."""
    sizes = (size for size in ctx.library.sizes.values() if size.system == "mm2" and size.area_mm2 >= least)
    size = min(sizes, key=lambda one: one.area_mm2, default=None)
    if size is None:
        return ()
    label = f"Make {name[:1].lower() + name[1:] if name.startswith('The') else name} of {size.gauge}"
    return (Mend(label, partial(change_gauges, gauges={what: size.gauge})),)
