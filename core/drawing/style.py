"""The look of the sheets: inks, type sizes and line widths, in points."""

from __future__ import annotations

INK = "#22262B"
QUIET = "#5C6269"
FAINT = "#9A9FA6"
HAIRLINE = "#C9C5BC"
ZEBRA = "#F5F4F1"
PAPER = "#FFFFFF"
STOP = "#B3261E"
LOOK = "#A15C00"
GOOD = "#2E7D4F"

TITLE = 13.0
SECTION = 10.0
BODY = 8.0
SMALL = 7.5
HEADING = 7.0

LEADING = 1.24
HAIR = 0.4
FINE = 0.6
FRAME = 2.0
"""0.7 mm, the frame line."""
