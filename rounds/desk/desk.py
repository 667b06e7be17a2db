"""A colony opened at one desk: read what was seen, write what is seen now, hear of other desks."""

from __future__ import annotations

from datetime import UTC, date, datetime
from os import urandom
from pathlib import Path
from typing import TYPE_CHECKING, Final

import msgspec

from rounds import folders
from rounds.cache.trust import SETTINGS
from rounds.desk import saves
from rounds.desk.colony_file import load
from rounds.desk.last_try import Asked, LastTry
from rounds.desk.lookout import is_away
from rounds.desk.missing import Missing
from rounds.desk.reader import Clock, Progress, Reader, system_clock
from rounds.errors import BadEntry, NotSaved
from rounds.logbook import rows
from rounds.logbook.drafts import Draft
from rounds.logbook.entries import ROOM, Corrected, Entry, Noted
from rounds.paper.said import said
from rounds.sheets.store import Sheets

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from rounds.cache.cache import Cache
    from rounds.desk.writer_lock import WriterLock
    from rounds.rules.settings import Settings
    from rounds.sheets.rescue import Rescue

__all__ = ["Clock", "Desk", "Progress", "system_clock"]

#: How much of what a wrong entry said its correction repeats, in letters.
_MOST_WAS: Final = 500
#: So many entries more than were kept are worth keeping them, for a plain command too.
_WORTH_KEEPING: Final = 250
#: Entries written again in one save.
_BROUGHT_BACK: Final = 500
#: Sheets that a note names.
_NAMED: Final = 3
#: So many looks after each other find the colony gone before the keeper is told: a sync program may be at it.
_AWAY: Final = 2


class Desk(Reader):
    """One open colony. Everything a keeper writes goes through `record`, which returns once it is on disk."""

    def __init__(
        self,
        folder: Path,
        settings: Settings,
        sheets: Sheets,
        *,
        clock: Clock = system_clock,
        keeper: str = "",
        lock: WriterLock | None = None,
        until: datetime | None = None,
        cache: Cache | None = None,
        missing: Missing | None = None,
    ) -> None:
        super().__init__(folder, settings, sheets, clock=clock, until=until, cache=cache, missing=missing)
        self.keeper = keeper
        self._lock = lock
        #: What the keeper is to be told of this desk's own sheets: a new name, entries written again.
        self.notices: list[str] = []
        #: The names under which this desk has written, in earlier runs too.
        self.names = {sheets.desk} | (lock.earlier_names() if lock is not None else set())
        #: Why what is missing could not be written again, as it was told last.
        self._not_written = ""
        #: Entries written again of which the note is still to be written.
        self._unnoted: list[Rescue] = []
        #: Notes of that, which no keeper pressed a key for.
        self._notes: set[str] = set()
        self._last_try = LastTry()
        #: Whether the sheets of earlier days are still to be held against the journal.
        self._look_back = lock is not None
        #: How often the colony was found gone at a look, one after the other.
        self._found_away = 0

    @classmethod
    def open(
        cls,
        folder: Path,
        *,
        clock: Clock = system_clock,
        keeper: str = "",
        writing: bool = True,
        until: datetime | None = None,
        progress: Progress | None = None,
        at_once: bool = False,
    ) -> Desk:
        """Open a colony's folder and read it, as far as it is not known from an earlier run.

        With `writing` the desk holds a writer lock, so that its sheets have no other writer. `until`
        is the reckoning moment: nothing later counts. `progress` hears how far a long reading is. With
        `at_once` old sheets are looked at only at the first `news`, so that the first stop can be shown;
        whoever asks for that looks at `is_stale` then. Raises `NoColony`, `BadRule`.
        """
        from rounds.cache.cache import Cache

        settings = load(folder)
        lock: WriterLock | None = None
        if writing:
            from rounds.desk import own_journal, restored, writer_lock

            state, machine = folders.state(), writer_lock.machine()
            was_put_there = restored.was_put_there(state, machine)
            lock = writer_lock.acquire(state, folder, writer_lock.installation(state))
            sheets = Sheets(folder, lock.name, journal=own_journal.of(folder), identity=lock)
        else:
            sheets = Sheets(folder, "reader")
        desk = cls(
            folder,
            settings,
            sheets,
            clock=clock,
            keeper=keeper,
            lock=lock,
            until=until,
            cache=Cache(folder),
            missing=Missing(folders.state(), folder),
        )
        if writing:
            if was_put_there:  # what was written since the backup lies elsewhere, under the old name
                sheets.take_another_name(desk.clock_time().date())
            restored.leave_canary(state, machine)
        desk.look_after_own(back=not at_once)
        if not desk.load_from_cache(at_once=at_once):
            desk.read(progress)
        desk.note_rescues()
        return desk

    def close(self, *, keeping: bool = False) -> None:
        """Let go of the sheet and of the writer lock.

        What was taken in is kept for the next start: `keeping`, or if it is a good deal; also when what was kept
        turned out damaged, or each start would mend it again.
        """
        damaged = self._cache is not None and self._cache.is_damaged
        if damaged or self._not_kept >= (1 if keeping else _WORTH_KEEPING):
            self.keep()
        self.look_after_own()
        self.note_rescues()
        self.let_go()

    def let_go(self) -> None:
        """Let go of the sheet and of the writer lock, and keep nothing for the next start."""
        self.sheets.close()
        if self._lock is not None:
            self._lock.close()
            self._lock = None
            from rounds.desk import restored, writer_lock

            restored.leave_canary(folders.state(), writer_lock.machine())

    def news(self) -> frozenset[str]:
        """Take in what other desks have written since; the subjects it is about.

        This desk's own sheets are held against its journal, and what is gone from them is written again.
        """
        self.look_after_own(back=True, patient=True)
        # A colony in which nothing was ever written has no folder of sheets yet.
        away = is_away(self.folder) and (bool(self.standing.pages) or not (self.folder / SETTINGS).exists())
        self._found_away = self._found_away + 1 if away else 0
        if self._found_away == _AWAY:
            self.notices.append("The colony's folder is gone (a drive pulled out?). Bring it back.")
        subjects = super().news()
        if self._unnoted and not self.is_stale:
            subjects |= self.note_rescues()
        return subjects

    def look_after_own(self, *, back: bool = False, patient: bool = False) -> None:
        """See to it that all this desk saved is on its sheets; what cannot be written again now is told, and kept.

        With `back` the earlier days are looked at too, if they were not in this run; with `patient` a sheet that
        is gone is given until the next look.
        """
        if self._lock is None:
            return
        today = self.clock_time().date()
        try:
            self.sheets.look_after_own(today, back=back and self._look_back, patient=patient)
        except NotSaved as error:
            if self._not_written != str(error):  # else it was told before
                self._not_written = str(error)
                self.notices.append(str(error))
        else:
            self._not_written = ""
            if back and self._look_back:
                self._look_back = False
                from rounds.desk import own_journal

                own_journal.throw_away_old(today)
        self._hear()

    def _hear(self) -> None:
        """Note what the sheets have to tell of this desk's name and of what was written again."""
        told = self.sheets.rescues()
        self.names.add(self.sheets.desk)
        again = [rescue for rescue in told if rescue.entries]
        self._unnoted += again
        self.notices += (rescue.notice for rescue in again)
        if told and not again:
            self.notices.append(
                f"This desk is now {told[-1].name}. Another program changed its sheet, or the power went; nothing "
                "is missing."
            )

    def take_notices(self) -> str:
        """What the keeper is to be told of this desk's own sheets and was not told yet; empty when all is well."""
        told, self.notices = " ".join(self.notices), []
        return told

    def note_rescues(self) -> frozenset[str]:
        """Write down why entries were written again; the subjects of these notes. Tried again when it fails."""
        subjects: frozenset[str] = frozenset()
        while self._unnoted:
            rescue = self._unnoted[0]
            note = self._note(rescue.sentence, rescue.by)
            try:
                saved = self.sheets.append([note], note.at.date())
            except NotSaved:
                break
            self._unnoted.pop(0)
            self._state.last_ms += 1
            subjects |= self._take_in(self._counting(saved))
        return subjects

    def _note(self, text: str, by: str) -> Noted:
        """A note about the room that no keeper pressed a key for: a take-back passes it over."""
        id = self.next_id()
        self._notes.add(id)
        return Noted(id=id, at=self.clock_time(), by=self.keeper or by or "?", about=ROOM, note=text)

    def record(self, *seen: Draft | Entry) -> tuple[Entry, ...]:
        """Sign what was seen, have it written in one save, and fold it into the standing; it is on disk by then.

        A draft is signed with an id, the time and the keeper's initials; a whole entry came with its own. Raises
        `BadEntry` before anything is written, `NotSaved` when the disk did not take it.
        """
        if not seen:
            return ()
        if not self.keeper and any(isinstance(one, Draft) for one in seen):
            raise BadEntry("Nobody is on shift yet: take over with your initials first.")
        now = self.clock_time()
        return self._save(
            seen,
            lambda: [
                one.entry(self.next_id(), now, self.keeper) if isinstance(one, Draft) else one for one in seen
            ],
        )

    def _save(self, asked: Asked, sign: Callable[[], list[Entry]]) -> tuple[Entry, ...]:
        """Have entries written in one save, with the ids they had if it is the same that was refused just now."""
        saved = self.sheets.append(self._last_try.signed(asked, sign), self.clock_time().date())
        self._last_try.is_saved()
        self._state.last_ms += 1  # a gap between two saves, also while the clock stands still or was put back
        self._take_in(self._counting(saved))
        self._hear()
        if self._unnoted:
            self.note_rescues()
        return saved

    def restore(self, entries: Sequence[Entry], day: date) -> tuple[Entry, ...]:
        """Write entries that stood on a sheet before on this desk's sheet of that day. Raises `NotSaved`."""
        saved = self.sheets.append(entries, day)
        self._take_in(self._counting(saved))
        return saved

    def bring_back(self) -> tuple[Entry, ...]:
        """Write again what stands on no sheet any more, as it was: with its own ids, times and initials.

        Returns what was written. Raises `NotSaved`; what was written by then is not missing any more.
        """
        missing = self.missing
        if missing is None:
            return ()
        entries, sheets = missing.entries, [path.rpartition("/")[2] for path in missing.sheets][:_NAMED]
        for start in range(0, len(entries), _BROUGHT_BACK):
            piece = entries[start : start + _BROUGHT_BACK]
            is_last = start + _BROUGHT_BACK >= len(entries)
            self.record(*piece, *([self._note_of_back(entries, sheets)] if is_last else ()))
        missing.leave()  # what no one knows any more stays missing
        return entries

    def _note_of_back(self, entries: Sequence[Entry], sheets: Sequence[str]) -> Entry:
        """A note about the room, for the hand-over, and for whoever finds those lines on another day's sheet."""
        many = f"{len(entries)} {'entry is' if len(entries) == 1 else 'entries are'} written again"
        why = f"gone from {', '.join(sheets)}" if sheets else "they stood on no sheet any more"
        return self._note(f"{many} by desk {self.name}, as the keeper said: {why}.", entries[-1].by)

    def correct(self, wrong: Entry, instead: Draft | None = None, because: str = "") -> tuple[Entry, ...]:
        """Answer a mistake: a correction that names the wrong entry, and the right one if there is one.

        The right one keeps the time at which the wrong one said it was seen, unless it brings its own.
        """
        if isinstance(wrong, Corrected):
            raise BadEntry("A correction is not corrected: write the entry again as it should be.")
        return self._save((Corrected, wrong, instead, because), lambda: self._correction(wrong, instead, because))

    def _correction(self, wrong: Entry, instead: Draft | None, because: str) -> list[Entry]:
        now = self.clock_time()
        correction_id = self.next_id()
        right: list[Entry] = []
        if instead is not None:
            draft = instead if instead.at is not None else instead._replace(at=wrong.at)
            right = [draft.entry(self.next_id(), now, self.keeper)]
        return [self._corrected(wrong, correction_id, now, right[0].id if right else "", because), *right]

    def _corrected(self, wrong: Entry, id: str, now: datetime, instead: str, because: str) -> Corrected:
        return Corrected(
            id=id,
            at=now,
            by=self.keeper,
            about=wrong.about,
            replaces=wrong.id,
            instead=instead,
            because=because,
            was=self.words_of(wrong),
            also=wrong.subjects()[1:],
        )

    def words_of(self, wrong: Entry) -> str:
        """What a wrong entry said, in words, for the correction that answers it: readable where that one is not."""
        note = f": {wrong.note}" if wrong.note else ""
        return f"{said(self.standing, wrong)}{note}"[:_MOST_WAS]

    def last_save(self) -> tuple[Entry, ...]:
        """What this keeper saved last (all entries of one key), if it was not taken back already."""
        return next(self._saves(), ())

    def last_run(self, within: float) -> tuple[tuple[Entry, ...], ...]:
        """The stops that this keeper did one right after the other, save by save in the order of writing.

        They are the last saves, each no more than `within` s after the one before; () when they are no stops. The
        plain lines that were written at a stop before it was gone on from belong to it.
        """
        return saves.last_run(self._saves(), self.standing.places, within)

    def _saves(self) -> Iterator[tuple[Entry, ...]]:
        return saves.of(self.keeper, self.recent, self._notes)

    def take_back(self, because: str = "", *, wrong: Sequence[Entry] = ()) -> tuple[Entry, ...]:
        """Take these entries back, or what this keeper saved last, by corrections in one save; what was taken back.

        What had itself been put in the place of another entry gives that one its place again.
        """
        wrong = tuple(wrong) or self.last_save()
        if wrong:
            self._save((Corrected, because, *wrong), lambda: self._taken_back(wrong, because))
        return wrong

    def _taken_back(self, wrong: Sequence[Entry], because: str) -> list[Entry]:
        now = self.clock_time()
        written: list[Entry] = []
        for entry in wrong:
            correction, before = self.next_id(), self._replaced_by(entry)
            if before is not None:
                before = msgspec.structs.replace(before, id=self.next_id(), by=self.keeper, written=now)
            instead = before.id if before is not None else ""
            written.append(self._corrected(entry, correction, now, instead, because))
            written += [before] if before is not None else []
        return written

    def _replaced_by(self, entry: Entry) -> Entry | None:
        """The entry in whose place this one was put."""
        for one in self.recent:
            if isinstance(one, Corrected) and one.instead == entry.id:
                return next((earlier for earlier in self.history(one.about) if earlier.id == one.replaces), None)
        return None

    def next_id(self) -> str:
        """An id later than all this desk has given."""
        ms = max(int(self._clock().timestamp() * 1000), self._state.last_ms + 1)
        self._state.last_ms = ms
        return rows.id_of(datetime.fromtimestamp(ms / 1000, UTC), int.from_bytes(urandom(4), "big"))
