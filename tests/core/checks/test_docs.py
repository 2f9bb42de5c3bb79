"""The pages about the rules say the same as the rules."""

from __future__ import annotations

import ast
import inspect
import re
import sys

import pytest

from core.checks.docs import INDEX, docs_folder, file_name, pages
from core.checks.registry import Rule
from core.checks.rules import RULES
from tests.core.checks.jobs import library

ANEW = "write the pages anew with `python -m core.checks.docs` and look at their diff"


def test_the_pages_are_up_to_date() -> None:
    there = {path.name: path.read_text(encoding="utf-8") for path in docs_folder().iterdir()}
    made = pages(library().limits)
    assert there.keys() == made.keys(), ANEW
    assert [name for name in made if there[name] != made[name]] == [], ANEW


def test_every_rule_has_a_page_of_its_own_and_stands_in_the_index() -> None:
    made = pages(library().limits)
    assert len(made) == len(RULES) + 1
    for rule in RULES:
        assert f"({file_name(rule.name)})" in made[INDEX]
        page = made[file_name(rule.name)]
        assert all(text in page for text in rule.help)
        assert f"**{rule.level.capitalize()}**" in page


def test_every_link_of_the_index_leads_to_a_page() -> None:
    made = pages(library().limits)
    links = re.findall(r"\]\(([^)]+)\)", made[INDEX])
    assert len(links) == len(RULES)
    assert set(links) <= made.keys()


def _read(rule: Rule) -> set[str]:
    """The limits that the file of a rule asks for by name: `ctx.limits["least_ohms"]`."""
    tree = ast.parse(inspect.getsource(sys.modules[rule.check.__module__]))
    return {
        node.slice.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Subscript)
        and isinstance(node.value, ast.Attribute)
        and node.value.attr == "limits"
        and isinstance(node.slice, ast.Constant)
    }


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_a_rule_names_the_limits_that_it_reads(rule: Rule) -> None:
    assert set(rule.limits) <= library().limits.keys()
    missing = _read(rule) - set(rule.limits)
    assert not missing, f"@rule({rule.name!r}, …, limits=(…)) does not name {sorted(missing)}"


def test_a_page_gives_limits_with_value_and_source() -> None:
    limits = library().limits
    for rule in RULES:
        page = pages(limits)[file_name(rule.name)]
        for name in rule.limits:
            row = limits.rows[name]
            assert f"| {row.words} | {row.shown} | `{name}` | {row.source} |" in page
