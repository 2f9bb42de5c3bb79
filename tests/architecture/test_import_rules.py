"""The contracts in pyproject.toml hold, and each of them notices when it is broken."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

pytest.importorskip("importlinter")  # not in the environment without Qt

LINT = "from importlinter.cli import lint_imports_command; lint_imports_command()"

# One line in one file for each contract that breaks it.
BREAKS = {
    "app imports core, never back": ("core/files/wrong.py", "import app\n"),
    "the layers of core": ("core/job/wrong.py", "import core.net\n"),
    "core has no Qt": ("core/job/wrong.py", "from PySide6 import QtCore\n"),
    "networkx lives in core/net": ("core/job/wrong.py", "import networkx\n"),
    "numpy lives in core/circuit, core/planning and app/canvas": ("app/panels/wrong.py", "import numpy\n"),
    "scipy lives in core/circuit and core/planning": ("core/net/wrong.py", "import scipy\n"),
    "reportlab lives in core/drawing": ("core/net/wrong.py", "import reportlab\n"),
    "orjson and filelock live in core/files": ("app/work/wrong.py", "import filelock\n"),
    "openpyxl lives in core/files": ("core/net/wrong.py", "import openpyxl\n"),
    "pypdfium2 lives in the preview": ("core/job/wrong.py", "import pypdfium2\n"),
}
# What the contracts allow: a library at home.
AT_HOME = {
    "core/net/graph.py": "import networkx\n",
    "core/circuit/laws/lamp.py": "import numpy\nimport scipy\n",
    "app/canvas/index.py": "import numpy\n",
    "core/drawing/pdf.py": "import reportlab\n",
    "core/files/save.py": "import filelock\nimport openpyxl\nimport orjson\n",
    "app/work/drawing.py": "import pypdfium2\n",
}

PACKAGES = (
    *("app", "app/canvas", "app/panels", "app/work"),
    *("core", "core/job", "core/files", "core/net", "core/circuit", "core/circuit/laws", "core/drawing"),
)


def lint(folder: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", LINT, "--no-logo", "--no-cache"], capture_output=True, text=True, cwd=folder
    )


def broken(output: str) -> set[str]:
    return set(re.findall(r"^(.+?) BROKEN", output, re.MULTILINE))


def small_program(folder: Path, root: Path) -> None:
    """The real contracts over nearly empty packages."""
    shutil.copy(root / "pyproject.toml", folder)
    for name in PACKAGES:
        (folder / name).mkdir()
        (folder / name / "__init__.py").touch()
    for module in ("errors", "ids", "paths"):
        (folder / "core" / f"{module}.py").touch()
    for name, text in AT_HOME.items():
        (folder / name).write_text(text)


def test_the_program_keeps_its_contracts(root: Path) -> None:
    done = lint(root)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "0 broken" in done.stdout


def test_libraries_are_allowed_at_home(tmp_path: Path, root: Path) -> None:
    small_program(tmp_path, root)
    done = lint(tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr


def test_every_contract_notices_a_breach(tmp_path: Path, root: Path) -> None:
    small_program(tmp_path, root)
    for file, text in BREAKS.values():
        with (tmp_path / file).open("a") as source:
            source.write(text)
    done = lint(tmp_path)
    assert done.returncode == 1
    assert broken(done.stdout) == set(BREAKS)


def test_a_new_module_of_core_must_be_given_a_layer(tmp_path: Path, root: Path) -> None:
    small_program(tmp_path, root)
    (tmp_path / "core" / "elsewhere.py").touch()
    assert lint(tmp_path).returncode == 1
