"""What a part does inside: words for every field of every kind, and the form that asks for them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from app.dialogs.entries import ChoiceEntry, NumberEntry, PairsEntry, WindowEntry
from app.panels.internal_form import InternalForm
from app.panels.internal_lines import line_of
from app.panels.internal_words import (
    KINDS,
    choices_of,
    field_words,
    fields_of,
    form_of,
    models,
    optional,
)
from app.panels.internals import usual
from core.edits.parts import add_part
from core.job.document import Job
from core.job.internals import Fuse, Internal, LiveIn, Load, Relay, VoltWindow
from core.job.parts import Part
from core.library.library import Library
from tests.app.form_hands import LEFT, PINS, box_job, put, type_in
from tests.strategies import plug

LIVE = LiveIn(keys=("off", "running"), switch="lights", unless="cut-off")


def sample(kind: str, field: str, number: int) -> Any:
    """A value of the field that is not its own default."""
    info = models()[kind].model_fields[field]
    match form_of(kind, field):
        case "pin":
            return f"A-{1 + number % 8}"
        case "number":
            return 2.5 + number / 8
        case "share":
            return 0.25
        case "window":
            return VoltWindow(least=-5.5, most=16)
        case "when":
            return LIVE
        case "choice":
            return {"manner": "pulsed", "clamp": "resistor"}.get(field, choices_of(kind, field)[-1][0])
        case "tick":
            return not info.default
        case "pairs":
            return {"Seek & <b>": 470.0, "Volume up": 1200.0}
        case _:
            return "Data sheet <b>3</b> & label"


def whole(kind: str) -> dict[str, Any]:
    """A value for every field that can be stated together with the others."""
    fields = {field: sample(kind, field, number) for number, field in enumerate(fields_of(kind))}
    for field in {"load": ("ohms", "watts"), "feed": ("after_run_minutes",)}.get(kind, ()):
        del fields[field]
    return fields


def form_for(
    qtbot: QtBot, job: Job, library: Library, kind: str, given: Mapping[str, Any] | None = None
) -> InternalForm:
    form = InternalForm(None, job, library, job.parts["BOX"], kind, given or {}, "Keep")
    qtbot.addWidget(form)
    form.show()
    qtbot.waitExposed(form)
    return form


def switch_job() -> Job:
    """A job that names a switch of its own, so that it can be chosen."""
    return box_job(Load(plus="A-1", on=LIVE))


def test_every_kind_stands_in_one_group_with_its_words() -> None:
    assert set(KINDS) == set(models())
    names = [words.name for words in KINDS.values()]
    assert len(names) == len(set(names))
    assert all(words.help for words in KINDS.values())


@pytest.mark.parametrize("kind", sorted(models()))
def test_every_field_of_a_kind_has_words_of_its_own(kind: str) -> None:
    fields = set(models()[kind].model_fields) - {"kind"}
    assert set(fields_of(kind)) == fields
    captions = [field_words(kind, field).caption for field in fields]
    assert len(captions) == len(set(captions))
    for field in fields:
        words = field_words(kind, field).label
        assert words
        assert "_" not in words
        if form_of(kind, field) == "choice":
            assert all(words for _, words in choices_of(kind, field))


@pytest.mark.parametrize("kind", sorted(models()))
def test_every_field_of_a_kind_is_set_and_read_back(
    qtbot: QtBot, qapp: QApplication, library: Library, kind: str
) -> None:
    job, values = switch_job(), whole(kind)
    form = form_for(qtbot, job, library, kind)
    for field in fields_of(kind):
        if field in values:
            put(form.entries[field], values[field])
    QTest.mouseClick(form.agree, LEFT)
    assert {n: e.complaint for n, e in form.entries.items() if e.complaint} == {}
    assert form.made == models()[kind](**values)
    again = form_for(qtbot, job, library, kind, values)
    QTest.mouseClick(again.agree, LEFT)
    assert again.made == form.made


@pytest.mark.parametrize("kind", sorted(models()))
def test_what_may_be_empty_says_in_grey_what_is_assumed(
    qtbot: QtBot, qapp: QApplication, library: Library, kind: str
) -> None:
    form = form_for(qtbot, switch_job(), library, kind)
    for field in fields_of(kind):
        entry = form.entries[field]
        if optional(kind, field) and isinstance(entry, NumberEntry):
            assert entry.line.placeholderText(), field
        if optional(kind, field) and isinstance(entry, ChoiceEntry):
            assert entry.box.currentText(), field


@pytest.mark.parametrize("kind", sorted(models()))
def test_every_kind_has_a_line_that_names_its_pins(library: Library, kind: str) -> None:
    job = switch_job()
    pins = {name: value for name, value in whole(kind).items() if form_of(kind, name) == "pin"}
    piece = models()[kind](**whole(kind))
    words = line_of(piece, job, library, job.parts["BOX"])  # type: ignore[arg-type]
    assert len(words) > 8
    spoken = [pin for name, pin in pins.items() if name not in ("reference", "minus", "fed_from")]
    for pin in spoken:
        assert pin.removeprefix("A-") in words, (words, pin)


def test_lines_are_in_the_trades_words(library: Library) -> None:
    part = Part.model_validate(
        plug("BOX", PINS).model_dump()
        | {"connectors": [*plug("BOX", PINS).model_dump()["connectors"], {"name": "B"}]}
    )
    job = add_part(Job(), part)
    load = Load(
        plus="A-1", amps=8, on_by="A-4", idle_amps=0.005, accepts=VoltWindow(least=9, most=16), minus="A-2"
    )
    words = [
        "fuse 10 A between A-1 and A-2",
        "draws 8 A at A-1 while accessory A-4 is live, 5 mA else; needs 9 to 16 V",
        "relay: coil A-1 to A-2, 85 ohm, makes A-3 to A-5, clamp diode",
    ]
    pieces: tuple[Internal, ...] = (
        Fuse(a="A-1", b="A-2", amps=10),
        load,
        Relay(coil_plus="A-1", coil_minus="A-2", common="A-3", make="A-5", coil_ohms=85, clamp="diode"),
    )
    assert [line_of(piece, job, library, part) for piece in pieces] == words


def test_a_bad_number_says_why_in_its_place(qtbot: QtBot, qapp: QApplication, library: Library) -> None:
    form = form_for(qtbot, box_job(), library, "fuse")
    amps, holder = form.entries["amps"], form.entries["holder_amps"]
    assert amps.complaint == "", "nothing is wrong with a form that was only opened"
    assert isinstance(amps, NumberEntry)
    type_in(amps.line, "-2")
    assert amps.complaint == "must be more than 0", "said though the pins are still to be chosen"
    type_in(amps.line, "")
    put(form.entries["a"], "A-1")
    QTest.mouseClick(form.agree, LEFT)
    assert form.isVisible()
    assert (form.entries["b"].complaint, amps.complaint) == ("choose a pin", "needed")
    put(form.entries["b"], "A-2")
    assert isinstance(holder, NumberEntry)
    for text, why in (
        ("ten", "not a number in A"),
        ("-3", "must be more than 0"),
        ("99999", "must be at most 10000"),
        ("1,000", "write 1000, or with a point 1.000"),
        ("10 V", "not a number in A"),
    ):
        type_in(amps.line, text)
        assert amps.complaint == why
        assert form.made is None
    said = next(label for label in amps.findChildren(QLabel) if label.objectName() == "wrong")
    assert said.isVisible()
    type_in(amps.line, "7,5 A")
    type_in(holder.line, "500 mA")
    QTest.keyClick(holder.line, Qt.Key.Key_Return)
    assert form.made == Fuse(a="A-1", b="A-2", amps=7.5, holder_amps=0.5)
    assert not form.isVisible()


def test_a_load_states_one_law_and_a_pulsed_feed_its_share(
    qtbot: QtBot, qapp: QApplication, library: Library
) -> None:
    form = form_for(qtbot, box_job(), library, "load", {"plus": "A-1", "amps": 2.0})
    put(form.entries["watts"], 20.0)
    assert form.entries["watts"].complaint == "state one of amps, ohms and watts"
    put(form.entries["amps"], None)
    assert form.made == Load(plus="A-1", watts=20)
    feed = form_for(qtbot, box_job(), library, "feed", {"terminal": "A-1", "live": LIVE})
    duty, minutes = feed.entries["duty"], feed.entries["after_run_minutes"]
    assert not duty.isEnabled()
    put(feed.entries["manner"], "pulsed")
    assert duty.isEnabled()
    QTest.mouseClick(feed.agree, LEFT)
    assert duty.complaint == "needed: the share of the time that it is on"
    put(feed.entries["manner"], "timed")
    assert not duty.isEnabled()
    assert minutes.isEnabled()
    put(minutes, 20.0)
    assert feed.made is not None
    assert feed.made.after_run_minutes == 20


def test_windows_and_buttons_say_what_is_wrong(qtbot: QtBot, qapp: QApplication, library: Library) -> None:
    form = form_for(qtbot, box_job(), library, "load", {"plus": "A-1"})
    accepts = form.entries["accepts"]
    assert isinstance(accepts, WindowEntry)
    type_in(accepts.least, "16")
    assert accepts.complaint == "state both, the least and the most"
    type_in(accepts.most, "9")
    assert accepts.complaint == "the least is more than the most"
    ladder = form_for(qtbot, box_job(), library, "button ladder", {"signal": "A-1", "reference": "A-2"})
    buttons = ladder.entries["ohms"]
    assert isinstance(buttons, PairsEntry)
    type_in(buttons.lines[0][1], "470")
    assert buttons.complaint == "the button of 470 ohm has no name"
    type_in(buttons.lines[0][0], "Up")
    assert ladder.made is not None
    type_in(buttons.lines[1][0], "Up")
    assert buttons.complaint == "Up stands twice"
    type_in(buttons.lines[1][0], "Down")
    type_in(buttons.lines[1][1], "1.2k")
    assert ladder.made is not None
    assert ladder.made.ohms == {"Up": 470, "Down": 1200}
    type_in(buttons.lines[0][0], "")
    type_in(buttons.lines[0][1], "")
    assert ladder.made.ohms == {"Down": 1200}


def test_a_number_that_was_not_touched_stays_as_it_is(
    qtbot: QtBot, qapp: QApplication, library: Library
) -> None:
    given = {"input": "A-1", "output": "A-2", "common": "A-3", "volts_out": 6.000000000001}
    window = VoltWindow(least=0.1 + 0.2, most=16)
    given |= {"accepts": window, "efficiency": 0.1 + 0.2}  # type: ignore[dict-item]
    form = form_for(qtbot, box_job(), library, "step-down", given)
    assert form.made is not None
    assert {name: getattr(form.made, name) for name in given} == given


def test_a_new_piece_finds_its_pins_by_their_functions() -> None:
    part = plug("FUS", {"1": "fuse-b", "2": "fuse-a"})
    assert usual(part, "fuse") == {"a": "A-2", "b": "A-1"}
    assert usual(part, "output") == {"live": LiveIn(keys=("accessory", "run", "running"))}


def test_the_help_goes_with_the_keyboard(qtbot: QtBot, qapp: QApplication, library: Library) -> None:
    form = form_for(qtbot, box_job(), library, "relay")
    form.activateWindow()
    qtbot.waitUntil(form.isActiveWindow)
    shown = [label for label in form.findChildren(QLabel) if label.text() == "30: the contact that moves"]
    assert shown == []
    form.entries["common"].setFocus()
    assert any(label.text() == "30: the contact that moves" for label in form.findChildren(QLabel))
