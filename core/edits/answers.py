"""What a drop target answers: fits; fits, but; cannot."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Verdict:
    """`reason` is a sentence (empty where it simply fits); `rule` the name of the conflict it would make."""

    kind: Literal["fits", "but", "cannot"]
    reason: str = ""
    rule: str | None = None


FITS = Verdict("fits")
