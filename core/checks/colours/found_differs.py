"""Rule: found differs from sheet."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core import colours
from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.registry import rule
from core.edits.cavities import set_cavity


@rule("found differs from sheet", "look")
def found_differs(ctx: Context) -> Iterator[Conflict | None]:
    """The colour found in a cavity is not the one on the sheet.

    Either the sheet is of another car, was read from the wrong side, or somebody was here before: then its
    other pins may be wrong as well.

    The pin governs: prove it with the meter, then note the colour as found as right.
    """
    for part in ctx.job.parts.values():
        yield None
        for ref, cavity in part.cavities.items():
            sheet, found = cavity.colour_sheet, cavity.colour_found
            if not sheet or not found or sheet == found:
                continue
            yield Conflict(
                rule=found_differs.name,
                level="look",
                message=f"{ctx.job.shown(ref)} ({ctx.words(ref)}): the sheet says {colours.in_words(sheet)}, "
                f"found {colours.in_words(found)}.",
                why="The sheet may be of another car, or read from the wrong side.",
                mend="The pin governs: prove it with the meter.",
                where=(ref,),
                mends=(
                    Mend(
                        f"Note {colours.in_words(found)} as right",
                        partial(set_cavity, terminal=ref, colour_sheet=found),
                    ),
                ),
            )
