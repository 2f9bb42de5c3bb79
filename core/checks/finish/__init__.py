"""Rules about how ends are finished."""
