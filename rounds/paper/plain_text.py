"""Text from keepers and foreign sheets, made safe to show: nothing in it moves a cursor or turns a line round.

A name or a note may hold anything. What a terminal would act on instead of showing it (control characters, escape
sequences, marks of direction, invisible characters) is written out visibly as ``\\x1b`` or ``\\u202e``, and a table
cell never starts a formula.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from functools import lru_cache
from typing import Final

#: A base letter carries so many marks and no more; a tower of them would run over the lines above it.
_MARKS: Final = 3
_PLAIN: Final = re.compile(r"[ -~]*")
#: Characters that show nothing or turn the line round: controls, formats, surrogates, private use, unassigned,
#: and the two line ends that are no ``\n``.
_UNSEEN: Final = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
#: Letters by category, but blank in every font, and variation selectors, which change a width after the fact.
_BLANK: Final = frozenset("\u115f\u1160\u3164\uffa0\u2800") | {chr(code) for code in range(0xFE00, 0xFE10)}

#: Wide since Unicode 16, of which Python's own tables may not know yet: trigrams, hexagrams, counting rods.
_WIDE_TOO: Final = frozenset(
    chr(code)
    for first, last in (
        (0x2630, 0x2637),
        (0x268A, 0x268F),
        (0x4DC0, 0x4DFF),
        (0x1D300, 0x1D356),
        (0x1D360, 0x1D378),
    )
    for code in range(first, last + 1)
)


def shown(text: str, *, lines: bool = False) -> str:
    """The text as it may be put on a screen or on paper, on one line (a line end as ``⏎``).

    With `lines` its own line ends stay.
    """
    if _PLAIN.fullmatch(text):
        return text
    if lines:
        return "\n".join(shown(line) for line in text.replace("\r\n", "\n").split("\n"))
    return "".join(_visible(text.replace("\r\n", "\n")))


def _visible(text: str) -> Iterator[str]:
    marks = 0
    for place, letter in enumerate(text):
        if " " <= letter <= "~":
            marks = 0
            yield letter
        elif letter == "\n":
            marks = 0
            yield " ⏎ "
        elif unicodedata.category(letter) in ("Mn", "Me"):
            marks += 1
            yield letter if marks <= _MARKS and place and letter not in _BLANK else escaped(letter)
        else:
            marks = 0
            unseen = letter in _BLANK or unicodedata.category(letter) in _UNSEEN
            yield escaped(letter) if unseen else letter


def escaped(letter: str) -> str:
    """A character written out: ``\\x1b``, ``\\u202e``."""
    code = ord(letter)
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


def width(text: str) -> int:
    """How many columns a terminal gives the text (which is already `shown`)."""
    if text.isascii():
        return len(text)
    return sum(map(_columns, text))


@lru_cache(maxsize=4_096)
def _columns(letter: str) -> int:
    if unicodedata.category(letter) in ("Mn", "Me"):
        return 0
    return 2 if unicodedata.east_asian_width(letter) in "WF" or letter in _WIDE_TOO else 1


def cut(text: str, columns: int) -> str:
    """The text in at most so many columns, a dropped rest marked by ``…``."""
    if width(text) <= columns:
        return text
    kept, used = "", 0
    for letter in text:
        one = width(letter)
        if used + one > columns - 1:
            break
        kept += letter
        used += one
    return kept.rstrip(" ") + "…"


def padded(text: str, columns: int) -> str:
    """The text in exactly so many columns."""
    fitting = cut(text, columns)
    return fitting + " " * (columns - width(fitting))


def wrapped(text: str, columns: int, first: str = "", after: str | None = None) -> list[str]:
    """Lines of at most so many columns, broken between words; `first` leads the first, `after` the others.

    A word longer than a line is broken where the line ends; nothing is dropped.
    """
    lead = first
    rest = " " * width(first) if after is None else after
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        while True:
            room = columns - width(lead)
            joined = f"{line} {word}" if line else word
            if width(joined) <= room:
                line = joined
                break
            if line:
                lines.append(lead + line)
                line, lead = "", rest
                continue
            head = _fitting(word, room)
            lines.append(lead + head)
            lead, word = rest, word[len(head) :]
            if not word:
                break
    if line or not lines:
        lines.append((lead + line).rstrip(" "))
    return lines


def _fitting(word: str, columns: int) -> str:
    """As much of a word as fits; one letter at least, so that the lines come to an end."""
    used = 0
    for place, letter in enumerate(word):
        used += width(letter)
        if used > columns and place:
            return word[:place]
    return word


def cell(text: str) -> str:
    """A text cell of a table file: a leading ' keeps a spreadsheet from reading it as a formula.

    OWASP Application Security Verification Standard 1.2.10: before = + - @ TAB CR. For text columns only; a number
    stays a number. A text that already starts with ' gets another, so that `uncelled` brings back every text.
    """
    return "'" + text if text[:1] in ("=", "+", "-", "@", "\t", "\r", "'") and text else text


def uncelled(text: str) -> str:
    """The text that `cell` was given."""
    return text.removeprefix("'")
