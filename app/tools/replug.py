"""Re-plugging: a joined lead's or wire's end is taken to another place."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QPointF

from app.tools.join import JoinTool
from core.edits import joins
from core.edits.answers import Verdict
from core.edits.spots import Near
from core.edits.verdicts import Verdicts
from core.ids import kind_of, other_end, owner_of_end
from core.job.document import Job


class ReplugTool(JoinTool):
    """The end leaves its joint or cavity; the rest of the wire stays where it is."""

    verb = "Re-plug"

    def start(self) -> tuple[QPointF, float] | None:
        if kind_of(self.source) != "wire end":
            return super().start()
        pieces = list(self.view.finder.wires_of(owner_of_end(self.source)))
        if not pieces:
            return None
        far = other_end(self.source)
        return QPointF(*(pieces[0].a if far.endswith("a") else pieces[-1].b)), 0.0

    def verdicts(self) -> Callable[[str, Near | None], Verdict]:
        return Verdicts(self.view.session.job, self.source, self.view.session.library, replug=True).of

    def edit(self, target: str, near: Near | None) -> Callable[[Job], Job]:
        return partial(joins.replug, end=self.source, target=target, near=near)

    def may_be_target(self, ref: str) -> bool:
        return ref not in (self.source, owner_of_end(self.source))
