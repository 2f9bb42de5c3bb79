"""What is installed is what is declared, and an installed program finds its own folders."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
import zipfile
from collections.abc import Iterator
from importlib import metadata
from pathlib import Path

import pytest

pytest.importorskip("hatchling")  # not in the environment without Qt

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

PIN = re.compile(r"^[A-Za-z0-9._-]+==[A-Za-z0-9.]+(; sys_platform == \"win32\")?$")
DATA = ("resources", "sample_jobs", "shared")


def lines(root: Path, name: str) -> Iterator[str]:
    """The lines of a list and of those it includes, without comments."""
    for line in (root / "requirements" / f"{name}.txt").read_text(encoding="utf-8").splitlines():
        if line.startswith("-r "):
            yield from lines(root, line[3:].removesuffix(".txt"))
        elif line and not line.startswith("#"):
            yield line


def pins(root: Path, name: str) -> dict[str, Requirement]:
    return {canonicalize_name(pin.name): pin for pin in map(Requirement, lines(root, name))}


LISTS = ("core", "run", "test-core", "test")


@pytest.mark.parametrize("name", LISTS)
def test_every_pin_is_exact(root: Path, name: str) -> None:
    assert [line for line in lines(root, name) if not PIN.match(line)] == []


@pytest.mark.parametrize("name", LISTS)
def test_a_list_holds_all_that_its_packages_need(root: Path, name: str) -> None:
    """They are installed without resolving, so a gap would show only when something is imported."""
    pinned = pins(root, name)
    for pin in pinned.values():
        if pin.marker is not None and not pin.marker.evaluate():
            continue
        for needed in map(Requirement, metadata.requires(pin.name) or []):
            if needed.marker is None or needed.marker.evaluate({"extra": ""}):
                found = pinned[canonicalize_name(needed.name)]
                (version,) = found.specifier
                assert needed.specifier.contains(version.version), f"{pin.name} needs {needed}"


@pytest.mark.parametrize("name", LISTS)
def test_what_is_installed_is_what_is_pinned(root: Path, name: str) -> None:
    for pin in pins(root, name).values():
        if pin.marker is None or pin.marker.evaluate():
            assert pin.specifier.contains(metadata.version(pin.name)), pin.name


def test_every_declared_dependency_is_pinned(root: Path) -> None:
    project = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    declared = {"run": project["dependencies"], "test": project["optional-dependencies"]["test"]}
    for name, requirements in declared.items():
        pinned = pins(root, name)
        for needed in map(Requirement, requirements):
            (version,) = pinned[canonicalize_name(needed.name)].specifier
            assert needed.specifier.contains(version.version), needed


def test_an_installed_program_finds_its_folders(root: Path, tmp_path: Path) -> None:
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", tmp_path],
        cwd=root,
        check=True,
        capture_output=True,
    )
    (wheel,) = tmp_path.glob("*.whl")
    place = tmp_path / "site"
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(place)
        names = archive.namelist()
    assert {name.partition("/")[0] for name in names} == {
        "app",
        "core",
        *DATA,
        next(name.partition("/")[0] for name in names if ".dist-info" in name),
    }
    show = "from core import paths; print(*(paths.{0}_folder().resolve() for _ in [0]))"
    for folder in DATA:
        shown = subprocess.run(
            [sys.executable, "-P", "-c", show.format(folder)],
            cwd=tmp_path,
            env={"PYTHONPATH": str(place)},
            check=True,
            capture_output=True,
            text=True,
        ).stdout.strip()
        assert Path(shown) == place / folder
        shipped = {
            file.relative_to(place).as_posix() for file in (place / folder).rglob("*") if file.is_file()
        }
        there = {
            file.relative_to(root).as_posix()
            for file in (root / folder).rglob("*")
            if file.is_file() and "__pycache__" not in file.parts
        }
        assert shipped == there
        assert shipped
