"""Edits on a job of 5,000 wires, and what drop targets answer on it.

Run by name: `python -m tests.bench.bench_edits`. The peer is a bare copy of the dicts that the edit touches,
made in the same run; the ratio counts, milliseconds are this machine's. Every edit is measured on a job whose
lookup is made, and gives a job whose lookup is made.
"""

from __future__ import annotations

import gc
from collections.abc import Callable
from statistics import median, quantiles
from time import perf_counter

from core import edits as ed
from core.edits.verdicts import Verdicts
from core.job.document import Job
from core.job.faces import mate_of
from core.job.lookup import build_lookup
from core.job.parts import Lead, Part
from core.job.wiring import Conductor, Joint, Mate, Wire
from core.library import default_library
from tests.strategies import plug

PAIRS = 250
PINS = 20
FUNCTIONS = ("constant", "accessory", "ground", "speaker-lf+", "speaker-lf-", "reverse", "illumination", "")
COMMON_ENDS = 100
TIMES = 60
MOST_MS = 10.0
MOST_VERDICT_MS = 0.05


def big_job() -> Job:
    """Our plug on the car's, and equipment with bare cavities, 20 wires each; one joint is common."""
    functions = {str(pin): FUNCTIONS[pin % len(FUNCTIONS)] for pin in range(1, PINS + 1)}
    own = plug("RAD", functions, lead=Lead(colour="RD", gauge="18 AWG"))
    connector = own.connectors[0]
    assert connector.face is not None
    bare = tuple(cavity.changed(lead=None) for cavity in connector.cavities)
    half = connector.changed(face=mate_of(connector.face, "male"), cavities=bare)
    car = own.changed(connectors=(half,), state="on the car")
    box = own.changed(connectors=(connector.changed(cavities=bare),))
    parts: dict[str, Part] = {}
    mates: dict[str, Mate] = {}
    wires: dict[str, Wire] = {}
    joints: dict[str, Joint] = {}
    common: list[str] = []
    for n in range(1, PAIRS + 1):
        for tag, part in ((f"R{n}A", own), (f"R{n}C", car), (f"B{n}X", box)):
            parts[tag] = part.changed(id=tag)
        mates[f"M{n}"] = Mate(id=f"M{n}", a=f"R{n}A.A", b=f"R{n}C.A")
        for pin in range(1, PINS + 1):
            number = (n - 1) * PINS + pin
            wires[f"W{number}"] = Wire(id=f"W{number}", colour="BU", a_in=f"B{n}X.A-{pin}")
            ends = (f"R{n}A.A-{pin}", f"W{number}:b")
            if functions[str(pin)] == "ground" and len(common) < COMMON_ENDS:
                common += ends
            else:
                joints[f"J{number}"] = Joint(id=f"J{number}", ends=ends)
    last = PAIRS * PINS + 1
    joints[f"J{last}"] = Joint(id=f"J{last}", ends=tuple(common))
    counters = {"M": PAIRS, "W": last - 1, "J": last}
    return Job(parts=parts, mates=mates, wires=wires, joints=joints, counters=counters)


def spans(work: Callable[[], object], times: int = TIMES) -> list[float]:
    """Milliseconds of each run, with the collector off."""
    work()
    gc.collect()
    gc.disable()
    try:
        found = []
        for _ in range(times):
            start = perf_counter()
            work()
            found.append((perf_counter() - start) * 1000)
    finally:
        gc.enable()
    return found


def edits(job: Job) -> dict[str, tuple[Callable[[], object], tuple[str, ...]]]:
    """By name: the edit, and the collections that it touches."""
    tags = list(job.parts)
    ends = list(job.lookup.joint_of)
    leads = [end for end in ends if ":" not in end]
    joints = list(job.joints)
    first, last = leads[0], leads[-1]
    clip = ed.copy(job, tags[:4])
    cabled = ed.add_cable(job, [Conductor(colour="RD"), Conductor(colour="BK")])
    return {
        "join": (lambda: ed.join(job, first, last), ("joints",)),
        "join a cable": (lambda: ed.join(cabled, "C1.1:a", first), ("joints",)),
        "join by wire": (lambda: ed.join_by_wire(job, first, last), ("joints", "wires")),
        "unjoin": (lambda: ed.unjoin(job, first), ("joints",)),
        "remove joint": (lambda: ed.remove_joint(job, joints[7]), ("joints",)),
        "crimped replug": (lambda: ed.replug(job, "W1:a", "B2X.A-1"), ("joints", "wires")),
        "replug": (lambda: ed.replug(job, first, last), ("joints",)),
        "cap": (lambda: ed.cap(ed.unjoin(job, first), [first]), ("joints", "finishes")),
        "set cavity": (lambda: ed.set_cavity(job, first, label="seen"), ("parts",)),
        "set lead": (lambda: ed.set_lead(job, first, length_mm=77), ("parts",)),
        "swap pins": (lambda: ed.swap_pins(job, first, last), ("parts", "joints")),
        "rename tag": (lambda: ed.rename_tag(job, tags[0], "RENAMED"), ("parts", "joints")),
        "remove part": (lambda: ed.remove_parts(job, tags[:1]), ("parts", "joints")),
        "unmate": (lambda: ed.unmate(job, "M7"), ("mates",)),
        "replace part": (lambda: ed.replace_part(job, tags[0], job.parts[tags[0]]), ("parts", "joints")),
        "copy 4 parts": (lambda: ed.copy(job, tags[:4]), ("parts",)),
        "paste 4 parts": (lambda: ed.paste(job, clip), ("parts", "joints")),
        "move a part": (lambda: ed.move(job, {tags[0]: (1.5, 2.5)}), ("parts",)),
    }


def main() -> None:
    job = big_job()
    assert ed.check_invariants(job) == []
    _ = job.lookup
    print(f"{len(job.parts)} parts, {len(job.joints)} joints, {len(job.wires)} wires")
    built = spans(lambda: build_lookup(job.joints, job.wires, job.cables, job.mates, job.parts), 20)
    print(f"{'lookup from scratch':<18} {median(built):8.3f} ms")
    asked = spans(lambda: ed.open_ends(job), 20)
    print(f"{'open ends':<18} {median(asked):8.3f} ms")
    many = spans(lambda: ed.set_wires(job, job.wires, gauge="0.75 mm2"), 10)
    print(f"{'all wires at once':<18} {median(many):8.3f} ms, {median(many) / len(job.wires):.4f} ms each")
    too_slow = []
    for name, (edit, touched) in edits(job).items():
        took = spans(edit)
        bare = spans(lambda touched=touched: [dict(getattr(job, c)) for c in touched])
        ratio = f"{median(took) / median(bare):7.1f} x a bare copy of {', '.join(touched)}"
        high = quantiles(took, n=20)[-1]
        print(f"{name:<18} {median(took):8.3f} ms  95 % {high:8.3f} ms  {ratio}")
        if median(took) > MOST_MS:
            too_slow.append(name)
    verdicts(job)
    print("all below 10 ms" if not too_slow else f"ABOVE 10 ms: {', '.join(too_slow)}")


def verdicts(job: Job) -> None:
    """At the start of a drag every target is asked; then the one under the pointer, again and again."""
    library = default_library()
    targets = [*job.lookup.joint_of, *job.joints]
    start = targets[0]
    begun = spans(lambda: Verdicts(job, start, library), 20)

    def all_targets() -> None:
        asked = Verdicts(job, start, library)
        for ref in targets:
            asked.of(ref)

    each = [ms / len(targets) for ms in spans(all_targets, 10)]
    known = Verdicts(job, start, library)
    for ref in targets:
        known.of(ref)
    hover = [ms / len(targets) for ms in spans(lambda: [known.of(ref) for ref in targets], 10)]
    print(f"verdicts: begin {median(begun):.3f} ms, each of {len(targets)} targets {median(each):.4f} ms,")
    print(f"          asked again {median(hover):.4f} ms (wanted: below {MOST_VERDICT_MS} ms each)")


if __name__ == "__main__":
    main()
