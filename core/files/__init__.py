"""Job files: read, saved, locked, and recovered after a crash."""

from __future__ import annotations

from core.files.atomic import write_whole
from core.files.job_file import SUFFIX, ChangedOnDisk, Stamp, load_job, open_job, save_job, versions
from core.files.lock import Holder, JobLock
from core.files.recovery import (
    Recovery,
    Unsaved,
    drop_recovery,
    drop_unsaved,
    find_recovery,
    list_unsaved,
)
from core.files.text import dump_job, parse_job

__all__ = [
    "SUFFIX",
    "ChangedOnDisk",
    "Holder",
    "JobLock",
    "Recovery",
    "Stamp",
    "Unsaved",
    "drop_recovery",
    "drop_unsaved",
    "dump_job",
    "find_recovery",
    "list_unsaved",
    "load_job",
    "open_job",
    "parse_job",
    "save_job",
    "versions",
    "write_whole",
]
