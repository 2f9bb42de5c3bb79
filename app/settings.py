"""What the program remembers between runs. The only user of QSettings."""

from __future__ import annotations

from pathlib import Path
from typing import Literal, cast

from PySide6.QtCore import QByteArray, QSettings

MOST_RECENT = 12


class Settings:
    """Theme, recent jobs, the user's name, and how the window was left."""

    def __init__(self, store: QSettings | None = None) -> None:
        self._store = store or QSettings("Loomwright", "Loomwright")

    @property
    def theme(self) -> Literal["light", "dark", "system"]:
        value = self._store.value("theme", "system")
        return "light" if value == "light" else "dark" if value == "dark" else "system"

    @theme.setter
    def theme(self, name: Literal["light", "dark", "system"]) -> None:
        self._store.setValue("theme", name)

    @property
    def user_name(self) -> str:
        """Who accepts conflicts and holds locks; asked for once."""
        return str(self._store.value("user name", "") or "")

    @user_name.setter
    def user_name(self, name: str) -> None:
        self._store.setValue("user name", name)

    @property
    def paper(self) -> str:
        return str(self._store.value("paper", "letter"))

    @paper.setter
    def paper(self, name: str) -> None:
        self._store.setValue("paper", name)

    @property
    def was_run_before(self) -> bool:
        return self._store.value("was run before", "no") == "yes"

    def mark_run(self) -> None:
        self._store.setValue("was run before", "yes")

    @property
    def recent(self) -> list[Path]:
        """Jobs opened or saved lately that are still there, newest first."""
        kept = self._store.value("recent", [])
        names = [kept] if isinstance(kept, str) else list(cast("list[str]", kept or []))
        return [path for path in map(Path, names) if path.is_file()]

    def add_recent(self, path: Path) -> None:
        newest = [str(path.resolve())]
        newest += [str(other) for other in self.recent if str(other) != newest[0]]
        self._store.setValue("recent", newest[:MOST_RECENT])

    @property
    def library_folder(self) -> Path | None:
        """The shop's own library folder, beside the one that ships with the program."""
        value = str(self._store.value("library folder", "") or "")
        return Path(value) if value else None

    @library_folder.setter
    def library_folder(self, folder: Path | None) -> None:
        self._store.setValue("library folder", str(folder or ""))

    def window_state(self) -> tuple[QByteArray, QByteArray]:
        """(geometry, panels) as the last window was left; empty at the first run."""
        empty = QByteArray()
        geometry = self._store.value("window geometry", empty)
        state = self._store.value("window panels", empty)
        return cast(QByteArray, geometry or empty), cast(QByteArray, state or empty)

    def keep_window_state(self, geometry: QByteArray, panels: QByteArray) -> None:
        self._store.setValue("window geometry", geometry)
        self._store.setValue("window panels", panels)
