"""The build drawing: shown, written to a file, sent to a printer."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPageLayout, QPainter
from PySide6.QtWidgets import QDialog, QFileDialog

from app.desk import Desk
from app.notify import tell_problem
from core.errors import UserError
from core.files.atomic import write_whole

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter

PRINT_DPI = 300


def show_drawing(desk: Desk) -> None:
    desk.places.show_place("drawing")


def save_pdf(desk: Desk, sheets: Sequence[str] | None = None) -> None:
    """Ask where, then write the drawing of the very document that is open."""
    stem = desk.session.path.stem if desk.session.path else (desk.session.job.sheet.number or "job")
    folder = desk.session.path.parent if desk.session.path else Path()
    name, _ = QFileDialog.getSaveFileName(
        desk.window, "Save the build drawing", str(folder / f"{stem}.pdf"), "PDF (*.pdf)"
    )
    if name:
        write_pdf(desk, Path(name if name.lower().endswith(".pdf") else name + ".pdf"), sheets)


def write_pdf(desk: Desk, path: Path, sheets: Sequence[str] | None = None) -> bool:
    """Write the drawing to `path`; True where that was done."""
    try:
        write_whole(path, _pdf(desk, sheets))
    except UserError as problem:
        tell_problem(desk.window, "The drawing was not written", problem)
        return False
    desk.notices.say(f"Saved {path.name}.")
    return True


def print_pages(desk: Desk, sheets: Sequence[str] | None = None) -> None:
    """Ask for a printer and send the sheets to it."""
    from PySide6.QtPrintSupport import QPrintDialog, QPrinter

    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setPageOrientation(QPageLayout.Orientation.Landscape)
    printer.setFullPage(True)
    if QPrintDialog(printer, desk.window).exec() == QDialog.DialogCode.Accepted:
        send(desk, printer, sheets)


def send(desk: Desk, printer: QPrinter, sheets: Sequence[str] | None = None) -> bool:
    """Paint the sheets on a printer at their true size, turned into pictures of 300 dots an inch."""
    from app.work.drawing import Pages

    try:
        pages = Pages(_pdf(desk, sheets))
    except UserError as problem:
        tell_problem(desk.window, "The drawing was not printed", problem)
        return False
    painter = QPainter()
    if not painter.begin(printer):
        pages.close()
        desk.notices.refuse("The printer did not take the drawing.")
        return False
    try:
        for number in range(len(pages)):
            if number:
                printer.newPage()
            width_in, height_in = pages.size_inches(number)
            dots = printer.resolution()
            target = QRectF(0, 0, width_in * dots, height_in * dots)
            painter.drawImage(target, pages.image(number, round(width_in * PRINT_DPI)))
    finally:
        painter.end()
        count = len(pages)
        pages.close()
    desk.notices.say(f"{count} page{'s' if count != 1 else ''} sent to {printer.printerName() or 'file'}.")
    return True


def _pdf(desk: Desk, sheets: Sequence[str] | None) -> bytes:
    from app.work.drawing import make_pdf

    return make_pdf(desk.session, desk.checks, desk.program.settings.paper, sheets)
