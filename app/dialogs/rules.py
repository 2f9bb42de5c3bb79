"""Every rule by level with its help; Look and Note rules can be switched off for this job."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QScrollArea,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.dialogs.find_line import FindLine
from app.dialogs.forms import plain_label
from app.dialogs.rule_help import LEVEL_WORDS, rule_rows
from core.checks.finding import LEVELS
from core.checks.registry import Rule
from core.job.record import Settings
from core.library.limits import Limits

_RULE = Qt.ItemDataRole.UserRole
_SENTENCE = (
    "A rule that is switched off is not run for this job: the status turns amber, and every sheet says so. "
    "Stop rules always run."
)


class RulesDialog(QDialog):
    """A list with check boxes at the left, the help of the rule that is chosen at the right."""

    def __init__(
        self, parent: QWidget | None, rules: Sequence[Rule], limits: Limits, settings: Settings, first: str
    ) -> None:
        super().__init__(parent)
        self._rules = {rule.name: rule for rule in rules}
        self._limits, self._settings = limits, settings
        self.setWindowTitle("Rules of this job")
        self.resize(900, 560)
        self.filter = FindLine("Find a rule")
        self.filter.textChanged.connect(self._narrow)
        self.tree = QTreeWidget()
        self.tree.setHeaderHidden(True)
        self.tree.setAccessibleName("Rules")
        self.tree.setRootIsDecorated(False)
        self.tree.setIndentation(0)
        self.tree.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.items: dict[str, QTreeWidgetItem] = {}
        self._fill()
        self.help = QWidget()
        self._help = QVBoxLayout(self.help)
        self._help.setContentsMargins(16, 4, 4, 4)
        self._help.setSpacing(4)
        side = QScrollArea()
        side.setFrameShape(QScrollArea.Shape.NoFrame)
        side.setWidgetResizable(True)
        side.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        side.setWidget(self.help)
        self.buttons = QDialogButtonBox()
        self.agree = self.buttons.addButton("Keep", QDialogButtonBox.ButtonRole.AcceptRole)
        self.agree.setObjectName("primary")
        self.buttons.addButton("Cancel", QDialogButtonBox.ButtonRole.RejectRole)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        left = QVBoxLayout()
        left.addWidget(self.filter)
        left.addWidget(self.tree, 1)
        both = QHBoxLayout()
        both.addLayout(left, 5)
        both.addWidget(side, 6)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(24, 20, 24, 16)
        outer.setSpacing(12)
        outer.addWidget(plain_label(_SENTENCE))
        outer.addLayout(both, 1)
        outer.addWidget(self.buttons)
        self.tree.currentItemChanged.connect(self._show_help)
        self.tree.setCurrentItem(self.items.get(first) or next(iter(self.items.values())))
        (self.tree if first else self.filter).setFocus()

    def _fill(self) -> None:
        for level in LEVELS:
            of_level = [rule for rule in self._rules.values() if rule.level == level]
            top = QTreeWidgetItem([f"{LEVEL_WORDS[level]}: {len(of_level)}"])
            top.setFlags(Qt.ItemFlag.ItemIsEnabled)
            font = top.font(0)
            font.setBold(True)
            top.setFont(0, font)
            self.tree.addTopLevelItem(top)
            for rule in of_level:
                item = QTreeWidgetItem([rule.name])
                item.setData(0, _RULE, rule.name)
                flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
                if rule.level != "stop":
                    flags |= Qt.ItemFlag.ItemIsUserCheckable
                    runs = rule.name not in self._settings.rules_off
                    item.setCheckState(0, Qt.CheckState.Checked if runs else Qt.CheckState.Unchecked)
                item.setFlags(flags)
                top.addChild(item)
                self.items[rule.name] = item
        self.tree.expandAll()

    def _narrow(self, text: str) -> None:
        """Show only the rules that have every word in their name or help."""
        wanted = text.lower().split()
        for name, item in self.items.items():
            said = " ".join((name, *self._rules[name].help)).lower()
            item.setHidden(not all(word in said for word in wanted))
        current = self.tree.currentItem()
        if current is None or current.isHidden():
            first = next((item for item in self.items.values() if not item.isHidden()), None)
            if first is not None:
                self.tree.setCurrentItem(first)
        for at in range(self.tree.topLevelItemCount()):
            top = self.tree.topLevelItem(at)
            if top is not None:
                below = [top.child(row) for row in range(top.childCount())]
                top.setHidden(all(item.isHidden() for item in below if item is not None))

    def _show_help(self, item: QTreeWidgetItem | None, _: QTreeWidgetItem | None = None) -> None:
        name = item.data(0, _RULE) if item is not None else None
        if name is None:
            return
        while (taken := self._help.takeAt(0)) is not None:
            widget = taken.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        rule = self._rules[name]
        heading = plain_label(f"{name[:1].upper()}{name[1:]}")
        heading.setObjectName("heading")
        self._help.addWidget(heading)
        for left, right in rule_rows(rule, self._limits, self._settings):
            caption = plain_label(left)
            caption.setObjectName("section")
            self._help.addSpacing(6)
            self._help.addWidget(caption)
            self._help.addWidget(plain_label(right))
        self._help.addStretch(1)
        if item is not None:
            item.setToolTip(0, " ".join(rule.help))

    def off(self) -> tuple[str, ...]:
        """The rules that are not to run; what is not known here stays as it was."""
        unknown = (name for name in self._settings.rules_off if name not in self.items)
        return (*unknown, *(name for name, item in self.items.items() if _is_off(item)))


def _is_off(item: QTreeWidgetItem) -> bool:
    checkable = bool(item.flags() & Qt.ItemFlag.ItemIsUserCheckable)
    return checkable and item.checkState(0) == Qt.CheckState.Unchecked


def choose_rules(
    parent: QWidget | None, rules: Iterable[Rule], limits: Limits, settings: Settings, first: str = ""
) -> tuple[str, ...] | None:
    """The rules to switch off; None where the user thought better of it. `first` is shown at once."""
    dialog = RulesDialog(parent, tuple(rules), limits, settings, first)
    return dialog.off() if dialog.exec() == QDialog.DialogCode.Accepted else None
