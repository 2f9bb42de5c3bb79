"""core is the trade: it has no screen, and nothing hides an import from the layers."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

from tests.architecture.source import ROOT, imported, module_of, name_of, python_files, syntax

CORE = python_files("core")
QT = {"PySide6", "shiboken6"}

IMPORT_ALL_WITHOUT_QT = """
import importlib, sys

class NoQt:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in {"PySide6", "shiboken6"}:
            raise ImportError(f"{name} is blocked")

sys.meta_path.insert(0, NoQt())
for name in sys.argv[1:]:
    importlib.import_module(name)
print(len(sys.argv) - 1)
"""


def test_the_blocker_blocks() -> None:
    code = IMPORT_ALL_WITHOUT_QT + "import PySide6.QtCore"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT)
    assert done.returncode == 1
    assert "is blocked" in done.stderr


def test_core_imports_where_qt_is_blocked() -> None:
    names = [module_of(file) for file in CORE]
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", IMPORT_ALL_WITHOUT_QT, *names],
        capture_output=True,
        text=True,
        cwd=ROOT,
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip() == str(len(names))


@pytest.mark.parametrize("file", CORE, ids=name_of)
def test_core_names_no_qt(file: Path) -> None:
    found = [(line, name) for line, name in imported(syntax(file)) if name.partition(".")[0] in QT]
    assert found == []


@pytest.mark.parametrize("file", CORE, ids=name_of)
def test_core_imports_at_the_top_only(file: Path) -> None:
    functions = (
        node for node in ast.walk(syntax(file)) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    )
    found = sorted({place for function in functions for place in imported(function)})
    assert found == []
