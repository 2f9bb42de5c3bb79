"""Where everything stands on the map: faces, flags, joints, curves. Plain data, no screen."""

from core.layout.build import lay_out, update
from core.layout.words import flag_text

__all__ = ["flag_text", "lay_out", "update"]
