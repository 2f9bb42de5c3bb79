"""The details panel: what is selected, to read and to change in place."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtGui import QColor, QIcon, QKeyEvent, QPainter, QPixmap
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QCompleter,
    QFormLayout,
    QFrame,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.dialogs.forms import plain_label
from app.panels.fields import VARIOUS, Field, Sheet, colour_hint, sheet_for
from app.panels.internals import InsidePanel
from app.work.live import words_at
from core.colours import split, swatches

if TYPE_CHECKING:
    from app.desk import Desk

CAPTION_WIDTH = 100
"""All forms have their fields in one line below each other; a longer caption wraps."""
LONGEST_HEADING = 80
_CHECKED = {True: Qt.CheckState.Checked, False: Qt.CheckState.Unchecked}


class DetailsPanel(QScrollArea):
    """A form made anew for each selection; while the selection stays, its values follow the document."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._sheet = Sheet("", "", ())
        self._shown: frozenset[str] = frozenset()
        self.widgets: dict[str, QWidget] = {}
        self.inside: InsidePanel | None = None
        """What the one selected part does inside; None where something else is selected."""
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        desk.session.selection_changed.connect(self._refresh)
        desk.session.changed.connect(self._refresh)
        desk.session.position_changed.connect(self._refresh)
        desk.session.shown_changed.connect(self._refresh)
        self._refresh()

    def _refresh(self, _: object = None) -> None:
        session = self._desk.session
        level = partial(words_at, session.shown) if session.position else None
        sheet = sheet_for(session.job, session.library, session.selection, level)
        if self.inside is not None and self._shown == session.selection:
            self.inside.refresh()
        if sheet == self._sheet and self._shown == session.selection:
            return
        same_form = self._shown == session.selection and [f.label for f in sheet.fields] == [
            f.label for f in self._sheet.fields
        ]
        self._sheet = sheet
        self._shown = session.selection
        if same_form and sheet.fields:
            for field in sheet.fields:
                self._show_value(self.widgets[field.label], field)
            return
        self._build(sheet)

    def _build(self, sheet: Sheet) -> None:
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(12, 4, 12, 12)
        column.setSpacing(8)
        title = plain_label(_short(sheet.title))
        title.setObjectName("heading")
        column.addWidget(title)
        if sheet.subtitle:
            line = plain_label(_short(sheet.subtitle))
            line.setObjectName("quiet")
            column.addWidget(line)
        form = QFormLayout()
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        form.setHorizontalSpacing(8)
        form.setVerticalSpacing(6)
        self.widgets = {}
        for field in sheet.fields:
            widget = self._widget(field)
            widget.setAccessibleName(field.label)
            self.widgets[field.label] = widget
            self._show_value(widget, field)
            caption = plain_label(field.label)
            caption.setFixedWidth(CAPTION_WIDTH)
            caption.setObjectName("quiet")
            caption.setBuddy(widget)
            if field.kind == "tick":
                form.addRow(widget)
            else:
                form.addRow(caption, widget)
        column.addLayout(form)
        part = next(iter(self._shown)) if len(self._shown) == 1 else ""
        self.inside = InsidePanel(self._desk, part) if part in self._desk.session.job.parts else None
        if self.inside is not None:
            column.addWidget(self.inside)
        column.addStretch(1)
        # What was shown may be the sender of the very signal that led here: it goes later.
        if self.widget() is not None:
            self.takeWidget().deleteLater()
        self.setWidget(body)

    def take_focus(self, label: str = "") -> None:
        """Into the field named, else the first that can be changed."""
        wanted = self.widgets.get(label)
        for widget in (wanted, *self.widgets.values()):
            if widget is not None and widget.focusPolicy() != Qt.FocusPolicy.NoFocus:
                widget.setFocus()
                if isinstance(widget, QLineEdit):
                    widget.selectAll()
                self.ensureWidgetVisible(widget)
                return
        self._desk.view.setFocus()

    def _widget(self, field: Field) -> QWidget:
        match field.kind:
            case "tick":
                tick = QCheckBox(field.label)
                tick.clicked.connect(lambda on: self._put(field, "yes" if on else ""))
                return tick
            case "choice":
                return self._choice(field)
            case "colour":
                return self._colour(field)
            case "text":
                text = QPlainTextEdit()
                text.setTabChangesFocus(True)
                text.setFixedHeight(64)
                text.setProperty("field", field.label)
                text.installEventFilter(self)
                return text
            case "line":
                line = QLineEdit()
                line.editingFinished.connect(lambda: self._put(field, line.text()))
                line.installEventFilter(self)
                return line
            case _:
                return plain_label("")

    def _choice(self, field: Field) -> QComboBox:
        box = QComboBox()
        box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        box.setMinimumContentsLength(6)
        for value, words in field.choices:
            box.addItem(words, value)
        box.installEventFilter(self)
        if field.free:
            box.setEditable(True)
            box.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
            line = QLineEdit()
            box.setLineEdit(line)
            completer = QCompleter(box.model(), box)
            completer.setCompletionMode(QCompleter.CompletionMode.PopupCompletion)
            completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
            completer.setFilterMode(Qt.MatchFlag.MatchContains)
            box.setCompleter(completer)
            line.editingFinished.connect(lambda: self._put(field, _chosen(box)))
        box.activated.connect(lambda _: self._put(field, _chosen(box)))
        return box

    def _colour(self, field: Field) -> QComboBox:
        box = QComboBox()
        line = QLineEdit()
        box.setLineEdit(line)
        box.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        box.setMinimumContentsLength(6)
        box.setIconSize(QSize(22, 12))
        box.addItem("not stated", "")
        for code in swatches():
            box.addItem(swatch_icon(code), f"{code}  {colour_hint(code)}", code)
        box.setToolTip("Letters of the colour, base first: BK, or BK/WH for black with a white stripe")
        box.installEventFilter(self)
        line.editingFinished.connect(lambda: self._put(field, _chosen(box).upper()))
        box.activated.connect(lambda _: self._put(field, _chosen(box)))
        return box

    def _show_value(self, widget: QWidget, field: Field) -> None:
        widget.blockSignals(True)
        match widget:
            case QCheckBox():
                various = field.value == VARIOUS
                widget.setTristate(various)
                widget.setCheckState(
                    Qt.CheckState.PartiallyChecked if various else _CHECKED[bool(field.value)]
                )
            case QComboBox():
                index = widget.findData(field.value)
                widget.setCurrentIndex(index)
                if index < 0 and widget.isEditable():
                    widget.setEditText(field.value)
                elif index < 0:
                    widget.setPlaceholderText(field.value)
            case QPlainTextEdit():
                if widget.toPlainText() != field.value:
                    widget.setPlainText(field.value)
            case QLineEdit():
                widget.setText(field.value)
                widget.setCursorPosition(0)
            case QLabel():
                widget.setText(field.value or "–")
        widget.blockSignals(False)

    def _put(self, field: Field, text: str) -> None:
        """Make the edit, where the text differs from what the document has now."""
        now = next((f for f in self._sheet.fields if f.label == field.label), field)
        if now.set is None or text in (now.value, VARIOUS):
            return
        setter = now.set
        name = ", ".join(self._desk.session.job.shown(ref) for ref in sorted(self._shown)[:3])
        session = self._desk.session
        parts_before = session.job.parts.keys()
        focused = next((label for label, widget in self.widgets.items() if widget.hasFocus()), "")
        if not session.apply(f"{now.label} of {name}", lambda job: setter(job, text)):
            self._show_value(self.widgets[now.label], now)
        elif renamed := session.job.parts.keys() - parts_before:
            session.select(renamed)
            if focused:
                self.take_focus(focused)

    def _give_up(self) -> None:
        """Escape: every field shows the document again, and the keys go to the map."""
        for field in self._sheet.fields:
            self._show_value(self.widgets[field.label], field)
        self._desk.view.setFocus()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """A text is taken when the focus leaves it; Escape gives up; the wheel scrolls the panel."""
        if event.type() == QEvent.Type.FocusOut and isinstance(watched, QPlainTextEdit):
            label = watched.property("field")
            field = next((f for f in self._sheet.fields if f.label == label), None)
            if field is not None:
                self._put(field, watched.toPlainText())
        if isinstance(watched, QLineEdit) and isinstance(event, QKeyEvent):
            if event.type() == QEvent.Type.KeyPress and event.key() == Qt.Key.Key_Escape:
                self._give_up()
                return True
            return False
        if event.type() == QEvent.Type.Wheel and isinstance(watched, QComboBox):
            event.ignore()
            return True
        return super().eventFilter(watched, event)


def _short(text: str) -> str:
    return text if len(text) <= LONGEST_HEADING else text[: LONGEST_HEADING - 1].rstrip() + "…"


def _chosen(box: QComboBox) -> str:
    """The value behind the words chosen, or the text as typed where it is none of them."""
    text = box.currentText().strip()
    index = box.findText(text, Qt.MatchFlag.MatchFixedString)
    if index < 0:
        index = box.findData(text.upper())
    return str(box.itemData(index) or "") if index >= 0 else text


def swatch_icon(colour: str) -> QIcon:
    """A small picture of a wire colour: base with its stripe."""
    picture = QPixmap(44, 24)
    picture.setDevicePixelRatio(2)
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    codes = split(colour)
    painter.setPen(QColor("#6B6A66"))
    painter.setBrush(QColor(swatches()[codes[0]].screen))
    painter.drawRoundedRect(0, 0, 21, 11, 2, 2)
    for number, code in enumerate(codes[1:]):
        painter.fillRect(1, 4 + 3 * number, 20, 3, QColor(swatches()[code].screen))
    painter.end()
    return QIcon(picture)
