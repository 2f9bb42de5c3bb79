"""Swapping two pins of one face: the leads change cavities, with all that is joined to them."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from app.tools.join import JoinTool
from core.edits import cavities
from core.edits.answers import Verdict
from core.edits.spots import Near
from core.ids import connector_of, kind_of
from core.job.document import Job


class SwapTool(JoinTool):
    """From a cavity to another cavity of the same face."""

    verb = "Swap"

    def verdicts(self) -> Callable[[str, Near | None], Verdict]:
        shown = self.view.session.job.shown

        def answer(ref: str, near: Near | None) -> Verdict:
            return Verdict("fits", f"{shown(self.source)} and {shown(ref)} change places.")

        return answer

    def edit(self, target: str, near: Near | None) -> Callable[[Job], Job]:
        return partial(cavities.swap_pins, terminal_1=self.source, terminal_2=target)

    def may_be_target(self, ref: str) -> bool:
        same = kind_of(ref) == "terminal" and connector_of(ref) == connector_of(self.source)
        return same and ref != self.source
