"""A collection of the job while it is being edited."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Generic, TypeVar

T = TypeVar("T")


class Table(Generic[T]):
    """Copied when it is first written to. `touched` are the keys that were put or dropped."""

    __slots__ = ("_base", "_own", "touched")

    def __init__(self, base: Mapping[str, T]) -> None:
        self._base = base
        self._own: dict[str, T] | None = None
        self.touched: set[str] = set()

    @property
    def now(self) -> Mapping[str, T]:
        """What it holds at this moment; the job's own collection where nothing was written."""
        return self._base if self._own is None else self._own

    @property
    def before(self) -> Mapping[str, T]:
        return self._base

    def __contains__(self, key: str) -> bool:
        return key in self.now

    def __getitem__(self, key: str) -> T:
        return self.now[key]

    def get(self, key: str) -> T | None:
        return self.now.get(key)

    def put(self, key: str, value: T) -> None:
        if self._own is None:
            self._own = dict(self._base)
        self._own[key] = value
        self.touched.add(key)

    def rename(self, key: str, new: str, value: T) -> None:
        """`value` under the new key, at the place in the order that the old one had."""
        self._own = {new if k == key else k: value if k == key else v for k, v in self.now.items()}
        self.touched |= {key, new}

    def drop(self, key: str) -> None:
        """Does nothing where the key is not there."""
        if key in self.now:
            if self._own is None:
                self._own = dict(self._base)
            del self._own[key]
            self.touched.add(key)
