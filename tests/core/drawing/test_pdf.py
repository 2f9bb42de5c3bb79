"""The PDF: the same bytes everywhere, what can be read back from it, and that user text stays text."""

from __future__ import annotations

import os
import subprocess
import sys
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from core.drawing.build import build_drawing, print_pdf
from core.job.record import JobSheet
from tests.core.drawing.made import LIBRARY, random_job, two_parts, van

SCRIPT = """
import hashlib, locale
from core.drawing.build import print_pdf
from tests.core.drawing.made import LIBRARY, random_job, van
try:
    locale.setlocale(locale.LC_ALL, "")
except locale.Error:
    pass
for job, result in (van(), random_job(1, parts=3)):
    print(hashlib.sha256(print_pdf(job, result, LIBRARY, "a4")).hexdigest())
"""


def test_the_same_job_gives_the_same_bytes_everywhere(tmp_path: Path, root: Path) -> None:
    """Three locales, two hash seeds, two time zones, another folder: the same two files."""
    runs = []
    for language, seed, zone, folder in (
        ("C", "1", "UTC", root),
        ("C.UTF-8", "2", "Asia/Tokyo", tmp_path),
        ("tr_TR.UTF-8", "1", "UTC", root),
    ):
        env = {
            **os.environ,
            "LC_ALL": language,
            "LANG": language,
            "PYTHONHASHSEED": seed,
            "TZ": zone,
            "PYTHONPATH": str(root),
        }
        command = [sys.executable, "-c", SCRIPT]
        runs.append(subprocess.run(command, env=env, cwd=folder, capture_output=True, text=True, check=True))
    outputs = [run.stdout for run in runs]
    assert len(outputs[0].split()) == 2
    assert outputs[1:] == outputs[:1] * 2


def test_a_second_print_is_the_same() -> None:
    job, result = van()
    assert print_pdf(job, result, LIBRARY) == print_pdf(job, result, LIBRARY)


def test_the_map_alone_does_not_tell_the_time() -> None:
    job, result = two_parts()
    reader = PdfReader(BytesIO(print_pdf(job, result, LIBRARY)))
    dates = {str(reader.metadata[key])[:10] for key in reader.metadata or () if "Date" in key}
    assert dates <= {"D:20000101"}


@pytest.mark.parametrize("paper", ["letter", "a4", "tabloid", "a3"])
def test_pages_and_words_come_back_out(paper: str) -> None:
    job, result = van()
    pages = build_drawing(job, result, LIBRARY, paper)
    reader = PdfReader(BytesIO(print_pdf(job, result, LIBRARY, paper)))
    assert len(reader.pages) == len(pages)
    for page, printed in zip(pages, reader.pages, strict=True):
        assert (float(printed.mediabox.width), float(printed.mediabox.height)) == pytest.approx(
            (page.width, page.height), abs=0.01
        )
        words = set(printed.extract_text().split())
        wanted = {word for text in page.texts for word in text.text.split()}
        assert len(wanted - words) <= len(wanted) * 0.02  # words that the reader runs together


def test_both_cuts_of_the_type_are_embedded() -> None:
    job, result = two_parts()
    page = PdfReader(BytesIO(print_pdf(job, result, LIBRARY))).pages[0]
    fonts = [font.get_object() for font in page["/Resources"]["/Font"].values()]
    embedded = {str(f["/BaseFont"]).partition("+")[2] for f in fonts if "/FontDescriptor" in f}
    assert embedded == {"SourceSansPro-Regular", "SourceSansPro-Semibold"}
    assert all("/FontFile2" in f["/FontDescriptor"] for f in fonts if "/FontDescriptor" in f)


def test_user_text_is_never_markup() -> None:
    job, result = two_parts()
    title = "<b>bold</b> &amp; (a) \\n ) Tj %PDF"
    job = job.model_copy(update={"sheet": JobSheet(title=title, number="1")})
    page = build_drawing(job, result, LIBRARY)[0]
    assert title in {text.text for text in page.texts}
    printed = PdfReader(BytesIO(print_pdf(job, result, LIBRARY)))
    assert "<b>bold</b> &amp; (a) \\n ) Tj %PDF" in printed.pages[0].extract_text()
    assert printed.metadata is not None
    assert title in str(printed.metadata.title)


def test_strange_characters_print_as_a_mark_and_are_explained() -> None:
    job, result = two_parts()
    job = job.model_copy(update={"sheet": JobSheet(title="漢字 🚐 \x07 שלום", number="1")})
    for page in build_drawing(job, result, LIBRARY):
        texts = [text.text for text in page.texts]
        assert any(text.startswith("■■ ■ ■") for text in texts)
        assert any("character this type lacks" in text for text in texts)
    assert print_pdf(job, result, LIBRARY).startswith(b"%PDF")


def test_a_job_without_sense_prints() -> None:
    job, result = random_job(7, parts=3)
    reader = PdfReader(BytesIO(print_pdf(job, result, LIBRARY, "a3")))
    assert len(reader.pages) == len(build_drawing(job, result, LIBRARY, "a3"))
