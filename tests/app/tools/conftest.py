"""The gestures are tried on the map of the canvas tests."""

from tests.app.canvas.conftest import show_map, view

__all__ = ["show_map", "view"]
