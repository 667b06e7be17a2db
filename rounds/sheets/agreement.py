"""How a sheet stands to its record in the journal, and which saves of either are whole."""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum, auto
from typing import Final

from rounds.sheets.parse import judge, stripped

#: More bytes behind what is known than a crash leaves of a save: they are not looked at. No source, our choice.
MOST_TORN: Final = 1 << 20


class Agreement(Enum):
    """How a sheet stands to its record."""

    SAME = auto()
    #: It lacks its last save, or the end of it, as a crash between the two leaves it.
    BEHIND = auto()
    #: Another machine wrote there, or an older file was put in its place, or it is damaged.
    OTHER = auto()


def agreement(record: bytes, sheet: bytes | None) -> Agreement:
    """How the bytes of a sheet (None: they cannot be read) stand to those of its record, cut to whole saves.

    Behind what the record tells a crash may have left the beginning of a save; nothing counts in it. In the place
    of the record's last save a power cut may have left a part of its bytes, and empty ones for the others.
    """
    if sheet is None:
        return Agreement.OTHER
    if sheet.startswith(record):
        return Agreement.OTHER if _holds_an_end(sheet[len(record) :]) else Agreement.SAME
    begin = begin_of_last_save(record)
    is_no_older = begin <= len(sheet) <= len(record) and sheet.startswith(record[:begin])
    return Agreement.BEHIND if is_no_older and _is_left_of(sheet, record, begin) else Agreement.OTHER


def _is_left_of(sheet: bytes, record: bytes, begin: int) -> bool:
    """Whether a sheet holds nothing from an offset on but bytes of its record, and empty ones in their place."""
    return record.startswith(sheet) or all(
        found in (0, meant) for found, meant in zip(sheet[begin:], record[begin:], strict=False)
    )


def saves_in(content: bytes) -> list[bytes]:
    """The lines of each whole save; one of which a line is damaged or lacking is passed over, all of it."""
    return [
        b"".join(stripped(line) + b"\n" for line in content[begin:stop].split(b"\n") if line)
        for begin, stop in reversed([*_saves_from_the_end(content)])
    ]


def begin_of_last_save(content: bytes) -> int:
    """Where the last whole save begins, 0 when there is none."""
    return next((begin for begin, _ in _saves_from_the_end(content)), 0)


def end_of_last_save(content: bytes) -> int:
    """Where the last whole save ends, 0 when there is none: behind it stands what a crash left of another."""
    return next((stop for _, stop in _saves_from_the_end(content)), 0)


def _saves_from_the_end(content: bytes) -> Iterator[tuple[int, int]]:
    """Where each whole save begins and ends, the last one first; only what is asked for is looked at.

    Behind a line that is not sound, half a save may be left: all up to and with the line that ends it is left out.
    """
    is_whole, lines, end = False, 0, 0
    stop = content.rfind(b"\n") + 1
    while stop:
        begin = content.rfind(b"\n", 0, stop - 1) + 1
        line = content[begin : stop - 1]
        judged = judge(stripped(line))
        is_sound = judged.sound and b"\0" not in line
        if is_sound and judged.more == 0:  # it ends its save, so that what stands behind it begins another
            if is_whole:
                yield stop, end
            is_whole, lines, end = True, 0, stop
        if line:
            is_whole = is_whole and is_sound and judged.more == lines
            lines += 1
        stop = begin
    if is_whole:
        yield 0, end


def _holds_an_end(content: bytes) -> bool:
    """Whether a sound line in these bytes ends a save, so that it counts for whoever reads them."""
    ends = (judge(stripped(line)) for line in content.split(b"\n")[:-1])
    return any(judged.sound and not judged.more for judged in ends)
