"""The decks themselves: worked examples of open textbooks, and circuits with a closed answer."""

from __future__ import annotations

from itertools import pairwise

import pytest

from tests.spice import laws, run
from tests.spice.elements import GROUND, Deck, Emf, Ohm
from tests.spice.run import Answer, NoSpice, solve
from tests.spice.textbook import Example, examples


def answer(deck: Deck) -> Answer:
    """The deck's answer, ramped up from nothing; and the same once more from its pieces there."""
    (found,) = solve([deck])
    assert found is not None
    pieced = deck.pieced(found.between)
    (again,) = solve([pieced], [found.volts])
    assert again is not None
    for node in pieced.tied():
        assert again.volts[node] == pytest.approx(found.volts[node], rel=1e-8, abs=1e-8)
    assert all(piece.outside(again.between) < 1e-9 for piece in pieced.pieces.values())
    return found


def deck_of(example: Example) -> Deck:
    deck = Deck(example.id)
    for name, a, b, value in example.branches:
        deck.add(Emf(name, a, b, value, 0.0) if name.startswith("V") else Ohm(name, a, b, value))
    return deck


@pytest.mark.parametrize("example", tuple(examples()), ids=lambda example: example.id)
def test_a_deck_gives_the_answers_of_textbooks(example: Example) -> None:
    found = answer(deck_of(example))
    for node, volts in example.volts.items():
        assert found.volts[node] == pytest.approx(volts, rel=1e-5)
    for name, amps in example.amps.items():
        taken = found.amps[name]
        assert (-taken if name.startswith("V") else taken) == pytest.approx(amps, rel=1e-5, abs=1e-9)
    if example.ohms is not None:
        (volts,) = (value for name, _, _, value in example.branches if name.startswith("V"))
        assert volts / -found.amps["V1"] == pytest.approx(example.ohms)


def fed(*elements: object, volts: float = 12.0, ohms: float = 1.0) -> Deck:
    """A source of 12 V behind 1 ohm at node a, and what hangs on it."""
    deck = Deck("fed")
    deck.add(Emf("battery", "a", GROUND, volts, ohms))
    for element in elements:
        deck.add(element)  # type: ignore[arg-type]
    return deck


def test_a_load_of_watts_takes_the_first_balance_coming_down() -> None:
    # 12 V behind 1 ohm, 20 W: u² - 12 u + 20 = 0, so 10 V and 2 V; coming down from 12 V it is 10 V.
    found = answer(fed(laws.load("box", "a", GROUND, "watts", 20.0, 1.0)))
    assert found.volts["a"] == pytest.approx(10.0, rel=1e-9)
    assert found.amps["box"] == pytest.approx(2.0, rel=1e-9)


def test_a_load_below_its_least_volts_is_a_resistor() -> None:
    # 4 A from 8 V up is 2 ohm below; 6 V behind 1 ohm leave 4 V, and 2 A.
    found = answer(fed(laws.load("box", "a", GROUND, "amps", 4.0, 8.0), volts=6.0))
    assert (found.volts["a"], found.amps["box"]) == pytest.approx((4.0, 2.0), rel=1e-9)


def test_a_load_the_wrong_way_round_takes_nothing() -> None:
    found = answer(fed(laws.load("box", GROUND, "a", "ohms", 4.0, 1.0)))
    assert found.volts["a"] == pytest.approx(12.0)
    assert found.amps["box"] == pytest.approx(0.0, abs=1e-10)


def test_a_diode_and_a_lamp() -> None:
    # (12 - 0.7) / (1 + 0.1 + 10.2) = 1 A
    deck = fed(laws.diode("diode", "a", "b", 0.7, 0.1), Ohm("rest", "b", GROUND, 10.2))
    assert answer(deck).amps["diode"] == pytest.approx(1.0, rel=1e-9)
    # 12 V 24 W has 6 ohm and 2 A at 12 V; behind 1 ohm that takes 14 V.
    found = answer(fed(laws.lamp("lamp", "a", GROUND, 12.0, 24.0, 0.5), volts=14.0))
    assert (found.volts["a"], found.amps["lamp"]) == pytest.approx((12.0, 2.0), rel=1e-9)
    # Cold it keeps its cold ohms: 0.1 V behind 1 ohm and 1 ohm.
    found = answer(fed(laws.lamp("lamp", GROUND, "a", 12.0, 24.0, 1.0), volts=0.1))
    assert found.amps["lamp"] == pytest.approx(-0.05, rel=1e-9)


def test_a_supply_gives_no_more_than_its_limit_and_takes_nothing_back() -> None:
    deck = fed(laws.supply("bench", "b", GROUND, 13.0, 0.1, 5.0), Ohm("rest", "b", GROUND, 2.0))
    found = answer(deck)
    assert (found.volts["b"], found.amps["bench"]) == pytest.approx((10.0, -5.0), rel=1e-9)
    deck = fed(laws.supply("bench", "a", GROUND, 11.0, 0.1, 5.0), Ohm("rest", "a", GROUND, 1000.0))
    assert answer(deck).amps["bench"] == pytest.approx(0.0, abs=1e-10)


def test_milliohms_far_above_ground_keep_their_digits() -> None:
    # 100 uA through 24 V, 120 kohm and ten times 1 mohm: each of them loses 0.2 uV.
    names = ["a", *(f"x{number}" for number in range(10))]
    deck = Deck("far")
    deck.add(Emf("battery", "a", GROUND, 24.0, 0.0))
    for here, there in pairwise(names):
        deck.add(Ohm(there, here, there, 0.001))
    deck.add(Ohm("far", names[-1], GROUND, 120_000.0))
    amps = 24.0 / 120_000.01
    assert answer(deck).amps == pytest.approx(
        {"battery": -amps, "far": amps} | dict.fromkeys(names[1:], amps), rel=1e-12
    )


def test_what_has_no_way_to_ground_has_its_amps_all_the_same() -> None:
    deck = fed(Ohm("load", "a", GROUND, 11.0), Emf("loose", "p", "q", 6.0, 1.0), Ohm("ring", "q", "p", 5.0))
    assert deck.tied() == {GROUND, "a"}
    assert list(deck.islands()) == ["p"]
    found = answer(deck)
    assert found.volts["a"] == pytest.approx(11.0)
    assert (found.amps["loose"], found.amps["ring"]) == pytest.approx((-1.0, -1.0))


def test_what_hangs_behind_a_diode_that_blocks_has_no_way_to_ground() -> None:
    deck = fed(
        Ohm("load", "a", GROUND, 11.0), laws.diode("diode", "x", "a", 0.7, 0.1), Ohm("on", "x", "y", 1.0)
    )
    assert deck.tied() == {GROUND, "a", "x", "y"}
    assert deck.pieced(answer(deck).between).tied() == {GROUND, "a"}


def test_without_ngspice_it_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(run.shutil, "which", lambda _: None)
    with pytest.raises(NoSpice, match="ngspice is not installed"):
        solve([])
