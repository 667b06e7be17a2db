"""What disks and other programs do to a file, as choices."""

from __future__ import annotations

from typing import Final

from tests.fuzzing.feed import Feed

#: SQLite writes by pages of this size, a disk by sectors of an eighth.
_PAGE: Final = 4_096


def harmed(content: bytes, feed: Feed) -> bytes:
    """The file with one to four of its places harmed."""
    for _ in range(1 + feed.number(3)):
        if not content:
            break
        place = feed.number(len(content) - 1)
        how = feed.number(7)
        if how <= 2:
            # The headers of the pages, where one byte means most, are met as often as all the rest.
            place = place if how else min(place, place // _PAGE * _PAGE + place % 100)
            content = content[:place] + bytes([content[place] ^ 1 << feed.number(7)]) + content[place + 1 :]
        elif how == 3:
            new = feed.some(24)
            content = content[:place] + new + content[place + len(new) :]
        elif how == 4:
            content = content[:place]
        elif how == 5:
            start = place // _PAGE * _PAGE
            other = feed.number(max(0, len(content) // _PAGE - 1)) * _PAGE
            content = content[:start] + content[other : other + _PAGE] + content[start + _PAGE :]
        elif how == 6:
            start, size = place // 512 * 512, 512 << feed.number(3)
            content = content[:start] + bytes(len(content[start : start + size])) + content[start + size :]
        else:
            content = content[:place] + feed.some(24) + content[place:]
    return content
