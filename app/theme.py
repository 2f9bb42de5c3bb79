"""Colours, type and spacing of the program, read from `resources/theme`."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import font_source_sans_pro
from PySide6.QtGui import QColor, QFont, QFontDatabase, QPalette

from core.paths import resources_folder

ThemeName = Literal["light", "dark"]
FAMILY = "Source Sans Pro"
STEP = 8
"""The rhythm of the screen, in pixels."""
RADIUS = 6
TOUCH = 28
"""The least height of anything to press, in pixels."""
POINT_SIZE = 10.5


@dataclass(frozen=True)
class Tokens:
    """Every colour the screen uses, `#RRGGBB`. `*_wash` lies under text of that level."""

    name: str
    felt: str
    panel: str
    raised: str
    hairline: str
    ink: str
    quiet: str
    action: str
    action_wash: str
    on_action: str
    stop: str
    stop_wash: str
    look: str
    look_wash: str
    note: str
    note_wash: str
    good: str
    good_wash: str
    on_level: str
    casing: str
    grid_dot: str
    empty_cavity: str

    def level(self, level: str) -> str:
        """The colour of a conflict level: stop, look or note."""
        return {"stop": self.stop, "look": self.look, "note": self.note}[level]

    def level_wash(self, level: str) -> str:
        return {"stop": self.stop_wash, "look": self.look_wash, "note": self.note_wash}[level]


def load_tokens(name: ThemeName) -> Tokens:
    text = (resources_folder() / "theme" / f"{name}.json").read_text(encoding="utf-8")
    return Tokens(**json.loads(text))


def font_files() -> tuple[Path, ...]:
    """The type that screen and paper share: regular, italic, semibold, bold."""
    folder = Path(font_source_sans_pro.__file__).parent / "files"
    return tuple(folder / f"SourceSansPro-{style}.ttf" for style in ("Regular", "It", "Semibold", "Bold"))


def load_fonts() -> None:
    """Register our own type: on a machine with no font Qt draws nothing and says nothing."""
    for file in font_files():
        if QFontDatabase.addApplicationFont(str(file)) < 0:
            raise RuntimeError(f"{file.name} could not be loaded")


def base_font() -> QFont:
    font = QFont(FAMILY)
    font.setPointSizeF(POINT_SIZE)
    return font


def palette(tokens: Tokens) -> QPalette:
    roles = {
        QPalette.ColorRole.Window: tokens.panel,
        QPalette.ColorRole.Base: tokens.raised,
        QPalette.ColorRole.AlternateBase: tokens.panel,
        QPalette.ColorRole.Button: tokens.raised,
        QPalette.ColorRole.ToolTipBase: tokens.raised,
        QPalette.ColorRole.Text: tokens.ink,
        QPalette.ColorRole.WindowText: tokens.ink,
        QPalette.ColorRole.ButtonText: tokens.ink,
        QPalette.ColorRole.ToolTipText: tokens.ink,
        QPalette.ColorRole.PlaceholderText: tokens.quiet,
        QPalette.ColorRole.Highlight: tokens.action,
        QPalette.ColorRole.HighlightedText: tokens.on_action,
        QPalette.ColorRole.Link: tokens.action,
        QPalette.ColorRole.Mid: tokens.hairline,
    }
    made = QPalette()
    for role, colour in roles.items():
        made.setColor(role, QColor(colour))
    for role in (QPalette.ColorRole.Text, QPalette.ColorRole.WindowText, QPalette.ColorRole.ButtonText):
        made.setColor(QPalette.ColorGroup.Disabled, role, QColor(tokens.quiet))
    return made
