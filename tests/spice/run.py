"""Runs `ngspice -b` on decks, many in one process, and reads its binary answers."""

from __future__ import annotations

import re
import shutil
import struct
import subprocess
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.spice.elements import GROUND, STEPS_OF_RAMP, Deck, Written

AT_ONCE = 50
PATIENCE_S = 120
WITHOUT = "ngspice is not installed: these tests compare our solver with it (Debian package `ngspice`)"
_HEADER = re.compile(rb"No\. Variables: (\d+)\s*No\. Points: (\d+)\s*Variables:\n(.*?)Binary:\n", re.DOTALL)


@dataclass(frozen=True)
class Answer:
    """What ngspice found. The volts of nodes without a way to ground are to a node of their own island."""

    volts: dict[str, float]
    amps: dict[str, float]

    def between(self, plus: str, minus: str) -> float:
        return self.volts[plus] - self.volts[minus]


class NoSpice(Exception):
    """ngspice is not there, or did not run to its end. `str(error)` says which, with its own words."""


def solve(decks: Sequence[Deck]) -> list[Answer | None]:
    """The answers to the decks, in their order; None where ngspice found none. Raises NoSpice."""
    program = shutil.which("ngspice")
    if program is None:
        raise NoSpice(WITHOUT)
    found: list[Answer | None] = []
    for start in range(0, len(decks), AT_ONCE):
        found += _solve(program, [Written(deck) for deck in decks[start : start + AT_ONCE]])
    return found


def _solve(program: str, decks: Sequence[Written]) -> list[Answer | None]:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        script = ["* all decks in turn", ".control", "set filetype=binary"]
        for number, deck in enumerate(decks):
            (folder / f"{number}.cir").write_text(deck.text, encoding="ascii")
            analysis = f"dc vramp 0 1 {1 / STEPS_OF_RAMP!r}" if deck.swept else "op"
            script += [f"source {number}.cir", analysis, f"write {number}.raw", "destroy all", "remcirc"]
        (folder / "all.cir").write_text("\n".join([*script, "quit", ".endc", ".end", ""]), encoding="ascii")
        done = subprocess.run(
            [program, "-b", "all.cir"], cwd=folder, capture_output=True, timeout=PATIENCE_S, check=False
        )
        if b"ngspice" not in done.stdout or done.returncode not in (0, 1):
            words = (done.stdout + done.stderr).decode(errors="replace")
            raise NoSpice(f"ngspice ended with code {done.returncode}:\n{words[-2000:]}")
        return [_read(folder / f"{number}.raw", deck) for number, deck in enumerate(decks)]


def _read(file: Path, deck: Written) -> Answer | None:
    """The last point of a raw file; None where it was not reached."""
    if not file.exists():
        return None
    data = file.read_bytes()
    header = _HEADER.search(data)
    if header is None:
        return None
    variables, points = int(header[1]), int(header[2])
    names = [line.split(b"\t")[2].decode() for line in header[3].splitlines()]
    last = struct.unpack_from(f"<{variables}d", data, header.end() + 8 * variables * (points - 1))
    values = dict(zip(names, last, strict=True))
    if values.get("v(ramp)") != 1.0:  # after a failure ngspice writes its constants, or stops on the way
        return None
    volts = {name: values[f"v({short})"] for name, short in deck.node.items() if name != GROUND}
    amps = {name: values[f"i({short})"] for name, short in deck.branch.items()}
    return Answer({GROUND: 0.0} | volts, amps)
