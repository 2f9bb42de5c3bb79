"""Bytes of a text file to text, whatever encoding it was saved in.

A byte order mark says it outright. Without one: UTF-8 where that reads without fault, UTF-16 where every
other byte is empty, else the old one-byte and Japanese encodings, the one whose letters look most like
words. The signs beyond ASCII on a pin table are few (a umlaut, a degree, a dash), so a statistical guess
would have nothing to work on.
"""

from __future__ import annotations

import codecs
import re
import unicodedata

_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
# In the order in which they are preferred when they look alike.
_ONE_BYTE = ("cp1252", "mac_roman", "cp850", "cp1250")
_EXPECTED = frozenset("äöüßéèêëàâáçñíîïóôúùûãõœæøåÄÖÜÉÈÀÁÇÑÅØÆ°±µ²³Ω·–—−\u2018’“”…€£\xa0×½¼")
_HIGH_RUN = re.compile(rb"[\x80-\xff]+")
_MOST_LOOKED_AT = 65_536


def decoded(data: bytes) -> str | None:
    """The text, or None where the bytes are no text in any encoding known here."""
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            return _strict(data.removeprefix(mark) if encoding == "utf-8" else data, encoding)
    utf_16 = _utf_16_without_mark(data)
    if utf_16 is not None:
        return _strict(data, utf_16)
    if b"\0" in data:
        return None
    text = _strict(data, "utf-8")
    return text if text is not None else _old(data)


def _strict(data: bytes, encoding: str) -> str | None:
    try:
        return data.decode(encoding)
    except UnicodeDecodeError:
        return None


def _utf_16_without_mark(data: bytes) -> str | None:
    """Which half of the pairs is empty in nearly all of them: a table is mostly figures and Latin letters."""
    start = data[:_MOST_LOOKED_AT]
    pairs = len(start) // 2
    if pairs < 2 or len(data) % 2:
        return None
    low, high = start[0::2].count(0), start[1::2].count(0)
    if high > 0.7 * pairs and low == 0:
        return "utf-16-le"
    if low > 0.7 * pairs and high == 0:
        return "utf-16-be"
    return None


def _old(data: bytes) -> str:
    start = data[:_MOST_LOOKED_AT]
    runs = [len(run) for run in _HIGH_RUN.findall(start)]
    if sum(runs) > 2.5 * len(runs):  # whole words of such bytes: not a Latin script
        japanese = _strict(data, "cp932")
        if japanese is not None and any("\u3040" <= sign <= "\u30ff" for sign in japanese):
            return japanese
        russian = _strict(data, "cp1251")
        if russian is not None and _share(russian, "CYRILLIC") > 0.9:
            return russian
    best = max(_ONE_BYTE, key=lambda encoding: _likely(start.decode(encoding, "replace")))
    return data.decode(best, "replace")


def _share(text: str, script: str) -> float:
    beyond = [sign for sign in text[:_MOST_LOOKED_AT] if sign > "\x7f"]
    return sum(unicodedata.name(sign, "").startswith(script) for sign in beyond) / max(1, len(beyond))


def _likely(text: str) -> int:
    """How many signs beyond ASCII are such as stand on a pin table, less those that never do."""
    return sum(1 if sign in _EXPECTED else -2 if not sign.isalpha() else 0 for sign in text if sign > "\x7f")
