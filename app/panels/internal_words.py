"""The trade's words for what a part does inside: kinds by group, and a label and help for every field."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import UnionType
from typing import Literal, Union, get_args, get_origin

from core.job.internals import TERMINAL_FIELDS, Internal, LiveIn, VoltWindow
from core.job.internals.common import Kind

Form = Literal["pin", "number", "share", "window", "when", "choice", "tick", "line", "pairs"]
"""How a field is asked for; a share is asked for in percent."""


@dataclass(frozen=True)
class KindWords:
    name: str
    help: str


@dataclass(frozen=True)
class FieldWords:
    """What a form asks: the label, the unit (empty where it has none), and a line of help."""

    label: str
    unit: str = ""
    help: str = ""

    @property
    def caption(self) -> str:
        return f"{self.label}, {self.unit}" if self.unit else self.label


GROUPS: Mapping[str, Mapping[str, KindWords]] = {
    "Where volts come from": {
        "battery": KindWords("Battery", "A battery, with its volts in each key position"),
        "feed": KindWords("Feed", "A supply of the car behind its fuse, live in some key positions"),
        "ground point": KindWords("Ground point", "A way to battery negative through the body"),
        "switch to ground": KindWords("Switch to ground", "A switch of the car, such as the parking brake's"),
    },
    "What is fed": {
        "load": KindWords("Load", "Something that is fed and draws amps"),
        "lamp": KindWords("Lamp", "A filament lamp by its volts and watts"),
        "speaker": KindWords("Speaker", "A loudspeaker between its two leads"),
        "sense": KindWords("Signal input", "An input that only looks, such as a reverse or brake signal"),
    },
    "What it gives": {
        "output": KindWords("Output", "Switches volts to a lead, such as antenna turn-on"),
        "low-side output": KindWords("Output to ground", "Pulls a lead to ground, as for a relay's coil"),
        "step-down": KindWords("Step-down", "Makes fewer volts of more"),
        "step-up": KindWords("Step-up", "Makes more volts of fewer"),
        "speaker output": KindWords("Amplifier channel", "The two leads of one speaker"),
    },
    "In the line": {
        "fuse": KindWords("Fuse", "Opens above its rating"),
        "breaker": KindWords("Breaker", "Opens above its rating and can be closed again"),
        "switch": KindWords("Switch", "Closed in some key positions"),
        "relay": KindWords("Relay", "A coil that works a contact"),
        "diode": KindWords("Diode", "Conducts one way only"),
        "resistor": KindWords("Resistor", "A fixed resistance"),
        "link": KindWords("Inside connection", "Two pins that are one inside"),
        "shield": KindWords("Shield", "The braid of a screened cable"),
        "case": KindWords("Metal case", "A case that is joined to a pin, and perhaps bolted to the body"),
    },
    "Signals": {
        "button ladder": KindWords("Steering buttons", "Buttons that are told apart by their ohms"),
        "ladder reader": KindWords("Steering input", "An input that tells buttons apart by their volts"),
        "data pair": KindWords("Data pair", "Two wires that carry data"),
        "video": KindWords("Video", "A picture signal"),
        "line level": KindWords("Line level", "An audio signal before the amplifier"),
        "antenna": KindWords("Antenna", "The core and braid of an antenna lead"),
    },
}
KINDS: Mapping[str, KindWords] = {kind: words for group in GROUPS.values() for kind, words in group.items()}

_W = FieldWords
_FIELDS: Mapping[str, FieldWords] = {
    "plus": _W("Plus", help="The pin that is fed"),
    "minus": _W("Minus", help="The pin the amps go back by"),
    "terminal": _W("Pin", help="The pin it is about"),
    "reference": _W("Against", help="The pin that its volts are measured against"),
    "input": _W("In", help="The pin it is fed at"),
    "output": _W("Out", help="The pin it gives its volts at"),
    "common": _W("Common minus", help="The minus that in and out share"),
    "a": _W("From", help="The pin at one side"),
    "b": _W("To", help="The pin at the other side"),
    "volts": _W("Volts", "V"),
    "amps": _W("At most", "A", "The most amps it stands"),
    "ohms": _W("Resistance", "ohm"),
    "watts": _W("Power", "W"),
    "accepts": _W("Accepts volts", "V", "The least and the most volts it may see"),
    "live": _W("Live", help="The key positions it is live in"),
    "closed": _W("Closed", help="The key positions it is closed in"),
    "fed_from": _W("Fed from", help="The pin of this part that its supply comes in at"),
    "on_by": _W("Switched on by", help="The pin that must be live for it to be on"),
    "idle_amps": _W("Draws when off", "A", "The amps that are left while it is off, such as 5 mA"),
    "off_delay_s": _W("Stays on for", "s", "Seconds it stays on once its signal is gone"),
    "hold_up_s": _W("Rides through", "s", "Seconds it works on without its feed"),
    "pulse_s": _W("Only a pulse of", "s", "Seconds after which it lets go by itself"),
    "pull_up_ohms": _W(
        "Pull-up", "ohm", "The resistor or lamp that holds the pin up while nothing else does"
    ),
    "pull_up_volts": _W("Pulled up to", "V"),
    "termination_ohms": _W("Termination", "ohm", "Where this part ends the line: its ohms across it"),
    "least_ohms": _W("Least speaker", "ohm", "The least speaker ohms it may drive"),
    "source": _W("Source", help="Where these numbers are from: a data sheet, a label, a reading"),
    "resets": _W("Closes again by itself once it has cooled"),
    "volts_out": _W("Gives", "V"),
    "sort": _W("Sort", help="A switching one draws fewer amps than it gives; a linear one the same"),
    "efficiency": _W("Efficiency", "%", "Watts out for watts in, of a switching one"),
    "drop_out_volts": _W("Needs more", "V", "Volts that the input must be above the output"),
    "form": _W("Form", help="The form of the fuse"),
    "clamp": _W("Clamp", help="What takes the kick of the coil when it is switched off"),
}
_OF_KIND: Mapping[tuple[str, str], FieldWords] = {
    ("battery", "plus"): _W("Plus", help="The pin of the positive pole"),
    ("battery", "minus"): _W("Minus", help="The pin of the negative pole"),
    ("battery", "rest_volts"): _W("Volts at rest", "V", "With the engine stopped"),
    ("battery", "running_volts"): _W("Volts running", "V", "With the engine running and charging"),
    ("battery", "start_volts"): _W("Volts cranking", "V", "While the starter turns the engine"),
    ("battery", "ohms"): _W("Inside", "ohm", "The battery's own resistance"),
    ("battery", "amp_hours"): _W("Capacity", "Ah"),
    ("battery", "main"): _W("This is the car's own battery", help="Then no other is assumed"),
    ("feed", "terminal"): _W("Comes out at", help="The pin the feed is at"),
    ("feed", "volts"): _W("Volts", "V", "Where it gives other volts than the battery, such as 6 V"),
    ("feed", "ohms"): _W("Resistance", "ohm", "From the battery to this pin, the fuse apart"),
    ("feed", "fuse_amps"): _W("Vehicle fuse", "A", "The fuse of the car that protects it"),
    ("feed", "fuse"): _W("Fuse's name", help="As on the fuse box. Feeds with the same name share that fuse"),
    ("feed", "amps"): _W("At most", "A", "The most amps it may give"),
    ("feed", "manner"): _W("Manner", help="How it comes and goes"),
    ("feed", "after_run_minutes"): _W("After-run", "min", "Minutes a timed feed stays live after key-off"),
    ("feed", "duty"): _W("On for", "%", "The share of the time that a pulsed feed is on"),
    ("ground point", "terminal"): _W("Ground at", help="The pin that is on the body"),
    ("ground point", "ohms"): _W("Bolt", "ohm", "The resistance of its bolt or screw"),
    ("ground point", "reliable"): _W("Good enough for the amps of a load", help="A hitch or a shield is not"),
    ("switch to ground", "terminal"): _W("Switches pin", help="The pin that it ties to the body"),
    ("switch to ground", "pulled_up"): _W("Pulled up", help="When the volts that hold it up are there"),
    ("load", "amps"): _W("Draws", "A", "What it draws while it is on. State one of amps, ohms and watts"),
    ("load", "ohms"): _W("or it has", "ohm", "Such as a heater. State one of amps, ohms and watts"),
    ("load", "watts"): _W("or it takes", "W", "Such as a converter. State one of amps, ohms and watts"),
    ("load", "least_volts"): _W("Works from", "V", "Below this it draws like a resistor"),
    ("load", "on"): _W("On", help="The key positions it is on in"),
    ("load", "needed"): _W("Must work", help="The key positions it has to work in"),
    ("load", "inrush_amps"): _W("Inrush", "A", "The amps of the first moment"),
    ("load", "capacitance"): _W("Capacitors", help="Large ones spark when they are connected"),
    ("load", "reversed"): _W("Wrong way round", help="What a feed the wrong way round meets"),
    ("lamp", "volts"): _W("Lamp volts", "V", "As stamped on the lamp"),
    ("lamp", "watts"): _W("Lamp watts", "W", "As stamped on the lamp"),
    ("lamp", "cold_ohms"): _W("Cold", "ohm", "As a meter shows it while it is dark"),
    ("sense", "terminal"): _W("Looks at", help="The pin of the signal"),
    ("sense", "ohms"): _W("Resistance", "ohm", "What it draws next to nothing through"),
    ("sense", "active"): _W("Looks for", help="Whether volts or ground mean on"),
    ("sense", "threshold_volts"): _W("Tells at", "V", "The volts at which it tells on from off"),
    ("speaker", "plus"): _W("Plus", help="The pin marked +"),
    ("speaker", "minus"): _W("Minus", help="The pin marked −"),
    ("output", "terminal"): _W("Comes out at", help="The pin it gives its volts at"),
    ("output", "amps"): _W("Gives at most", "A"),
    ("low-side output", "terminal"): _W("Pulls down", help="The pin that it pulls to ground"),
    ("low-side output", "live"): _W("On", help="The key positions it pulls to ground in"),
    ("low-side output", "reference"): _W("To", help="The ground pin it pulls to"),
    ("step-down", "amps"): _W("Gives at most", "A"),
    ("step-down", "idle_amps"): _W("Draws with nothing on it", "A"),
    ("step-up", "amps"): _W("Gives at most", "A"),
    ("step-up", "idle_amps"): _W("Draws with nothing on it", "A"),
    ("speaker output", "plus"): _W("Plus", help="The speaker lead marked +"),
    ("speaker output", "minus"): _W("Minus", help="The speaker lead marked −"),
    ("speaker output", "bridged"): _W(
        "Bridged: neither lead is ground", help="Such leads must never touch ground or each other"
    ),
    ("fuse", "amps"): _W("Rating", "A"),
    ("fuse", "holder_amps"): _W("Holder", "A", "The most amps the fuse holder stands"),
    ("breaker", "amps"): _W("Rating", "A"),
    ("relay", "coil_plus"): _W("Coil plus", help="86 or 1: the coil's fed end"),
    ("relay", "coil_minus"): _W("Coil minus", help="85 or 2: the coil's other end"),
    ("relay", "common"): _W("Common", help="30: the contact that moves"),
    ("relay", "make"): _W("Makes", help="87: joined to common while the coil is live"),
    ("relay", "rest"): _W("Rests", help="87a: joined to common while it is not"),
    ("relay", "coil_ohms"): _W("Coil", "ohm"),
    ("relay", "pull_in_volts"): _W("Pulls in at", "V"),
    ("relay", "drop_out_volts"): _W("Lets go at", "V"),
    ("relay", "contact_amps"): _W("Contact stands", "A"),
    ("relay", "clamp_ohms"): _W("Clamp resistor", "ohm"),
    ("diode", "anode"): _W("Anode", help="The side the amps go in"),
    ("diode", "cathode"): _W("Cathode", help="The side with the ring"),
    ("diode", "drop_volts"): _W("Drop", "V", "Volts lost over it while it conducts"),
    ("resistor", "watts"): _W("Stands", "W"),
    ("shield", "a"): _W("Shield at", help="The pin of the braid"),
    ("shield", "touches"): _W("Touches", help="The pin it is joined to inside"),
    ("case", "a"): _W("Case at", help="The pin that the case is joined to"),
    ("case", "touches_body"): _W("Bolted to the car's body", help="Then it is a ground of its own"),
    ("button ladder", "signal"): _W("Signal", help="The pin of the signal wire"),
    ("button ladder", "reference"): _W("Against", help="The pin the buttons tie it to"),
    ("button ladder", "ohms"): _W("Buttons", "ohm", "Each button and its ohms; an emptied line goes"),
    ("button ladder", "rest_ohms"): _W("No button held", "ohm"),
    ("ladder reader", "tolerance"): _W("Tells apart", "%", "The least difference, of its pull-up volts"),
    ("data pair", "high"): _W("High", help="The pin of the high wire"),
    ("data pair", "low"): _W("Low", help="The pin of the low wire"),
}
CHOICES: Mapping[str, str] = {
    "": "not stated",
    "steady": "steady",
    "timed": "timed: stays on a while",
    "by data": "by data: only when asked",
    "pulsed": "pulsed: on and off quickly",
    "none": "none",
    "small": "small",
    "large": "large",
    "blocked": "is blocked",
    "diode": "a diode",
    "resistor": "a resistor",
    "high": "volts",
    "low": "ground",
    "linear": "linear",
    "switching": "switching",
}
ONLY_WITH: Mapping[tuple[str, str], tuple[str, str]] = {
    ("feed", "after_run_minutes"): ("manner", "timed"),
    ("feed", "duty"): ("manner", "pulsed"),
    ("relay", "clamp_ohms"): ("clamp", "resistor"),
}
"""Fields that mean something only where another field has one value."""
WHEN_EMPTY: Mapping[tuple[str, str], str] = {
    ("load", "on"): "whenever it is fed",
    ("load", "needed"): "not stated",
    ("switch to ground", "pulled_up"): "always",
}
"""What it means that no times are stated."""


def field_words(kind: str, field: str) -> FieldWords:
    """The words of a field of a kind. Raises KeyError where it has none."""
    return _OF_KIND.get((kind, field)) or _FIELDS[field]


@cache
def models() -> Mapping[str, type[Kind]]:
    """The model of every kind, by its name in the document."""
    union = get_args(get_args(Internal)[0])
    return {model.model_fields["kind"].default: model for model in union}


def fields_of(kind: str) -> tuple[str, ...]:
    """The fields that a form asks for: pins, then what it does, the source at the end."""
    names = [name for name in models()[kind].model_fields if name not in ("kind", "source")]
    pins = [name for name in names if name in TERMINAL_FIELDS and optional(kind, name) is False]
    rest = [name for name in names if name not in pins]
    return (*pins, *rest, *(["source"] if "source" in models()[kind].model_fields else []))


def optional(kind: str, field: str) -> bool:
    """Whether the field may be left empty, so that what is assumed counts."""
    return type(None) in get_args(models()[kind].model_fields[field].annotation)


def form_of(kind: str, field: str) -> Form:
    """How a field is asked for, told from the model alone."""
    if field in TERMINAL_FIELDS:
        return "pin"
    types = _types(models()[kind].model_fields[field].annotation)
    if LiveIn in types:
        return "when"
    if VoltWindow in types:
        return "window"
    if bool in types:
        return "tick"
    if any(get_origin(one) is Literal for one in types):
        return "choice"
    if any(get_origin(one) is dict for one in types):
        return "pairs"
    if float in types:
        return "share" if field_words(kind, field).unit == "%" else "number"
    return "line"


def choices_of(kind: str, field: str) -> tuple[tuple[str, str], ...]:
    """(value, words) of a field with a few values."""
    types = _types(models()[kind].model_fields[field].annotation)
    values = next(get_args(one) for one in types if get_origin(one) is Literal)
    return tuple((str(value), CHOICES.get(str(value), str(value))) for value in values)


def _types(annotation: object) -> tuple[object, ...]:
    """The types that a field may have, out of unions and annotations."""
    origin = get_origin(annotation)
    if origin in (Union, UnionType):
        return tuple(found for one in get_args(annotation) for found in _types(one))
    inner = getattr(annotation, "__metadata__", None)
    return _types(get_args(annotation)[0]) if inner is not None else (annotation,)
