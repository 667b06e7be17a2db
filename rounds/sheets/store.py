"""The sheets of one colony, read by everyone and written by one desk. docs/sheets.md tells the format."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING
from zlib import crc32

from rounds.errors import NotSaved
from rounds.logbook.entries import Entry
from rounds.sheets.disk import Disk
from rounds.sheets.identity import Identity, Unlocked
from rounds.sheets.journal import Journal
from rounds.sheets.parse import Trouble
from rounds.sheets.reader import SheetReader
from rounds.sheets.rescue import Rescue
from rounds.sheets.save import Save, not_saved, not_written_again
from rounds.sheets.watch import DESK, LAST, Mark
from rounds.sheets.writer import Writer

if TYPE_CHECKING:
    from rounds.sheets.database import Logbook

__all__ = ["NotSaved", "Sheets", "Trouble"]


class Sheets(SheetReader):
    """The sheets of one colony: all are read, and one desk's own sheet of the day is written.

    One desk, one `Sheets`, one process: whoever opens it to write holds the desk's writer lock.
    Safe to call from several threads.
    """

    def __init__(
        self,
        folder: Path,
        desk: str,
        disk: Disk | None = None,
        *,
        journal: Disk | None = None,
        identity: Identity | None = None,
    ) -> None:
        """Nothing is read or made yet. Raises `ValueError` for a desk name that cannot name a file.

        `journal` is where the records of what this user's desks wrote lie; `identity` gives the desk another
        name when somebody else turns out to write under this one.
        """
        if DESK.fullmatch(desk) is None:
            raise ValueError(f"{desk!r} cannot name a sheet: small letters, digits and hyphens, 80 at most")
        super().__init__(folder, disk)
        self._writer = Writer(
            self._disk,
            desk,
            self._found_writing.append,
            Journal(journal, self._disk),
            identity or Unlocked(desk),
        )
        self._logbook: Logbook | None = None

    @property
    def desk(self) -> str:
        """The name that this desk's sheets carry now."""
        return self._writer.desk

    # Writing

    def look_after_own(self, day: date, *, back: bool = False, patient: bool = False) -> None:
        """See to it that all this desk saved is on the sheets, and that nobody else writes under its name.

        `day` is the room's date now. Costs a file look when nothing has changed. With `back` all days of which
        there are records are looked at, for the start; later only when `news` has found one of their sheets
        changed. With `patient` a sheet that is gone is given until the next look. Raises `NotSaved` when what is
        missing cannot be written again now; it is kept, and tried again at the next look.
        """
        with self._lock:
            try:
                self._writer.look(day, patient=patient)
                self._writer.look_back(day, anyway=back)
            except OSError as error:
                if self._writer.owes:
                    raise not_written_again(error) from error

    def take_another_name(self, day: date) -> None:
        """Go on under another name, without a word: the journal was put back and may lack what was written since.

        `day` is the room's date now.
        """
        with self._lock, suppress(OSError):
            self._writer.take_another_name(day)

    def own_sheets(self) -> set[str]:
        """Sheets that this user's desks wrote, as far as records tell: what is gone from them is written again."""
        with self._lock:
            return self._writer.own_sheets()

    def rescues(self) -> list[Rescue]:
        """What is to be told of new names and of saves written again, since it was last asked.

        Nothing while something is still to be written again.
        """
        with self._lock:
            if self._writer.owes:
                return []
            told, self._writer.rescues = self._writer.rescues, []
        return told

    def append(self, entries: Sequence[Entry], day: date) -> tuple[Entry, ...]:
        """Validate entries and write them in one save, all or nothing, on this desk's sheet of `day`.

        `day` is the room's date now. Returns them as they will read back, once they are on disk. Raises `NotSaved`
        when they are not, saying why and what to do; the same entries can then be given again. Raises `BadEntry`
        for an entry that would not read back.
        """
        if not entries:
            return ()
        save = Save(entries)
        with self._lock:
            try:
                self._writer.write(save, day)
            except OSError as error:
                raise not_saved(save.entries, error) from error
            self._known.update(entry.id for entry in save.entries)
            self._mark_own(len(save.entries))
        return save.entries

    @property
    def database(self) -> Logbook:
        """The sheets as a TinyDB database, for queries; what is inserted there comes through `append`."""
        if self._logbook is None:
            # Late: who asks no queries pays nothing for TinyDB.
            from rounds.sheets.database import Logbook, SheetStorage

            self._logbook = Logbook(storage=SheetStorage, append=self.append, reader=self._shelf.by_day)
        return self._logbook

    def _mark_own(self, lines: int) -> None:
        """What this desk has just written is no news; what stood in the sheet before it may be."""
        sheet = self._writer.sheet
        if sheet is None:
            return
        try:
            status = self._disk.status_of(sheet.handle)
        except OSError:
            return
        before = self._watch.marks.get(sheet.path) or Mark(status.st_ino, 0, 0)
        last = sheet.saved[-1]
        if before.end + len(last) == sheet.end and before.inode == status.st_ino and len(last) >= LAST:
            mark = Mark(
                status.st_ino,
                sheet.end,
                status.st_mtime_ns,
                sheet.end,
                before.lines + lines,
                crc32(last, before.check),
                before.troubled,
                status.st_ctime_ns,
                crc32(last[-LAST:]),
            )
            self._watch.mark(sheet.path, mark)

    def close(self) -> None:
        """Let go of the open sheet."""
        with self._lock:
            self._writer.close()

    def _hear_of_changes(self, gone: Mapping[str, Mark], changed: Sequence[str]) -> None:
        if gone:
            self._writer.look_back_again()
        self._writer.look_back_again(changed)
