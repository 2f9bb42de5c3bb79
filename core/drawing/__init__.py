"""The build drawing: collect from the job, lay out on sheets, draw."""

from core.drawing.build import SHEETS, build_drawing, print_pdf
from core.drawing.items import Page

__all__ = ["SHEETS", "Page", "build_drawing", "print_pdf"]
