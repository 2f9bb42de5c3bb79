"""An error nobody foresaw: the work is kept, the user is told, the second one at once ends the program."""

from __future__ import annotations

import logging

import pytest

from app.crash import CrashGuard


class _Witness:
    def __init__(self) -> None:
        self.said: list[str] = []
        self.now = 100.0

    def guard(self) -> CrashGuard:
        return CrashGuard(
            lambda: self.said.append("kept"),
            lambda text: self.said.append("told"),
            lambda: self.said.append("left"),
            clock=lambda: self.now,
        )


@pytest.fixture(autouse=True)
def _quiet_log(caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.CRITICAL, "loomwright")


def test_the_first_is_told_after_the_work_is_kept() -> None:
    witness = _Witness()
    witness.guard().handle(ValueError, ValueError("x"), None)
    assert witness.said == ["kept", "told"]


def test_a_second_within_ten_seconds_leaves_and_a_later_one_does_not() -> None:
    witness = _Witness()
    guard = witness.guard()
    guard.handle(ValueError, ValueError("x"), None)
    witness.now += 9.9
    guard.handle(ValueError, ValueError("x"), None)
    assert witness.said == ["kept", "told", "kept", "left"]
    witness.now += 10.1
    guard.handle(ValueError, ValueError("x"), None)
    assert witness.said[-2:] == ["kept", "told"]


def test_it_is_told_even_when_the_work_cannot_be_kept() -> None:
    said: list[str] = []

    def broken() -> None:
        raise OSError("disk full")

    CrashGuard(broken, said.append, lambda: None).handle(ValueError, ValueError("x"), None)
    assert len(said) == 1


def test_control_c_leaves_at_once() -> None:
    witness = _Witness()
    witness.guard().handle(KeyboardInterrupt, KeyboardInterrupt(), None)
    assert witness.said == ["left"]
