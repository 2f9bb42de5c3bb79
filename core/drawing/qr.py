"""The square code on every sheet (ISO/IEC 18004): job number, revision, content hash, sheet; no address."""

from __future__ import annotations

from itertools import groupby

from reportlab.graphics.barcode.qrencoder import QR8bitByte, QRCode, QRErrorCorrectLevel

from core.job.record import JobSheet

MOST_LETTERS = 60
QUIET_CELLS = 2
"""The blank ring drawn round the code; the white of the field about it makes it at least four cells."""

Runs = tuple[tuple[int, int, int], ...]


def code_text(sheet: JobSheet, content_hash: str, number: int, of: int) -> str:
    """What the code says. A job number of more than 60 letters is cut; the hash names the content anyway."""
    return (
        f"job {sheet.number[:MOST_LETTERS]}; revision {sheet.revision[:MOST_LETTERS]}; "
        f"content {content_hash}; sheet {number} of {of}"
    )


def codes(texts: list[str]) -> list[tuple[int, Runs]]:
    """Cells along one side and the runs of dark cells, for each text.

    The mask is sought for the first text and kept: any of the eight is right to a reader, and the texts
    differ by a digit.
    """
    made: list[tuple[int, Runs]] = []
    mask: int | None = None
    for text in texts:
        code = QRCode(None, QRErrorCorrectLevel.M)
        code.addData(QR8bitByte(text))
        code.version = code.calculate_version()
        if mask is None:
            mask = code.getBestMaskPattern()
        code.makeImpl(False, mask)
        made.append((code.moduleCount, _runs(code.modules)))
    return made


def _runs(modules: list[list[bool]]) -> Runs:
    runs: list[tuple[int, int, int]] = []
    for row, cells in enumerate(modules):
        column = 0
        for dark, group in groupby(cells):
            count = len(list(group))
            if dark:
                runs.append((column, row, count))
            column += count
    return tuple(runs)
