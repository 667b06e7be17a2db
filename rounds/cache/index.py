"""Where each subject's lines stand on the sheets, so that a history of ten years is read without reading all.

Nothing that was seen is kept here, only where it stands: each line is read from its sheet and held to its own
check. The index is made of segments, each over some sheets; what no segment covers is looked through.
"""

from __future__ import annotations

import os
from array import array
from collections.abc import Callable, Mapping
from itertools import accumulate
from operator import attrgetter
from typing import Final, NamedTuple, TypeAlias
from zlib import crc32

import msgspec

from rounds.cache.store import SHORT_DIGEST, Store, digest
from rounds.cache.trust import Doubtful
from rounds.sheets.history import Part
from rounds.sheets.parse import Lines
from rounds.sheets.positions import SheetLines, Span
from rounds.sheets.store import Sheets

#: A segment is written when it covers so many bytes of sheets.
SEGMENT_BYTES: Final = 256 << 20
#: What no segment covers is made one when it is this much: less is looked through in some ms.
WORTH_A_SEGMENT: Final = 8 << 20
#: With more small segments than this they are made one.
_MOST_SMALL: Final = 24
#: A segment is stored in so many parts; a subject's positions are in the part that its name tells.
PARTS: Final = 256
#: A position is the number of the sheet within its segment, times this, plus the byte at which the line begins.
_SHEET: Final = 1 << 32


class Segment(NamedTuple):
    """The sheets that a segment covers, how many bytes of them, and the digest of each of its parts."""

    id: int
    spans: list[Span]
    size: int
    digests: list[bytes]


Segments: TypeAlias = tuple[Segment, ...]


def _part_of(subject: str) -> int:
    return crc32(subject.encode()) % PARTS


class Index:
    """The segments of an index, decoded when they are asked for; a part is read when a subject is looked for."""

    def __init__(self, store: Store, segments: Segments | bytes) -> None:
        """`segments` as they are, or as `encoded` gave them."""
        self._store = store
        self._segments = segments
        self._covered: dict[str, int] | None = None

    @property
    def segments(self) -> Segments:
        """The segments, the older first. Raises `Doubtful`."""
        if isinstance(self._segments, bytes):
            try:
                self._segments = msgspec.msgpack.decode(self._segments, type=Segments)
            except (msgspec.MsgspecError, ValueError) as error:
                raise Doubtful("the segments cannot be read") from error
        return self._segments

    @property
    def covered(self) -> Mapping[str, int]:
        """Up to which byte each sheet is in some segment. Raises `Doubtful`."""
        if self._covered is None:
            covered: dict[str, int] = {}
            spans = (span for segment in self.segments for span in segment.spans)
            for span in sorted(spans, key=attrgetter("start")):
                if span.start != covered.get(span.path, 0):
                    raise Doubtful(f"{span.path} is not covered from its beginning")
                covered[span.path] = span.end
            self._covered = covered
        return self._covered

    def places(self, subject: str) -> dict[str, list[int]]:
        """Where the subject's lines begin, by sheet, in the order in which they stand there. Raises `Doubtful`."""
        found: dict[str, list[int]] = {}
        number = _part_of(subject)
        # The older segment first: of a sheet that grew, its beginning is in that.
        for segment in self.segments:
            try:
                content = self._store.segment(segment.id, number, segment.digests[number])
                positions = msgspec.msgpack.decode(content, type=dict[str, bytes]).get(subject, b"")
                for position in sorted(array("Q", positions)):
                    sheet, start = divmod(position, _SHEET)
                    found.setdefault(segment.spans[sheet].path, []).append(start)
            except (msgspec.MsgspecError, ValueError, IndexError) as error:
                raise Doubtful("a part of a segment cannot be read") from error
        return found


class _Positions(dict[str, "array[int]"]):
    """The positions of each subject."""

    def __missing__(self, subject: str) -> array[int]:
        positions = self[subject] = array("Q")
        return positions


class IndexBuilder:
    """Segments being made. Spans of one sheet come in the order in which they stand in it."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._segments: list[Segment] = []
        self._begin()

    def _begin(self) -> None:
        self._spans: list[Span] = []
        self._positions = _Positions()
        self._size = 0

    def add(self, span: Span, lines: Lines) -> None:
        """A span of a sheet with its lines. Raises `Doubtful`."""
        length = span.end - span.start
        if self._size and self._size + length > SEGMENT_BYTES:
            self._write()
        positions = self._positions
        begin = len(self._spans) * _SHEET + span.start
        starts = list(accumulate(lines.lengths, initial=begin))
        for about, start in zip(lines.about, starts, strict=False):
            positions[about].append(start)
        for place, entry in lines.naming:
            for subject in entry.subjects()[1:]:
                positions[subject].append(starts[place])
        self._spans.append(span)
        self._size += length

    def _write(self) -> None:
        parts: list[dict[str, bytes]] = [{} for _ in range(PARTS)]
        for subject, positions in self._positions.items():
            parts[_part_of(subject)][subject] = positions.tobytes()
        contents = [msgspec.msgpack.encode(part) for part in parts]
        id = int.from_bytes(os.urandom(8), "big") >> 1
        self._store.add_segment(id, contents)
        digests = [digest(content, SHORT_DIGEST) for content in contents]
        self._segments.append(Segment(id, self._spans, self._size, digests))
        self._begin()

    def end(self) -> Segments:
        """The segments that were made. Raises `Doubtful`."""
        if self._spans:
            self._write()
        return tuple(self._segments)


class Indexing:
    """Makes an index while all sheets are being read; none when the disk does not take it."""

    def __init__(self, begin: Callable[[], Store]) -> None:
        """`begin` gives the database to write to, or raises `OSError`, `Doubtful`."""
        self._begin = begin
        self._builder: IndexBuilder | None = None
        self._failed = False

    def add(self, sheets: Sheets, part: Part) -> None:
        """A sheet that was read."""
        span = sheets.lines.whole(part.path)
        if self._failed or part.size < WORTH_A_SEGMENT or part.lines is None or span is None:
            return
        try:
            if self._builder is None:
                self._builder = IndexBuilder(self._begin())
            self._builder.add(span, part.lines)
        except (OSError, Doubtful):
            self._failed = True

    def end(self) -> Segments:
        """All that was indexed."""
        try:
            return self._builder.end() if self._builder is not None and not self._failed else ()
        except Doubtful:
            return ()


def encoded(segments: Segments) -> bytes:
    """Segments as they are stored beside the state."""
    return msgspec.msgpack.encode(segments)


def extended(store: Store, segments: Segments, lines: SheetLines) -> Segments:
    """The index with what no segment covers yet, if that is worth one. Raises `Doubtful`."""
    ends = lines.ends()
    covered = Index(store, segments).covered
    if sum(end - covered.get(path, 0) for path, end in ends.items()) < WORTH_A_SEGMENT:
        return segments
    base = _without_small(segments)
    covered = Index(store, base).covered
    builder = IndexBuilder(store)
    size = 0
    for path, end in ends.items():
        if end > covered.get(path, 0) and size < SEGMENT_BYTES:
            found = lines.span(path, covered.get(path, 0))
            if found is not None:
                builder.add(*found)
                size += found[0].end - found[0].start
    return (*base, *builder.end())


def _without_small(segments: Segments) -> Segments:
    """When there are many small segments: the index without them, so that they are made one."""
    large = tuple(segment for segment in segments if segment.size > SEGMENT_BYTES // 2)
    return segments if len(segments) - len(large) <= _MOST_SMALL else large
