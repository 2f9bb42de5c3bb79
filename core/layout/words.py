"""What is written on the map: titles of parts and the words on flags, already short enough for their room."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple, Protocol

from core.ids import split_terminal
from core.job.document import Job
from core.job.lookup import Lookup
from core.job.parts import Cavity, Part
from core.layout import metrics


class HasWords(Protocol):
    """A function of the table, as far as the map needs it."""

    @property
    def words(self) -> str: ...


class Functions(Protocol):
    """The library, as far as the map needs it."""

    @property
    def functions(self) -> Mapping[str, HasWords]: ...


class FlagText(NamedTuple):
    """Pin (in the tab), colour letters and words of a flag, as they are to be drawn."""

    pin: str
    colour: str
    words: str


def flag_text(job: Job, library: Functions, terminal: str) -> FlagText:
    """What stands on the flag of `terminal`; empty texts where the terminal does not exist."""
    cavity = job.cavity(terminal)
    if cavity is None:
        return FlagText(split_terminal(terminal).pin, "", "")
    return text_of(cavity, colour_at(job.lookup, terminal, cavity) or "", library)


def text_of(cavity: Cavity, colour: str, library: Functions) -> FlagText:
    room = metrics.FLAG_MOST - _beside_words(cavity.pin, colour)
    words = metrics.fitted(function_words(cavity, library), metrics.LABEL_TYPE, room)
    return FlagText(cavity.pin, colour, words)


def function_words(cavity: Cavity, library: Functions) -> str:
    """The table's words for the cavity's function, else what the sheet says in its own words."""
    function = library.functions.get(cavity.function) if cavity.function else None
    return function.words if function is not None else cavity.label or cavity.function


def flag_width(text: FlagText) -> float:
    """How wide a flag must be for its texts, rounded up to the step that all flags share."""
    needed = _beside_words(text.pin, text.colour) + metrics.text_width(text.words, metrics.LABEL_TYPE)
    steps = -((metrics.FLAG_LEAST - needed) // metrics.FLAG_STEP)
    return metrics.FLAG_LEAST + max(0.0, steps) * metrics.FLAG_STEP


def tab_width(pin: str) -> float:
    """How wide the tab with the pin is: round for one or two signs, longer for more."""
    return max(metrics.FLAG_HEIGHT, metrics.text_width(pin, metrics.PIN_TYPE) + metrics.TAB_PADDING)


def colour_at(lookup: Lookup, terminal: str, cavity: Cavity) -> str | None:
    """The colour of the copper that leaves a cavity: its lead's, its crimped wire's, or the car's own."""
    if cavity.lead is not None and cavity.lead.colour:
        return cavity.lead.colour
    for end in lookup.crimped.get(terminal, ()):
        conductor = lookup.conductors[end.partition(":")[0]]
        if conductor.colour:
            return conductor.colour
    return cavity.colour_found or cavity.colour_sheet


def block_title(part: Part) -> str:
    return metrics.fitted(part.name or part.id, metrics.TITLE_TYPE, metrics.TITLE_MOST)


def block_subtitle(part: Part, mated: tuple[Part, ...]) -> str:
    """`RAD · 18-way · on the car, mated`: the tag, the ways, where it stands."""
    states = {part.state, *(half.state for half in mated)}
    if mated:
        where = "on the car, mated" if "on the car" in states else "mated"
    else:
        where = "" if part.state == "to fit" else part.state
    pieces = [piece for piece in (part.id, _ways(part), where) if piece]
    return metrics.fitted(" · ".join(pieces), metrics.SUBTITLE_TYPE, metrics.TITLE_MOST)


def _ways(part: Part) -> str:
    if len(part.connectors) > 1:
        return f"{len(part.connectors)} connectors"
    only = part.connectors[0]
    if only.face is None:
        return "1 lead" if len(only.cavities) == 1 else f"{len(only.cavities)} leads"
    return f"{len(only.face.places)}-way"


def _beside_words(pin: str, colour: str) -> float:
    letters = metrics.text_width(colour, metrics.COLOUR_TYPE) + metrics.FLAG_GAP if colour else 0.0
    return metrics.FLAG_PADDING + metrics.FLAG_GAP + letters + tab_width(pin)
