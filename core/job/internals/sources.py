"""Where volts come from, and the ways to the battery's ground pole."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from core.job.base import LocalTerminal, Text
from core.job.internals.common import Amps, Kind, LiveIn, Ohms, PositiveVolts, Share, Volts


class Battery(Kind):
    """A battery. Volts left out are those of the job's settings. `main`: it is the car's own battery, so
    that feeds without a source of their own come from it and no other is assumed.
    """

    kind: Literal["battery"] = "battery"
    plus: LocalTerminal
    minus: LocalTerminal
    rest_volts: PositiveVolts | None = None
    running_volts: PositiveVolts | None = None
    start_volts: PositiveVolts | None = None
    ohms: Ohms | None = None
    amp_hours: Annotated[float, Field(gt=0, le=10_000)] | None = None
    main: bool = False
    source: Text = ""


class Feed(Kind):
    """A supply: the car's battery behind a fuse and a switch. `volts` None means the system's own.

    `fed_from`: another terminal of the same part that it comes from, instead of the car's battery. Feeds
    with the same words in `fuse` share one vehicle fuse. `amps` is the most it may give. `manner`: `timed`
    feeds stay awake `after_run_minutes` after key-off, `by data` ones are live only where something asks by
    data, `pulsed` ones are on for the share `duty` of the time.
    """

    kind: Literal["feed"] = "feed"
    terminal: LocalTerminal
    live: LiveIn
    volts: Volts | None = None
    ohms: Ohms | None = None
    fuse_amps: Amps | None = None
    fuse: Text = ""
    amps: Amps | None = None
    manner: Literal["steady", "timed", "by data", "pulsed"] = "steady"
    after_run_minutes: Annotated[float, Field(gt=0, le=1440)] | None = None
    duty: Share | None = None
    fed_from: LocalTerminal | None = None
    source: Text = ""

    @model_validator(mode="after")
    def _manner_is_whole(self) -> Self:
        if (self.manner == "pulsed") != (self.duty is not None):
            raise ValueError("a feed is pulsed where it has a duty, and only there")
        if self.after_run_minutes is not None and self.manner != "timed":
            raise ValueError("only a timed feed has minutes of after-run")
        return self


class GroundPoint(Kind):
    """A way to the battery's ground pole, through the body. `ohms` are those of its bolt. Unreliable ones
    (shield, antenna, hitch) are no return.
    """

    kind: Literal["ground point"] = "ground point"
    terminal: LocalTerminal
    ohms: Ohms | None = None
    reliable: bool = True


class SwitchToGround(Kind):
    """A switch of the car that joins its terminal to the body, such as the parking brake's.

    While it is open, `pull_up_ohms` (a lamp, a resistor) hold the terminal at `pull_up_volts`, or at the
    system's own, where that is given, in the positions of `pulled_up`.
    """

    kind: Literal["switch to ground"] = "switch to ground"
    terminal: LocalTerminal
    closed: LiveIn
    ohms: Ohms | None = None
    pull_up_ohms: Ohms | None = None
    pull_up_volts: PositiveVolts | None = None
    pulled_up: LiveIn | None = None
    source: Text = ""
