"""The document: what the installer has in hand and what was decided about it."""
