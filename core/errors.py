"""The kinds of error a user is told about."""

from __future__ import annotations


class UserError(Exception):
    """Something the user can understand and mend. `str(error)` is the sentence shown."""


class EditRefused(UserError):
    """An edit that hands could not do. The document is unchanged."""


class FileProblem(UserError):
    """A file that cannot be read or written. Names the file, the field or row, and the cause."""

    def __init__(self, file: str, cause: str, where: str = "") -> None:
        place = f"{file}, {where}" if where else file
        super().__init__(f"{place}: {cause}")
        self.file = file
        self.where = where
        self.cause = cause
