"""The map's geometry as plain data: boxes, flags, joints and curves, for the screen and for paper."""
