"""What functions say where no internal does, and whose side a terminal is on."""

from __future__ import annotations

import pytest

from core import edits as ed
from core.circuit.cache import ElementCache
from core.circuit.elements import Elements, elements_of
from core.circuit.implied import insides_of, internals_of
from core.circuit.roles import function_of, side_of
from core.job.document import Job
from core.job.internals import (
    Battery,
    Breaker,
    Case,
    Feed,
    GroundPoint,
    Internal,
    LineLevel,
    Link,
    LiveIn,
    Load,
    Output,
    Sense,
    Speaker,
    SpeakerOutput,
    SwitchToGround,
)
from core.job.parts import Cavity
from tests.core.checks.jobs import ALWAYS, camera, jobs_of, library, plain, radio


def elements(job: Job, tag: str) -> Elements:
    return elements_of(job, library(), job.parts[tag])


def test_a_car_gives_its_feeds_and_its_ground() -> None:
    found = elements(jobs_of(plain("CAR", ("constant", "ground"), state="on the car")), "CAR")
    assert [(s.kind, s.terminal) for s in found.sources] == [("feed", "CAR.A-1"), ("ground", "CAR.A-2")]
    assert found.loads == ()


def test_equipment_takes_feeds_and_returns_by_its_ground() -> None:
    found = elements(jobs_of(plain("BOX", ("constant", "reverse", "ground"))), "BOX")
    assert found.sources == ()
    assert [(load.plus, load.minus) for load in found.loads] == [
        ("BOX.A-1", ("BOX.A-3",)),
        ("BOX.A-2", ("BOX.A-3",)),
    ]
    assert found.switches == {"reverse"}


def test_a_cavity_may_say_which_way_it_goes() -> None:
    gives = Cavity(pin="1", function="camera-feed", flow="gives", volts=6.0)
    turn_on = Cavity(pin="1", function="amplifier-turn-on", flow="takes")
    found = elements(jobs_of(plain("BOX", (gives, turn_on))), "BOX")
    # The table gives a camera feed no times, so it is no source without an internal.
    assert found.sources == ()
    assert [sense.terminal for sense in found.senses] == ["BOX.A-2"]


def test_an_internal_speaks_for_its_terminals() -> None:
    live = LiveIn(keys=("run",))
    part = plain("CAR", ("constant",), state="on the car", internals=(Feed(terminal="A-1", live=live),))
    (source,) = elements(jobs_of(part), "CAR").sources
    assert source.live == live
    load = plain("BOX", ("constant", "ground"), internals=(Load(plus="A-1", amps=1),))
    (found,) = elements(jobs_of(load), "BOX").loads
    assert (found.plus, found.minus) == ("BOX.A-1", ("BOX.A-2",))


def test_empty_cavities_and_removed_parts_do_nothing() -> None:
    empty = Cavity(pin="1", function="constant", filled=False)
    unfilled = Cavity(pin="1", function="constant", found="empty")
    part = plain("CAR", (empty, unfilled), state="on the car")
    assert elements(jobs_of(part), "CAR") == Elements()
    removed = plain("OLD", ("constant",), state="removed")
    assert elements(jobs_of(removed), "OLD") == Elements()


def test_a_plug_of_ours_only_passes_on_what_the_car_gives() -> None:
    job = radio()
    assert side_of(job, "RAD.A-2") == "passes"
    assert side_of(job, "RADC.A-2") == "car"
    assert side_of(job, "REC.A-1") == "equipment"
    assert elements(job, "RAD") == Elements()
    unplugged = ed.unmate(job, "M1")
    assert elements(unplugged, "RAD") == Elements()


def test_a_pigtail_is_for_what_the_car_says_and_speaks_where_the_car_is_silent() -> None:
    job = ed.set_cavity(radio(), "RADC.A-4", function="ignition")
    function = function_of(job, library(), "RAD.A-4")
    assert function is not None
    assert function.id == "ignition"
    silent = ed.set_cavity(radio(), "RADC.A-4", function="")
    function = function_of(silent, library(), "RAD.A-4")
    assert function is not None
    assert function.id == "accessory"
    assert [s.terminal for s in elements(silent, "RAD").sources] == ["RAD.A-4"]


def test_a_camera_behind_a_plug_of_the_car_is_a_load_there() -> None:
    (load,) = elements(camera(), "CAMC").loads
    assert (load.plus, load.minus) == ("CAMC.A-1", ("CAMC.A-3",))
    assert load.accepts is not None
    assert load.accepts.most == 6.5


def test_the_cache_works_out_again_only_what_changed() -> None:
    job, cache = radio(), ElementCache(library())
    first = cache.of(job, job.parts["REC"])
    assert cache.of(job, job.parts["REC"]) is first
    other = ed.join(job, "RAD.A-7", "RAD.A-8")
    assert cache.of(other, other.parts["REC"]) is first
    changed = ed.set_cavity(job, "REC.A-1", function="accessory")
    assert cache.of(changed, changed.parts["REC"]) is not first
    cache.keep({})
    assert cache.of(changed, changed.parts["REC"]) == elements(changed, "REC")


def internals(job: Job, tag: str) -> tuple[Internal, ...]:
    return internals_of(job, library(), job.parts[tag])


def test_what_a_car_gives_as_internals() -> None:
    part = plain("CAR", ("accessory", "ground", "parking-brake", "reverse"), state="on the car")
    closed = LiveIn(keys=ALWAYS.keys, switch="parking")
    assert internals(jobs_of(part), "CAR") == (
        Feed(terminal="A-1", live=LiveIn(keys=("accessory", "run", "running"))),
        GroundPoint(terminal="A-2"),
        SwitchToGround(terminal="A-3", closed=closed),
        Feed(terminal="A-4", live=LiveIn(keys=("run", "start", "running"), switch="reverse")),
    )


def test_what_equipment_takes_as_internals() -> None:
    part = plain("BOX", ("accessory", "ground", "parking-brake", "ground", "illumination-minus"))
    assert internals(jobs_of(part), "BOX") == (
        Load(plus="A-1", needed=LiveIn(keys=("accessory", "run", "running"))),
        # What the car joins to ground is looked for by an input that holds its lead up.
        Sense(terminal="A-3", active="low"),
        Sense(terminal="A-5"),
        Link(a="A-2", b="A-4"),
    )


def test_what_a_part_states_comes_first() -> None:
    stated = Load(plus="A-1", amps=2.0)
    part = plain("BOX", ("constant", "ground", "accessory"), internals=(stated,))
    found = internals(jobs_of(part), "BOX")
    assert found[0] == stated
    assert [type(each) for each in found[1:]] == [Load]


def test_pointing_at_a_terminal_does_not_speak_for_it() -> None:
    output = Output(terminal="A-3", live=LiveIn(keys=("run",)), fed_from="A-1", on_by="A-2")
    part = plain("BOX", ("constant", "accessory", "amplifier-turn-on"), internals=(output,))
    found = internals(jobs_of(part), "BOX")
    assert [each.plus for each in found if isinstance(each, Load)] == ["A-1", "A-2"]


def test_an_output_is_on_while_its_equipment_is() -> None:
    fed = plain("BOX", ("constant", "accessory", "amplifier-turn-on"))
    (output,) = (each for each in internals(jobs_of(fed), "BOX") if isinstance(each, Output))
    # Whatever wakes the part wakes its output: also a wrong feed, with the key off.
    assert output.on_by == "A-2"
    assert "off" in output.live.keys
    (source,) = (each for each in elements(jobs_of(fed), "BOX").sources if each.kind == "output")
    assert source.live.keys == ("accessory", "run", "running")
    alone = plain("BOX", ("constant", "amplifier-turn-on"))
    (output,) = (each for each in internals(jobs_of(alone), "BOX") if isinstance(each, Output))
    assert (output.on_by, output.live.keys) == (None, ("accessory", "run", "running"))


@pytest.mark.parametrize(
    ("functions", "supply", "wake"),
    [
        (("accessory", "constant", "illumination"), "A-2", "A-1"),
        (("illumination", "ignition"), "A-2", "A-2"),
        (("constant", "illumination"), "A-1", None),
        (("reverse",), "A-1", None),
        (("ground",), None, None),
    ],
)
def test_where_a_part_is_fed_and_what_turns_it_on(
    functions: tuple[str, ...], supply: str | None, wake: str | None
) -> None:
    job = jobs_of(plain("BOX", functions))
    found = insides_of(job, library(), job.parts["BOX"])
    assert (found.supply, found.wake) == (supply, wake)


def test_an_amplifier_is_turned_on_by_its_lead() -> None:
    turn_on = Cavity(pin="2", function="amplifier-turn-on", flow="takes")
    job = jobs_of(plain("AMP", ("constant", turn_on)))
    assert insides_of(job, library(), job.parts["AMP"]).wake == "A-2"


def test_equipment_gives_feeds_from_its_own() -> None:
    gives = Cavity(pin="2", function="ignition", flow="gives")
    (feed,) = (
        each
        for each in internals(jobs_of(plain("BOX", ("constant", gives))), "BOX")
        if isinstance(each, Feed)
    )
    assert feed.fed_from == "A-1"


def test_speakers_are_paired_by_channel() -> None:
    leads = ("speaker-rf-", "speaker-lf+", "speaker-lf-", "speaker-rf+", "speaker-lr+")
    amplifier = internals(jobs_of(plain("BOX", leads)), "BOX")
    assert amplifier == (SpeakerOutput(plus="A-2", minus="A-3"), SpeakerOutput(plus="A-4", minus="A-1"))
    speakers = internals(jobs_of(plain("CAR", leads, state="on the car")), "CAR")
    assert speakers == (Speaker(plus="A-2", minus="A-3"), Speaker(plus="A-4", minus="A-1"))
    # A rule asks for each lead, the one without its other half among them.
    told = [
        terminal
        for each in elements(jobs_of(plain("BOX", leads)), "BOX").speakers
        for terminal in each.terminals
    ]
    assert sorted(told) == [f"BOX.A-{n}" for n in range(1, 6)]


def test_an_input_at_speaker_level_is_no_speaker() -> None:
    pins = tuple(
        Cavity(pin=str(n), function=f"speaker-lf{sign}", flow="takes") for n, sign in enumerate("+-", start=1)
    )
    assert internals(jobs_of(plain("AMP", pins)), "AMP") == (LineLevel(terminal="A-1", reference="A-2"),)


def test_other_kinds_feed_the_elements_too() -> None:
    live = LiveIn(keys=("run",), switch="remote-start")
    inside = (
        Breaker(a="A-1", b="A-2", amps=5),
        Battery(plus="A-1", minus="A-2", main=True),
        Case(a="A-2", touches_body=True),
        SwitchToGround(terminal="A-1", closed=live),
    )
    found = elements(jobs_of(plain("BOX", ("", ""), internals=inside)), "BOX")
    assert [(fuse.a, fuse.b) for fuse in found.fuses] == [("BOX.A-1", "BOX.A-2")]
    told = [(source.kind, source.terminal, source.reliable) for source in found.sources]
    assert told == [
        ("feed", "BOX.A-1", True),
        ("ground", "BOX.A-2", True),
        ("ground", "BOX.A-2", False),
        ("ground", "BOX.A-1", False),
    ]
    assert found.switches == {"remote-start"}


def test_a_pulled_lead_is_noticed_by_the_cache() -> None:
    job, cache = ed.unjoin(radio(), "RAD.A-4"), ElementCache(library())
    job = ed.set_cavity(job, "RADC.A-4", function="")
    assert [s.terminal for s in cache.of(job, job.parts["RAD"]).sources] == ["RAD.A-4"]
    pulled = ed.pull(job, ["RAD.A-4"])
    assert cache.of(pulled, pulled.parts["RAD"]).sources == ()
