"""Habits of the desktop code that no linter knows."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from tests.architecture.source import imported, name_of, python_files, syntax

APP = python_files("app")


@pytest.mark.parametrize("file", APP, ids=name_of)
def test_what_is_remembered_goes_through_one_file(file: Path) -> None:
    names = {name.rpartition(".")[2] for _, name in imported(syntax(file))}
    assert "QSettings" not in names or name_of(file) == "app/settings.py"


@pytest.mark.parametrize("file", APP, ids=name_of)
def test_a_signal_carries_an_object(file: Path) -> None:
    """`Signal(dict)` delivers an empty dict where the keys are of several types (measured)."""
    calls = (node for node in ast.walk(syntax(file)) if isinstance(node, ast.Call))
    signals = (call for call in calls if isinstance(call.func, ast.Name) and call.func.id == "Signal")
    carried = {ast.unparse(argument) for signal in signals for argument in signal.args}
    assert not carried & {"dict", "list", "tuple", "set"}
