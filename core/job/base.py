"""What every model of the document shares."""

from __future__ import annotations

from typing import Annotated, Any, Self

from pydantic import AfterValidator, BaseModel, ConfigDict, StringConstraints

from core.ids import (
    CONNECTOR_PATTERN,
    LOCAL_TERMINAL_PATTERN,
    NUMBERED_PATTERN,
    PIN_PATTERN,
    TERMINAL_PATTERN,
    WIRE_END_PATTERN,
    is_tag,
)

SHORT_TEXT_LENGTH = 200
LONG_TEXT_LENGTH = 8_000


def _matching(pattern: str) -> StringConstraints:
    return StringConstraints(pattern=pattern)


def _tag(text: str) -> str:
    if not is_tag(text):
        raise ValueError(
            f"{text!r} cannot be a tag: a capital, then capitals and digits, and not like J3 or W12"
        )
    return text


PartId = Annotated[str, AfterValidator(_tag)]
ConnectorId = Annotated[str, _matching(r"^[A-Z][A-Z0-9]{0,11}\.[A-Za-z0-9]{1,12}$")]
TerminalId = Annotated[str, _matching(TERMINAL_PATTERN)]
NumberedId = Annotated[str, _matching(NUMBERED_PATTERN)]
End = Annotated[str, _matching(f"{TERMINAL_PATTERN}|{WIRE_END_PATTERN}")]
ConnectorName = Annotated[str, _matching(CONNECTOR_PATTERN)]
Pin = Annotated[str, _matching(PIN_PATTERN)]
LocalTerminal = Annotated[str, _matching(LOCAL_TERMINAL_PATTERN)]
Text = Annotated[str, StringConstraints(max_length=SHORT_TEXT_LENGTH)]
LongText = Annotated[str, StringConstraints(max_length=LONG_TEXT_LENGTH)]


class Frozen(BaseModel):
    """A part of the document: immutable, no unknown keys, no NaN."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)

    def changed(self, **fields: Any) -> Self:
        """A validated copy with some fields replaced. Raises ValidationError."""
        # Cached properties stand in __dict__ too, and would be stale in the copy.
        kept = {name: self.__dict__[name] for name in type(self).model_fields}
        return type(self).model_validate(kept | fields)
