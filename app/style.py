"""The style sheet: `resources/theme/style.qss`, filled in with the theme's tokens."""

from __future__ import annotations

from string import Template

from app.theme import RADIUS, TOUCH, Tokens
from core.paths import resources_folder


def style_sheet(tokens: Tokens) -> str:
    """The whole style sheet for one set of tokens."""
    text = (resources_folder() / "theme" / "style.qss").read_text(encoding="utf-8")
    values = {name: getattr(tokens, name) for name in tokens.__dataclass_fields__}
    values["icons"] = (resources_folder() / "theme").as_posix()
    return Template(text).substitute(values, radius=RADIUS, touch=TOUCH)
