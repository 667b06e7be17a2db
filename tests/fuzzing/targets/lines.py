"""Sheets built of choices: sound lines with right checks, and whatever may stand around them."""

from __future__ import annotations

from typing import Final, NamedTuple
from zlib import crc32

from rounds.logbook import rows
from rounds.logbook.entries import Entry
from tests.fuzzing.feed import Feed
from tests.sheets.saves import entry

ENTRIES: Final = [entry(number, note="" if number % 4 else "nött\n\x1b[1m") for number in range(16)]
_PIECES: Final = (
    b"\r",
    b"\0" * 7,
    b"\xef\xbb\xbf",
    b'"',
    b"}",
    b"{",
    b"\xff",
    b" ",
    b'"crc":"',
    b',"more":9',
    b',"more":999999,"crc":"00000000"}',
    b',"crc":"00000000"}',
    b"hello",
    b'{"kind":"weighed"}',
)
#: Members that a sound line may hold in place of an entry of ours.
_FOREIGN: Final = (
    b'{"kind":"of_tomorrow","id":"x"',
    b'{"kind":["weighed"]',
    b'{"kind":"noted","id":"x","at":"2026-03-10T08:00:00+01:00","by":"AK","about":"animal/../x"',
    b'{"kind":"weighed","id":"x","at":"2026-03-10T08:00:00+01:00","by":"AK","about":"animal/wattle","grams":-1',
    b'{"kind":"noted","id":"x","at":"0001-01-01T00:00:00+14:00","by":"AK","about":"room"',
    b"[",
    b"",
)


class Written(NamedTuple):
    """A line as it stands in a sheet, without its end."""

    content: bytes
    #: The entry of a line that is as a desk wrote it, and how many lines of its save follow.
    entry: Entry | None = None
    more: int = 0


class Sheet(NamedTuple):
    """A sheet built of lines."""

    lines: list[Written]
    content: bytes


def with_check(body: bytes, more: int = 0) -> bytes:
    """A body with the ending that makes it a sound line."""
    if more:
        body += b',"more":%d' % more
    return body + b',"crc":"%08x"}' % crc32(body)


def sheet(feed: Feed, most: int = 24) -> Sheet:
    """A sheet of up to so many lines; the last may lack its newline."""
    ends = b"\r\n" if feed.is_one_in(5) else b"\n"
    is_cut = feed.is_one_in(3)
    lines: list[Written] = []
    while not feed.is_used_up and len(lines) < most:
        lines += _lines(feed)
    content = b"".join(line.content + ends for line in lines)
    return Sheet(lines, content.removesuffix(b"\n") if is_cut else content)


def _lines(feed: Feed) -> list[Written]:
    """One line, or those of a save, as written or harmed."""
    what = feed.number(11)
    one = feed.pick(ENTRIES)
    if what <= 3:
        return [_written(one, 0)]
    if what <= 5:
        many = 2 + feed.number(2)
        save = [_written(feed.pick(ENTRIES), many - 1 - place) for place in range(many)]
        if feed.is_one_in(2):
            del save[feed.number(many - 1)]
        return save
    if what == 6:
        return [_written(one, feed.number(999_999))]
    if what == 7:
        # What other programs and power cuts put around a line leaves it as it is.
        line = _written(one, 0)
        return [
            line._replace(content=feed.pick((b"\xef\xbb\xbf", b"\0", b"\0\0\0", b"\xef\xbb\xbf\0")) + line.content)
        ]
    if what == 8:
        return [Written(_harmed(rows.line_of(one, feed.number(2)), feed))]
    if what == 9:
        return [Written(with_check(feed.pick(_FOREIGN) + feed.some(40).replace(b"\n", b""), feed.number(2)))]
    if what == 10:
        return [Written(feed.pick(_PIECES) + feed.some(12).replace(b"\n", b"") + feed.pick(_PIECES))]
    return [Written(feed.some().replace(b"\n", b" "))]


def _written(one: Entry, more: int) -> Written:
    return Written(rows.line_of(one, more), one, more)


def _harmed(line: bytes, feed: Feed) -> bytes:
    """A line cut, flipped, or written over in one place."""
    place = feed.number(len(line) - 1)
    how = feed.number(4)
    if how == 0:
        return line[:place]
    if how == 1:
        return line[:place] + bytes([line[place] ^ 1 << feed.number(7)]) + line[place + 1 :]
    if how == 2:
        return line[:place] + feed.pick(_PIECES) + line[place:]
    if how == 3:
        return line[:place] + line[place + 1 + feed.number(40) :]
    return line + line[place:]
