"""The worked-out standing of a colony, kept in the user's own cache folder so that a start reads what changed.

It may be deleted at any time. In doubt it is not used: then the sheets are read again.
docs/decisions/0007-cache.md tells what counts as doubt.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
from collections.abc import Callable, Iterator, Mapping
from datetime import date, datetime, timedelta
from operator import attrgetter
from pathlib import Path
from typing import Final, NamedTuple

import msgspec

from rounds import __version__, folders, system
from rounds.cache.kept import (
    KeptStanding,
    card_bytes,
    page_bytes,
    register_sections,
    row_bytes,
    us_of,
)
from rounds.cache.lines import KeptLines, Lines, extended
from rounds.cache.pack import Doubtful, Index, Pack, folder_of_ours, write_index
from rounds.cache.recent import Recent
from rounds.cache.state import RECENT, Taken
from rounds.logbook import rows
from rounds.logbook.entries import KINDS, Entry
from rounds.sheets.store import Sheets
from rounds.sheets.watch import Mark
from rounds.standing.fold import Standing
from rounds.standing.page import RESERVE, Page
from rounds.standing.pages import KeptPages
from rounds.standing.register import Register

INDEX: Final = "standing"
#: Changed when the files of the cache are to hold something else.
_FORMAT: Final = 1
#: A pack of which more than half is no longer referred to, and more than this many bytes, is written again.
_WASTE: Final = 4 << 20
#: Sheets looked at before the first stop is shown: the last days', and those written to last.
_NEWEST: Final = 16


class _DeskRow(msgspec.Struct, array_like=True):
    saved_at: datetime
    since: date
    last_ms: int
    latest: datetime | None
    newest: bytes | None
    ahead: list[bytes]
    #: Folders of sheets with their times, and the newest sheets: when they are as they were, so is the rest,
    #: as far as can be seen without looking at each.
    folders: dict[str, int]
    sheets: dict[str, Mark]
    troubled: bool


class TakenUp(NamedTuple):
    """What an earlier run had taken in, and how far it had read; `quiet` when no sheet was seen to have changed."""

    taken: Taken
    marks: dict[str, Mark]
    quiet: bool


def program() -> str:
    """What tells one version of the program from another: what is kept was worked out by its code."""
    told = hashlib.blake2b(f"{_FORMAT} {__version__} {RESERVE}".encode(), digest_size=16)
    for kind in KINDS.values():
        told.update(f"{kind.__name__} {kind.keep} {kind.mentions} {kind.__struct_fields__}".encode())
    here = Path(__file__).parent
    with contextlib.suppress(OSError):  # a package that is not unpacked on disk has no files to tell apart
        for folder in (
            here,
            here.parent / "standing",
            here.parent / "logbook",
            here.parent / "logbook" / "entries",
        ):
            with os.scandir(folder) as files:
                for file in sorted(files, key=attrgetter("name")):
                    if file.name.endswith(".py"):
                        status = file.stat()
                        told.update(f"{file.name} {status.st_size} {status.st_mtime_ns}".encode())
    return told.hexdigest()


class Cache:
    """What is kept of one colony on this machine by this user."""

    def __init__(self, colony: Path, folder: Path | None = None) -> None:
        """`folder` is where caches lie; the user's own when none is given. Nothing is read or made yet."""
        self._colony = os.path.realpath(colony)
        name = hashlib.blake2b(os.fsencode(self._colony), digest_size=12).hexdigest()
        self.folder = (folders.cache() if folder is None else folder) / name
        self._program = program()
        #: What was taken up, as long as it is what the index says.
        self._kept: KeptStanding | None = None
        self._kept_lines: KeptLines = ()
        self._lines: Lines | None = None

    @property
    def lines(self) -> Lines | None:
        """Where each subject's lines stand, as far as that is known."""
        if self._lines is None and self._kept_lines:
            try:
                self._lines = Lines(self.folder, self._kept_lines)
            except Doubtful:
                self.forget_lines()
        return self._lines

    def forget_lines(self) -> None:
        """They are not where they should be: the next start reads everything again."""
        self.drop()
        self.take_lines(())

    def take_lines(self, kept: KeptLines) -> None:
        """Where lines stand, as was noted."""
        self._kept_lines, self._lines = kept, None

    # Taking up

    def take_up(
        self, now: datetime, limit: datetime, mend: Callable[[str], Page], *, looking_back: bool = False
    ) -> TakenUp | None:
        """What was kept, if it can be used, up to a look at all sheets (`Sheets.holds`); else None.

        `now` is the reckoning moment, and entries dated after `limit` do not count.
        """
        try:
            if not folder_of_ours(self.folder):
                return None
            index = Index(self.folder / INDEX, self._program, self._colony)
            try:
                return self._taken_up(index, now, limit, mend, looking_back=looking_back)
            finally:
                index.close()
        except (Doubtful, msgspec.MsgspecError, ValueError, TypeError, OSError):
            return None

    def _taken_up(
        self,
        index: Index,
        now: datetime,
        limit: datetime,
        mend: Callable[[str], Page],
        *,
        looking_back: bool,
    ) -> TakenUp | None:
        row = msgspec.msgpack.decode(index.section("desk"), type=_DeskRow)
        newest = rows.entry_of(row.newest) if row.newest is not None else None
        if now < row.saved_at or (newest is not None and newest.at > limit) or (looking_back and row.ahead):
            return None  # the clock was put back, or this is a look back at an earlier day
        marks = msgspec.msgpack.decode(index.section("marks"), type=dict[str, Mark])
        recent = index.section("recent")
        lines = msgspec.msgpack.decode(index.section("lines"), type=KeptLines)
        kept = KeptStanding(index, Pack(self.folder / index.pack), row.since, mend)
        pages = KeptPages(kept.place_of.keys(), kept.page)
        taken = Taken()
        taken.standing = Standing(pages, Register(pages, kept), latest=row.latest)
        taken.recent = Recent(lambda kinds: _recent(recent, kinds, now - RECENT))
        taken.newest = newest
        taken.ahead = [rows.entry_of(line) for line in row.ahead]
        taken.last_ms = row.last_ms
        self._kept = kept
        self.take_lines(lines)
        return TakenUp(taken, marks, not row.troubled and self._is_quiet(row))

    def _is_quiet(self, row: _DeskRow) -> bool:
        try:
            return all(
                os.lstat(f"{self._colony}/{path}").st_mtime_ns == mtime_ns for path, mtime_ns in row.folders.items()
            ) and all(mark.fits(os.lstat(f"{self._colony}/{path}")) for path, mark in row.sheets.items())
        except OSError:
            return False

    # Keeping

    def keep(self, taken: Taken, sheets: Sheets, now: datetime) -> bool:
        """Keep what was taken in, for the next start; whether that could be done."""
        if sheets.shaken or taken.odd:
            return False
        try:
            self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            if not folder_of_ours(self.folder):
                return False
            with self._alone():
                self._write(taken, sheets, now)
        except (OSError, Doubtful):
            return False
        return True

    @contextlib.contextmanager
    def _alone(self) -> Iterator[None]:
        """No other desk of this user is writing the cache meanwhile. Raises `OSError` when one is."""
        handle = system.open_file(self.folder / "lock", os.O_RDWR | os.O_CREAT)
        try:
            if not system.lock(handle):
                raise BlockingIOError
            yield
        finally:
            os.close(handle)

    def _write(self, taken: Taken, sheets: Sheets, now: datetime) -> None:
        standing = taken.standing
        kept = (
            self._kept if isinstance(standing.pages, KeptPages) and standing.pages.comes_from(self._kept) else None
        )
        since = now.date() - timedelta(days=1)
        if kept is not None:
            since = max(since, kept.since)
        pack = self._pack_to_write(kept)
        try:
            sections = self._subject_sections(standing, pack, kept)
            pack.flush()
        finally:
            pack.close()
        sections |= register_sections(standing.register, since)
        sections["recent"] = b"\n".join(map(rows.plain_line, taken.recent.entries))
        marks = {path: Mark(*mark) for path, mark in sheets.marks().items()}
        sections["marks"] = msgspec.msgpack.encode(marks)
        sections["desk"] = msgspec.msgpack.encode(
            _DeskRow(
                saved_at=now,
                since=since,
                last_ms=taken.last_ms,
                latest=standing.latest,
                newest=rows.plain_line(taken.newest) if taken.newest is not None else None,
                ahead=[rows.plain_line(entry) for entry in taken.ahead],
                folders=sheets.folders(),
                sheets=_newest_of(marks),
                troubled=bool(sheets.troubles),
            )
        )
        with contextlib.suppress(OSError, Doubtful):
            self.take_lines(extended(self.folder, self._kept_lines, sheets.lines))
        sections["lines"] = msgspec.msgpack.encode(self._kept_lines)
        write_index(self.folder / INDEX, self._program, self._colony, pack.path.name, sections)
        self._sweep(pack.path.name, *(run.pack for run in self._kept_lines))

    def _pack_to_write(self, kept: KeptStanding | None) -> Pack:
        """The pack that was taken up, to add to, if it is still the one in use and mostly used; else a new one."""
        if kept is not None and not kept.broken:
            with contextlib.suppress(Doubtful):
                pack = Pack(kept.pack.path, writing=True)
                used = sum(kept.piece(subject).length for subject in kept.place_of)
                if pack.size <= 2 * used + _WASTE:
                    return pack
                pack.close()
        return Pack.begun(self.folder / f"pages-{os.urandom(6).hex()}")

    def _subject_sections(self, standing: Standing, pack: Pack, kept: KeptStanding | None) -> dict[str, bytes]:
        pages, register = standing.pages, standing.register
        changed = pages.changed if isinstance(pages, KeptPages) else frozenset[str]()
        adding = kept is not None and pack.path == kept.pack.path
        subjects = list(pages)
        cards: list[bytes | memoryview] = []
        table: list[bytes] = []
        for subject in subjects:
            if kept is None or subject in changed or subject not in kept.place_of:
                page = pages[subject]
                piece, newest = pack.add(page_bytes(page)), us_of(page.latest)
            else:
                piece, newest = kept.piece(subject), kept.newest_us(subject)
                if not adding:
                    piece = pack.add(page_bytes(pages[subject]) if kept.broken else kept.pack.piece(piece))
            as_kept = kept is not None and register.is_as_kept(subject)
            card = kept.card_bytes(subject) if as_kept and kept is not None else card_bytes(register.card(subject))
            cards.append(card)
            table.append(row_bytes(piece, len(card), newest))
        return {
            "subjects": msgspec.msgpack.encode(subjects),
            "cards": b"".join(cards),
            "table": b"".join(table),
        }

    def _sweep(self, *used: str) -> None:
        """Take away packs that no index refers to any more; who still reads one keeps it open."""
        for path in (*self.folder.glob("pages-*"), *self.folder.glob("lines-*")):
            if path.name not in used:
                with contextlib.suppress(OSError):
                    path.unlink()

    def drop(self) -> None:
        """Forget what was kept: it is not true any more."""
        with contextlib.suppress(OSError):
            (self.folder / INDEX).unlink()


def _recent(content: bytes, kinds: tuple[type[Entry], ...], since: datetime) -> list[Entry]:
    """The recent entries as they were kept, all or those of some kinds, written at `since` or later."""
    lines = content.split(b"\n") if content else []
    if kinds:
        starts = tuple(b'{"kind":"%b"' % kind.__struct_config__.tag.encode() for kind in kinds)  # type: ignore[union-attr]
        lines = [line for line in lines if line.startswith(starts)]
    return [entry for line in lines if ((entry := rows.entry_of(line)).written or entry.at) >= since]


def _newest_of(marks: Mapping[str, Mark]) -> dict[str, Mark]:
    """The sheets of the last days and those written to last."""
    by_day = sorted(marks, key=lambda path: path.rpartition("/")[2])[-_NEWEST:]
    by_time = sorted(marks, key=lambda path: marks[path].mtime_ns)[-_NEWEST:]
    return {path: marks[path] for path in {*by_day, *by_time}}
