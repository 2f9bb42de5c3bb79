"""What things are called: ids, how they are written, and how new ones are made.

Every id is a string, so that job files and scripts can be read by people:

=============  ==========  =================================================
thing          example     form
=============  ==========  =================================================
part           ``RAD``     its tag: a capital, then capitals and digits
connector      ``RAD.A``   PART.CONNECTOR
terminal       ``RAD.A-4`` PART.CONNECTOR-PIN; the first hyphen parts the pin off
joint          ``J3``
wire           ``W3``      its ends are ``W3:a`` and ``W3:b``
cable          ``C1``      conductor ``C1.2``, its ends ``C1.2:a`` and ``C1.2:b``
mate           ``M1``
note           ``N1``
=============  ==========  =================================================

An **end** is what hands can join: a terminal (meaning the free end of its lead, or the bare cavity
where it has none), or one end of a wire or conductor.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterable
from typing import Literal, NamedTuple

LONGEST_TAG = 12
PART_PATTERN = r"^[A-Z][A-Z0-9]{0,11}$"
CONNECTOR_PATTERN = r"^[A-Za-z0-9]{1,12}$"
PIN_PATTERN = r"^[^\s:\x00-\x1f\x7f]{1,16}$"
TERMINAL_PATTERN = r"^[A-Z][A-Z0-9]{0,11}\.[A-Za-z0-9]{1,12}-[^\s:\x00-\x1f\x7f]{1,16}$"
LOCAL_TERMINAL_PATTERN = r"^[A-Za-z0-9]{1,12}-[^\s:\x00-\x1f\x7f]{1,16}$"
NUMBERED_PATTERN = r"^[JWCMN][1-9][0-9]{0,8}$"
WIRE_END_PATTERN = r"^(W[1-9][0-9]{0,8}|C[1-9][0-9]{0,8}\.[1-9][0-9]{0,3}):[ab]$"

Kind = Literal[
    "part", "connector", "terminal", "joint", "wire", "cable", "conductor", "wire end", "mate", "note"
]

_NUMBERED = re.compile(NUMBERED_PATTERN)
_CONDUCTOR = re.compile(r"^C[1-9][0-9]{0,8}\.[1-9][0-9]{0,3}$")
_KIND_OF_LETTER: dict[str, Kind] = {"J": "joint", "W": "wire", "C": "cable", "M": "mate", "N": "note"}


class Terminal(NamedTuple):
    """The three names in a terminal id."""

    part: str
    connector: str
    pin: str


def kind_of(ref: str) -> Kind:
    """Which kind of thing an id names, told from its form alone."""
    if ":" in ref:
        return "wire end"
    if "-" in ref:
        return "terminal"
    if _NUMBERED.fullmatch(ref):
        return _KIND_OF_LETTER[ref[0]]
    if _CONDUCTOR.fullmatch(ref):
        return "conductor"
    return "connector" if "." in ref else "part"


def terminal(part: str, connector: str, pin: str) -> str:
    return f"{part}.{connector}-{pin}"


def split_terminal(ref: str) -> Terminal:
    """`RAD.A-4` to its names. The caller knows that it is a terminal."""
    owner, _, pin = ref.partition("-")
    part, _, connector = owner.partition(".")
    return Terminal(part, connector, pin)


def local(ref: str) -> str:
    """A terminal's name inside its part: `RAD.A-4` is `A-4` there."""
    return ref[ref.index(".") + 1 :]


def part_of(ref: str) -> str:
    """The part that a part, connector or terminal id belongs to."""
    return ref.partition("-")[0].partition(".")[0]


def connector_of(ref: str) -> str:
    """The connector id that a terminal belongs to."""
    return ref.partition("-")[0]


def owner_of_end(end: str) -> str:
    """The wire (`W3`) or conductor (`C1.2`) of a wire end, or the terminal itself."""
    return end.partition(":")[0]


def other_end(end: str) -> str:
    """The far end of the same wire or conductor."""
    return end[:-1] + ("b" if end.endswith("a") else "a")


def is_tag(text: str) -> bool:
    """Whether `text` may be a part's tag: `J3` and its like are kept for joints, wires, notes and so on."""
    return re.fullmatch(PART_PATTERN, text) is not None and not _NUMBERED.fullmatch(text)


def tag_from_name(name: str) -> str:
    """A three-letter tag made from a part's name: `Radio plug` gives `RAD`."""
    letters = re.sub(r"[^A-Z0-9]", "", name.upper())
    tag = letters[:3]
    return tag if is_tag(tag) else "P" + letters[:2]


def free_tag(wanted: str, taken: Container[str]) -> str:
    """`wanted` where nobody has it, else the same with the next free number: `RAD`, `RAD2`, `RAD3`."""
    if is_tag(wanted) and wanted not in taken:
        return wanted
    wanted = wanted.rstrip("0123456789") or wanted
    # J and a number would be a joint's name; so would W, C, M and N.
    stem = wanted if is_tag(wanted + "2") or len(wanted) >= LONGEST_TAG else "P" + wanted
    number = 2
    while True:
        tag = f"{stem[: LONGEST_TAG - len(str(number))]}{number}"
        if is_tag(tag) and tag not in taken:
            return tag
        number += 1


def natural_key(text: str) -> tuple[tuple[int, int | str], ...]:
    """Sort key under which `J2` comes before `J10` and `A-9` before `A-10`."""
    return tuple(
        (0, int(piece)) if piece.isdecimal() else (1, piece) for piece in re.split(r"(\d+)", text) if piece
    )


def in_order(refs: Iterable[str]) -> list[str]:
    return sorted(refs, key=natural_key)
