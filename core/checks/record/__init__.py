"""Rules about what was measured and written down."""
