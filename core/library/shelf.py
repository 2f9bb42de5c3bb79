"""Reads the faces and the parts of a library folder: JSON files that hold a list of entries each."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Annotated, Any

from pydantic import Field, StringConstraints, ValidationError, model_validator

from core.errors import FileProblem
from core.job.base import Frozen, LongText, PartId, Text
from core.job.faces import Face
from core.job.parts import Part
from core.library.mates import LeadKind, pigtail
from core.library.model import ConnectorShape, Function, LibraryPart
from core.library.tables import read_text

MOST_FILE_BYTES = 20_000_000

Name = Annotated[str, StringConstraints(min_length=1, max_length=200)]


class _ShapeEntry(Frozen):
    name: Name
    words: tuple[Text, ...] = ()
    source: Annotated[LongText, Field(min_length=1)]
    face: Face


class _ShapeFile(Frozen):
    group: Name
    connectors: tuple[dict[str, Any], ...]


class _MateEntry(Frozen):
    """The half of ours, made from the car's: its tag and name; leads by function."""

    tag: PartId
    name: Text


class _PartEntry(Frozen):
    """A part may name a face by `shape` in place of drawing it."""

    name: Name
    words: tuple[Text, ...] = ()
    source: Annotated[LongText, Field(min_length=1)]
    part: Part
    mate: _MateEntry | None = None

    @model_validator(mode="after")
    def _mate_meets_a_face(self) -> _PartEntry:
        if self.mate is not None and all(connector.face is None for connector in self.part.connectors):
            raise ValueError("has a mate but no face to meet it")
        return self


class _PartFile(Frozen):
    group: Name
    order: int = 1000
    parts: tuple[dict[str, Any], ...]


def read_shapes(path: Path) -> dict[str, ConnectorShape]:
    """The faces of one file of `connectors/` by name. Raises FileProblem."""
    file = _validated(_ShapeFile, _read_json(path), path.name, "")
    found: dict[str, ConnectorShape] = {}
    for number, raw in enumerate(file.connectors, start=1):
        where = _place(number, raw)
        entry = _validated(_ShapeEntry, raw, path.name, where)
        if entry.name in found:
            raise FileProblem(path.name, "stands twice", where)
        found[entry.name] = ConnectorShape(entry.name, file.group, entry.words, entry.face, entry.source)
    return found


def read_parts(
    path: Path,
    shapes: Mapping[str, ConnectorShape],
    functions: Mapping[str, Function],
    leads: Mapping[str, LeadKind],
) -> tuple[int, dict[str, LibraryPart]]:
    """The place of the shelf heading among the others, and the parts of one file of `parts/` by name.

    Raises FileProblem.
    """
    file = _validated(_PartFile, _read_json(path), path.name, "")
    found: dict[str, LibraryPart] = {}
    for number, raw in enumerate(file.parts, start=1):
        where = _place(number, raw)
        entry = _validated(_PartEntry, _with_faces(raw, shapes, path.name, where), path.name, where)
        if entry.name in found:
            raise FileProblem(path.name, "stands twice", where)
        for terminal, cavity in entry.part.cavities.items():
            if cavity.function and cavity.function not in functions:
                cause = f"{terminal} has the function {cavity.function!r}, which is not in functions.csv"
                raise FileProblem(path.name, cause, where)
        mate = pigtail(entry.part, entry.mate.tag, entry.mate.name, leads) if entry.mate else None
        found[entry.name] = LibraryPart(entry.name, file.group, entry.words, entry.part, mate, entry.source)
    return file.order, found


def _read_json(path: Path) -> object:
    try:
        content: object = json.loads(read_text(path, MOST_FILE_BYTES))
    except json.JSONDecodeError as error:
        raise FileProblem(path.name, error.msg, f"row {error.lineno}") from error
    except RecursionError as error:
        raise FileProblem(path.name, "is nested too deeply") from error
    return content


def _place(number: int, raw: Mapping[str, Any]) -> str:
    """How an entry of a list is named to people: by its name, else by its number."""
    name = raw.get("name")
    return f"entry {number} ({name})" if isinstance(name, str) and name else f"entry {number}"


def _with_faces(
    raw: Mapping[str, Any], shapes: Mapping[str, ConnectorShape], file: str, where: str
) -> dict[str, Any]:
    """The entry with every `shape` replaced by the face it names."""
    part = raw.get("part")
    connectors = part.get("connectors") if isinstance(part, dict) else None
    if not isinstance(part, dict) or not isinstance(connectors, list):
        return dict(raw)
    return {**raw, "part": {**part, "connectors": list(_faced(connectors, shapes, file, where))}}


def _faced(
    connectors: list[object], shapes: Mapping[str, ConnectorShape], file: str, where: str
) -> Iterator[object]:
    for connector in connectors:
        if not isinstance(connector, dict) or "shape" not in connector:
            yield connector
            continue
        shape = connector["shape"]
        if not isinstance(shape, str) or shape not in shapes:
            raise FileProblem(file, f"names the shape {shape!r}, which no file of connectors/ has", where)
        face = shapes[shape].face.changed(**_own_face(connector, file, where))
        yield {**{key: value for key, value in connector.items() if key != "shape"}, "face": face}


def _own_face(connector: Mapping[str, Any], file: str, where: str) -> dict[str, Any]:
    """What a connector says of its face besides the shape: its plastic, its latch, what is blocked."""
    own = connector.get("face", {})
    if not isinstance(own, dict) or "grid" in own:
        raise FileProblem(file, "has a shape and draws a grid of its own", where)
    return own


def _validated(model: type[Any], raw: object, file: str, where: str) -> Any:
    try:
        return model.model_validate(raw)
    except ValidationError as error:
        first = error.errors()[0]
        path = ".".join(str(piece) for piece in first["loc"])
        cause = str(first["msg"]).removeprefix("Value error, ")
        raise FileProblem(file, f"{path}: {cause}" if path else cause, where) from error
