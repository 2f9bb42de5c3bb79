"""Job files: read, saved, locked, and recovered after a crash."""

SUFFIX = ".loomjob"
