"""Where everything stands on the map: faces, flags, joints, curves. Plain data, no screen."""

from core.layout.arrange import arrange, place_for_new
from core.layout.build import lay_out, update
from core.layout.hits import bounds, thing_at
from core.layout.words import flag_text

__all__ = ["arrange", "bounds", "flag_text", "lay_out", "place_for_new", "thing_at", "update"]
