"""What functions say where no internal does, and whose side a terminal is on."""

from __future__ import annotations

from core import edits as ed
from core.circuit.cache import ElementCache
from core.circuit.elements import Elements, elements_of
from core.circuit.roles import function_of, side_of
from core.job.document import Job
from core.job.internals import Feed, LiveIn, Load
from core.job.parts import Cavity
from tests.core.checks.jobs import camera, jobs_of, library, plain, radio


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
