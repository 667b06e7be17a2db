"""A colony opened at one desk: read what was seen, write what is seen now, hear of other desks."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Final

from rounds.desk.doubt import clock_doubt
from rounds.desk.taken import RECENT, Taken, Taking
from rounds.errors import BadEntry
from rounds.logbook import rows
from rounds.logbook.drafts import Draft
from rounds.logbook.entries import Corrected, Entry
from rounds.logbook.sheets import Sheets, Trouble
from rounds.logbook.times import fixed
from rounds.rules.loader import load
from rounds.standing.fold import Standing, fold

if TYPE_CHECKING:
    from rounds.desk.slots import Slot
    from rounds.logbook.entries import HandedOver, TakenOver
    from rounds.rules.house import House
    from rounds.rules.settings import Settings
    from rounds.standing.page import Page

Clock = Callable[[], datetime]
#: Hears how far a long reading is: done, of how many.
Progress = Callable[[int, int], None]
#: How far ahead of this machine's clock another desk's entry may be and still count.
AHEAD: Final = timedelta(hours=1)
#: Entries of other programs may carry parts of a second; a reckoning moment has none.
_WHOLE_SECOND: Final = timedelta(microseconds=999_999)


def system_clock() -> datetime:
    """The only place that reads the clock."""
    return datetime.now(UTC)


class Desk:
    """One open colony. Everything a keeper writes goes through `record`, which returns once it is on disk."""

    def __init__(
        self,
        folder: Path,
        settings: Settings,
        sheets: Sheets,
        *,
        clock: Clock = system_clock,
        keeper: str = "",
        slot: Slot | None = None,
        until: datetime | None = None,
    ) -> None:
        self.folder = folder
        self.settings = settings
        self.sheets = sheets
        self.keeper = keeper
        self._taken = Taken()
        #: A reading of all sheets that is under way.
        self._taking: Taking | None = None
        self._clock = clock
        self._slot = slot
        self._until = until
        self._salt = random.SystemRandom()

    @classmethod
    def open(
        cls,
        folder: Path,
        *,
        clock: Clock = system_clock,
        keeper: str = "",
        writing: bool = True,
        until: datetime | None = None,
    ) -> Desk:
        """Open a colony's folder and read it.

        With `writing` the desk takes a slot of its own, so that its sheets have no other writer. `until`
        is the reckoning moment: nothing later counts. Raises `NoColony`, `BadRule`.
        """
        settings = load(folder)
        slot: Slot | None = None
        name = "reader"
        if writing:
            from rounds.desk import slots

            state = slots.state_folder()
            slot = slots.take(state, folder, slots.installation(state))
            name = slot.name
        desk = cls(folder, settings, Sheets(folder, name), clock=clock, keeper=keeper, slot=slot, until=until)
        desk.read()
        return desk

    def close(self) -> None:
        """Give the slot back."""
        if self._slot is not None:
            self._slot.close()
            self._slot = None

    @property
    def name(self) -> str:
        """The name under which this desk's sheets lie."""
        return self.sheets.desk

    @property
    def standing(self) -> Standing:
        """How everything stands, by all that was read and written so far."""
        return self._taken.standing

    @property
    def recent(self) -> list[Entry]:
        """Entries of the last two days, by time: what the hand-over and take-back look at."""
        return self._taken.recent.entries

    @property
    def recent_shifts(self) -> list[TakenOver | HandedOver]:
        """Take-overs and hand-overs among them."""
        return self._taken.recent.shifts

    @property
    def ahead(self) -> list[Entry]:
        """Entries dated so far ahead that they do not count yet."""
        return self._taken.ahead

    @property
    def newest(self) -> Entry | None:
        """The newest entry that counts."""
        return self._taken.newest

    @property
    def house(self) -> House:
        """The colony's house rules."""
        return self.settings.house

    @property
    def troubles(self) -> Sequence[Trouble]:
        """What was found damaged on the sheets and set aside."""
        return self.sheets.troubles

    def clock_time(self) -> datetime:
        """What this machine's clock says, with the room's offset: the time at which something is written."""
        return fixed(self._clock(), self.settings.zone)

    def now(self) -> datetime:
        """The reckoning moment, with the room's offset; never earlier than the newest entry that counts.

        The clocks of two laptops are some minutes apart: a stop done at the other one has been done,
        though by this clock it has not been yet.
        """
        if self._until is not None:
            return fixed(self._until, self.settings.zone)
        now = self.clock_time()
        if self.newest is not None and now < self.newest.at <= self._limit():
            return fixed(self.newest.at + _WHOLE_SECOND, self.settings.zone)
        return now

    def read(self, progress: Progress | None = None) -> None:
        """Read every sheet and fold it; `progress` hears how many of how many sheets are read."""
        for done, of in self.reading():
            if progress is not None:
                progress(done, of)

    def reading(self) -> Iterator[tuple[int, int]]:
        """Read every sheet and fold it, giving way after each one; until the end all stays as it was."""
        self._taking = taking = Taking(self._since(), self._limit(), looking_back=self._until is not None)
        for part in self.sheets.read_through():
            taking.add(part.entries)
            yield part.done, part.of
        taken = taking.end()
        taken.last_ms = max(taken.last_ms, self._taken.last_ms)
        self._taken, self._taking = taken, None
        self._heal(self.standing.short)

    def news(self) -> frozenset[str]:
        """Take in what other desks have written since; the subjects it is about."""
        if self._taking is not None:
            return frozenset()  # all is being read anew, and nothing of it may be handed out twice
        self._look_at_the_clock()
        entries = self._counting([*self.ahead, *self.sheets.news()])
        return self._take_in(entries) if entries else frozenset()

    def record(self, *drafts: Draft) -> tuple[Entry, ...]:
        """Write what was seen, all of it or nothing, and return once it is on disk.

        Raises `BadEntry` before anything is written, `NotSaved` when the disk did not take it.
        """
        if not drafts:
            return ()
        if not self.keeper:
            raise BadEntry("Nobody is on shift yet: take over with your initials first.")
        now = self.clock_time()
        return self.write([draft.entry(self.next_id(), now, self.keeper) for draft in drafts])

    def write(self, entries: Iterable[Entry]) -> tuple[Entry, ...]:
        """Write whole entries (as `record` makes them, or as they came from elsewhere) in one save."""
        whole = tuple(rows.checked(entry) for entry in entries)
        self.sheets.append(whole, self.clock_time().date())
        self._taken.last_ms += 1  # a gap between two saves, also while the clock stands still or was put back
        self._take_in(self._counting(whole))
        return whole

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
            also=subjects[1:],
        )
        return self.write((correction, *right))

    def last_save(self) -> tuple[Entry, ...]:
        """What this keeper saved last (all entries of one key), if it was not taken back already."""
        dead = {entry.replaces for entry in self.recent if isinstance(entry, Corrected)}
        mine = [
            entry
            for entry in self.recent
            if entry.by == self.keeper and not isinstance(entry, Corrected) and entry.id not in dead
        ]
        if not mine:
            return ()
        mine.sort(key=lambda entry: entry.id)
        save = [mine.pop()]
        # The ids of one save follow each other ms by ms; between two saves there is a gap.
        while mine and (ms := rows.ms_of(save[-1].id)) is not None and rows.ms_of(mine[-1].id) == ms - 1:
            save.append(mine.pop())
        return tuple(reversed(save))

    def take_back(self, because: str = "") -> tuple[Entry, ...]:
        """Take back what this keeper saved last, by corrections; what was taken back, or ()."""
        wrong = self.last_save()
        now = self.clock_time()
        if wrong:
            self.write(
                Corrected(
                    id=self.next_id(),
                    at=now,
                    by=self.keeper,
                    about=entry.about,
                    replaces=entry.id,
                    because=because,
                    also=entry.subjects()[1:],
                )
                for entry in wrong
            )
        return wrong

    def history(self, subject: str) -> list[Entry]:
        """Every entry on a subject's page that was ever written, oldest first, corrected ones too."""
        return sorted(self._counting(self.sheets.about(subject)), key=lambda entry: entry.key)

    def next_id(self) -> str:
        """An id later than all this desk has given."""
        ms = max(int(self._clock().timestamp() * 1000), self._taken.last_ms + 1)
        self._taken.last_ms = ms
        return rows.id_of(datetime.fromtimestamp(ms / 1000, UTC), self._salt.getrandbits(25))

    def clock_doubt(self) -> str:
        """A sentence when this machine's clock does not fit the sheets; empty when it does."""
        if self._until is not None:
            return ""
        self._look_at_the_clock()
        return clock_doubt(self.clock_time(), self.newest, self.ahead)

    def _limit(self) -> datetime:
        """Entries dated later than this do not count."""
        return self._until or self._clock() + AHEAD

    def _since(self) -> datetime:
        """What was written before this is not recent."""
        return (self._until or self.clock_time()) - RECENT

    def _look_at_the_clock(self) -> None:
        """When the clock was put back, what was written before that lies ahead of it now."""
        taken = self._taken
        if self._until is not None or taken.newest is None or taken.newest.at <= (limit := self._limit()):
            return
        known = {entry.id for entry in taken.ahead}
        taken.ahead += [entry for entry in self.recent if entry.at > limit and entry.id not in known]
        taken.drop_answered()

    def _counting(self, entries: Iterable[Entry]) -> list[Entry]:
        """Those not dated ahead of the reckoning moment; the others are kept to be reported."""
        return self._taken.counting(entries, self._limit(), keep=self._until is None)

    def _take_in(self, entries: Iterable[Entry]) -> frozenset[str]:
        taken = tuple(entries)
        if self._taking is not None:
            self._taking.add(list(taken))
        self._taken.remember(taken, self._since(), self._limit() if self._until is None else None)
        self._taken.standing = self.standing.after_all(taken)
        self._taken.drop_answered()
        # Only what is taken back can leave a page short.
        touched = {subject for entry in taken if isinstance(entry, Corrected) for subject in entry.subjects()}
        self._heal(subject for subject in touched if self.standing.page(subject).short)
        return frozenset(subject for entry in taken for subject in entry.subjects())

    def _heal(self, subjects: Iterable[str]) -> None:
        """Fold the pages anew from which so much was taken back that older entries show again."""
        for subject in subjects:
            self._taken.standing = self.standing.with_page(self._page_from_nothing(subject))

    def _page_from_nothing(self, subject: str) -> Page:
        """A subject's page folded from its history."""
        # Corrections first, so that nothing they replace takes up room on the page.
        history = sorted(self.history(subject), key=lambda entry: not isinstance(entry, Corrected))
        return fold(history).page(subject)
