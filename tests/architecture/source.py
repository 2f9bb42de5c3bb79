"""Reads the program's own source for the tests in this folder."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def python_files(*folders: str) -> list[Path]:
    """Every Python file in the named top-level folders, sorted."""
    return sorted(file for folder in folders for file in (ROOT / folder).rglob("*.py"))


def name_of(file: Path) -> str:
    return file.relative_to(ROOT).as_posix()


def module_of(file: Path) -> str:
    """`core/job/parts.py` is `core.job.parts`, and a package's `__init__.py` is the package."""
    parts = file.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def syntax(file: Path) -> ast.Module:
    return ast.parse(file.read_text(encoding="utf-8"), name_of(file))


def imported(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Line and full name of every import below a node, in whatever depth."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield from ((node.lineno, f"{node.module or ''}.{alias.name}") for alias in node.names)
