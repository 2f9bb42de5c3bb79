"""What the selected part does inside: a line a piece, to add, change and take away."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QHBoxLayout, QMenu, QToolButton, QVBoxLayout, QWidget

from app.dialogs.forms import plain_label
from app.panels.buttons import WordButton
from app.panels.internal_form import ask_internal
from app.panels.internal_lines import line_of
from app.panels.internal_words import GROUPS, KINDS, fields_of, form_of, models
from core.circuit.implied import insides_of
from core.edits.internals import add_internal, remove_internal, set_internal
from core.job.internals import Internal, LiveIn
from core.job.parts import Part

if TYPE_CHECKING:
    from app.desk import Desk

_USUAL_PINS = {
    "fuse": {"a": "fuse-a", "b": "fuse-b"},
    "diode": {"anode": "anode", "cathode": "cathode"},
    "step-down": {"input": "step-down-in", "output": "step-down-out", "common": "common"},
    "relay": {
        "coil_plus": "coil-plus",
        "coil_minus": "coil-minus",
        "common": "relay-common",
        "make": "relay-make",
        "rest": "relay-rest",
    },
    "data pair": {"high": "can-high", "low": "can-low"},
}
"""The functions by which the pins of a new piece are found."""
_USUAL_TIMES = LiveIn(keys=("accessory", "run", "running"))


class InsidePanel(QWidget):
    """The pieces a part states, then what follows from the functions of its pins, which can be stated too."""

    def __init__(self, desk: Desk, tag: str) -> None:
        super().__init__()
        self._desk, self._tag = desk, tag
        self._shown: tuple[Any, ...] = ()
        self.stated: list[WordButton] = []
        self.removers: list[QToolButton] = []
        self.implied: list[WordButton] = []
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 8, 0, 0)
        column.setSpacing(4)
        title = plain_label("What it does inside")
        title.setObjectName("panel-name")
        column.addWidget(title)
        self._body = QWidget()
        column.addWidget(self._body)
        self.add = QToolButton()
        self.add.setText("Add a piece…")
        self.add.setAccessibleName("Add a piece of what it does inside")
        self.add.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.add.clicked.connect(self._open_menu)
        column.addWidget(self.add, 0, Qt.AlignmentFlag.AlignLeft)
        self.refresh()

    @property
    def _part(self) -> Part | None:
        return self._desk.session.job.parts.get(self._tag)

    def refresh(self) -> None:
        """Follow the document."""
        part, session = self._part, self._desk.session
        if part is None:
            return
        inside = insides_of(session.job, session.library, part)
        stated, implied = part.internals, inside.internals[inside.stated :]
        lines = [line_of(piece, session.job, session.library, part) for piece in (*stated, *implied)]
        now = (stated, implied, tuple(lines))
        if now == self._shown:
            return
        self._shown = now
        focused = next((i for i, row in enumerate(self.stated) if row.hasFocus()), None)
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        self.stated, self.removers, self.implied = [], [], []
        for index, (_, line) in enumerate(zip(stated, lines, strict=False)):
            column.addWidget(self._stated_row(index, line))
        if not stated:
            column.addWidget(_quiet("Nothing is stated."))
        if implied:
            column.addWidget(_quiet("From its pins; choose one to state more:"))
        for piece, line in zip(implied, lines[len(stated) :], strict=True):
            button = WordButton(_first_capital(line), "implied", partial(self._state, piece))
            self.implied.append(button)
            column.addWidget(button)
        layout = self.layout()
        if layout is not None:
            layout.replaceWidget(self._body, body)
        # One of its buttons may be the sender of the very signal that led here: it goes later.
        self._body.hide()
        self._body.deleteLater()
        self._body = body
        if focused is not None:
            (self.stated[min(focused, len(self.stated) - 1)] if self.stated else self.add).setFocus()

    def _stated_row(self, index: int, line: str) -> QWidget:
        button = WordButton(_first_capital(line), "row", partial(self._change, index))
        button.setAccessibleDescription("Change this piece")
        remove = QToolButton()
        remove.setObjectName("close")
        remove.setAccessibleName(f"Remove: {line}")
        remove.setToolTip("Remove this piece")
        remove.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        remove.clicked.connect(partial(self._remove, index))
        self.stated.append(button)
        self.removers.append(remove)
        row = QWidget()
        side = QHBoxLayout(row)
        side.setContentsMargins(0, 0, 0, 0)
        side.setSpacing(2)
        side.addWidget(button, 1)
        side.addWidget(remove, 0, Qt.AlignmentFlag.AlignTop)
        return row

    def _open_menu(self, _: bool = False) -> None:
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        for group, kinds in GROUPS.items():
            below = menu.addMenu(group)
            for kind, words in kinds.items():
                action = below.addAction(f"{words.name}…", partial(self._add, kind))
                action.setStatusTip(words.help)
        menu.popup(self.add.mapToGlobal(QPoint(0, self.add.height())))

    def _add(self, kind: str) -> None:
        part = self._part
        if part is not None:
            self._ask_and_add(kind, usual(part, kind))

    def _state(self, piece: Internal) -> None:
        """State what follows from a pin's function, to say more of it than the function does."""
        self._ask_and_add(piece.kind, _values(piece))

    def _ask_and_add(self, kind: str, given: dict[str, Any]) -> None:
        part = self._part
        piece = self._ask(part, kind, given, "Add") if part is not None else None
        if piece is not None:
            self._apply("Add {} to", kind, lambda job: add_internal(job, self._tag, piece))

    def _change(self, index: int) -> None:
        part = self._part
        if part is None or index >= len(part.internals):
            return
        old = part.internals[index]
        piece = self._ask(part, old.kind, _values(old), "Keep")
        if piece is not None:
            self._apply(
                "Change {} of", old.kind, lambda job: set_internal(job, self._tag, index, **_values(piece))
            )

    def _remove(self, index: int, _: bool = False) -> None:
        part = self._part
        if part is not None and index < len(part.internals):
            kind = part.internals[index].kind
            self._apply("Remove {} from", kind, lambda job: remove_internal(job, self._tag, index))

    def _ask(self, part: Part, kind: str, given: dict[str, Any], agree: str) -> Internal | None:
        session = self._desk.session
        return ask_internal(self.window(), session.job, session.library, part, kind, given, agree)

    def _apply(self, words: str, kind: str, edit: Callable[..., Any]) -> None:
        name = KINDS[kind].name
        self._desk.session.apply(f"{words.format(name[0].lower() + name[1:])} {self._tag}", edit)


def usual(part: Part, kind: str) -> dict[str, Any]:
    """What a new piece begins with: pins by their functions, and on while equipment is (common practice)."""
    pins = {cavity.function: ref.partition(".")[2] for ref, cavity in reversed(part.cavities.items())}
    found: dict[str, Any] = {
        field: pins[function] for field, function in _USUAL_PINS.get(kind, {}).items() if function in pins
    }
    for field in fields_of(kind):
        if form_of(kind, field) == "when" and models()[kind].model_fields[field].is_required():
            found[field] = _USUAL_TIMES
    return found


def _values(piece: Internal) -> dict[str, Any]:
    return {name: value for name, value in piece if name != "kind"}


def _first_capital(line: str) -> str:
    return line[:1].upper() + line[1:]


def _quiet(words: str) -> QWidget:
    label = plain_label(words)
    label.setObjectName("quiet")
    return label
