"""What the kinds of internals share: quantities, when something is on, and the union's tag."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field, SerializerFunctionWrapHandler, StringConstraints, model_serializer

from core.job.base import Frozen

Key = Literal["off", "accessory", "run", "start", "running"]
Switch = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9-]{0,29}$")]
"""One of `STANDARD_SWITCHES`, or a switch of the job's own: `cut-off`."""
STANDARD_SWITCHES: tuple[Switch, ...] = ("lights", "reverse", "parking", "brake", "left", "right")

Volts = Annotated[float, Field(ge=-1000, le=1000)]
PositiveVolts = Annotated[float, Field(gt=0, le=1000)]
Amps = Annotated[float, Field(gt=0, le=10_000)]
Ohms = Annotated[float, Field(gt=0, le=1e9)]
Watts = Annotated[float, Field(gt=0, le=100_000)]
Seconds = Annotated[float, Field(gt=0, le=86_400)]
Share = Annotated[float, Field(gt=0, le=1)]


class VoltWindow(Frozen):
    """What an input accepts, in volts."""

    least: Volts
    most: Volts


class LiveIn(Frozen):
    """When something is live, on or closed: in these key positions; only with `switch` on where one is
    named, and only with the switch `unless` off where one is named.
    """

    keys: tuple[Key, ...]
    switch: Switch | None = None
    unless: Switch | None = None

    @property
    def switches(self) -> tuple[Switch, ...]:
        """The switches it depends on."""
        return tuple(switch for switch in (self.switch, self.unless) if switch is not None)


class Kind(Frozen):
    """Writes its `kind` even where defaults are left out: the union is told apart by it."""

    @model_serializer(mode="wrap")
    def _with_kind(self, handler: SerializerFunctionWrapHandler) -> dict[str, Any]:
        return {"kind": self.__dict__["kind"], **handler(self)}
