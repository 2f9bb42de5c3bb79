"""Signals: button ladders and their readers, data, video, line level, antenna."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from core.job.base import LocalTerminal, Text
from core.job.internals.common import Kind, Ohms, PositiveVolts, Share


class ButtonLadder(Kind):
    """Steering buttons: each ties the signal to the reference through its own ohms. `rest_ohms` are there
    while none is held; left out, the ladder is open at rest.
    """

    kind: Literal["button ladder"] = "button ladder"
    signal: LocalTerminal
    reference: LocalTerminal
    ohms: dict[str, Annotated[float, Field(ge=0, le=1e9)]] = Field(default_factory=dict)
    rest_ohms: Ohms | None = None
    source: Text = ""


class LadderReader(Kind):
    """An input that tells the buttons of a ladder apart by their volts.

    It pulls `terminal` up through `pull_up_ohms` to `pull_up_volts` against `reference`. `tolerance`: the
    least difference it can tell, as a share of its pull-up volts.
    """

    kind: Literal["ladder reader"] = "ladder reader"
    terminal: LocalTerminal
    reference: LocalTerminal
    pull_up_ohms: Ohms
    pull_up_volts: PositiveVolts
    tolerance: Share = 0.05
    source: Text = ""


class DataPair(Kind):
    """A data line between high and low. `termination_ohms` where this part ends the line."""

    kind: Literal["data pair"] = "data pair"
    high: LocalTerminal
    low: LocalTerminal
    termination_ohms: Ohms | None = None
    source: Text = ""


class _Signal(Kind):
    terminal: LocalTerminal
    reference: LocalTerminal | None = None
    termination_ohms: Ohms | None = None
    source: Text = ""


class Video(_Signal):
    """A video signal (composite: 75 ohm at the end of its line)."""

    kind: Literal["video"] = "video"


class LineLevel(_Signal):
    """An audio signal at line level."""

    kind: Literal["line level"] = "line level"


class Antenna(_Signal):
    """An antenna's signal; its reference is the braid."""

    kind: Literal["antenna"] = "antenna"
