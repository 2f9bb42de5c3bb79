"""Colours that can be read: every pair of text and ground in the style sheet, light and dark."""

from __future__ import annotations

import re
from itertools import product

import pytest

from app.theme import ThemeName, Tokens, load_tokens
from core.paths import resources_folder

LEAST_TEXT = 4.5
"""Web Content Accessibility Guidelines 2.1, success criterion 1.4.3 (AA): text against its ground."""
LEAST_MARK = 3.0
"""The same, 1.4.11: what tells where the focus is, and the outline of what can be pressed."""
GROUNDS = ("felt", "panel", "raised")
INHERITED = [
    *product(("ink", "quiet", "action"), GROUNDS),
    *product(("ink", "quiet"), ("action_wash", "stop_wash", "look_wash", "note_wash")),
    ("action", "action_wash"),
    *product(("on_level",), ("stop", "look", "note", "good")),
    ("on_action", "action"),
    ("panel", "ink"),
]
"""Text whose ground is another widget's, so that no one rule of the style sheet names both."""


def _luminance(colour: str) -> float:
    """Relative luminance, as the guidelines define it."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _contrast(one: str, other: str) -> float:
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _rules() -> list[tuple[str, str]]:
    text = (resources_folder() / "theme" / "style.qss").read_text(encoding="utf-8")
    return re.findall(r"([^{}]+)\{((?:\$\{\w+\}|[^{}])*)\}", text)


def _pairs_in_rules() -> list[tuple[str, str, str]]:
    found = []
    for selector, body in _rules():
        ink = re.search(r"(?<![-\w])color: \$(\w+)", body)
        ground = re.search(r"(?<![-\w])background: \$(\w+)", body)
        if ink and ground and ":disabled" not in selector:
            found.append((selector.strip(), ink[1], ground[1]))
    return found


@pytest.fixture(params=["light", "dark"])
def tokens(request: pytest.FixtureRequest) -> Tokens:
    name: ThemeName = request.param
    return load_tokens(name)


def test_the_measure_is_the_published_one() -> None:
    """Black on white is 21 to 1; #767676 is the lightest grey to pass on white (from memory)."""
    assert _contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert _contrast("#767676", "#FFFFFF") >= LEAST_TEXT > _contrast("#777777", "#FFFFFF")


def test_text_can_be_read_on_what_it_stands_on(tokens: Tokens) -> None:
    pairs = [(f"{ink} on {ground}", ink, ground) for ink, ground in INHERITED] + _pairs_in_rules()
    assert len(pairs) > 30
    poor = [
        (where, round(ratio, 2))
        for where, ink, ground in pairs
        if (ratio := _contrast(getattr(tokens, ink), getattr(tokens, ground))) < LEAST_TEXT
    ]
    assert poor == []


def test_the_focus_can_be_seen(tokens: Tokens) -> None:
    """The frame round what has the focus stands out from its ground; on filled buttons it is of ink."""
    for ground in (*GROUNDS, "action_wash"):
        assert _contrast(tokens.action, getattr(tokens, ground)) >= LEAST_MARK
    assert _contrast(tokens.ink, tokens.panel) >= LEAST_MARK


BUTTONS = ("QToolButton", "QPushButton", "QPushButton#primary", "QCheckBox", "QTabBar::tab", "QFrame#card")
FIELDS = ("QLineEdit", "QPlainTextEdit", "QSpinBox", "QComboBox", "QTableView", "QTreeView", "QListView")


@pytest.mark.parametrize("kind", BUTTONS + FIELDS)
def test_everything_that_takes_the_focus_shows_it(kind: str) -> None:
    selectors = [s.strip() for rule, _ in _rules() for s in rule.split(",")]
    assert f"{kind}:focus" in selectors
