"""Points of a reading and the numbers a meter shows, as people write them."""

from __future__ import annotations

import re

from core.ids import kind_of, other_end, owner_of_end
from core.job.document import Job
from core.job.record import BATTERY_POINTS, Quantity
from core.layout.words import function_words
from core.library.library import Library
from core.units import show_amps, show_ohms

USUAL_BLACK = "battery -"
"""Where the black lead usually is."""
LEAST_AMPS = 0.5e-6
"""No meter in a workshop shows less."""


def is_there(job: Job, point: str) -> bool:
    """Whether a point of a reading is on the job as it is now."""
    if point in BATTERY_POINTS:
        return True
    match kind_of(point):
        case "terminal":
            return job.cavity(point) is not None
        case "joint":
            return point in job.joints
        case "wire end":
            return owner_of_end(point) in job.lookup.conductors
        case _:
            return False


def is_airbag(job: Job, point: str) -> bool:
    """Whether a point is a cavity of an airbag circuit, or meets one."""
    if point in BATTERY_POINTS or kind_of(point) != "terminal":
        return False
    ends = (point, job.lookup.meets.get(point))
    return any(cavity.airbag for end in ends if end and (cavity := job.cavity(end)) is not None)


def point_words(job: Job, point: str) -> str:
    """A point as people write it: `RAD-4`, `J3`, `W2 end a`, `battery −`."""
    if point in BATTERY_POINTS:
        return point.replace("-", "−")
    if kind_of(point) == "wire end":
        owner, _, letter = point.partition(":")
        return f"{owner} end {letter}"
    return job.shown(point)


def what_is_there(job: Job, library: Library, point: str) -> str:
    """A terminal's function, a joint's ends, a wire's colour."""
    if point in BATTERY_POINTS:
        return ""
    match kind_of(point):
        case "terminal":
            cavity = job.cavity(point)
            return function_words(cavity, library) if cavity is not None else ""
        case "joint":
            joint = job.joints.get(point)
            return ", ".join(job.shown(end) for end in joint.ends) if joint is not None else ""
        case _:
            conductor = job.lookup.conductors.get(owner_of_end(point))
            return conductor.colour or "" if conductor is not None else ""


def through(job: Job, red: str) -> str | None:
    """The far end of the one conductor at a point, for a reading in amps; None where there is none."""
    match kind_of(red) if red not in BATTERY_POINTS else "part":
        case "terminal":
            return job.lookup.joint_of.get(red)
        case "wire end":
            return other_end(red)
        case _:
            return None


_TYPED = re.compile(
    r"^([-−+]?[0-9]*[.,]?[0-9]+)\s*([mkKMµu]?)\s*(?:v|volts?|a|amps?|ohms?|Ω)?$", re.IGNORECASE
)
_FACTORS = {"": 1.0, "m": 1e-3, "k": 1e3, "K": 1e3, "M": 1e6, "µ": 1e-6, "u": 1e-6}


def typed_value(text: str) -> float | None:
    """`12.4`, `12,4 V`, `35 mV`, `4.7 k` in volts, ohms or amps; None where it is no number."""
    match = _TYPED.fullmatch(text.strip())
    if match is None:
        return None
    return float(match[1].replace(",", ".").replace("−", "-")) * _FACTORS.get(match[2], 1e-6)


def show_value(value: float, quantity: Quantity) -> str:
    """As a meter shows it: `12.43 V`, `35 mV`, `0.28 A`, `4.7 kΩ`."""
    match quantity:
        case "ohms":
            text = f"{value:.2f} Ω" if 0.0995 <= abs(value) < 0.9995 else show_ohms(value)
        case "amps":
            text = show_amps(value) if abs(value) >= LEAST_AMPS else "0 A"
        case _:
            text = _show_volts(value)
    return text.replace("-", "−")


def _show_volts(volts: float) -> str:
    """To a hundredth, small ones in millivolts."""
    if abs(volts) >= 0.0995:
        return f"{volts:.2f} V"
    thousandths = round(volts * 1000)
    return f"{thousandths} mV" if thousandths else "0 V"
