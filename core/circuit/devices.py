"""Each kind of internal to its pieces of a circuit, part by part."""

from __future__ import annotations

from core.circuit import givers, passives, supplies, takers
from core.circuit.implied import Insides
from core.circuit.sketch import Pen, Sketch, Terms
from core.job import internals as kinds
from core.job.internals import Internal
from core.job.parts import Part


def sketch_of(part: Part, insides: Insides, terms: Terms) -> Sketch:
    """One part as pieces of a circuit, named `TAG#0`, `TAG#1` by the place of the internal."""
    pen = Pen(part, insides, terms)
    names: dict[str, Internal] = {}
    for place, internal in enumerate(insides.internals):
        name = f"{part.id}#{place}"
        before = len(pen.rows), len(pen.makers)
        draw(pen, name, internal)
        drawn = [row.name for row in pen.rows[before[0] :]] + list(pen.makers)[before[1] :]
        names.update(dict.fromkeys(drawn, internal))
    return pen.done(names)


def draw(pen: Pen, name: str, internal: Internal) -> None:
    """Adds one internal's pieces, whatever kind it is."""
    match internal:
        case kinds.Battery():
            supplies.battery(pen, name, internal)
        case kinds.Feed():
            supplies.feed(pen, name, internal)
        case kinds.GroundPoint():
            supplies.ground_point(pen, name, internal)
        case kinds.SwitchToGround():
            supplies.switch_to_ground(pen, name, internal)
        case kinds.Load():
            takers.load(pen, name, internal)
        case kinds.Lamp():
            takers.lamp(pen, name, internal)
        case kinds.Sense():
            takers.sense(pen, name, internal)
        case kinds.Speaker():
            takers.speaker(pen, name, internal)
        case kinds.Output():
            givers.output(pen, name, internal)
        case kinds.LowSideOutput():
            givers.low_side(pen, name, internal)
        case kinds.StepDown():
            givers.step_down(pen, name, internal)
        case kinds.StepUp():
            givers.step_up(pen, name, internal)
        case kinds.SpeakerOutput():
            givers.speaker_output(pen, name, internal)
        case kinds.Fuse() | kinds.Breaker():
            passives.fuse(pen, name, internal)
        case kinds.SwitchContact():
            passives.switch(pen, name, internal)
        case kinds.Relay():
            passives.relay(pen, name, internal)
        case kinds.Diode():
            passives.diode(pen, name, internal)
        case kinds.Resistor():
            passives.resistor(pen, name, internal)
        case kinds.Link():
            passives.link(pen, name, internal)
        case kinds.Shield():
            passives.shield(pen, name, internal)
        case kinds.Case():
            passives.case(pen, name, internal)
        case kinds.ButtonLadder():
            takers.button_ladder(pen, name, internal)
        case kinds.LadderReader():
            takers.ladder_reader(pen, name, internal)
        case kinds.DataPair():
            takers.data_pair(pen, name, internal)
        case kinds.Video() | kinds.LineLevel() | kinds.Antenna():
            takers.signal(pen, name, internal)
