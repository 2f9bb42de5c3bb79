"""The curves of the map: fans, leads, wires and the contacts of opened pairs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from core.ids import natural_key
from core.job.wiring import Mate
from core.layout import metrics, routes
from core.layout.blocks import Standing
from core.layout.grid import Grid, union
from core.layout.lanes import LaneBook
from core.layout.routes import Cubic, Lane, Route, Stop, Tracks
from core.layout.shapes import Curve, FlagShape, JointShape, Point, Rect
from core.layout.walk import Walk

Lanes = tuple[tuple[Lane, float], ...]
LOOSE_AT = Point(-320.0, 40.0)
LOOSE_PITCH = 24.0
LOOSE_LENGTH = 2 * metrics.FREE_END
JOINT_STUB = Point(metrics.FREE_END, 40.0)


@dataclass
class CurveBook:
    """All curves by key; `reach` tells for each lead and wire where a block would change its way."""

    curves: dict[str, Curve] = field(default_factory=dict)
    reach: Grid = field(default_factory=lambda: Grid(256.0))
    pieces: dict[str, int] = field(default_factory=dict)
    mates: dict[str, tuple[str, ...]] = field(default_factory=dict)
    lanes: LaneBook = field(default_factory=LaneBook)

    def copy(self) -> CurveBook:
        return CurveBook(
            dict(self.curves), self.reach.copy(), dict(self.pieces), dict(self.mates), self.lanes.copy()
        )

    def put(self, curve: Curve, reach: Rect | None = None, more: tuple[Cubic, ...] = ()) -> None:
        """Keep a curve under its key, with the further pieces of its way."""
        key = curve.key
        if self.pieces.get(key, 0) > 0:
            self.drop(key)
        self.curves[key] = curve
        if reach is not None:
            self.reach.put(key, reach)
        else:
            self.reach.drop(key)
        for number, cubic in enumerate(more, start=1):
            name = f"{key}/{number}"
            a, c1, c2, b = cubic
            self.curves[name] = Curve(name, curve.owner, curve.role, a, c1, c2, b, curve.colour, curve.ends)
        if more:
            self.pieces[key] = len(more)

    def drop(self, key: str) -> None:
        self.curves.pop(key, None)
        self.reach.drop(key)
        for number in range(1, self.pieces.pop(key, 0) + 1):
            del self.curves[f"{key}/{number}"]

    def pieces_of(self, key: str) -> list[Curve]:
        """The curve of a lead or wire and the further pieces of its way; none where it is not drawn."""
        first = self.curves.get(key)
        if first is None:
            return []
        return [first, *(self.curves[f"{key}/{n}"] for n in range(1, self.pieces.get(key, 0) + 1))]

    def through(self, rect: Rect) -> list[str]:
        """The keys of the leads and wires whose way a block at `rect` may change."""
        return self.reach.near(rect)


@dataclass(frozen=True)
class Pen:
    """Draws curves into a book from what stands where."""

    book: CurveBook
    standing: Standing
    walk: Walk
    flags: Mapping[str, FlagShape]
    joints: Mapping[str, JointShape]
    rects: Grid
    waiting: set[str] = field(default_factory=set)  # leads and wires that `beside_each_other` draws again
    alone: set[str] = field(default_factory=set)  # those of them drawn as if each had its lanes for itself

    def fan(self, terminal: str) -> None:
        flag, block = self.flags.get(terminal), self.standing.block(terminal)
        key = f"fan:{terminal}"
        if flag is None or block is None:
            self.book.drop(key)
            return
        corner, root = self.standing.corners[block], self.standing.frames[block].roots[terminal]
        edge = Point(corner.x + (root.right if flag.turned == "right" else root.left), corner.y + root.y)
        cubic = routes.fan(edge, flag.root)
        self.book.put(Curve(key, terminal, "fan", *cubic, root.colour, (terminal, terminal)))

    def lead(self, terminal: str) -> None:
        """From a flag to its joint, in the lead's own colour."""
        self._draw(f"lead:{terminal}", {})

    def wire(self, name: str) -> None:
        """A wire or conductor between its ends; an end that hangs free gets a short stub."""
        self._draw(f"wire:{name}", {})

    def beside_each_other(self) -> set[str]:
        """Draw those again that share lanes with others, each in its place there; returns their keys."""
        for key in sorted(self.waiting):
            tracks = self.book.lanes.tracks(key)
            if key not in self.alone or any(count > 1 for _, count in tracks.values()):
                self._draw(key, tracks)
        return self.waiting

    def _draw(self, key: str, tracks: Tracks) -> None:
        role, _, ref = key.partition(":")
        lanes = (self._lead if role == "lead" else self._wire)(key, ref, tracks)
        if tracks:
            return
        self.waiting.discard(key)
        self.waiting.update(self.book.lanes.put(key, lanes))
        if lanes:
            self.waiting.add(key)
            self.alone.add(key)

    def _lead(self, key: str, terminal: str, tracks: Tracks) -> Lanes:
        joint = self.walk.lookup.joint_of.get(terminal)
        flag, block = self.flags.get(terminal), self.standing.block(terminal)
        if joint is None or flag is None or block is None:
            self.book.drop(key)
            return ()
        colour = self.standing.frames[block].roots[terminal].colour
        own = frozenset((block,))
        way = routes.route(_flag_stop(flag), _joint_stop(self.joints[joint]), self.rects, own, tracks)
        return self._put(Curve(key, terminal, "lead", *way.pieces[0], colour, (terminal, joint)), way, tracks)

    def _wire(self, key: str, name: str, tracks: Tracks) -> Lanes:
        conductor = self.walk.lookup.conductors.get(name)
        if conductor is None:
            self.book.drop(key)
            return ()
        (a, a_ref), (b, b_ref) = self._stop(f"{name}:a"), self._stop(f"{name}:b")
        if a is None and b is None:  # `loose` draws it, where it is whole
            self.book.drop(key)
            return ()
        if a is None or b is None:
            known = a or b
            assert known is not None
            start, c1, c2, end = _stub(known)
            cubic = (start, c1, c2, end) if a is not None else (end, c2, c1, start)
            curve = Curve(key, name, "wire", *cubic, conductor.colour, (a_ref, b_ref))
            self.book.put(curve, routes.box(cubic))
            return ()
        own = frozenset(
            block for ref in (a_ref, b_ref) if "-" in ref and (block := self.standing.block(ref)) is not None
        )
        way = routes.route(a, b, self.rects, own, tracks)
        return self._put(
            Curve(key, name, "wire", *way.pieces[0], conductor.colour, (a_ref, b_ref)), way, tracks
        )

    def _put(self, first: Curve, way: Route, tracks: Tracks) -> Lanes:
        reach = way.reach
        if tracks:  # what made it take these lanes counts as well
            reach = union((reach, self.book.reach.rects.get(first.key, reach)))
        self.book.put(first, reach, way.pieces[1:])
        return way.lanes

    def loose(self) -> None:
        """The wires that hang on nothing at either end, one below the other beside the map."""
        free = [
            name
            for name, conductor in self.walk.lookup.conductors.items()
            if conductor.a_in is None
            and conductor.b_in is None
            and f"{name}:a" not in self.walk.lookup.joint_of
            and f"{name}:b" not in self.walk.lookup.joint_of
        ]
        third = LOOSE_LENGTH / 3
        for index, name in enumerate(sorted(free, key=natural_key)):
            y = LOOSE_AT.y + index * LOOSE_PITCH
            a, c1, c2, b = (Point(LOOSE_AT.x + step * third, y) for step in range(4))
            colour = self.walk.lookup.conductors[name].colour
            self.book.put(
                Curve(f"wire:{name}", name, "wire", a, c1, c2, b, colour, (f"{name}:a", f"{name}:b"))
            )

    def contacts(self, mate: Mate) -> None:
        """What touches what in a pair that is drawn as two blocks."""
        self.part(mate.id)
        a, b = self.standing.block(mate.a), self.standing.block(mate.b)
        if a is None or b is None or a == b:
            return
        one, other = self._cells(a, mate.a), self._cells(b, mate.b)
        keys: list[str] = []
        for terminal, start in one.items():
            met = self.walk.lookup.meets.get(terminal)
            if met is None or met not in other:
                continue
            end = other[met]
            half, key = (end.x - start.x) / 2, f"mate:{mate.id}:{terminal}"
            c1, c2 = Point(start.x + half, start.y), Point(end.x - half, end.y)
            self.book.put(Curve(key, terminal, "mate", start, c1, c2, end, None, (terminal, met)))
            keys.append(key)
        self.book.mates[mate.id] = tuple(keys)

    def part(self, mate: str) -> None:
        """Take the contacts of a mate off the map."""
        for key in self.book.mates.pop(mate, ()):
            self.book.drop(key)

    def _cells(self, block: str, connector: str) -> dict[str, Point]:
        corner = self.standing.corners[block]
        return {
            terminal: Point(corner.x + cell.x, corner.y + cell.y)
            for terminal, cell in self.standing.frames[block].cells.items()
            if terminal.partition("-")[0] == connector
        }

    def _stop(self, end: str) -> tuple[Stop | None, str]:
        """Where a wire's end is, and the id of what it hangs on: the end itself where it hangs free."""
        terminal = self.walk.crimped_at(end)
        if terminal is not None and terminal in self.flags:
            return _flag_stop(self.flags[terminal]), terminal
        joint = self.walk.lookup.joint_of.get(end)
        if joint is not None:
            return _joint_stop(self.joints[joint]), joint
        return None, end


def keys_at(walk: Walk, terminals: Iterable[str], joints: Iterable[str]) -> tuple[set[str], set[str]]:
    """The terminals whose lead, and the conductors whose curve, hangs on one of these flags or joints."""
    leads: set[str] = set(terminals)
    wires: set[str] = set()
    for terminal in terminals:
        wires.update(end.partition(":")[0] for end in walk.lookup.crimped.get(terminal, ()))
    for joint in joints:
        for end in walk.joints[joint].ends if joint in walk.joints else ():
            if ":" in end:
                wires.add(end.partition(":")[0])
            else:
                leads.add(end)
    return leads, wires


def _flag_stop(flag: FlagShape) -> Stop:
    return Stop(flag.anchor, 1 if flag.turned == "right" else -1)


def _joint_stop(joint: JointShape) -> Stop:
    return Stop(joint.centre, 0, joint.slope)


def _stub(stop: Stop) -> Cubic:
    x, y = stop.at
    if stop.facing:
        end = Point(x + stop.facing * metrics.FREE_END, y)
    else:
        end = Point(x + JOINT_STUB.x, y + JOINT_STUB.y)
    third = (end.x - x) / 3
    return stop.at, Point(x + third, y), Point(end.x - third, end.y), end
