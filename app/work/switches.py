"""The switches that a position may have on: the trade's, the job's own, and buttons that are held."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from core.circuit.positions import button_switch, ordered
from core.job.document import Job
from core.job.internals import ButtonLadder, LiveIn, Switch
from core.job.internals.common import STANDARD_SWITCHES

SWITCH_WORDS: dict[Switch, str] = {
    "lights": "Lights",
    "reverse": "Reverse",
    "parking": "Parking brake",
    "brake": "Brake pedal",
    "left": "Left turn",
    "right": "Right turn",
}


@dataclass(frozen=True)
class Held:
    """A button that can be held: the switch a position has on then, its name, and whose it is."""

    switch: Switch
    name: str
    tags: tuple[str, ...]

    @property
    def words(self) -> str:
        return f"{self.name} ({', '.join(self.tags)})"


def own_switches(job: Job) -> tuple[Switch, ...]:
    """The job's switches beside the trade's: those it lists, then any other that a part names."""
    listed = tuple(switch.name for switch in job.settings.switches)
    named = {switch for live in _times(job) for switch in live.switches}
    return tuple(dict.fromkeys(s for s in ordered({*listed, *named}, listed) if s not in STANDARD_SWITCHES))


def _times(job: Job) -> Iterator[LiveIn]:
    for part in job.parts.values():
        for internal in part.internals:
            yield from (value for _, value in internal if isinstance(value, LiveIn))


def held_buttons(job: Job) -> tuple[Held, ...]:
    """Every button of every ladder. Those of one short name are held together, and are told together."""
    found: dict[Switch, tuple[str, list[str]]] = {}
    for tag, part in job.parts.items():
        if part.state == "removed":
            continue
        ladders = (internal for internal in part.internals if isinstance(internal, ButtonLadder))
        for button in dict.fromkeys(name for ladder in ladders for name in ladder.ohms if name):
            tags = found.setdefault(button_switch(button), (button, []))[1]
            tags.append(tag)
    return tuple(Held(switch, name, tuple(dict.fromkeys(tags))) for switch, (name, tags) in found.items())


def known_switches(job: Job) -> tuple[Switch, ...]:
    """What may be on beside the trade's switches, in the order of a position's name."""
    held = (button.switch for button in held_buttons(job) if button.switch not in STANDARD_SWITCHES)
    return tuple(dict.fromkeys((*own_switches(job), *held)))


def switch_words(job: Job, switch: Switch) -> str:
    """A switch as people call it: `Parking brake`, the job's words for its own, else its name."""
    words = next((own.words for own in job.settings.switches if own.name == switch), "")
    return words or SWITCH_WORDS.get(switch) or switch.replace("-", " ").capitalize()
