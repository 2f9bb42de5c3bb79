"""What is known about rules, and what a job says about them: help, rules off, limits; conflicts explained."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.commands import checking
from app.desk import Desk
from app.dialogs.limits import edit_limits
from core.checks.finding import Conflict
from core.edits import record

if TYPE_CHECKING:
    from core.checks.registry import Rule


def explain(desk: Desk) -> None:
    """Let the conflict shown on the map explain itself, else the first there is."""
    conflict = checking.shown_conflict(desk)
    if conflict is None:
        checking.next_conflict(desk)
        conflict = checking.shown_conflict(desk)
    if conflict is not None:
        explain_conflict(desk, conflict)


def explain_conflict(desk: Desk, conflict: Conflict) -> None:
    desk.places.show_place("map")
    desk.explaining.start(conflict)


def step(desk: Desk, by: int) -> None:
    """So many steps on, or back."""
    desk.explaining.go_to(desk.explaining.at + by)


def known(name: str) -> Rule | None:
    """A rule by its name. The rules are read with the first check, after the map is on the screen."""
    from core.checks.rules import RULE_NAMED

    return RULE_NAMED.get(name)


def about(desk: Desk) -> None:
    """The help of the rule whose conflict is shown."""
    conflict = checking.shown_conflict(desk)
    if conflict is not None:
        about_rule(desk, conflict.rule)


def about_rule(desk: Desk, name: str) -> None:
    from app.dialogs.rule_help import show_rule

    rule = known(name)
    if rule is not None:
        show_rule(desk.window, rule, desk.session.library.limits, desk.session.job.settings)


def can_switch_off(desk: Desk, name: str) -> bool:
    """Whether a rule may be switched off for a job: those of the level Stop always run."""
    rule = known(name)
    return rule is not None and rule.level != "stop" and name not in desk.session.job.settings.rules_off


def switch_off(desk: Desk, name: str) -> None:
    off = (*desk.session.job.settings.rules_off, name)
    if desk.session.apply(f"Switch off: {name}", lambda job: record.set_settings(job, rules_off=off)):
        desk.notices.say(f"Not run for this job any more: {name}. The status says so, on paper too.")


def switch_on(desk: Desk, name: str) -> None:
    off = tuple(other for other in desk.session.job.settings.rules_off if other != name)
    desk.session.apply(f"Switch on: {name}", lambda job: record.set_settings(job, rules_off=off))


def rules(desk: Desk, first: str = "") -> None:
    """Every rule with its help, and which of them run for this job."""
    from app.dialogs.rules import choose_rules
    from core.checks.rules import RULES

    session = desk.session
    off = choose_rules(desk.window, RULES, session.library.limits, session.job.settings, first)
    if off is not None:
        session.apply("Choose rules", lambda job: record.set_settings(job, rules_off=off))


def limits(desk: Desk) -> None:
    """What this job takes otherwise than the shop's tables."""
    session = desk.session
    own = edit_limits(desk.window, session.library.limits, session.job.settings.limits)
    if own is not None:
        session.apply("Change limits", lambda job: record.set_settings(job, limits=own))
