"""Bytes of a terminal: keys, whatever they are; what is pasted is text, whole, and never a key."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from textual.events import Key, Paste
from textual.message import Message

from rounds.screens.keys.reading import END, START, Reading, believed
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker

_PIECES: Final = (
    *(b"\x1b", b"\x1b[A", b"\x1bOP", b"\x1b[15~", b"\x1b[<0;3;4M", b"\x1b[<65;3;4m", b"\x1b[I", b"\x1b[O"),
    *(b"\x1b[200~", b"\x1b[201~", b"\x1b[?2026;2$y", b"\x1b[48;24;80;480;800t", b"\x1b[97;5u", b"\x1b[1;2R"),
    *("ü".encode(), "ü".encode("latin-1"), "🦎".encode(), b"\xff", b"\0", b"\r", b"\x7f", b"4", b"52", b"a"),
    *(
        b"\x1b[",
        b";",
        b":",
        b"u",
        b"~",
        b"9" * 7,
        b"\x1b" * 3,
        b"t",
        b"M",
        b"words of a note",
        b"\x1b[200",
        b"\x1b[201",
    ),
)
#: Long after the last byte, in s: what has not ended by then has.
_LATER: Final = 60.0


def prepared(_folder: Path) -> Taker:
    """Takes what a terminal sends, in several reads."""
    return take


def take(content: bytes) -> None:
    """What one terminal sends."""
    feed = Feed(content)
    is_pasted, cut = feed.is_one_in(3), feed.byte()
    reads: list[bytes] = []
    while not feed.is_used_up and len(reads) < 40:
        reads.append(feed.some(20) if feed.is_one_in(3) else feed.pick(_PIECES))
    if not is_pasted:
        _messages(reads)
        return
    inside = b"".join(reads)
    if b"\x1b" in inside:
        inside = inside.replace(END.encode(), b"").replace(START.encode(), b"")
    if END.encode() in inside + END.encode()[:-1] or START.encode() in inside:
        return
    whole = START.encode() + inside + END.encode()
    cut %= len(whole)
    found = _messages([whole[:cut], whole[cut:]])
    assert not [one for one in found if isinstance(one, Key)], "nothing of a paste is a key"
    (paste,) = (one for one in found if isinstance(one, Paste))
    if b"\x1b" not in inside:
        assert paste.text == inside.decode("utf-8", "replace").replace("\0", ""), "and all of it is there"
    assert "\x1b" not in paste.text, "nothing that a terminal obeys"


def _messages(reads: list[bytes]) -> list[Message]:
    """What the screens hear of it."""
    reading, found = Reading(), list[Message]()
    for number, one in enumerate(reads):
        found += reading.take(one, number / 1_000)
    for later in (_LATER, 2 * _LATER, 3 * _LATER):
        found += reading.tick(later)
    for heard in found:
        believed(heard)
        if isinstance(heard, Key):
            (heard.character or "").encode()
    return found
