"""The map for screen readers."""

from __future__ import annotations

from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent, QAccessibleEvent
from PySide6.QtWidgets import QGraphicsView


def announce(view: QGraphicsView, text: str) -> None:
    """Name what the keyboard is on, and have a screen reader say it."""
    view.setAccessibleDescription(text)
    if text and QAccessible.isActive():
        QAccessible.updateAccessibility(QAccessibleEvent(view, QAccessible.Event.DescriptionChanged))
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(view, text))
