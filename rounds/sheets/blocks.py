"""A sheet too large to be read at one go, block by block: it was written by an older version or put together."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple
from zlib import crc32

from rounds.logbook.entries import Entry
from rounds.sheets import limits
from rounds.sheets.disk import Disk
from rounds.sheets.parse import (
    UNFINISHED,
    Lines,
    Reading,
    Sift,
    Trouble,
    all_good_into,
    ends_save,
    judge,
    line_by_line,
    stripped,
)

TOO_LONG: Final = (
    "is far longer than any line of ours. Nothing from there on is read: take that line out of the sheet, and what "
    "follows counts"
)


class Block(NamedTuple):
    """Whole lines of a sheet, where they begin, and whether a save ends with the last of them."""

    start: int
    content: bytes
    is_end: bool
    #: What stands from here on is not read.
    is_given_up: bool = False


class LargeReading(NamedTuple):
    """What a sheet holds."""

    reading: Reading
    #: CRC-32 of its bytes up to `reading.end`.
    check: int
    #: The last of these bytes.
    last: bytes


def begins_with_an_entry(disk: Disk, handle: int) -> bool:
    """Whether the first line of an open file is one of ours. Raises `OSError`."""
    line, found, _ = disk.read(handle, limits.LONGEST_LINE, 0).partition(b"\n")
    return bool(found) and judge(stripped(line)).sound


def blocks(disk: Disk, handle: int, start: int, stop: int) -> Iterator[Block]:
    """An open sheet from one byte to another, in blocks that end where a save ends, as far as there is such an end.

    What stands behind the last newline comes last, as it is; of a line far too long only its end. Raises `OSError`.
    """
    rest = b""
    passed_over = 0
    while start + len(rest) < stop:
        offset = start + len(rest)
        read = disk.read(handle, min(limits.BLOCK, stop - offset), offset)
        if not read:
            break
        content = rest + read
        if b"\n" not in content and len(content) > limits.LONGEST_LINE:
            # Of a line that is none of ours nothing but its end matters.
            start += len(content) - 1
            rest = content[-1:]
            passed_over += len(content) - 1
            if passed_over > limits.PASSED_OVER:
                yield Block(start, b"", is_end=False, is_given_up=True)
                return
            continue
        cut = _end_of_save(content)
        ends = cut > 0
        cut = cut or (content.rfind(b"\n") + 1 if len(content) >= limits.BLOCK else 0)
        if cut:
            yield Block(start, content[:cut], ends)
        start, rest = start + cut, content[cut:]
    if rest:
        yield Block(start, rest, is_end=False)


def _end_of_save(content: bytes) -> int:
    """Behind the last line that ends a save; 0 when there is none."""
    stop = content.rfind(b"\n") + 1
    while stop:
        begin = content.rfind(b"\n", 0, stop - 1) + 1
        if ends_save(content[begin : stop - 1]):
            return stop
        stop = begin
    return 0


def read_in_blocks(
    path: str,
    found: Iterator[Block],
    start: int = 0,
    first_line: int = 1,
    check: int = 0,
    sift: Sift | None = None,
    *,
    thoroughly: bool = False,
) -> LargeReading:
    """What the blocks of a sheet hold from a byte on; `check` is that of the bytes before it."""
    entries: list[Entry] = []
    pending: list[Entry] = []  # of a save so large that it goes on in the next block
    troubles: list[Trouble] = []
    all_lines, are_good = Lines([], [], []), True
    unfinished: Trouble | None = None
    number, end, lines = first_line - 1, 0, first_line - 1
    behind, is_open = check, False
    last = tail = b""
    for block in found:
        if block.is_given_up:
            what = f"line {number + 1} {TOO_LONG}."
            troubles.append(Trouble(path, number + 1, what))
            break
        content = block.content
        whole = content.endswith(b"\n")
        good, reading = None, None
        if whole and not thoroughly:
            into = all_lines if are_good else Lines([], [], [])
            good = all_good_into(content.splitlines(keepends=True), content, into)
        if good is None:
            are_good = False
            reading = line_by_line(path, content, number + 1)
            troubles += reading.troubles
            good = reading.entries
            if whole and not block.is_end:
                good = [
                    entry for line in content.split(b"\n") if (entry := judge(stripped(line)).entry) is not None
                ]
            unfinished = reading.unfinished
        pending += good if sift is None else sift(good)
        number += content.count(b"\n") + (not whole)
        before, ahead = behind, tail
        behind, tail = crc32(content, behind), (tail + content[-64:])[-64:]
        is_open = not block.is_end and bool(unfinished or (whole and good))
        if not is_open:
            entries += pending
            pending, unfinished = [], None
            if reading is None:
                end, lines, check, last = block.start + len(content) - start, number, behind, tail
            elif reading.end:
                end, lines = block.start + reading.end - start, reading.lines
                check = crc32(content[: reading.end], before)
                last = (ahead + content[: reading.end])[-64:]
    if unfinished is None and is_open:
        unfinished = Trouble(path, lines + 1, f"line {lines + 1} {UNFINISHED}.")
    every = all_lines if are_good and unfinished is None else None
    return LargeReading(Reading(entries, troubles, end, lines, unfinished, all_lines=every), check, last)
