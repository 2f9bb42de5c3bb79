"""Sizes of wires and fuses: pure functions of numbers and of the library's tables."""
