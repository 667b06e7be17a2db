"""Bytes of a terminal: keys, whatever they are, and what is pasted is text and never a key."""

from __future__ import annotations

from codecs import getincrementaldecoder
from pathlib import Path
from typing import Final

from textual._xterm_parser import XTermParser
from textual.events import Key, Paste
from textual.message import Message

from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker

_PIECES: Final = (
    *(b"\x1b", b"\x1b[A", b"\x1bOP", b"\x1b[15~", b"\x1b[<0;3;4M", b"\x1b[<65;3;4m", b"\x1b[I", b"\x1b[O"),
    *(b"\x1b[200~", b"\x1b[201~", b"\x1b[?2026;2$y", b"\x1b[48;24;80;480;800t", b"\x1b[97;5u", b"\x1b[1;2R"),
    *("ü".encode(), "ü".encode("latin-1"), "🦎".encode(), b"\xff", b"\0", b"\r", b"\x7f", b"4", b"52", b"a"),
    *(b"\x1b[", b";", b":", b"u", b"~", b"9" * 7, b"\x1b" * 3, b"t", b"M"),
)


def prepared(_folder: Path) -> Taker:
    """Takes what a terminal sends, in several reads."""
    return take


def take(content: bytes) -> None:
    """What one terminal sends."""
    feed = Feed(content)
    is_pasted = feed.is_one_in(3)
    reads: list[bytes] = []
    while not feed.is_used_up and len(reads) < 40:
        reads.append(feed.some(20) if feed.is_one_in(3) else feed.pick(_PIECES))
    if not is_pasted:
        _messages(reads)
        return
    inside = [one.replace(b"\x1b[201~", b"") for one in reads]
    if b"\x1b" in b"".join(inside):
        return  # which Textual takes for keys: seen to apart
    found = _messages([b"\x1b[200~", *inside, b"\x1b[201~"])
    assert not [one for one in found if isinstance(one, Key)]
    assert all(isinstance(one, Paste) for one in found)


def _messages(reads: list[bytes]) -> list[Message]:
    """What the screens hear of it."""
    decode = getincrementaldecoder("utf-8")(errors="replace").decode
    parser, found = XTermParser(), list[Message]()
    for one in reads:
        text = decode(one)
        if text:
            found += parser.feed(text)
    return found
