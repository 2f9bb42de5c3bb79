"""The pages about the rules, one a rule and an index by family: `docs/conflicts`.

`python -m core.checks.docs` writes them anew.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path

from core.checks.finding import NEVER_ACCEPTED
from core.checks.registry import Rule
from core.checks.rules import RULES
from core.files.atomic import write_whole
from core.library.limits import Limits
from core.library.loader import default_library
from core.paths import resources_folder

INDEX = "README.md"
FAMILIES = (
    "feeds",
    "grounds",
    "voltage",
    "speakers",
    "signals",
    "colours",
    "cavities",
    "protection",
    "wire",
    "finish",
    "record",
)
"""In the order in which the index has them."""
LEVEL_MEANS = {
    "stop": "smoke, damage, danger, or something needed will not work at all",
    "look": "a person must decide",
    "note": "worth knowing",
}

_OVERRIDES = (
    "Rules of the levels Look and Note can be switched off for a job; the status says so, on the screen and "
    "on every sheet. Limits can be set for a shop (tables in its own library folder) and for a job."
)


def docs_folder() -> Path:
    """Where the pages are kept, in a checkout."""
    return resources_folder().parent / "docs" / "conflicts"


def file_name(rule: str) -> str:
    """`feed shorted to ground` stands in `feed-shorted-to-ground.md`."""
    return f"{re.sub('[^a-z0-9]+', '-', rule.lower()).strip('-')}.md"


def pages(limits: Limits) -> Mapping[str, str]:
    """The text of every page by the name of its file; values are those that ship with the program."""
    return {INDEX: _index(), **{file_name(rule.name): _page(rule, limits) for rule in RULES}}


def _index() -> str:
    lines = ["# Conflicts", ""]
    lines += ["What the checker looks for, by family. Each rule has a level, the worst that it says:", ""]
    lines += [f"- **{level.capitalize()}**: {means}." for level, means in LEVEL_MEANS.items()]
    lines += [
        "",
        _OVERRIDES,
        "",
        "It does not replace the vehicle maker's service information, local rules or a licensed technician.",
    ]
    for family in sorted({rule.family for rule in RULES}, key=FAMILIES.index):
        lines += ["", f"## {family.capitalize()}", "", "| rule | level | what |", "|---|---|---|"]
        for rule in (rule for rule in RULES if rule.family == family):
            link = f"[{rule.name}]({file_name(rule.name)})"
            lines.append(f"| {link} | {rule.level.capitalize()} | {_cell(rule.help[0])} |")
    return "\n".join([*lines, ""])


def _page(rule: Rule, limits: Limits) -> str:
    what, why, mend = rule.help
    means = LEVEL_MEANS[rule.level]
    lines = [f"# {rule.name[:1].upper()}{rule.name[1:]}", ""]
    lines += [f"Family: {rule.family}. Level: **{rule.level.capitalize()}** ({means}).", "", what, ""]
    lines += ["## Why it matters", "", why, "", "## How to mend it", "", mend, ""]
    if rule.name in NEVER_ACCEPTED:
        lines += ["This cannot be accepted: it has to be mended.", ""]
    if rule.limits:
        lines += ["## Limits it reads", "", "| limit | value | name | source |", "|---|---|---|---|"]
        lines += [*_limits(rule, limits), ""]
    return "\n".join(lines)


def _limits(rule: Rule, limits: Limits) -> Iterator[str]:
    for name in rule.limits:
        row = limits.rows[name]
        yield f"| {_cell(row.words)} | {row.shown} | `{name}` | {_cell(row.source)} |"


def _cell(text: str) -> str:
    return text.replace("|", "\\|")


def main() -> None:
    """Write the pages, and take out those of rules that are not there."""
    folder, made = docs_folder(), pages(default_library().limits)
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in made.items():
        write_whole(folder / name, text.encode())
    for stale in folder.glob("*.md"):
        if stale.name not in made:
            stale.unlink()


if __name__ == "__main__":
    main()
