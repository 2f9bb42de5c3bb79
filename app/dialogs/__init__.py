"""Questions in a window of their own, each a function that returns the answer or None."""
