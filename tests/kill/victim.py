"""What is killed: a session that edits, saves and autosaves as the window's does, without a window.

`python -m tests.kill.victim SEED [JOB]`. Every edit is told on the output as `NUMBER FINGERPRINT TIME`;
the number stands in the job sheet's note, so that the job that is found later says which edit it holds.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import random
import sys
import time
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QTimer

from app.session import Session
from app.work.job_file import JobFile, open_file
from core import edits
from core.errors import EditRefused
from core.files.text import dump_job
from core.job.document import Job
from core.job.parts import Cavity, Connector, Lead, Part
from core.library.loader import default_library

MOST_WIRES = 300
LONGEST_PAUSE_MS = 60
SAVES_PER_EDIT = 0.015
"""So few that most kills fall where only the recovery has the work."""


def main() -> None:
    seed, *job = sys.argv[1:]
    application = QCoreApplication([])
    path = Path(job[0]) if job else None
    opened = open_file(path) if path else None
    start = (opened.recovered or opened.job) if opened else Job()
    session = Session(start, default_library())
    file = JobFile(session, opened, path)
    if opened is None or opened.recovered is not None:
        session.mark_saved(opened.job if opened else None)
    hand = Hand(session, file, path, random.Random(seed))
    tell(start)
    hand.work()
    application.exec()


def fingerprint(job: Job) -> str:
    """What differs wherever two jobs differ, their maps included."""
    return hashlib.sha256(dump_job(job)).hexdigest()[:16]


def tell(job: Job) -> None:
    """At once and whole, as a pipe takes short lines: what is told was done."""
    line = f"{job.sheet.note or 0} {fingerprint(job)} {time.monotonic()}\n"
    os.write(sys.stdout.fileno(), line.encode())


class Hand:
    """Makes one random edit after another, and now and then saves."""

    def __init__(self, session: Session, file: JobFile, path: Path | None, chance: random.Random) -> None:
        self._session = session
        self._file = file
        self._path = path
        self._chance = chance

    def work(self) -> None:
        session, chance = self._session, self._chance
        number = int(session.job.sheet.note or 0) + 1
        edit = chance.choice(EDITS)

        def numbered(job: Job) -> Job:
            with contextlib.suppress(EditRefused):  # then the number alone is the edit
                job = edit(job, chance)
            return edits.set_sheet(job, note=str(number))

        session.apply("Edit", numbered)
        tell(session.job)
        if self._path is not None and chance.random() < SAVES_PER_EDIT:
            self._file.save(self._path)
        QTimer.singleShot(chance.randrange(LONGEST_PAUSE_MS), self.work)


def _some_end(job: Job, chance: random.Random) -> str:
    ends = [terminal for part in job.parts.values() for terminal in part.cavities]
    ends += [f"{wire}:{letter}" for wire in job.wires for letter in "ab"]
    return chance.choice(ends) if ends else "RAD.A-1"


def _add_part(job: Job, chance: random.Random) -> Job:
    if len(job.parts) > MOST_WIRES // 10:
        return edits.remove_parts(job, list(job.parts)[:20])
    lead = Lead(colour="YE/BK", gauge="18 AWG", length_mm=150)
    cavities = tuple(Cavity(pin=str(n), label="as the sheet says", lead=lead) for n in range(1, 13))
    part = Part(id="RAD", name="Plug", connectors=(Connector(name="A", cavities=cavities),))
    return edits.add_part(job, part, at=(chance.uniform(-900, 900), 0.0))


def _add_wires(job: Job, chance: random.Random) -> Job:
    if len(job.wires) > MOST_WIRES:
        return edits.remove_wires(job, list(job.wires)[: MOST_WIRES // 2])
    for _ in range(10):
        job = edits.add_wire(job, colour="BU", length_mm=chance.randrange(100, 900))
    return job


def _join(job: Job, chance: random.Random) -> Job:
    return edits.join(job, _some_end(job, chance), _some_end(job, chance))


def _unjoin(job: Job, chance: random.Random) -> Job:
    return edits.unjoin(job, _some_end(job, chance))


def _cap(job: Job, chance: random.Random) -> Job:
    return edits.cap(job, [_some_end(job, chance)])


def _move(job: Job, chance: random.Random) -> Job:
    tag = chance.choice([*job.parts, "RAD"])
    return edits.move(job, {tag: (chance.uniform(-900, 900), chance.uniform(-900, 900))})


EDITS: tuple[Callable[[Job, random.Random], Job], ...] = (
    _add_part,
    _add_wires,
    _join,
    _join,
    _unjoin,
    _cap,
    _move,
)

if __name__ == "__main__":
    main()
