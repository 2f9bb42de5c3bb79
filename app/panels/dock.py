"""A panel's frame: its name, perhaps a word about its state, and a button to close it."""

from __future__ import annotations

import html
from collections.abc import Mapping

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QDockWidget, QHBoxLayout, QLabel, QMainWindow, QSizePolicy, QToolButton, QWidget

_FEATURES = QDockWidget.DockWidgetFeature.DockWidgetClosable | QDockWidget.DockWidgetFeature.DockWidgetMovable


class ElidedLabel(QLabel):
    """One line of plain text that gives way: what does not fit ends in `…` and is told by the tool tip."""

    def __init__(self, text: str = "", style: str = "quiet") -> None:
        super().__init__()
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setObjectName(style)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.setText(text)

    def setText(self, text: str) -> None:
        one_line = " ".join(text.split())
        super().setText(one_line)
        self.setToolTip("")
        self.updateGeometry()

    def minimumSizeHint(self) -> QSize:
        return QSize(0, super().minimumSizeHint().height())

    def sizeHint(self) -> QSize:
        return QSize(super().sizeHint().width(), super().minimumSizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        room = self.contentsRect()
        shown = self.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, room.width())
        if shown != self.text() and self.toolTip() != self.text():
            self.setToolTip(html.escape(self.text()))
        painter = QPainter(self)
        painter.setPen(self.palette().color(self.foregroundRole()))
        painter.drawText(room, int(self.alignment() | Qt.AlignmentFlag.AlignVCenter), shown)


class PutAside:
    """Hides panels while a place needs the whole width, and brings back those that were there."""

    def __init__(self, panels: Mapping[str, QDockWidget]) -> None:
        self._panels = panels
        self._hidden: list[QDockWidget] = []

    def put(self) -> None:
        if not self._hidden:
            self._hidden = [panel for panel in self._panels.values() if not panel.isHidden()]
            for panel in self._hidden:
                panel.hide()

    def bring_back(self) -> None:
        for panel in self._hidden:
            panel.show()
        self._hidden = []


class Panel(QDockWidget):
    """A dock with a title a finger can hit. `state` stands at the right of the title."""

    def __init__(
        self, name: str, title: str, widget: QWidget, state: QLabel | None, window: QMainWindow
    ) -> None:
        super().__init__(title, window)
        self.setObjectName(name)
        self.setFeatures(_FEATURES)
        widget.setAccessibleName(title)
        self.setWidget(widget)
        bar = QWidget()
        bar.setObjectName("panel-title")
        words = QLabel(title)
        words.setObjectName("panel-name")
        close = QToolButton()
        close.setObjectName("close")
        close.setAccessibleName(f"Close {title}")
        close.setToolTip(f"Close {title}; the View menu brings it back")
        close.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        close.clicked.connect(self.close)
        row = QHBoxLayout(bar)
        row.setContentsMargins(12, 4, 6, 2)
        row.setSpacing(8)
        row.addWidget(words, 1)
        if state is not None:
            row.addWidget(state)
        row.addWidget(close)
        self.setTitleBarWidget(bar)
