"""Functions, and what becomes of two that are joined."""

from __future__ import annotations

import csv
from itertools import combinations_with_replacement
from pathlib import Path

import pytest

from core.colours import in_words
from core.library import default_library

LIBRARY = default_library()
FUNCTIONS = LIBRARY.functions


def test_every_pair_is_answered_the_same_both_ways_with_a_reason() -> None:
    for a, b in combinations_with_replacement(FUNCTIONS, 2):
        there, back = LIBRARY.pair_fits(a, b), LIBRARY.pair_fits(b, a)
        assert there == back, (a, b)
        assert there.verdict in ("fits", "look", "stop")
        assert there.reason


def test_the_same_function_fits_itself() -> None:
    assert {LIBRARY.pair_fits(name, name).verdict for name in FUNCTIONS} == {"fits"}


def test_what_is_not_known_says_nothing() -> None:
    assert LIBRARY.pair_fits("", "constant").verdict == "fits"
    assert LIBRARY.pair_fits("constant", "not in the table").verdict == "fits"


# Common practice of the trade; none of these is a value of the table's own making.
@pytest.mark.parametrize(
    ("a", "b", "verdict"),
    [
        ("constant", "accessory", "stop"),
        ("constant", "ignition", "stop"),
        ("constant", "illumination", "stop"),
        ("accessory", "start", "stop"),
        ("constant", "ground", "stop"),
        ("accessory", "signal-ground", "stop"),
        ("accessory", "ignition", "look"),
        ("illumination", "dimmer", "look"),
        ("constant", "parking-feed", "fits"),
        ("accessory", "parking-feed", "look"),
        ("speaker-lf+", "speaker-lf-", "stop"),
        ("speaker-lf+", "speaker-rf+", "stop"),
        ("speaker-lf-", "speaker-rr-", "stop"),
        ("speaker-lf-", "ground", "stop"),
        ("speaker-rr+", "constant", "stop"),
        ("antenna-turn-on", "constant", "look"),
        ("amplifier-turn-on", "accessory", "look"),
        ("amplifier-turn-on", "ground", "stop"),
        ("antenna-turn-on", "amplifier-turn-on", "look"),
        ("video", "line-lf", "look"),
        ("video", "constant", "stop"),
        ("line-lf", "line-rf", "look"),
        ("can-high", "can-low", "stop"),
        ("can-high", "ground", "stop"),
        ("steering-ground", "ground", "look"),
        ("steering-1", "steering-2", "look"),
        ("steering-1", "wired-remote", "look"),
        ("parking-brake", "ground", "look"),
        ("illumination-minus", "ground", "look"),
        ("camera-feed", "accessory", "fits"),
        ("camera-feed", "step-down-out", "fits"),
        ("camera-return", "ground", "fits"),
        ("camera-return", "video-ground", "look"),
        ("step-down-out", "constant", "stop"),
        ("step-down-out", "ground", "stop"),
        ("step-down-in", "accessory", "fits"),
        ("common", "ground", "fits"),
        ("common", "accessory", "stop"),
        ("usb-feed", "usb-ground", "stop"),
        ("fuse-a", "constant", "fits"),
        ("relay-make", "accessory", "fits"),
        ("unused", "constant", "look"),
    ],
)
def test_pairs_that_the_trade_knows(a: str, b: str, verdict: str) -> None:
    assert LIBRARY.pair_fits(a, b).verdict == verdict


def test_feeds_are_live_where_the_key_makes_them_live() -> None:
    # Common practice; the names after DIN 72552: 30 constant, 15 ignition, 50 start, 75 accessory.
    live = {name: set(FUNCTIONS[name].live) for name in ("constant", "accessory", "ignition", "ignition-2")}
    assert live["constant"] == {"off", "accessory", "run", "start", "running"}
    assert live["accessory"] == {"accessory", "run", "running"}
    assert live["ignition"] == {"run", "start", "running"}
    assert live["ignition-2"] == {"run", "running"}
    assert FUNCTIONS["start"].live == ("start",)
    assert (FUNCTIONS["reverse"].switch, FUNCTIONS["illumination"].switch) == ("reverse", "lights")


def test_every_speaker_lead_has_its_other_half() -> None:
    speakers = [f for f in FUNCTIONS.values() if f.cls == "speaker"]
    channels = {(f.channel, f.polarity) for f in speakers}
    assert channels == {(c, p) for c in ("lf", "rf", "lr", "rr", "sub") for p in "+-"}
    assert all(f.id == f"speaker-{f.channel}{f.polarity}" for f in speakers)


def test_words_are_short_and_each_is_said_once() -> None:
    words = [f.words for f in FUNCTIONS.values()]
    assert len(set(words)) == len(words)
    assert max(map(len, words)) <= 20
    assert LIBRARY.words("speaker-lf-") == "left front −"
    assert LIBRARY.words("made up") == "made up"


def test_lead_colours_are_those_of_the_trade(root: Path) -> None:
    # "Wiring Harness Color Standards (aftermarket)"; "Car Stereo Power Wiring Guide".
    functions = {
        "constant +12 V / memory": "constant",
        "switched +12 V / accessory": "accessory",
        "ground": "ground",
        "power antenna": "antenna-turn-on",
        "amplifier turn-on": "amplifier-turn-on",
        "illumination": "illumination",
        "dimmer": "dimmer",
        "mute": "mute",
        "parking brake": "parking-brake",
        "vehicle speed": "speed-signal",
    }
    for side in ("left", "right"):
        for end in ("front", "rear"):
            for sign in "+-":
                functions[f"{side} {end} {sign}"] = f"speaker-{side[0]}{end[0]}{sign}"
    with (root / "tests" / "reference" / "radio_lead_colours.csv").open(encoding="utf-8") as table:
        published = {row["function"]: row["colour"] for row in csv.DictReader(table)}
    assert published.keys() == functions.keys()
    for words, function in functions.items():
        colour = published[words].replace("gray", "grey").removesuffix(" (purple)")
        assert in_words(LIBRARY.lead_colours[function]) == colour
