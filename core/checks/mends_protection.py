"""Ways out about wires and what protects them: gauges, fuses, clamps, diodes."""

from __future__ import annotations

from collections.abc import Mapping

from core.edits.base import the_part
from core.edits.cavities import set_lead
from core.edits.internals import set_internal
from core.edits.joins import join, unjoin
from core.edits.parts import add_part, added_tag, set_part
from core.edits.wires import set_conductor, set_wire
from core.errors import EditRefused
from core.ids import kind_of
from core.job.document import Job
from core.job.internals import Fuse
from core.job.parts import Part


def change_gauges(job: Job, gauges: Mapping[str, str]) -> Job:
    """Give wires, conductors and leads other gauges. Raises EditRefused."""
    for ref, gauge in gauges.items():
        match kind_of(ref):
            case "wire":
                job = set_wire(job, ref, gauge=gauge)
            case "conductor":
                job = set_conductor(job, ref, gauge=gauge)
            case _:
                job = set_lead(job, ref, gauge=gauge)
    return job


def change_fuse(job: Job, tag: str, index: int, amps: float) -> Job:
    """Put another rating into a holder or breaker; a name that tells the old one tells the new one.

    Raises EditRefused.
    """
    part = the_part(job, tag)
    old = part.internals[index] if index < len(part.internals) else None
    job = set_internal(job, tag, index, amps=amps)
    before = getattr(old, "amps", None)
    if before is not None and part.name.endswith(f" {before:g} A"):
        job = set_part(job, tag, name=f"{part.name.removesuffix(f'{before:g} A')}{amps:g} A")
    return job


def fuse_between(job: Job, end: str, holder: Part, names: tuple[str, str]) -> Job:
    """Put a fuse holder between an end and the joint it is in. Raises EditRefused."""
    joint = job.lookup.joint_of.get(end)
    if joint is None:
        raise EditRefused(f"{job.shown(end)} is no longer joined.")
    rest = [other for other in job.joints[joint].ends if other != end]
    with_part = add_part(job, holder)
    tag = added_tag(job, with_part)
    far, near = (f"{tag}.{name}" for name in names)
    return join(join(unjoin(with_part, end), rest[0], far), near, end)


def with_rating(holder: Part, fuse: Fuse, amps: float) -> Part:
    """A holder of the shelf with a fuse of that rating in it."""
    if amps == fuse.amps:
        return holder
    name = holder.name.removesuffix(f"{fuse.amps:g} A")
    renamed = f"{name}{amps:g} A" if name != holder.name else holder.name
    internals = tuple(it.changed(amps=amps) if it is fuse else it for it in holder.internals)
    return holder.changed(name=renamed, internals=internals)
