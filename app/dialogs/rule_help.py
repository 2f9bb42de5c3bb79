"""What a rule finds, why it matters, how it is mended, and the limits that it reads."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from PySide6.QtWidgets import QWidget

from app.dialogs.pages import Page
from core.checks.finding import NEVER_ACCEPTED
from core.checks.registry import Rule
from core.job.record import Settings
from core.library.limits import Limit, Limits

LEVEL_WORDS = {"stop": "Stop", "look": "Look", "note": "Note"}
LEVEL_MEANS = {
    "stop": "smoke, damage, danger, or something needed will not work at all",
    "look": "a person must decide",
    "note": "worth knowing",
}


def limit_words(name: str, row: Limit, own: Mapping[str, float]) -> str:
    """`80 %, common practice`; with what this job takes instead, where it does."""
    if name in own:
        here = row._replace(value=own[name])
        return f"{here.shown} for this job. The shop's: {row.shown}, {row.source}"
    return f"{row.shown}. {row.source[:1].upper()}{row.source[1:]}"


def rule_rows(rule: Rule, limits: Limits, settings: Settings) -> Iterator[tuple[str, str]]:
    """The help of a rule as headed paragraphs."""
    what, why, mend = rule.help
    yield "Level", f"{LEVEL_WORDS[rule.level]}: {LEVEL_MEANS[rule.level]}"
    yield "What it finds", what
    yield "Why it matters", why
    yield "How to mend it", mend
    for name in rule.limits:
        row = limits.rows[name]
        yield f"Limit: {row.words}", limit_words(name, row, settings.limits)
    if rule.name in NEVER_ACCEPTED:
        yield "Accepting", "This cannot be accepted: it has to be mended."
    if rule.level == "stop":
        yield "Switching off", "Stop rules always run."
    elif rule.name in settings.rules_off:
        yield "Switching off", "It is switched off for this job."


def show_rule(parent: QWidget | None, rule: Rule, limits: Limits, settings: Settings) -> None:
    title = f"{rule.name[:1].upper()}{rule.name[1:]}"
    page = Page(parent, "About this conflict")
    page.resize(600, 420)
    page.heading(title)
    for left, right in rule_rows(rule, limits, settings):
        page.row(left, right)
    page.exec()
