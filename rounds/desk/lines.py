"""Where each subject's lines stand on the sheets, kept so that a history of ten years is read without reading all.

Nothing that was seen is kept here, only where it stands: each line is read from its sheet and held to its own
check. The index is made of runs, each over some sheets; what is on no run is looked through.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import struct
from array import array
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Final, NamedTuple

import msgspec

from rounds.desk.pack import PIECE_DIGEST, Doubtful, Pack, Piece
from rounds.logbook.entries import KINDS, Entry
from rounds.logbook.sheet_lines import SheetLines, Span

#: A run is written when it covers so many bytes; places within it are counted in 32 bits.
RUN_BYTES: Final = 256 << 20
#: What is on no run is made one when it is this much: less is looked through in some ms.
WORTH_A_RUN: Final = 8 << 20
#: With more small runs than this they are made one.
_MOST_RUNS: Final = 24
_ROW: Final = struct.Struct(f"<QI{PIECE_DIGEST}s")
_NAMING: Final = frozenset(kind for kind in KINDS.values() if kind.mentions)


class Run(NamedTuple):
    """Where the parts of a run lie in the pack: spans, subjects (as numbers), each one's places; and its bytes."""

    spans: Piece
    subjects: Piece
    rows: Piece
    size: int


class KeptLines(msgspec.Struct, array_like=True, frozen=True):
    """What the cache's index says of the lines."""

    pack: str = ""
    runs: tuple[Run, ...] = ()


def number_of(subject: str) -> int:
    """A subject as a number that no other subject has, as good as certainly; what is read is checked."""
    return int.from_bytes(hashlib.sha256(subject.encode(), usedforsecurity=False).digest()[:8], "little")


class Lines:
    """The runs of an index, each looked into when it is first needed."""

    def __init__(self, folder: Path, kept: KeptLines) -> None:
        """Raises `Doubtful`."""
        self.kept = kept
        self._pack = Pack(folder / kept.pack)
        self._spans: list[list[Span]] | None = None
        self._covered: dict[str, int] = {}

    @property
    def covered(self) -> Mapping[str, int]:
        """Up to which byte each sheet is on some run. Raises `Doubtful`."""
        if self._spans is None:
            spans = [self._decoded(run) for run in self.kept.runs]
            for span in sorted((span for of_run in spans for span in of_run), key=lambda span: span.start):
                if span.start != self._covered.get(span.path, 0):
                    raise Doubtful(f"{span.path} is not covered from its beginning")
                self._covered[span.path] = span.end
            self._spans = spans
        return self._covered

    def _decoded(self, run: Run) -> list[Span]:
        try:
            return msgspec.msgpack.decode(self._pack.piece(run.spans), type=list[Span])
        except msgspec.MsgspecError as error:
            raise Doubtful(str(error)) from error

    def places(self, subject: str) -> dict[str, list[int]]:
        """Where the subject's lines begin, by sheet. Raises `Doubtful`."""
        _ = self.covered
        assert self._spans is not None
        found: dict[str, list[int]] = {}
        number = number_of(subject)
        for run, spans in zip(self.kept.runs, self._spans, strict=True):
            places = self._places_in(run, number)
            if places:
                _sort_out(places, spans, found)
        return found

    def _places_in(self, run: Run, number: int) -> array[int]:
        numbers = array("Q", self._pack.piece(run.subjects))
        at = bisect_left(numbers, number)
        if at == len(numbers) or numbers[at] != number:
            return array("I")
        rows = self._pack.piece(run.rows)
        return array("I", self._pack.piece(Piece(*_ROW.unpack_from(rows, at * _ROW.size))))


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

    def __init__(self, folder: Path, kept: KeptLines = KeptLines()) -> None:  # noqa: B008 (it never changes)
        """Goes on from what is kept, in its pack, or begins a new one. Nothing is made yet."""
        self._folder = folder
        self._kept = kept
        self._pack: Pack | None = None
        self._runs: list[Run] = []
        self._begin()

    def _begin(self) -> None:
        self._spans: list[Span] = []
        self._places: dict[str, array[int]] = defaultdict(partial(array, "I"))
        self._size = 0

    def add(self, span: Span, entries: Sequence[Entry], starts: Sequence[int]) -> None:
        """A span of a sheet, with its entries and where the line of each begins. Raises `OSError`, `Doubtful`."""
        length = span.end - span.start
        if self._size and self._size + length > RUN_BYTES:
            self._write()
        places, moved = self._places, self._size - span.start
        for entry, start in zip(entries, starts, strict=True):
            if type(entry) in _NAMING:
                for subject in entry.subjects():
                    places[subject].append(start + moved)
            else:
                places[entry.about].append(start + moved)
        self._spans.append(span)
        self._size += length

    def _write(self) -> None:
        if self._pack is None:
            self._pack = self._opened()
        pack = self._pack
        by_number = sorted((number_of(subject), places) for subject, places in self._places.items())
        pieces = [pack.add(places.tobytes()) for _, places in by_number]
        rows = b"".join(_ROW.pack(*piece) for piece in pieces)
        numbers = array("Q", (number for number, _ in by_number)).tobytes()
        spans = msgspec.msgpack.encode(self._spans)
        self._runs.append(Run(pack.add(spans), pack.add(numbers), pack.add(rows), self._size))
        pack.flush()
        self._begin()

    def _opened(self) -> Pack:
        if self._kept.pack:
            with contextlib.suppress(Doubtful):
                return Pack(self._folder / self._kept.pack, writing=True)
            self._kept = KeptLines()
        self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        return Pack.begun(self._folder / f"lines-{os.urandom(6).hex()}")

    def end(self) -> KeptLines:
        """What is kept now. Raises `OSError`, `Doubtful`."""
        if self._spans:
            self._write()
        if self._pack is None:
            return self._kept
        name, runs = self._pack.path.name, (*self._kept.runs, *self._runs)
        self._pack.close()
        return KeptLines(name, runs)


def extended(folder: Path, kept: KeptLines, lines: SheetLines) -> KeptLines:
    """The index with what is on no run yet, if that is worth one. Raises `OSError`, `Doubtful`."""
    covered = Lines(folder, kept).covered if kept.runs else {}
    if sum(end - covered.get(path, 0) for path, end in lines.ends().items()) < WORTH_A_RUN:
        return kept
    base = without_small_runs(kept)
    covered = Lines(folder, base).covered if base.runs else {}
    builder = LinesBuilder(folder, base)
    size = 0
    for path, end in lines.ends().items():
        if end > covered.get(path, 0) and size < RUN_BYTES:
            found = lines.span(path, covered.get(path, 0))
            if found is not None:
                builder.add(*found)
                size += found[0].end - found[0].start
    return builder.end()


def without_small_runs(kept: KeptLines) -> KeptLines:
    """When there are many small runs: the index without them, so that they are made one."""
    large = tuple(run for run in kept.runs if run.size > RUN_BYTES // 2)
    if len(kept.runs) - len(large) <= _MOST_RUNS:
        return kept
    return KeptLines(kept.pack, large)
