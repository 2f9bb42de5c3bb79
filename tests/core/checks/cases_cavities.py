"""Mistakes with terminals, and plugs that look alike."""

from __future__ import annotations

from core import edits as ed
from core.job.document import Job
from core.job.faces import Face, mate_of
from core.job.parts import Cavity, Connector, Lead, Part
from tests.core.checks.cases import Bad

FACE = Face(grid=(("1", "2"),), gender="male", terminal_family="2.8 mm")


def plug(name: str, functions: tuple[str, ...], face: Face, *, leads: str = "") -> Connector:
    lead = Lead(gauge=leads, length_mm=200) if leads else None
    cavities = tuple(Cavity(pin=str(n), function=f, lead=lead) for n, f in enumerate(functions, start=1))
    return Connector(name=name, face=face, cavities=cavities)


def mated(family: str = "2.8 mm", gauge: str = "1 mm2") -> Job:
    """A plug of the car, and ours on it, with terminals of a family and leads of a gauge."""
    functions = ("accessory", "ground")
    car = Part(id="CARC", name="Plug", state="on the car", connectors=(plug("A", functions, FACE),))
    face = mate_of(FACE, "female").changed(terminal_family=family)
    ours = Part(id="CAR", name="Plug", kind="pigtail", connectors=(plug("A", functions, face, leads=gauge),))
    job = ed.add_mated(Job(), car, ours)
    return ed.cap(job, ed.open_ends(job))


def two_plugs(second: str, plastic: str = "BK") -> Job:
    """Two plugs side by side on one part, with what is in the second one and its plastic."""
    faces = (FACE, FACE.changed(plastic=plastic))
    functions = (("accessory", "ground"), tuple(second.split()))
    names = ("A", "B")
    sockets = [plug(n, f, face) for n, f, face in zip(names, functions, faces, strict=True)]
    plugs = [
        plug(n, f, mate_of(face, "female").changed(terminal_family="2.8 mm"), leads="1 mm2")
        for n, f, face in zip(names, functions, faces, strict=True)
    ]
    car = Part(id="CARC", name="Plugs", state="on the car", connectors=tuple(sockets))
    ours = Part(id="CAR", name="Plugs", kind="pigtail", connectors=tuple(plugs))
    job = ed.add_mated(Job(), car, ours)
    return ed.cap(job, ed.open_ends(job))


CAVITY_CASES: tuple[Bad, ...] = (
    Bad(
        "terminals of another width",
        "wrong terminal for the cavity or the gauge",
        lambda: mated(family="1.5 mm"),
        "CAR.A-1",
        "CARC takes terminals of 2.8 mm, and CAR of 1.5 mm",
        level="look",
    ),
    Bad(
        "leads too thin for the crimp",
        "wrong terminal for the cavity or the gauge",
        lambda: ed.set_lead(mated(), "CAR.A-1", gauge="0.22 mm2"),
        "CAR.A-1",
        "The lead of CAR-1, of 0.22 mm2, is too thin for a terminal of 2.8 mm, which takes 0.5 to 2.5 mm2.",
        level="look",
    ),
    Bad(
        "speakers beside a feed in plugs that look alike",
        "look-alike plugs that could be exchanged",
        lambda: two_plugs("speaker-lf+ speaker-lf-"),
        "CARC.A-1",
        "CAR.A and CAR.B look alike and could be exchanged",
        level="look",
    ),
    Bad(
        "two feeds in plugs that look alike",
        "look-alike plugs that could be exchanged",
        lambda: two_plugs("ignition ground"),
        "CARC.A-1",
        "(accessory) would meet what is for ignition",
        level="note",
    ),
)

GOOD_CAVITIES = {
    "terminals of one family": mated(),
    "two plugs of different plastics": two_plugs("speaker-lf+ speaker-lf-", plastic="WH"),
    "two plugs of the same functions": two_plugs("accessory ground"),
}
