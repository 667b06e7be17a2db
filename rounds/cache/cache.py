"""The worked-out standing of a colony, kept in the user's own cache folder so that a start reads what changed.

It may be deleted at any time. In doubt it is not used: then the sheets are read again.
docs/decisions/0015-cache-on-sqlite.md tells what counts as doubt.
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

from rounds import __version__, folders
from rounds.cache.index import PARTS, Index, Indexing, Segments, encoded, extended
from rounds.cache.snapshot import Sections, Snapshot, page_bytes, register_sections
from rounds.cache.state import RECENT, Recent, State
from rounds.cache.store import DATABASE, SHORT_DIGEST, Store, alone, digest
from rounds.cache.trust import SETTINGS, Doubtful, known_again
from rounds.logbook import rows
from rounds.logbook.entries import KINDS, Entry
from rounds.sheets.disk import Disk
from rounds.sheets.history import Shelf
from rounds.sheets.store import Sheets
from rounds.sheets.watch import Mark
from rounds.standing.fold import Standing
from rounds.standing.page import RESERVE, Page
from rounds.standing.pages import StoredPages
from rounds.standing.register import Register

#: Changed when the cache is to hold something else.
_FORMAT: Final = 3
#: The rooms whose code works out what is kept, from a sheet's lines to the pages.
_WORK_IT_OUT: Final = ("logbook", "logbook/entries", "sheets", "standing", "cache", "desk")
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
    #: What colony.toml is known again by: another colony may stand there since.
    settings: tuple[int, int]


class Loaded(NamedTuple):
    """The state of an earlier run, and how far it had read; `quiet` when no sheet was seen to have changed."""

    state: State
    marks: dict[str, Mark]
    quiet: bool
    #: What colony.toml was known again by.
    settings: tuple[int, int]


def program() -> str:
    """What tells one version of the program from another: what is kept was worked out by its code."""
    told = hashlib.blake2b(f"{_FORMAT} {__version__} {RESERVE}".encode(), digest_size=16)
    for kind in KINDS.values():
        told.update(f"{kind.__name__} {kind.keep} {kind.a_day} {kind.mentions} {kind.__struct_fields__}".encode())
    rounds = Path(__file__).parent.parent
    with contextlib.suppress(OSError):  # a package that is not unpacked on disk has no files to tell apart
        for room in _WORK_IT_OUT:
            with os.scandir(rounds / room) as files:
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
        #: The open database; None when there is none, or what it holds is not to be used.
        self._store: Store | None = None
        #: What was loaded, as long as the standing is made of it.
        self._snapshot: Snapshot | None = None
        self._index: Index | None = None

    @property
    def is_there(self) -> bool:
        """Whether something was kept."""
        return (self.folder / DATABASE).is_file()

    # Loading

    def load(
        self, now: datetime, limit: datetime, refold: Callable[[str], Page], *, looking_back: bool
    ) -> Loaded | None:
        """The state of an earlier run, if it can be used, up to a look at all sheets (`Sheets.verify`); else None.

        `now` is the reckoning moment, and entries dated after `limit` do not count. `refold` makes a page again
        that is found damaged.
        """
        try:
            self._store = Store(self.folder)
            root, contents = self._store.sections()
            if (root.program, root.colony) != (self._program, self._colony):
                raise Doubtful("another version of the program wrote it, or it is of another colony")
            return self._loaded(
                self._store, Sections(root, contents), now, limit, refold, looking_back=looking_back
            )
        except (Doubtful, msgspec.MsgspecError, ValueError, TypeError, OSError):
            self._store = self._snapshot = self._index = None
            return None

    def _loaded(
        self,
        store: Store,
        sections: Sections,
        now: datetime,
        limit: datetime,
        refold: Callable[[str], Page],
        *,
        looking_back: bool,
    ) -> Loaded:
        row: _DeskRow = sections.decoded("desk", _DeskRow)
        newest = rows.entry_of(row.newest) if row.newest is not None else None
        if now < row.saved_at or (newest is not None and newest.at > limit) or (looking_back and row.ahead):
            raise Doubtful("the clock was put back, or this is a look back at an earlier day")
        marks: dict[str, Mark] = sections.decoded("marks", dict[str, Mark])
        recent = sections.checked("recent")
        segments = sections.checked("index")
        snapshot = Snapshot(store, sections, row.since, refold)
        pages = StoredPages(snapshot.pages.keys(), snapshot.page)
        state = State()
        state.standing = Standing(pages, Register(pages, snapshot), latest=row.latest)
        state.recent = Recent(lambda kinds: _recent(recent, kinds, now - RECENT))
        state.newest = newest
        state.ahead = [rows.entry_of(line) for line in row.ahead]
        state.last_ms = row.last_ms
        self._snapshot = snapshot
        self._index = Index(store, segments)
        return Loaded(state, marks, not row.troubled and self._is_quiet(row), row.settings)

    def _is_quiet(self, row: _DeskRow) -> bool:
        disk = Disk(self._colony)
        shelf = Shelf(disk)
        try:
            return all(disk.status(path).st_mtime_ns == mtime_ns for path, mtime_ns in row.folders.items()) and all(
                _is_as_it_was(shelf, path, mark) for path, mark in row.sheets.items()
            )
        except OSError:
            return False

    @property
    def is_damaged(self) -> bool:
        """Whether something of what was loaded was found damaged, so that it is to be made again."""
        return self._snapshot is not None and self._snapshot.broken

    # The index of lines

    @property
    def index(self) -> Index | None:
        """Where each subject's lines stand, as far as that is known. Raises `Doubtful`."""
        return self._index if self._index is not None and self._index.segments else None

    def forget_index(self) -> None:
        """It does not fit the sheets: the next start reads everything again."""
        self.drop()
        self._index = None

    def indexing(self) -> Indexing:
        """Makes an index while all sheets are read; `use_index` puts it in the place of the one there was."""
        return Indexing(self._store_for_segments)

    def _store_for_segments(self) -> Store:
        if self._store is None:
            self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            with alone(self.folder):
                self._store = Store.begun(self.folder)
        return self._store

    def use_index(self, segments: Segments) -> None:
        """The segments that a reading of all sheets has made."""
        self._index = Index(self._store, segments) if self._store is not None else None

    def _extended_index(self, store: Store, sheets: Sheets) -> Segments:
        """The segments that are all there, and what has come since, if that is worth one."""
        segments = self._index.segments if self._index is not None else ()
        there = store.segments()
        if any(there.get(segment.id) != PARTS for segment in segments):
            segments = ()  # another desk has taken them away meanwhile
        with contextlib.suppress(OSError, Doubtful):
            segments = extended(store, segments, sheets.lines)
        self._index = Index(store, segments)
        return segments

    # Saving

    def save(self, state: State, sheets: Sheets, now: datetime) -> bool:
        """Keep the state for the next start; whether that could be done."""
        if not sheets.is_verified or state.odd:
            return False
        try:
            self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            with alone(self.folder):
                self._store = self._store_to_write()
                self._save(self._store, state, sheets, now)
        except (OSError, Doubtful):
            return False
        return True

    def _store_to_write(self) -> Store:
        """The database at its path, if what was loaded from it was all as it was written; else a new one."""
        if self._store is not None and not self.is_damaged:
            with contextlib.suppress(Doubtful):
                return Store(self.folder)
        return Store.begun(self.folder)

    def _save(self, store: Store, state: State, sheets: Sheets, now: datetime) -> None:
        standing = state.standing
        pages, register = standing.pages, standing.register
        snapshot = self._snapshot
        if not isinstance(pages, StoredPages) or not pages.comes_from(snapshot):
            snapshot = None
        since = now.date() - timedelta(days=1)
        if snapshot is not None:
            since = max(since, snapshot.since)
        marks = {path: Mark(*mark) for path, mark in sheets.marks().items()}
        segments = self._extended_index(store, sheets)
        sections = register_sections(register, since, snapshot)
        sections["newest"] = msgspec.msgpack.encode(_newest_times(standing))
        sections["recent"] = b"\n".join(map(rows.plain_line, state.recent.entries))
        sections["marks"] = msgspec.msgpack.encode(marks)
        sections["index"] = encoded(segments)
        sections["desk"] = msgspec.msgpack.encode(
            _DeskRow(
                saved_at=now,
                since=since,
                last_ms=state.last_ms,
                latest=standing.latest,
                newest=rows.plain_line(state.newest) if state.newest is not None else None,
                ahead=[rows.plain_line(entry) for entry in state.ahead],
                folders=sheets.folders(),
                sheets=_newest_of(marks),
                troubled=bool(sheets.troubles),
                settings=known_again(sheets.folder / SETTINGS),
            )
        )
        there, before = store.pages(), _pages_of(store)
        digests = _store_pages(store, pages, snapshot, there)
        sections["pages"] = msgspec.msgpack.encode(digests)
        store.replace_sections(self._program, self._colony, sections)
        # What the save before referred to stays: a desk that loaded it may still be looking at it.
        unused = store.segments().keys() - {segment.id for segment in segments}
        store.remove(there - digests.items() - before, unused)

    def drop(self) -> None:
        """Forget what was kept: it is not true any more."""
        self._store = None
        with contextlib.suppress(OSError):
            (self.folder / DATABASE).unlink()


def _newest_times(standing: Standing) -> dict[str, datetime]:
    """The time of the newest entry on each page that has any; of a page that changed, by the page itself."""
    times = dict(standing.register.newest)
    if isinstance(standing.pages, StoredPages):
        for subject in standing.pages.changed:
            times.pop(subject, None)
            if (latest := standing.pages[subject].latest) is not None:
                times[subject] = latest
    return times


def _store_pages(
    store: Store, pages: Mapping[str, Page], snapshot: Snapshot | None, there: set[tuple[str, bytes]]
) -> dict[str, bytes]:
    """Store the pages that are not there yet; the digest of each page."""
    changed = pages.changed if isinstance(pages, StoredPages) else frozenset[str]()
    digests: dict[str, bytes] = {}

    def missing() -> Iterator[tuple[str, bytes, bytes]]:
        for subject in pages:
            if snapshot is not None and subject not in changed:
                digests[subject] = snapshot.pages[subject]
                if (subject, digests[subject]) in there:
                    continue
            content = page_bytes(pages[subject])
            digests[subject] = digest(content, SHORT_DIGEST)
            if (subject, digests[subject]) not in there:
                yield subject, digests[subject], content

    store.add_pages(missing())
    return digests


def _pages_of(store: Store) -> set[tuple[str, bytes]]:
    """The pages that the last save refers to, each with its digest."""
    try:
        pages: dict[str, bytes] = Sections(*store.sections()).decoded("pages", dict[str, bytes])
    except Doubtful:
        return set()
    return set(pages.items())


def _is_as_it_was(shelf: Shelf, path: str, mark: Mark) -> bool:
    status = shelf.disk.status(path)
    if mark.fits(status):
        return shelf.ends_as(path, mark)
    return mark.may_fit(status) and shelf.is_as_marked(path, mark)


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
