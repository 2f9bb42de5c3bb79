"""What stands on an empty map: how to begin."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app.commands import parts
from app.desk import Desk
from app.dialogs.forms import plain_label
from app.panels.buttons import WordButton

WIDTH = 420


class EmptyHint(QFrame):
    """Words and two buttons in the middle of the map; gone with the first part or note, back without."""

    def __init__(self, desk: Desk, over: QWidget) -> None:
        super().__init__(over)
        self._desk = desk
        self.setObjectName("hint")
        self.setAccessibleName("How to begin")
        title = QLabel("Begin with a part")
        title.setObjectName("heading")
        words = plain_label(
            "Drag a part from the shelf onto the map, or type its name in the shelf and press Enter. "
            "No such part? Make a blank plug from its rows and columns."
        )
        words.setObjectName("quiet")
        add = WordButton("Add a part", "primary", lambda: parts.add(desk))
        blank = WordButton("Blank plug…", "plain", lambda: parts.blank_plug(desk))
        row = QHBoxLayout()
        row.addWidget(add)
        row.addWidget(blank)
        column = QVBoxLayout(self)
        column.setContentsMargins(24, 16, 24, 20)
        column.setSpacing(10)
        column.addWidget(title)
        column.addWidget(words)
        column.addLayout(row)
        self.setFixedWidth(WIDTH)
        over.installEventFilter(self)
        desk.session.changed.connect(self._show_or_hide)
        self._show_or_hide()

    def _show_or_hide(self, _: object = None) -> None:
        job = self._desk.session.job
        self.setVisible(not (job.parts or job.notes))
        self._place()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize:
            self._place()
        return super().eventFilter(watched, event)

    def _place(self) -> None:
        over = self.parentWidget()
        if over is not None:
            layout = self.layout()
            height = layout.heightForWidth(WIDTH) if layout is not None else self.height()
            self.setFixedHeight(height)
            self.move(max(8, (over.width() - WIDTH) // 2), max(8, (over.height() - height) // 2))
