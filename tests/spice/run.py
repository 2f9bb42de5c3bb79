"""Runs `ngspice -b` on decks, many in one process, and reads its binary answers."""

from __future__ import annotations

import re
import shutil
import struct
import subprocess
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.spice.elements import GROUND, RAMP_ENDS, STEP_OF_RAMP, Deck, Written

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


Start = Mapping[str, float]


def solve(decks: Sequence[Deck], starts: Sequence[Start | None] | None = None) -> list[Answer | None]:
    """The answers to the decks, in their order; None where ngspice found none. Raises NoSpice.

    `starts`: volts of nodes to start from. Without them a deck with bends is ramped up from nothing.
    """
    program = shutil.which("ngspice")
    if program is None:
        raise NoSpice(WITHOUT)
    starts = [None] * len(decks) if starts is None else starts
    found: list[Answer | None] = []
    for first in range(0, len(decks), AT_ONCE):
        some = [Written(deck) for deck in decks[first : first + AT_ONCE]]
        with tempfile.TemporaryDirectory() as folder:
            found += _solve(program, Path(folder), some, starts[first : first + AT_ONCE])
    return found


def _solve(
    program: str, folder: Path, decks: Sequence[Written], starts: Sequence[Start | None]
) -> list[Answer | None]:
    """The ramp leads near the balance. From there it is found anew, since ngspice keeps the order of its
    pivots all the way up, and loses digits where a law blocked at the foot.
    """
    known = dict(enumerate(starts))
    ramped = [n for n, deck in enumerate(decks) if deck.bent and starts[n] is None]
    ramp = f"dc vramp 0 {RAMP_ENDS!r} {STEP_OF_RAMP!r}"
    _run(program, folder, {n: decks[n].text() for n in ramped}, ramp)
    for n in ramped:
        near = _read(folder / f"{n}.raw", decks[n])
        known[n] = near.volts if near else None
    texts = {n: d.text(known[n]) for n, d in enumerate(decks) if known[n] is not None or not d.bent}
    _run(program, folder, texts, "op")
    return [_read(folder / f"{n}.raw", deck) if n in texts else None for n, deck in enumerate(decks)]


def _run(program: str, folder: Path, texts: Mapping[int, str], analysis: str) -> None:
    if not texts:
        return
    script = ["* all decks in turn", ".control", "set filetype=binary", "optran 0 0 0 0 0 0"]
    for number, text in texts.items():
        (folder / f"{number}.raw").unlink(missing_ok=True)
        (folder / f"{number}.cir").write_text(text, encoding="ascii")
        script += [f"source {number}.cir", analysis, f"write {number}.raw", "destroy all", "remcirc"]
    (folder / "all.cir").write_text("\n".join([*script, "quit", ".endc", ".end", ""]), encoding="ascii")
    done = subprocess.run(
        [program, "-b", "all.cir"], cwd=folder, capture_output=True, timeout=PATIENCE_S, check=False
    )
    if b"ngspice" not in done.stdout or done.returncode not in (0, 1):
        words = (done.stdout + done.stderr).decode(errors="replace")
        raise NoSpice(f"ngspice ended with code {done.returncode}:\n{words[-2000:]}")


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
    if (
        values.get("v(ramp)") != RAMP_ENDS
    ):  # after a failure ngspice writes its constants, or stops on the way
        return None
    volts = {name: values[f"v({short})"] for name, short in deck.node.items() if name != GROUND}
    amps = {name: values[f"i({short})"] for name, short in deck.branch.items()}
    return Answer({GROUND: 0.0} | volts, amps)
