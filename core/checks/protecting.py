"""What the rules of protection and wire share: words for fuses, ways to them, and mends."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import partial

from core.checks.context import Context
from core.checks.finding import Mend
from core.checks.loading import Copper
from core.checks.mends_protection import change_fuse, change_gauges, fuse_between, with_rating
from core.checks.phrases import listed
from core.circuit.fusing import Guard
from core.ids import kind_of
from core.job.internals import Breaker, Fuse, Relay, SwitchContact
from core.job.parts import Part
from core.sizing.fuse import fuses_between
from core.sizing.wire import thicker

AMPACITY_LIMITS = (
    "cabin_celsius",
    "insulation_celsius",
    "bundle_loaded_wires",
    "loaded_share",
    "lead_area_mm2",
)
"""What decides how many amps a conductor carries for good."""
WRONG_FEEDS = (
    "feed shorted to ground",
    "feeds of different positions joined",
    "constant and accessory exchanged",
    "reversed polarity",
    "more volts than the part accepts",
    "step-down backwards",
    "speaker lead grounded",
    "functions that do not belong together",
    "output fed from outside",
)
"""What is said where the amps themselves are not meant: they follow from it."""
DEFAULT_FORM = "standard"


def capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def fuse_words(name: str) -> str:
    """A fuse or output by its device name, as people call it."""
    if name.startswith("fuse "):
        return f'the car\'s fuse "{name.removeprefix("fuse ")}"'
    tag = name.partition("#")[0]
    return f"the car's fuse before {tag}" if name.endswith(" fuse") else tag


def is_fuse(ctx: Context, name: str) -> bool:
    """Whether a guard is a fuse or breaker, added or the car's, and not an output that limits itself."""
    return name.startswith("fuse ") or name.endswith(" fuse") or own_fuse(ctx, name) is not None


def too_thin(ctx: Context, copper: Copper) -> bool:
    """Whether no fuse fits between 1.25 times its load and what it carries for good."""
    return not fitting_fuses(ctx, copper.amps, ctx.loading.bears(copper))


def can_be_lowered(ctx: Context, name: str) -> bool:
    """Whether a smaller rating of an added fuse protects all and carries its load."""
    return bool(other_rating(ctx, name, smaller=True))


def copper_words(ctx: Context, ref: str) -> str:
    """`the lead of REC-3`, `W4`."""
    return f"the lead of {ctx.job.shown(ref)}" if kind_of(ref) == "terminal" else ref


def coppers_words(ctx: Context, some: Iterable[Copper]) -> str:
    """Several, gauge and all: `the lead of REC-3 (0.75 mm2) and W4 (1 mm2)`."""
    return listed([f"{copper_words(ctx, one.ref)} ({one.gauge})" for one in some])


def path_to(ctx: Context, guard: Guard, ref: str) -> tuple[str, ...]:
    """Ids from where the amps come to a place, through whatever lies between."""
    ids: list[str] = []
    at = guard.source
    for start, end in guard.hops:
        ids += ctx.graph.path(at, start)
        at = end
    ids += ctx.graph.path(at, ref)
    return tuple(dict.fromkeys(ids))


def own_fuse(ctx: Context, name: str) -> tuple[str, int, Fuse | Breaker] | None:
    """The part, place and internal of a fuse that was added; None for those of the car and for outputs."""
    known = ctx.levels.engine.plan.devices.get(name)
    if known is None or not isinstance(known[1], Fuse | Breaker):
        return None
    tag, _ = known
    index = int(name.rpartition("#")[2])
    there = ctx.job.parts[tag].internals
    stated = there[index] if index < len(there) else None
    return (tag, index, stated) if isinstance(stated, Fuse | Breaker) else None


def limit_of(ctx: Context, name: str) -> float:
    """The most that a fuse may have, for all that stands behind it: conductors, contacts and its holder."""
    guarded = ctx.loading.guarded.get(name, ())
    limits = [ctx.loading.bears(copper) for copper in guarded]
    own = own_fuse(ctx, name)
    if own is not None and isinstance(own[2], Fuse) and own[2].holder_amps is not None:
        limits.append(own[2].holder_amps)
    limits += (most for by, most, _ in contacts(ctx) if by is not None and by.by == name)
    return min(limits, default=float("inf"))


def contacts(ctx: Context) -> Iterator[tuple[Guard | None, float, str]]:
    """The contacts whose amps are stated: what stands before each, the most it stands, and a terminal."""
    for tag, it in ctx.levels.engine.plan.devices.values():
        match it:
            case Relay() if it.contact_amps is not None:
                most, ends = it.contact_amps, (it.common, it.make, it.rest)
            case SwitchContact() if it.amps is not None:
                most, ends = it.amps, (it.a, it.b, None)
            case _:
                continue
        refs = [f"{tag}.{end}" for end in ends if end is not None]
        found = [(guard, ref) for ref in refs if (guard := ctx.loading.fusing.at(ref)) is not None]
        if found:
            guard, ref = max(found, key=lambda pair: pair[0].rank)
            yield guard, most, ref


def ratings(ctx: Context, form: str = "") -> tuple[float, ...]:
    """The ratings that fuses of a form are made for."""
    known = ctx.library.carrying.ratings
    return known.get(form) or known[DEFAULT_FORM]


def every_rating(ctx: Context) -> tuple[float, ...]:
    """The ratings of all forms."""
    return tuple(sorted({amps for some in ctx.library.carrying.ratings.values() for amps in some}))


def fitting_fuses(
    ctx: Context, load_amps: float, limit_amps: float, form: str | None = None
) -> tuple[float, ...]:
    """The ratings that carry a load for good and stay within a limit, the smallest first."""
    made = every_rating(ctx) if form is None else ratings(ctx, form)
    return fuses_between(load_amps, limit_amps, made, ctx.limits["continuous_share"])


# -- mends -------------------------------------------------------------------------------------------


def other_rating(ctx: Context, name: str, *, smaller: bool) -> tuple[Mend, ...]:
    """The mend that puts the next rating into an added fuse that protects all and carries its load."""
    own = own_fuse(ctx, name)
    if own is None:
        return ()
    tag, index, fuse = own
    load, _ = ctx.loading.device_peak(name)
    form = fuse.form if isinstance(fuse, Fuse) else ""
    able = [r for r in fitting_fuses(ctx, load, limit_of(ctx, name), form) if (r < fuse.amps) == smaller]
    if not able:
        return ()
    amps = able[-1] if smaller else able[0]
    return (Mend(f"Put {amps:g} A into {tag}", partial(change_fuse, tag=tag, index=index, amps=amps)),)


def other_gauges(ctx: Context, needs: Mapping[str, float]) -> tuple[Mend, ...]:
    """The mend that gives conductors the next gauge that carries so many amps for good."""
    gauges: dict[str, str] = {}
    for ref, amps in needs.items():
        copper = ctx.loading.copper[ref]
        system = "AWG" if (copper.gauge or "").endswith("AWG") else "mm2"
        sizes = [size for size in ctx.library.wires if size.system == system]
        size = thicker(sizes, ctx.loading.around_of(copper), amps)
        if size is None:
            return ()
        gauges[ref] = size.gauge
    return gauges_mend(ctx, gauges)


def gauges_mend(ctx: Context, gauges: Mapping[str, str]) -> tuple[Mend, ...]:
    """The mend that makes conductors of other gauges."""
    words = listed([f"{copper_words(ctx, ref)} of {gauge}" for ref, gauge in gauges.items()])
    return (Mend(f"Make {words}", partial(change_gauges, gauges=gauges)),)


def fuse_in_line(
    ctx: Context, end: str, load_amps: float, limit_amps: float, lead_amps: float = 0.0
) -> tuple[Mend, ...]:
    """The mend that puts a fuse of the shelf between an end and its joint.

    Its own leads are short, or stand what it does not protect them from: `lead_amps`.
    """
    if end not in ctx.job.lookup.joint_of:
        return ()
    best: tuple[tuple[float, bool], Part, tuple[str, str], float] | None = None
    for entry in ctx.library.parts.values():
        part = entry.part
        fuses = [it for it in part.internals if isinstance(it, Fuse)]
        if len(fuses) != 1 or part.state == "on the car":
            continue
        fuse = fuses[0]
        gauges = [c.lead.gauge if c.lead else None for c in part.cavities.values()]
        carries = min(ctx.loading.bears_gauge(gauge) for gauge in gauges)
        most = min(limit_amps, carries, fuse.holder_amps or fuse.amps)
        able = fitting_fuses(ctx, load_amps, most, fuse.form)
        lengths = [c.lead.length_mm if c.lead else None for c in part.cavities.values()]
        short = all(mm is not None and mm <= ctx.limits["fuse_distance_bare_mm"] for mm in lengths)
        if not able or (carries < lead_amps and not short):
            continue
        amps = fuse.amps if fuse.amps in able else able[0]
        rank = amps, amps != fuse.amps
        if best is None or rank < best[0]:
            holder = with_rating(part.changed(library=entry.name), fuse, amps)
            best = rank, holder, (fuse.a, fuse.b), amps
    if best is None:
        return ()
    _, holder, names, amps = best
    edit = partial(fuse_between, end=end, holder=holder, names=names)
    return (Mend(f"Put a fuse of {amps:g} A in at {ctx.job.shown(end)}", edit),)
