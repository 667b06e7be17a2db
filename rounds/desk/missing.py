"""Entries that were read on this machine before and that stand on no sheet any more.

A sheet that was cut, put back from an older copy or taken away holds less than was read from it. What is still
known of that is kept in the user's state folder, and offered to be written again, until the keeper has said what
becomes of it or the sheet has come back.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Final

import msgspec

from rounds import folders, system
from rounds.cache.state import State
from rounds.logbook.entries import AnyEntry, Entry
from rounds.sheets.colony_marks import has_one_of, marks_of
from rounds.sheets.disk import Disk
from rounds.sheets.history import Shelf
from rounds.sheets.parse import judge, stripped
from rounds.sheets.watch import Mark, name_of, shown
from rounds.standing.page import is_let_go

_ID: Final = re.compile(rb'"id":"([^"\\]{1,40})"')
_AS_FOUND: Final = re.compile(r"(.*)\.as-found(-\d+)?")
_ASIDE: Final = "sheets/aside"
#: Sheets that are named in one sentence.
_MOST_NAMED: Final = 3
#: So much of what was noted is read, in bytes; some hundred thousand entries are less.
_MOST_BYTES: Final = 256 << 20


class _Noted(msgspec.Struct):
    """What the file holds."""

    colony: str
    #: By how many lines each sheet is shorter than it was.
    sheets: dict[str, int] = {}
    entries: list[AnyEntry] = []
    #: Ids of entries that the keeper has left missing, and the lines by which sheets are shorter that way.
    left: list[str] = []
    left_sheets: dict[str, int] = {}
    #: About whom those left are: on whose page they stand when they are back.
    left_about: dict[str, str] = {}
    #: How many lines each of those sheets had.
    had: dict[str, int] = {}
    #: Sheets with damaged lines, of the days of what is missing.
    damaged: list[str] = []
    #: By what the colony is known again (`colony_marks`): another one may lie at its path.
    known_by: dict[str, str] = {}


class Missing:
    """What is missing on the sheets of one colony, as this user knows it on this machine.

    Several windows share what is noted: each takes it up before it changes it.
    """

    def __init__(self, folder: Path, colony: Path) -> None:
        """`folder` is the user's state folder. What was noted there before is taken up; nothing is made yet."""
        self._colony = os.path.realpath(colony)
        self._disk = Disk(self._colony)
        name = hashlib.blake2b(os.fsencode(self._colony), digest_size=12).hexdigest()
        self._file = folder / "missing" / f"{name}.json"
        #: The file as it was when it was last read or written.
        self._seen = self._state()
        self._use(self._read())

    def _use(self, noted: _Noted) -> None:
        self._noted = noted
        self._by_id: dict[str, Entry] = {entry.id: entry for entry in noted.entries}
        self._left = {id: noted.left_about.get(id, "") for id in noted.left}
        self._ordered: tuple[Entry, ...] | None = None

    def __bool__(self) -> bool:
        return bool(self._by_id or self._noted.sheets)

    @property
    def entries(self) -> tuple[Entry, ...]:
        """What is still known of them, by time; the same tuple as before while nothing of it has changed."""
        if self._ordered is None:
            self._ordered = tuple(sorted(self._by_id.values(), key=lambda entry: entry.key))
        return self._ordered

    @property
    def awaited(self) -> Mapping[str, str]:
        """Ids of all that stands on no sheet, also of what was left missing, with its subjects ("": unknown)."""
        return self._left | {id: entry.about for id, entry in self._by_id.items()}

    @property
    def many(self) -> int:
        """How many of them are still known."""
        return len(self._by_id)

    @property
    def sheets(self) -> Mapping[str, int]:
        """By how many lines each sheet is shorter than when it was read."""
        return self._noted.sheets

    @property
    def has_short_sheets(self) -> bool:
        """Whether it is awaited that sheets have their lines again."""
        return bool(self._noted.had)

    @property
    def sentence(self) -> str:
        """What is missing, in words; empty when nothing is."""
        if not self:
            return ""
        if self.many:
            said = f"Missing: {self.many} of the entries that were read here stand on no sheet any more."
        else:
            said = (
                "Missing: lines that were read here stand on no sheet any more. None is left to be written again."
            )
        named = [
            f"{shown(path)} is {lines} line{'s' * (lines != 1)} shorter"
            for path, lines in sorted(self.sheets.items())
        ]
        more = [f"and so are {len(named) - _MOST_NAMED} more sheets"] if len(named) > _MOST_NAMED else []
        named = [*named[:_MOST_NAMED], *more, *(f"a damaged line on {path}" for path in self._damaged())]
        where = "; ".join(named)
        return f"{said} {where[:1].upper() if not self.sheets else where[:1]}{where[1:]}." if where else said

    def _damaged(self) -> list[str]:
        return [shown(path) for path in self._noted.damaged[:_MOST_NAMED]] if self._by_id else []

    def look(self) -> None:
        """Take up what another window has noted since; one look at a file."""
        now = self._state()
        if now != self._seen:
            self._seen = now
            self._use(self._read())

    def note(
        self,
        entries: Iterable[Entry],
        sheets: Mapping[str, int],
        had: Mapping[str, int] | None = None,
        damaged: Collection[str] = (),
    ) -> None:
        """These are missing too; what the keeper has left missing is not.

        `had` says how many lines the sheets had, `damaged` names those on which lines are damaged.
        """
        self.look()
        new = {entry.id: entry for entry in entries if entry.id not in self._left}
        left = self._noted.left_sheets
        sheets = {path: lines for path, lines in sheets.items() if lines > left.get(path, 0)}
        if new.keys() <= self._by_id.keys() and not sheets.items() - self._noted.sheets.items():
            return
        self._by_id |= new
        self._noted.damaged = sorted({*self._noted.damaged, *damaged})
        self._noted.sheets |= sheets
        self._noted.had |= {path: lines for path, lines in (had or {}).items() if path in sheets}
        self._write()

    def came_back(self, ids: Iterable[str]) -> None:
        """These stand on a sheet: they are not missing any more, and are offered if they are gone once more."""
        if not (self._by_id or self._left):
            return
        back = (self._by_id.keys() | self._left.keys()).intersection(ids)
        if not back:
            return
        self.look()
        for id in back:
            self._by_id.pop(id, None)
            self._left.pop(id, None)
        if not self._by_id:
            self._noted.sheets.clear()
            self._noted.damaged.clear()
        if not self._left:
            self._noted.left_sheets.clear()
        self._write()

    def look_at_sheets(self, marks: Mapping[str, Mark]) -> None:
        """A sheet that has its lines again is shorter no more."""
        if self._noted.had and self._whole_again(marks):
            self.look()
            for path in self._whole_again(marks):
                del self._noted.had[path]
                self._noted.sheets.pop(path, None)
                self._noted.left_sheets.pop(path, None)
            self._write()

    def _whole_again(self, marks: Mapping[str, Mark]) -> list[str]:
        had = self._noted.had
        return [path for path, lines in had.items() if path in marks and marks[path].lines >= lines]

    def leave(self, ids: Collection[str] | None = None) -> None:
        """They stay missing, and are not offered again. With `ids` only these: others were noted since."""
        self.look()
        for id in tuple(self._by_id if ids is None else self._by_id.keys() & set(ids)):
            self._left[id] = self._by_id.pop(id).about
        if not self._by_id:
            self._noted.left_sheets |= self._noted.sheets
            self._noted.sheets.clear()
        self._write()

    def forget(self) -> None:
        """Nothing was ever missing."""
        with contextlib.suppress(OSError):
            self._file.unlink(missing_ok=True)
        self._seen = self._state()
        self._use(_Noted(self._colony))

    def put_aside(self) -> None:
        """Another colony lies here now: nothing of that is missing. It is offered again where it belongs."""
        self._use(_Noted(self._colony))

    def _state(self) -> tuple[int, int, int] | None:
        try:
            status = self._file.stat()
        except OSError:
            return None
        return status.st_ino, status.st_mtime_ns, status.st_size

    def _read(self) -> _Noted:
        with contextlib.suppress(OSError, msgspec.MsgspecError, ValueError):
            noted = msgspec.json.decode(system.content_of(self._file, _MOST_BYTES), type=_Noted)
            is_known = not noted.known_by or has_one_of(self._disk, noted.known_by.items())
            if noted.colony == self._colony and is_known:
                return noted
        return _Noted(self._colony)

    def _write(self) -> None:
        """On disk when this returns, if that can be done; else it is known until the program ends."""
        self._ordered = None
        noted = self._noted
        noted.entries = list(self._by_id.values())
        noted.left, noted.left_about = sorted(self._left), self._left
        with contextlib.suppress(OSError):
            if not noted.known_by or has_one_of(self._disk, noted.known_by.items()):
                noted.known_by |= marks_of(self._disk)
        with contextlib.suppress(OSError):
            system.make_folders(self._file.parent, 0o700)
            draft = self._file.with_suffix(".new")
            draft.unlink(missing_ok=True)
            handle = system.open_file(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL)
            with open(handle, "wb") as file:  # noqa: PTH123 (a handle, not a path)
                file.write(msgspec.json.encode(noted))
                file.flush()
                system.sync(handle)
            draft.replace(self._file)
            self._seen = self._state()
            system.sync_folder(self._file.parent)


def is_known_here(colony: Path) -> bool:
    """Whether this user has read the colony on this machine before, so that something can be missing."""
    from rounds.cache.cache import Cache

    return Cache(colony).is_there or bool(Missing(folders.state(), colony))


def forget(colony: Path) -> None:
    """Forget what was known of a colony that is made again: nothing of it is missing."""
    from rounds.cache.cache import Cache

    Cache(colony).drop()
    Missing(folders.state(), colony).forget()


def no_more_there(before: State, now: State) -> tuple[list[Entry], bool]:
    """Entries of an earlier state that a reading of all sheets should have found again, and whether it found any.

    What was answered by a correction, what pages have let go, and what is dated ahead is not among them.
    """
    lost: dict[str, Entry] = {}
    there = {entry.id for entry in (*now.recent.entries, *now.ahead)}
    found = any(entry.id in there for entry in before.recent.entries)
    for subject in before.standing.pages:
        page = now.standing.page(subject)
        ids = {entry.id for strand in page.strands.values() for entry in strand}
        for kind, strand in before.standing.page(subject).strands.items():
            floor = page.floors.get(kind)
            for entry in strand:
                if entry.id in ids:
                    found = True
                elif entry.id not in page.dead and not is_let_go(entry, floor, page.crowded):
                    lost[entry.id] = entry
        there |= ids
    # A correction stands on no page of its own once its page has let it go.
    since = min((entry.written or entry.at for entry in now.recent.entries), default=None)
    for entry in (*before.recent.entries, *before.ahead):
        page = now.standing.page(entry.about)
        if entry.id not in page.dead and since is not None and (entry.written or entry.at) >= since:
            lost[entry.id] = entry
    return [entry for id, entry in lost.items() if id not in there], found


def known_entries(state: State) -> Iterator[Entry]:
    """The entries that a state still holds, on pages and among the recent ones; some come more than once."""
    yield from state.recent.entries
    for subject in state.standing.pages:
        for strand in state.standing.page(subject).strands.values():
            yield from strand


def shorter(before: Mapping[str, Mark], now: Mapping[str, Mark]) -> dict[str, int]:
    """By how many lines the sheets of desks are shorter than when they were marked, where they are."""
    found: dict[str, int] = {}
    for path, mark in before.items():
        lines = mark.lines - (now[path].lines if path in now else 0)
        if lines > 0 and name_of(path) is not None:
            found[path] = lines
    return found


def lines_of(marks: Mapping[str, Mark], repaired: Collection[str]) -> int:
    """How many lines stand on all sheets, those aside that were repaired."""
    return sum(mark.lines for path, mark in marks.items() if path not in repaired)


def renamed(gone: Mapping[str, Mark], now: Mapping[str, Mark]) -> set[str]:
    """Those of the sheets that are gone whose very lines lie there under another name: a copier's, most likely."""
    there = {(mark.end, mark.check) for mark in now.values()}
    return {path for path, mark in gone.items() if path not in now and (mark.end, mark.check) in there}


def set_aside(folder: Path) -> tuple[set[str], set[str]]:
    """Sheets that a repair has mended, and ids in the damaged lines of them: the keeper knows of those."""
    disk = Disk(os.path.realpath(folder))
    sheets: set[str] = set()
    ids: set[str] = set()
    with contextlib.suppress(OSError):
        for name, _ in disk.list(_ASIDE):
            if found := _AS_FOUND.fullmatch(name):
                sheets.add(f"sheets/{name[:4]}/{found[1]}.jsonl")
                ids.update(_damaged_ids(Shelf(disk), f"{_ASIDE}/{name}"))
    return sheets, ids


def _damaged_ids(shelf: Shelf, path: str) -> Iterator[str]:
    try:
        _, content, _ = shelf.unread(path)
    except OSError:
        return
    for line in content.split(b"\n"):
        if line.strip() and not judge(stripped(line)).sound and (found := _ID.search(line)):
            yield found[1].decode("utf-8", "replace")
