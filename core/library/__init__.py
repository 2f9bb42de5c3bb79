"""The library: functions, wire sizes, faces and parts, read from `shared/` and the user's own folder."""

from core.library.functions import PairVerdict
from core.library.library import Library, new_part
from core.library.limits import Limit, Limits
from core.library.loader import default_library, load_library
from core.library.mates import LeadKind
from core.library.model import ConnectorShape, Function, FunctionClass, LibraryPart, WireSize

__all__ = [
    "ConnectorShape",
    "Function",
    "FunctionClass",
    "LeadKind",
    "Library",
    "LibraryPart",
    "Limit",
    "Limits",
    "PairVerdict",
    "WireSize",
    "default_library",
    "load_library",
    "new_part",
]
