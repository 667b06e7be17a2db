"""A colony opened at one desk: read what was seen, write what is seen now, hear of other desks."""

from __future__ import annotations

from datetime import UTC, datetime
from os import urandom
from pathlib import Path
from typing import TYPE_CHECKING, Final

import msgspec

from rounds import folders
from rounds.desk.colony_file import load
from rounds.desk.reader import Clock, Progress, Reader, system_clock
from rounds.errors import BadEntry
from rounds.logbook import rows
from rounds.logbook.drafts import Draft
from rounds.logbook.entries import Cleaned, Corrected, Entry, Fed, Misted, StopWalked, Watered
from rounds.paper.said import said
from rounds.sheets.store import Sheets

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from rounds.cache.cache import Cache
    from rounds.desk.writer_lock import WriterLock
    from rounds.rules.settings import Settings

__all__ = ["Clock", "Desk", "Progress", "system_clock"]

#: How much of what a wrong entry said its correction repeats, in letters.
_MOST_WAS: Final = 500
#: What Enter writes at a stop before anything is looked at.
PLAIN: Final = (Fed, Watered, Misted, Cleaned)
#: So many entries more than were kept are worth keeping them, for a plain command too.
_WORTH_KEEPING: Final = 250


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
    ) -> None:
        super().__init__(folder, settings, sheets, clock=clock, until=until, cache=cache)
        self.keeper = keeper
        self._lock = lock

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
        name = "reader"
        if writing:
            from rounds.desk import writer_lock

            state = folders.state()
            lock = writer_lock.acquire(state, folder, writer_lock.installation(state))
            name = lock.name
        sheets = Sheets(folder, name)
        desk = cls(
            folder, settings, sheets, clock=clock, keeper=keeper, lock=lock, until=until, cache=Cache(folder)
        )
        if not desk.load_from_cache(at_once=at_once):
            desk.read(progress)
        return desk

    def close(self, *, keeping: bool = False) -> None:
        """Let go of the sheet and of the writer lock.

        What was taken in is kept for the next start: `keeping`, or if it is a good deal; also when what was kept
        turned out damaged, or each start would mend it again.
        """
        damaged = self._cache is not None and self._cache.is_damaged
        if damaged or self._not_kept >= (1 if keeping else _WORTH_KEEPING):
            self.keep()
        self.let_go()

    def let_go(self) -> None:
        """Let go of the sheet and of the writer lock, and keep nothing for the next start."""
        self.sheets.close()
        if self._lock is not None:
            self._lock.close()
            self._lock = None

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
        signed = [one.entry(self.next_id(), now, self.keeper) if isinstance(one, Draft) else one for one in seen]
        saved = self.sheets.append(signed, now.date())
        self._state.last_ms += 1  # a gap between two saves, also while the clock stands still or was put back
        self._take_in(self._counting(saved))
        return saved

    def correct(self, wrong: Entry, instead: Draft | None = None, because: str = "") -> tuple[Entry, ...]:
        """Answer a mistake: a correction that names the wrong entry, and the right one if there is one.

        The right one keeps the time at which the wrong one said it was seen, unless it brings its own.
        """
        if isinstance(wrong, Corrected):
            raise BadEntry("A correction is not corrected: write the entry again as it should be.")
        now = self.clock_time()
        right: tuple[Entry, ...] = ()
        correction_id = self.next_id()
        if instead is not None:
            draft = instead if instead.at is not None else instead._replace(at=wrong.at)
            right = (draft.entry(self.next_id(), now, self.keeper),)
        subjects = wrong.subjects()
        correction = Corrected(
            id=correction_id,
            at=now,
            by=self.keeper,
            about=wrong.about,
            replaces=wrong.id,
            instead=right[0].id if right else "",
            because=because,
            was=self.words_of(wrong),
            also=subjects[1:],
        )
        return self.record(correction, *right)

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
        run: list[tuple[Entry, ...]] = []
        for save in self._saves():
            walked = next((one.about for one in save if isinstance(one, StopWalked)), "")
            of_next = bool(run) and all(isinstance(one, PLAIN) for one in save)
            if not walked and not (of_next and self._stops_of(save) & self._stops_of(run[-1])):
                break
            if run and not _within(save[-1], run[-1][0], within):
                break
            run.append(save)
        return tuple(reversed(run))

    def _stops_of(self, save: Sequence[Entry]) -> set[str | None]:
        """The enclosures that a save is about, or whose animals."""
        places = self.standing.places
        return {one.about if one.about.startswith("enclosure/") else places.get(one.about) for one in save}

    def _saves(self) -> Iterator[tuple[Entry, ...]]:
        """This keeper's saves that were not taken back, newest first."""
        dead = {entry.replaces for entry in self.recent if isinstance(entry, Corrected)}
        mine = [
            entry
            for entry in self.recent
            if entry.by == self.keeper and not isinstance(entry, Corrected) and entry.id not in dead
        ]
        mine.sort(key=lambda entry: entry.id)
        while mine:
            save = [mine.pop()]
            # The ids of one save follow each other ms by ms; between two saves there is a gap.
            while mine and (ms := rows.ms_of(save[-1].id)) is not None and rows.ms_of(mine[-1].id) == ms - 1:
                save.append(mine.pop())
            yield tuple(reversed(save))

    def take_back(self, because: str = "", *, wrong: Sequence[Entry] = ()) -> tuple[Entry, ...]:
        """Take these entries back, or what this keeper saved last, by corrections in one save; what was taken back.

        What had itself been put in the place of another entry gives that one its place again.
        """
        wrong = tuple(wrong) or self.last_save()
        now = self.clock_time()
        written: list[Entry] = []
        for entry in wrong:
            correction, before = self.next_id(), self._replaced_by(entry)
            if before is not None:
                before = msgspec.structs.replace(before, id=self.next_id(), by=self.keeper, written=now)
            written.append(
                Corrected(
                    id=correction,
                    at=now,
                    by=self.keeper,
                    about=entry.about,
                    replaces=entry.id,
                    instead=before.id if before is not None else "",
                    because=because,
                    was=self.words_of(entry),
                    also=entry.subjects()[1:],
                )
            )
            written += [before] if before is not None else []
        self.record(*written)
        return wrong

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


def _within(first: Entry, second: Entry, seconds: float) -> bool:
    """Whether the second was written no later than so many seconds after the first."""
    one, other = rows.ms_of(first.id), rows.ms_of(second.id)
    return one is not None and other is not None and other - one <= seconds * 1000
