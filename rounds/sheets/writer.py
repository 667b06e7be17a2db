"""The one writer of a desk's sheets: each save is on disk and in its place, or not saved at all."""

from __future__ import annotations

import contextlib
import errno
import os
from collections.abc import Callable, Sequence
from datetime import date
from typing import Final

from rounds.sheets import limits
from rounds.sheets.agreement import Agreement, saves_in
from rounds.sheets.aside import make_folders, sync_folders
from rounds.sheets.disk import Disk
from rounds.sheets.identity import Identity
from rounds.sheets.journal import Journal
from rounds.sheets.open_sheet import OpenSheet
from rounds.sheets.opening import begun, reopened
from rounds.sheets.own import Found, OwnSheets
from rounds.sheets.parse import Trouble
from rounds.sheets.record import Record
from rounds.sheets.rescue import Owed, Rescue
from rounds.sheets.save import Save
from rounds.sheets.watch import SHEETS, sheet_path

#: How often in one save the sheet may be taken away before the keeper is told.
_TRIES: Final = 4


def _kept_away() -> OSError:
    return OSError(errno.EAGAIN, "another program keeps replacing the sheet; stop it")


class Writer:
    """Finds today's sheet, or begins it; it never opens another day's.

    A sheet of this desk's name that is not as this desk left it (`Journal`) has another writer, or was put back
    from a backup. Then the desk takes a name of its own at once, goes on under that, and writes again what is
    missing of what it had saved.
    """

    def __init__(
        self, disk: Disk, desk: str, tell: Callable[[Trouble], None], journal: Journal, identity: Identity
    ) -> None:
        self._disk = disk
        #: The name that the sheets of this desk carry now.
        self.desk = desk
        #: Hears of what is found wrong with this desk's sheets.
        self._tell = tell
        self._journal = journal
        self._identity = identity
        self._day: date | None = None
        self.sheet: OpenSheet | None = None
        self._record: Record | None = None
        #: What is to be told of new names and of saves written again.
        self.rescues: list[Rescue] = []
        self._own = OwnSheets(disk, journal)
        self._owed = Owed(disk, journal)
        #: Paths of sheets that this run writes to no more.
        self._abandoned: set[str] = set()
        #: Whether the sheet was found gone at the last look: it may be just being replaced.
        self._found_gone = False
        #: Whether all days are to be looked back at, or else these sheets, which were seen to change.
        self._is_back_due = False
        self._changed: set[str] = set()
        self._colony = self._colony_folder()
        #: Sheets of this user's desks of which there was a record in this run, or that it wrote.
        self._written: set[str] = set()

    def own_sheets(self) -> set[str]:
        """Sheets of which the writer sees to it that what was saved there stays."""
        self._written.update(self._journal.sheets())
        return self._written

    def write(self, save: Save, day: date) -> None:
        """Put one save at the end of this desk's sheet of `day`; it is on disk and in its place when this returns.

        Raises `OSError` when it is not; then nothing of it counts, and the same save can be tried again.
        """
        for _ in range(_TRIES):
            self._sheet_of(day)
            if not self._write_again(day):
                continue
            self._grow(self._with_room(day, [save.lines]), [save.lines])
            if self._is_in_place():
                return
            # Another program put another file in its place, or wrote there, while this was being written.
            self._renew(besides=save.lines)
        raise _kept_away()

    @property
    def owes(self) -> bool:
        """Whether something is still to be written again."""
        return bool(self._owed)

    def look(self, day: date, *, patient: bool = False) -> None:
        """Hold this desk's sheets against its journal now, and write again what is missing. Raises `OSError`.

        With `patient` a sheet that is gone is given until the next look: it may be just being replaced.
        """
        if self._is_colony_gone():
            return
        if self.sheet is None:
            if self._journal.is_kept and not self._own.is_as_found(self.desk, day):
                found = self._own.last_part(self.desk, day)
                if patient and not self._found_gone and found.record and not found.is_there:
                    self._found_gone = True
                    return
                if found.agreement is not Agreement.SAME and self._last_part(day).agreement is Agreement.BEHIND:
                    self._sheet_of(day)
        elif not self._is_in_place():
            if patient and not self._found_gone and self._own.is_gone(self.sheet.path):
                self._found_gone = True
                return
            self._renew()
        self._found_gone = False
        self._owed.look()
        if not self._write_again(day):
            raise _kept_away()

    def take_another_name(self, day: date) -> None:
        """Go on under another name, without a word; what lies under names of this machine is looked after from now.

        Raises `OSError` when that cannot be read; the name is another one then, too.
        """
        names = {self.desk, *(name.desk for name in self._journal.sheets().values())}
        self._renew(unsaid=True)
        for path, _ in self._own.recent(lambda name: name in names or self._identity.may_be_ours(name), day):
            self._journal.take_over(path)

    def look_back_again(self, changed: Sequence[str] | None = None) -> None:
        """Look back at the next look: one of these sheets changed, or (without any) some are gone."""
        if changed is None:
            self._is_back_due = True
        elif changed:
            self._changed |= self._journal.sheets().keys() & set(changed)

    def look_back(self, day: date, *, anyway: bool) -> None:
        """Hold against the journal all that was written in the days it is kept, by desks that have ended too.

        That is done when it is due, or `anyway`. Raises `OSError` when what is missing cannot be written again.
        """
        is_all = anyway or self._is_back_due
        if self._is_colony_gone() or not self._journal.is_kept or not (is_all or self._changed):
            return
        if self._journal.is_of_another_colony():
            return
        self._is_back_due = is_all  # until it was done
        known = self._journal.sheets()
        self._written.update(known)
        records = known if is_all else {path: name for path, name in known.items() if path in self._changed}
        ours = self._own.recent(lambda name: name == self.desk, day) if is_all else ()
        unrecorded = [path for path, size in ours if size and path not in known]
        is_name_shared = is_unsaid = bool(unrecorded)
        for path, name in records.items():
            if name.desk != self.desk:
                if self._own.agreement(path, self._journal.record(path) or b"") is Agreement.SAME:
                    continue
                with self._identity.borrow(name.desk) as is_free:
                    if is_free:
                        self._look_back_at(path)
            else:
                is_last = sheet_path(name.day, name.desk, name.part + 1) not in known
                if is_last and name.day == day:
                    continue  # `look` has seen to it
                record = self._journal.record(path) or b""
                is_others = self._look_back_at(path) is Agreement.OTHER
                if is_others and is_last and not self._own.is_only_damaged(path, record):
                    is_name_shared, is_unsaid = True, False
                    self._journal.take_over(path)
        for path in unrecorded:
            self._journal.take_over(path)
        if is_name_shared:
            self._renew(unsaid=is_unsaid)
        self._owed.look()
        if not self._write_again(day):
            raise _kept_away()
        if is_all:
            self._journal.remember_colony()
        self._is_back_due = False
        self._changed.clear()

    def close(self) -> None:
        """Let go of the sheet."""
        if self.sheet is not None:
            self.sheet.close()
        if self._record is not None:
            self._record.close()
        self._journal.close()
        self.sheet = self._record = self._day = None

    # Whether the sheet is as it was left

    def _is_in_place(self) -> bool:
        """Whether the open sheet is as this desk left it; one put back byte for byte is gone on with."""
        sheet = self.sheet
        assert sheet is not None
        if sheet.in_place() or sheet.is_only_touched():
            return True
        if not sheet.is_as_left():
            return False
        again = self._reopened(sheet.path)
        if again is None:
            return False
        again.saved, again.check = sheet.saved, sheet.check
        try:
            self._disk.sync(again.handle)
        except OSError:
            again.close()
            return False
        self.sheet = again
        sheet.close()
        return True

    def _last_part(self, day: date) -> Found:
        """The last part of this desk's sheet of a day; if somebody else wrote there, under another name."""
        found = self._own.last_part(self.desk, day)
        if found.agreement is Agreement.OTHER:
            self._journal.take_over(found.path)
            self._owed.look_after(found.path, saves_in(self._journal.record(found.path) or b""))
            self._renew(unsaid=found.record is None)
            found = self._own.last_part(self.desk, day)
        return found

    def _look_back_at(self, path: str) -> Agreement:
        """Hold a sheet of an earlier day, or of another desk of this user, against its record."""
        record = self._journal.record(path) or b""
        found = self._own.agreement(path, record)
        if found is not Agreement.SAME:
            self._owed.look_after(path, saves_in(record), unsaid=found is Agreement.BEHIND)
        return found

    # Growing, and going on elsewhere

    def _grow(self, sheet: OpenSheet, saves: Sequence[bytes]) -> None:
        """Write saves at the end of the sheet, and into its record ahead of that. Raises `OSError`."""
        assert self._record is not None
        lines = b"".join(saves)
        self._record.append(lines)
        try:
            sheet.grow(saves[-1], saves[:-1])
        except BaseException:
            self._record.take_back(lines)
            if sheet.uncertain:
                self._abandon()
            raise

    def _write_again(self, day: date) -> bool:
        """Write again what is missing; whether nothing is any more. Raises `OSError`."""
        if not self._owed:
            return True
        if self._journal.is_of_another_colony():
            raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT))  # another lies there now
        before = self.desk
        missing = self._owed.missing(day)
        if missing:
            self._grow(self._with_room(day, [*missing]), [*missing])
            if not self._is_in_place():
                self._renew()
                return False
        rescue = self._owed.written(before, self.desk, missing)
        if rescue.entries:
            self.rescues.append(rescue)
        return True

    def _with_room(self, day: date, saves: Sequence[bytes]) -> OpenSheet:
        """The sheet of the day, or another part where these saves would make it too large."""
        sheet = self._sheet_of(day)
        if sheet.end and sheet.end + sum(map(len, saves)) > limits.PART:
            self._abandon()  # long before a reader finds it too large
            sheet = self._sheet_of(day)
        return sheet

    def _sheet_of(self, day: date) -> OpenSheet:
        if self.sheet is not None:
            if not self._is_in_place():
                if self._is_colony_gone():
                    self._retire()
                else:
                    self._renew()
            elif self._day != day:
                self._retire()
        if self.sheet is None:
            self.sheet = self._opened(day)
            self._day = day
        return self.sheet

    def _renew(self, besides: bytes = b"", *, unsaid: bool = False) -> None:
        """Go on under another name, for good; what is missing of the old sheet is noted to be written again."""
        before = self.desk
        if self.sheet is not None:
            self._retire()
        self.desk = self._identity.renew()
        if not unsaid:
            self.rescues.append(Rescue(before, self.desk))
        self._owed.look(besides)

    def _retire(self) -> None:
        """Write to the open sheet no more, but see to it that what was saved there stays."""
        assert self.sheet is not None
        path = self.sheet.path
        saves = saves_in(self._journal.record(path) or b"")
        self._owed.look_after(path, [*saves, *self.sheet.all_saves()])
        self.close()

    def _abandon(self) -> None:
        """Go on in another part: a disk that failed once to sync this one may say later that all is well."""
        assert self.sheet is not None
        sheet = self.sheet
        self._abandoned.add(sheet.path)
        self._drop_if_empty(sheet)
        self._retire()

    def _drop_if_empty(self, sheet: OpenSheet) -> None:
        """Take away a sheet in which nothing was ever saved, so that failed tries leave no files behind."""
        if sheet.end == 0 and sheet.in_place():
            with contextlib.suppress(OSError):
                self._disk.remove(sheet.path)
                self._abandoned.discard(sheet.path)

    def _opened(self, day: date) -> OpenSheet:
        """The sheet of the day, ready to grow: the last part there is, or a new one. Raises `OSError`."""
        if self._colony is None:
            self._colony = self._colony_folder()
        elif self._is_colony_gone():
            raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT))
        folders = make_folders(self._disk, f"{SHEETS}/{day.year:04d}")
        found = self._last_part(day)
        part = found.part
        sheet = self._reopened(found.path, found.record) if found.is_there else None
        if sheet is None and found.agreement is Agreement.BEHIND:
            assert found.record is not None
            self._owed.look_after(found.path, saves_in(found.record), unsaid=True)
            self._owed.look()
        while sheet is None:
            try:
                sheet = begun(self._disk, sheet_path(day, self.desk, part), folders[-1])
            except FileExistsError:
                part += 1
                if part > limits.PARTS:
                    raise
        try:
            sync_folders(self._disk, folders)
        except BaseException:
            self._drop_if_empty(sheet)
            sheet.close()
            raise
        self._record = self._journal.open(sheet.path, sheet.end)
        self._written.add(sheet.path)
        return sheet

    def _reopened(self, path: str, record: bytes | None = None) -> OpenSheet | None:
        """A sheet of this desk that is there already; None when it had better be left as it is."""
        return None if path in self._abandoned else reopened(self._disk, path, record, self._tell)

    def _is_colony_gone(self) -> bool:
        """Whether the colony's folder is not there: a drive pulled out leaves an empty one, which is another."""
        folder = self._colony_folder()
        if self._colony is None or (folder == self._colony and not self._is_sheet_gone()):
            return False
        if folder is not None and self._journal.is_of_this_colony():
            self._colony = folder  # the drive is back, or a copy of the colony was put in its place
            return False
        return True

    def _is_sheet_gone(self) -> bool:
        """Whether the open sheet is not there: another colony may have been put into the same folder."""
        return self._journal.is_kept and self.sheet is not None and self._own.is_gone(self.sheet.path)

    def _colony_folder(self) -> tuple[int, int] | None:
        """What the colony's folder is known again by: device and inode."""
        try:
            status = self._disk.status("")
        except OSError:
            return None
        return status.st_dev, status.st_ino
