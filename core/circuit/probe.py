"""A reading that is asked for, and what a meter should show."""

from __future__ import annotations

from dataclasses import dataclass

from core.job.record import Quantity, Reading

FLOATING = "floating: a 10 Mohm meter shows nothing to be trusted"
OPEN = "open"
NOT_STATED = "not stated"
AIRBAG = "airbag circuit: nobody measures here"
NOT_THERE = "no such place"
NO_CONDUCTOR = "no single conductor lies between"
NOTHING_LIFTED = "nothing to lift there"
UNSOLVED = "could not be worked out"


@dataclass(frozen=True, slots=True)
class Probe:
    """Where a meter is held and what it is set to; the words are those of a Reading."""

    red: str
    black: str
    quantity: Quantity = "volts"
    lifted: str | None = None
    loaded: bool = True
    bench: bool = False

    @classmethod
    def of(cls, reading: Reading) -> Probe:
        """How the meter was held for a reading that was taken."""
        return cls(
            reading.red,
            reading.black,
            reading.quantity,
            reading.lifted,
            reading.loaded,
            reading.bench,
        )

    @property
    def circuit(self) -> tuple[str | None, bool]:
        """What the job's circuit is changed by before the meter is held to it."""
        return self.lifted, self.loaded


@dataclass(frozen=True, slots=True)
class MeterShows:
    """What a meter should show, in the unit of its quantity; None where there is no number to be trusted.

    `words` say why there is none.
    """

    value: float | None
    words: str = ""
