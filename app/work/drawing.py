"""The build drawing of the document that is open, made when it is wanted, and its pages as pictures."""

from __future__ import annotations

from collections.abc import Sequence

import pypdfium2
from PySide6.QtGui import QImage

from app.session import Session
from app.work.check_service import CheckService
from core.drawing.build import print_pdf

POINTS_PER_INCH = 72


def make_pdf(
    session: Session, checks: CheckService, paper: str, sheets: Sequence[str] | None = None
) -> bytes:
    """The PDF of the very document that is open, after a finished check of it. Raises UserError."""
    return print_pdf(session.job, checks.final_result(), session.library, paper, sheets)


class Pages:
    """The pages of a PDF, turned into pictures one by one."""

    def __init__(self, data: bytes) -> None:
        self._document = pypdfium2.PdfDocument(data)

    def close(self) -> None:
        """Give the document back; no page can be made afterwards."""
        self._document.close()

    def __len__(self) -> int:
        return len(self._document)

    def size_inches(self, number: int) -> tuple[float, float]:
        width, height = self._document[number].get_size()
        return width / POINTS_PER_INCH, height / POINTS_PER_INCH

    def image(self, number: int, width_px: int) -> QImage:
        """Page `number` (from 0), `width_px` wide."""
        page = self._document[number]
        bitmap = page.render(scale=width_px / page.get_width(), rev_byteorder=True, prefer_bgrx=True)
        data = bytes(bitmap.buffer)
        picture = QImage(data, bitmap.width, bitmap.height, bitmap.stride, QImage.Format.Format_RGBX8888)
        return picture.copy()
