"""Rule: look-alike plugs that could be exchanged."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.phrases import listed, plug_words
from core.checks.registry import rule
from core.ids import part_of, terminal
from core.job.faces import Face
from core.job.wiring import Mate

_WEIGHTS = {"fits": 0, "look": 1, "stop": 2}


@rule("look-alike plugs that could be exchanged", "look")
def look_alikes(ctx: Context) -> Iterator[Conflict | None]:
    """Two plugs side by side have the same face and plastic, so that each goes into the other's socket.

    Whoever plugs them in again, years later, may exchange them: then what is in the one's cavities meets what
    is in the other's.

    Mark the two plugs and their sockets, or use another plastic or keying for one of them.
    """
    kinds: dict[tuple[object, ...], list[Mate]] = {}
    for mate in ctx.job.mates.values():
        yield None
        faces = _faces(ctx, mate)
        for part in {part_of(mate.a), part_of(mate.b)} if faces is not None else ():
            kinds.setdefault((part, *map(_look, faces or ())), []).append(mate)
    done: set[frozenset[str]] = set()
    for alike in kinds.values():
        for one, other in combinations(alike, 2):
            yield None
            if frozenset((one.id, other.id)) in done:
                continue
            done.add(frozenset((one.id, other.id)))
            found = _worst(ctx, one, other)
            if found is not None:
                yield _conflict(one, other, *found, ctx)


def _faces(ctx: Context, mate: Mate) -> tuple[Face, Face] | None:
    """The faces of a mate's two halves, that of the socket first."""
    halves = [ctx.job.connector(ref) for ref in (mate.a, mate.b)]
    faces = [half.face for half in halves if half is not None and half.face is not None]
    return (faces[0], faces[1]) if len(faces) == 2 else None


def _look(face: Face) -> tuple[object, ...]:
    """All that tells one face from another by eye and by hand."""
    shape = tuple(tuple(pin is not None for pin in row) for row in face.grid)
    blocked = frozenset(face.places[pin] for pin in face.blocked)
    return shape, blocked, face.latch, face.gender, face.plastic


def _worst(ctx: Context, one: Mate, other: Mate) -> tuple[str, str, str, int] | None:
    """The two terminals that would meet worst, why, and how bad that is; None where nothing would differ."""
    found: list[tuple[int, str, str, str]] = []
    for socket, plug in ((one.a, other), (other.a, one)):
        here, there = ctx.job.connector(socket), ctx.job.connector(plug.a)
        if here is None or there is None or here.face is None or there.face is None:
            return None
        for pin, (row, column) in here.face.places.items():
            twin = there.face.grid[row][column]
            refs = [
                terminal(part_of(ref), ref.partition(".")[2], name)
                for ref, name in ((socket, pin), (plug.a, twin))
                if name is not None
            ]
            functions = [ctx.function(ref) for ref in refs if ctx.job.cavity(ref) is not None]
            if len(functions) < 2 or functions[0] is None or functions[1] is None:
                continue
            if functions[0].id == functions[1].id:
                continue
            verdict = ctx.library.pair_fits(functions[0].id, functions[1].id)
            found.append((_WEIGHTS[verdict.verdict], refs[0], refs[1], verdict.reason))
    if not found:
        return None
    weight, here_ref, there_ref, reason = max(found, key=lambda one_: one_[0])
    return here_ref, there_ref, reason, weight


def _conflict(
    one: Mate, other: Mate, here: str, there: str, reason: str, weight: int, ctx: Context
) -> Conflict:
    plugs = listed([plug_words(ctx.job, ref) for ref in (one.b, other.b)])
    met = f"{ctx.job.shown(here)} ({ctx.words(here)}) would meet what is for {ctx.words(there)}"
    return Conflict(
        rule=look_alikes.name,
        level="look" if weight == _WEIGHTS["stop"] else "note",
        message=f"{plugs} look alike and could be exchanged: {met}.",
        why=f"{reason[:1].upper()}{reason[1:]}.",
        mend="Mark the two plugs and their sockets, or use another plastic or keying for one of them.",
        where=(here, there),
    )
