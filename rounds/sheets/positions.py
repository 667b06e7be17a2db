"""Lines of the sheets by where they begin: what an index of subjects keeps, and how it is read by."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Final, NamedTuple, TypeAlias

from rounds.logbook.entries import Entry
from rounds.sheets import limits
from rounds.sheets.history import Shelf
from rounds.sheets.parse import Lines, all_good, read_sheet
from rounds.sheets.watch import Mark, in_turn, shown

#: Of one subject: where its lines begin, by sheet.
Places: TypeAlias = Mapping[str, Sequence[int]]
#: A line is some 200 bytes, and what was noted at a stop stands together; longer ones are read on.
_FIRST_READ: Final = 768
#: So many lines are checked and decoded together.
_BATCH: Final = 512


class Span(NamedTuple):
    """A stretch of a sheet that is nothing but good lines: its bytes from `start` to `end`."""

    path: str
    start: int
    end: int


class Misplaced(Exception):
    """A line does not stand where it was said to stand."""


class SheetLines:
    """The sheets as far as they were read."""

    def __init__(self, shelf: Shelf, marks: Mapping[str, Mark]) -> None:
        self._shelf = shelf
        self._marks = marks

    def ends(self) -> dict[str, int]:
        """Up to which byte each sheet without troubles was read, newest day first."""
        paths = sorted(self._marks, key=in_turn, reverse=True)
        return {path: self._marks[path].end for path in paths if not self._marks[path].troubled}

    def whole(self, path: str) -> Span | None:
        """A sheet without troubles from its beginning up to where it was read."""
        mark = self._marks.get(path)
        return Span(path, 0, mark.end) if mark is not None and not mark.troubled and mark.end else None

    def span(self, path: str, start: int) -> tuple[Span, Lines] | None:
        """A sheet from a byte on, up to where it was read; None when it is not all good lines."""
        whole = self.whole(path)
        if whole is None or start >= whole.end:
            return None
        try:
            content = self._shelf.unread(path)[1][start : whole.end]
        except OSError:
            return None
        lines = read_sheet(shown(path), content).all_lines
        return (Span(path, start, whole.end), lines) if lines is not None else None

    def about(self, subject: str, places: Places, covered: Mapping[str, int]) -> Iterator[Entry]:
        """Every good entry on a subject's page, each once, newest sheet first, read by an index.

        `places` tells where its lines begin in what is `covered`, up to a byte of each sheet; the rest is
        looked through. Raises `Misplaced` or `OSError` when the index does not fit the sheets.
        """
        beyond = {
            path: covered.get(path, 0) for path, mark in self._marks.items() if covered.get(path, 0) < mark.size
        }
        needle = b'"%s"' % subject.encode()
        seen: set[str] = set()
        waiting: list[bytes] = []
        for path in sorted({*places, *beyond}, key=in_turn, reverse=True):
            if path in beyond or len(waiting) > _BATCH:
                yield from _once(subject, _entries_of(waiting), seen)
                waiting.clear()
            if path in beyond:
                rest = self._shelf.lines_with(needle, path, beyond[path])
                yield from _once(subject, reversed(rest), seen)
            if path in places:
                waiting += reversed(self._lines_at(path, places[path]))
        yield from _once(subject, _entries_of(waiting), seen)

    def _lines_at(self, path: str, starts: Sequence[int]) -> list[bytes]:
        disk = self._shelf.disk
        handle = self._shelf.opened(path)
        try:
            lines: list[bytes] = []
            content, begin = b"", 0
            for start in starts:
                stop = content.find(b"\n", start - begin)
                if stop < 0:
                    content, begin = self._from(handle, start), start
                    stop = content.find(b"\n")
                lines.append(content[start - begin : stop])
            return lines
        finally:
            disk.close(handle)

    def _from(self, handle: int, start: int) -> bytes:
        """A sheet from the beginning of a line on, that line's end at least."""
        size = _FIRST_READ
        while True:
            content = self._shelf.disk.read(handle, size, start)
            if b"\n" in content:
                return content
            if len(content) < size or size > limits.LONGEST_LINE:
                raise Misplaced
            size *= 8


def _entries_of(lines: list[bytes]) -> list[Entry]:
    entries = all_good([line + b"\n" for line in lines]) if lines else []
    if entries is None:
        raise Misplaced
    return entries


def _once(subject: str, entries: Iterable[Entry], seen: set[str]) -> Iterator[Entry]:
    for entry in entries:
        if entry.id not in seen and subject in entry.subjects():
            seen.add(entry.id)
            yield entry
