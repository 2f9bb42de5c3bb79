"""What no file of the program may hold: places of one machine, addresses, unfinished business."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.architecture.source import ROOT, name_of

FOLDERS = (".ci", "app", "core", "requirements", "resources", "sample_jobs", "shared", "tests")
TEXT = {"", ".csv", ".desktop", ".json", ".loomjob", ".md", ".py", ".qss", ".svg", ".toml", ".txt", ".yaml"}
# Names of document formats that look like addresses; nothing is ever fetched from there.
FORMAT_NAMES = {"www.w3.org", "json-schema.org"}

MACHINE_PLACE = re.compile(r"(?<![\w.~])/(?:work|root|home|Users)/\w")
ADDRESS = re.compile(r"\b(?:https?|ftp|git|ssh)://([\w.-]+)")
UNFINISHED = re.compile(r"\b(?:TO[D]O|FIX[M]E|XX[X])\b")


def text_files() -> list[Path]:
    inside = (file for folder in FOLDERS for file in (ROOT / folder).rglob("*"))
    found = [*(file for file in ROOT.iterdir() if file.name != ".git"), *inside]
    return sorted(
        file
        for file in found
        if file.is_file()
        and file.suffix in TEXT
        and "__pycache__" not in file.parts
        and file.name != "LICENSE"
    )


def faults(text: str) -> list[str]:
    found = [match[0] for match in (*MACHINE_PLACE.finditer(text), *UNFINISHED.finditer(text))]
    return found + [match[0] for match in ADDRESS.finditer(text) if match[1] not in FORMAT_NAMES]


@pytest.mark.parametrize(
    "text", ["see /" + "root/x", "https:" + "//example.org/simple", "# TO" + "DO later", "('/" + "home/me')"]
)
def test_a_fault_is_noticed(text: str) -> None:
    assert len(faults(text)) == 1


@pytest.mark.parametrize(
    "text", ["app/work/process.py", 'xmlns="http:' + '//www.w3.org/2000/svg"', "a/root/b"]
)
def test_other_words_pass(text: str) -> None:
    assert faults(text) == []


@pytest.mark.parametrize("file", text_files(), ids=name_of)
def test_a_file_is_clean(file: Path) -> None:
    assert faults(file.read_text(encoding="utf-8")) == []
