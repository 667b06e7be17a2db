"""Where each subject's lines stand on the sheets, kept so that a history of ten years is read without reading all.

Nothing that was seen is kept here, only where it stands: each line is read from its sheet and held to its own
check. The index is made of runs, each over some sheets; what is on no run is looked through.
"""

from __future__ import annotations

import hashlib
import os
import struct
from array import array
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Mapping, Sequence
from functools import partial
from itertools import accumulate, compress
from operator import attrgetter
from pathlib import Path
from typing import Final, NamedTuple, TypeAlias

import msgspec

from rounds.cache.pack import PIECE_DIGEST, Doubtful, Pack, Piece
from rounds.logbook.entries import KINDS, Entry
from rounds.sheets.positions import SheetLines, Span
from rounds.sheets.shares import Part
from rounds.sheets.store import Sheets

#: A run is written when it covers so many bytes; places within it are counted in 32 bits.
RUN_BYTES: Final = 256 << 20
#: What is on no run is made one when it is this much: less is looked through in some ms.
WORTH_A_RUN: Final = 8 << 20
#: With more small runs than this they are made one.
_MOST_RUNS: Final = 24
_ROW: Final = struct.Struct(f"<QI{PIECE_DIGEST}s")
_ABOUT: Final = attrgetter("about")
_NAMING: Final = frozenset(kind for kind in KINDS.values() if kind.mentions)


class Run(NamedTuple):
    """Where the parts of a run lie: spans, subjects (as numbers), each one's places; and the bytes it covers."""

    pack: str
    spans: Piece
    subjects: Piece
    rows: Piece
    size: int


KeptLines: TypeAlias = tuple[Run, ...]


def number_of(subject: str) -> int:
    """A subject as a number that no other subject has, as good as certainly; what is read is checked."""
    return int.from_bytes(hashlib.sha256(subject.encode(), usedforsecurity=False).digest()[:8], "little")


class Lines:
    """The runs of an index, each looked into when it is first needed."""

    def __init__(self, folder: Path, kept: KeptLines) -> None:
        """Raises `Doubtful`."""
        self._runs = kept
        self._packs = {name: Pack(folder / name) for name in {run.pack for run in kept}}
        self._spans: list[list[Span]] | None = None
        self._covered: dict[str, int] = {}

    @property
    def covered(self) -> Mapping[str, int]:
        """Up to which byte each sheet is on some run. Raises `Doubtful`."""
        if self._spans is None:
            spans = [self._decoded(run) for run in self._runs]
            for span in sorted((span for of_run in spans for span in of_run), key=lambda span: span.start):
                if span.start != self._covered.get(span.path, 0):
                    raise Doubtful(f"{span.path} is not covered from its beginning")
                self._covered[span.path] = span.end
            self._spans = spans
        return self._covered

    def _decoded(self, run: Run) -> list[Span]:
        try:
            return msgspec.msgpack.decode(self._packs[run.pack].piece(run.spans), type=list[Span])
        except msgspec.MsgspecError as error:
            raise Doubtful(str(error)) from error

    def places(self, subject: str) -> dict[str, list[int]]:
        """Where the subject's lines begin, by sheet. Raises `Doubtful`."""
        _ = self.covered
        assert self._spans is not None
        found: dict[str, list[int]] = {}
        number = number_of(subject)
        for run, spans in zip(self._runs, self._spans, strict=True):
            places = self._places_in(run, number)
            if places:
                _sort_out(places, spans, found)
        return found

    def _places_in(self, run: Run, number: int) -> array[int]:
        pack = self._packs[run.pack]
        numbers = array("Q", pack.piece(run.subjects))
        at = bisect_left(numbers, number)
        if at == len(numbers) or numbers[at] != number:
            return array("I")
        rows = pack.piece(run.rows)
        return array("I", pack.piece(Piece(*_ROW.unpack_from(rows, at * _ROW.size))))


def _sort_out(places: Sequence[int], spans: Sequence[Span], found: dict[str, list[int]]) -> None:
    """Places counted through a run, as bytes of its sheets."""
    begin = end = 0
    span: Span | None = None
    coming = iter(spans)
    starts: list[int] = []
    for place in places:
        while span is None or place >= end:
            span = next(coming, None)
            if span is None:
                raise Doubtful("a line lies behind all sheets")
            begin, end = end, end + span.end - span.start
            starts = []
        if not starts:
            starts = found.setdefault(span.path, [])
        starts.append(place - begin + span.start)


class LinesBuilder:
    """Runs being made. Spans of one sheet come in the order in which they stand in it."""

    def __init__(self, folder: Path) -> None:
        """They lie in a pack of their own in this folder. Nothing is made yet."""
        self._folder = folder
        self._pack: Pack | None = None
        self._runs: list[Run] = []
        self._begin()

    def _begin(self) -> None:
        self._spans: list[Span] = []
        self._places: dict[str, array[int]] = defaultdict(partial(array, "I"))
        #: Subjects that some lines only mention: their places are not in order yet.
        self._unsorted: set[str] = set()
        self._size = 0

    def add(self, span: Span, entries: Sequence[Entry], lines: Sequence[bytes]) -> None:
        """A span of a sheet, with its entries and the line of each. Raises `OSError`, `Doubtful`."""
        length = span.end - span.start
        if self._size and self._size + length > RUN_BYTES:
            self._write()
        places = self._places
        starts = list(accumulate(map(len, lines), initial=self._size))
        for about, start in zip(map(_ABOUT, entries), starts, strict=False):
            places[about].append(start)
        naming = map(_NAMING.__contains__, map(type, entries))
        for entry, start in compress(zip(entries, starts, strict=False), naming):
            for subject in entry.subjects()[1:]:
                places[subject].append(start)
                self._unsorted.add(subject)
        self._spans.append(span)
        self._size += length

    def _write(self) -> None:
        if self._pack is None:
            self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            self._pack = Pack.begun(self._folder / f"lines-{os.urandom(6).hex()}")
        pack = self._pack
        for subject in self._unsorted:
            self._places[subject] = array("I", sorted(self._places[subject]))
        by_number = sorted((number_of(subject), places) for subject, places in self._places.items())
        pieces = [pack.add(places.tobytes()) for _, places in by_number]
        rows = b"".join(_ROW.pack(*piece) for piece in pieces)
        numbers = array("Q", (number for number, _ in by_number)).tobytes()
        spans = msgspec.msgpack.encode(self._spans)
        self._runs.append(Run(pack.path.name, pack.add(spans), pack.add(numbers), pack.add(rows), self._size))
        pack.flush()
        self._begin()

    def end(self) -> KeptLines:
        """The runs that were made. Raises `OSError`, `Doubtful`."""
        if self._spans:
            self._write()
        if self._pack is not None:
            self._pack.close()
        return tuple(self._runs)


class Noting:
    """Notes where lines stand while all sheets are being read; without an index when the disk does not take it."""

    def __init__(self, folder: Path | None) -> None:
        self._builder = LinesBuilder(folder) if folder is not None else None
        #: Runs that other processes made.
        self.others: KeptLines = ()

    def note(self, sheets: Sheets, part: Part) -> None:
        """A sheet that was read."""
        if self._builder is None or part.size < WORTH_A_RUN:
            return
        found = sheets.lines.span(part.path, 0, part.entries, part.content)
        try:
            if found is not None:
                self._builder.add(*found)
        except (OSError, Doubtful):
            self._builder = None

    def end(self) -> KeptLines:
        """All that was noted, newest days not first."""
        try:
            return (*self.others, *self._builder.end()) if self._builder is not None else ()
        except (OSError, Doubtful):
            return ()


def extended(folder: Path, kept: KeptLines, lines: SheetLines) -> KeptLines:
    """The index with what is on no run yet, if that is worth one. Raises `OSError`, `Doubtful`."""
    ends = lines.ends()
    covered = Lines(folder, kept).covered
    if sum(end - covered.get(path, 0) for path, end in ends.items()) < WORTH_A_RUN:
        return kept
    base = without_small_runs(kept)
    covered = Lines(folder, base).covered
    builder = LinesBuilder(folder)
    size = 0
    for path, end in ends.items():
        if end > covered.get(path, 0) and size < RUN_BYTES:
            found = lines.span(path, covered.get(path, 0))
            if found is not None:
                builder.add(*found)
                size += found[0].end - found[0].start
    return (*base, *builder.end())


def without_small_runs(kept: KeptLines) -> KeptLines:
    """When there are many small runs: the index without them, so that they are made one."""
    large = tuple(run for run in kept if run.size > RUN_BYTES // 2)
    return kept if len(kept) - len(large) <= _MOST_RUNS else large
