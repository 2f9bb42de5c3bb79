"""The readings command: what it prints, and what its exit codes say."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from core.cli import FAILED, main
from core.edits import set_cavity
from core.files.job_file import save_job
from core.job.document import Job
from core.job.internals import Battery, ButtonLadder, Feed, LadderReader, Load, SwitchContact
from core.job.parts import Lead
from core.job.record import JobSheet
from core.job.wiring import Cable, Conductor, Joint
from tests.core.circuit.cases.build import ACCESSORY, ALWAYS, Run, body, job_of, part, until


def van() -> Job:
    """A feed, a load behind a cut-off switch, a joint, a cable, and a steering button."""
    parts = [
        part(
            "CAR",
            "feed hot",
            Feed(terminal="A-feed", live=ACCESSORY),
            Feed(terminal="A-hot", live=ALWAYS),
            car=True,
        ),
        part("CUT", "in out", SwitchContact(a="A-in", b="A-out", closed=until("cut-off"))),
        part("BOX", "plus minus spare", Load(plus="A-plus", minus="A-minus", amps=5, least_volts=8)),
        part("STW", "key low", ButtonLadder(signal="A-key", reference="A-low", ohms={"Volume +": 500})),
        part(
            "RDR",
            "key low",
            LadderReader(terminal="A-key", reference="A-low", pull_up_ohms=500, pull_up_volts=5),
        ),
        body(),
    ]
    runs = [
        Run("CAR-feed", "CUT-in", "1.5 mm2", 1000),
        Run("CUT-out", "BOX-plus", "1.5 mm2", 1000),
        Run("BOX-minus", "GND-bolt"),
        Run("STW-key", "RDR-key"),
        Run("STW-low", "GND-bolt"),
        Run("RDR-low", "GND-bolt"),
    ]
    job = job_of(parts, runs, switches=["cut-off"])
    hot = job.parts["CAR"].connectors[0]
    feed, plain = hot.cavities
    leads = hot.changed(cavities=(feed, plain.changed(lead=Lead(gauge="0.75 mm2", length_mm=300))))
    return job.changed(
        sheet=JobSheet(title="Van \x1b[2J"),
        parts={**job.parts, "CAR": job.parts["CAR"].changed(connectors=(leads,))},
        cables={"C1": Cable(id="C1", conductors=(Conductor(), Conductor()))},
        joints={"J1": Joint(id="J1", ends=("CAR.A-hot", "C1.1:a"))},
        counters={**job.counters, "C": 1, "J": 1},
    )


@pytest.fixture
def path(tmp_path: Path) -> Path:
    found = tmp_path / "van.loomjob"
    save_job(found, van())
    return found


def said(capsys: pytest.CaptureFixture[str], *arguments: object) -> str:
    assert main(["readings", *(str(one) for one in arguments)]) == 0
    printed = capsys.readouterr()
    assert printed.err == ""
    return printed.out


def as_json(capsys: pytest.CaptureFixture[str], *arguments: object) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(said(capsys, *arguments, "--json"))
    assert list(found) == ["format", "positions"]
    assert found["format"] == 1
    return found["positions"]


def test_json_has_the_promised_form(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    positions = as_json(capsys, path)
    assert list(positions) == [
        "off",
        "accessory",
        "run",
        "start",
        "running",
        "off+cut-off",
        "running+cut-off",
    ]
    for found in positions.values():
        assert list(found) == ["terminals", "joints", "wires"]
        for place in (*found["terminals"].values(), *found["joints"].values()):
            assert list(place) == ["volts", "state"]
            assert place["state"] in ("driven", "floating", "ground")
            assert (place["volts"] is None) == (place["state"] == "floating")
        assert list(found["joints"]) == ["J1"]
        assert list(found["wires"]) == ["C1.1", "C1.2", "W1", "W2", "W3", "W4", "W5", "W6"]
        for wire in found["wires"].values():
            assert list(wire) == ["amps", "drop_volts"]


def test_its_numbers_are_those_of_the_wire_table(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run = as_json(capsys, path, "--position", "run")["run"]
    # 1 m of 1.5 mm2 has 13.3 mohm (IEC 60228:2004, class 5, plain), at 5 A 66.5 mV.
    assert run["wires"]["W1"] == {"amps": 5.0, "drop_volts": 0.0665}
    assert run["terminals"]["BOX-minus"]["state"] == "ground"
    assert run["terminals"]["BOX-spare"] == {"volts": None, "state": "floating"}
    assert run["terminals"]["BOX-plus"]["volts"] == pytest.approx(12.3, abs=0.1)
    assert run["joints"]["J1"] == {"volts": pytest.approx(12.6, abs=0.05), "state": "driven"}


def test_switches_of_the_jobs_own_and_held_buttons_are_positions(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    cut = as_json(capsys, path, "--position", "running+cut-off")["running+cut-off"]
    assert cut["wires"]["W1"]["amps"] == 0.0
    at_rest = as_json(capsys, path, "--position", "off")["off"]["terminals"]["RDR-key"]["volts"]
    held = as_json(capsys, path, "--position", "off+volume-plus")["off+volume-plus"]["terminals"]["RDR-key"][
        "volts"
    ]
    # 5 V behind 500 ohm, on 500 ohm while the button is held.
    assert at_rest == pytest.approx(5.0, abs=0.01)
    assert held == pytest.approx(2.5, abs=0.01)


def test_on_the_bench(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = as_json(capsys, path, "--position", "off", "--bench")["off"]
    assert found["joints"]["J1"]["volts"] == pytest.approx(13.0, abs=0.02)


def test_the_table_in_words(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lines = said(capsys, path, "--position", "run").splitlines()
    assert lines[0] == "Van  [2J"
    assert lines[1] == "run, reached from accessory"
    rows = {line.split()[0]: line.split()[1:] for line in lines[2:] if line}
    assert rows["BOX-spare"] == ["-", "floating"]
    assert rows["W1"] == ["5.000", "A", "0.067", "V", "lost"]
    assert rows["BOX-minus"][1:] == ["V", "ground"]


def test_what_stands_out_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "short.loomjob"
    runs = [Run("CAR-feed", "GND-bolt", "0.35 mm2", 1000)]
    fused = Feed(terminal="A-feed", live=ALWAYS, fuse_amps=10, fuse="radio")
    save_job(path, job_of([part("CAR", "feed", fused, car=True), body()], runs))
    told = said(capsys, path, "--position", "off")
    assert "Short of battery: " in told
    assert " A; fuse radio opens." in told
    assert "fuse radio opens; the readings are those after it." in told
    assert "for good it may carry" in told
    plain = Feed(terminal="A-feed", live=ALWAYS)
    save_job(path, job_of([part("CAR", "feed", plain, car=True), body()], runs))
    assert "no fuse in the loop opens, W1 burns." in said(capsys, path, "--position", "off")


def test_an_airbag_circuit_is_left_out(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "bag.loomjob"
    save_job(path, set_cavity(van(), "BOX.A-plus", airbag=True))
    found = as_json(capsys, path, "--position", "off")["off"]
    assert "BOX-plus" not in found["terminals"]
    assert "W2" not in found["wires"]
    assert "BOX-minus" in found["terminals"]


@pytest.mark.parametrize("name", ["parked", "run+cutoff", "lights", ""])
def test_a_position_that_is_none(path: Path, capsys: pytest.CaptureFixture[str], name: str) -> None:
    assert main(["readings", str(path), "--position", name]) == FAILED
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.startswith(f"loomwright: {path}: has no position {name!r}: one of off, accessory")
    assert "cut-off, volume-plus" in printed.err


def test_a_job_that_cannot_be_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["readings", str(tmp_path / "none.loomjob")]) == FAILED
    printed = capsys.readouterr()
    assert printed.out == ""
    assert "none.loomjob" in printed.err


def test_a_battery_as_a_part_is_the_cars(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    battery = Battery(plus="A-plus", minus="A-minus", rest_volts=12.1, main=True)
    job = job_of([part("BAT", "plus minus", battery, car=True), body()], [Run("BAT-minus", "GND-bolt")])
    path = tmp_path / "battery.loomjob"
    save_job(path, job)
    found = as_json(capsys, path, "--position", "off")["off"]["terminals"]
    assert found["BAT-plus"] == {"volts": 12.1, "state": "driven"}
    assert found["BAT-minus"] == {"volts": 0.0, "state": "ground"}
