"""Quantities: how they are written, read and rounded. The only place that rounds."""

from __future__ import annotations

import re
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

MM_PER_INCH = 25.4

LengthMm = Annotated[float, Field(ge=0, le=1_000_000)]

_GAUGE = re.compile(r"^(?:(?P<awg>[1-9][0-9]?|0|00|000|0000) AWG|(?P<mm2>[0-9]{1,3}(?:\.[0-9]{1,3})?) mm2)$")


def _gauge(text: str) -> str:
    if not _GAUGE.fullmatch(text):
        raise ValueError(f"{text!r} is not a gauge; write it as '18 AWG' or '0.75 mm2'")
    return text


Gauge = Annotated[str, AfterValidator(_gauge)]


def awg_area_mm2(number: int) -> float:
    """Cross-section of a solid wire; 00 is -1, 000 is -2. ASTM B258: d = 0.127 mm x 92^((36-n)/39)."""
    diameter_mm = 0.127 * 92 ** ((36 - number) / 39)
    return float(0.7853981633974483 * diameter_mm**2)


def area_mm2(gauge: str) -> float:
    """Nominal copper area of a gauge: by its name where metric, by ASTM B258 where AWG."""
    match = _GAUGE.fullmatch(gauge)
    if match is None:
        raise ValueError(f"{gauge!r} is not a gauge")
    if match["mm2"]:
        return float(match["mm2"])
    awg = match["awg"]
    return awg_area_mm2(1 - len(awg) if set(awg) == {"0"} else int(awg))


def show_length(length_mm: float, unit: Literal["mm", "inch"]) -> str:
    """A length for people: whole millimetres, or inches to a quarter."""
    if unit == "mm":
        return f"{length_mm:.0f} mm"
    quarters = round(length_mm / MM_PER_INCH * 4)
    whole, rest = divmod(quarters, 4)
    fraction = ("", "1/4", "1/2", "3/4")[rest]
    return " ".join(piece for piece in (str(whole) if whole or not rest else "", fraction) if piece) + " in"


def show_volts(volts: float) -> str:
    """Volts to a tenth, without a trailing zero: `12 V`, `12.4 V`."""
    return f"{volts:.1f}".removesuffix(".0") + " V"


def show_amps(amps: float) -> str:
    """Amps to three figures, small ones in milliamps: `12.5 A`, `0.35 A`, `4.2 mA`, `12 µA`."""
    size = abs(amps)
    if 0 < size < 0.000_999_5:
        return f"{amps * 1e6:.3g} µA"
    if size < 0.099_95:
        return f"{amps * 1e3:.3g} mA"
    return f"{amps:.3g} A" if size < 999.5 else f"{amps:.0f} A"


def show_ohms(ohms: float) -> str:
    """Ohms to three figures: `12 mΩ`, `4.7 Ω`, `12.2 kΩ`, `1.5 MΩ`."""
    size = abs(ohms)
    for least, factor, unit in ((999_500, 1e-6, "MΩ"), (999.5, 1e-3, "kΩ"), (0.9995, 1, "Ω")):
        if size >= least:
            return f"{ohms * factor:.3g} {unit}"
    return f"{ohms * 1e3:.3g} mΩ"
