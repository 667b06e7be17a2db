"""A colony opened at one desk: read what was seen, write what is seen now, hear of other desks."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Final

from rounds.desk.doubt import clock_doubt
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
    from rounds.rules.house import House
    from rounds.rules.settings import Settings

Clock = Callable[[], datetime]
#: How far ahead of this machine's clock another desk's entry may be and still count.
AHEAD: Final = timedelta(hours=1)
#: How long an entry stays among the recent ones: today, yesterday, and the shift being handed over.
RECENT: Final = timedelta(hours=48)
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
        self.standing = Standing()
        #: Entries of the last two days, by time: what the hand-over and take-back look at.
        self.recent: list[Entry] = []
        #: Entries dated so far ahead that they do not count yet.
        self.ahead: list[Entry] = []
        self.newest: Entry | None = None
        self._clock = clock
        self._slot = slot
        self._until = until
        self._last_ms = 0
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

    def read(self) -> None:
        """Read every sheet and fold it."""
        self.recent, self.ahead, self.newest = [], [], None
        entries = self._counting(self.sheets.read())
        self.standing = fold(entries)
        self._remember(entries)
        self._drop_answered()
        self._heal(self.standing.short)

    def news(self) -> frozenset[str]:
        """Take in what other desks have written since; the subjects it is about."""
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
        self._last_ms += 1  # a gap between two saves, also while the clock stands still or was put back
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
        ms = max(int(self._clock().timestamp() * 1000), self._last_ms + 1)
        self._last_ms = ms
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

    def _look_at_the_clock(self) -> None:
        """When the clock was put back, what was written before that lies ahead of it now."""
        if self._until is not None or self.newest is None or self.newest.at <= (limit := self._limit()):
            return
        known = {entry.id for entry in self.ahead}
        self.ahead += [entry for entry in self.recent if entry.at > limit and entry.id not in known]
        self._drop_answered()

    def _drop_answered(self) -> None:
        """An entry with a wrong date that was corrected is no longer reported."""
        self.ahead = [one for one in self.ahead if one.id not in self.standing.page(one.about).dead]

    def _counting(self, entries: Iterable[Entry]) -> list[Entry]:
        """Those not dated ahead of the reckoning moment; the others are kept to be reported."""
        limit = self._limit()
        counting: list[Entry] = []
        ahead: dict[str, Entry] = {entry.id: entry for entry in self.ahead if entry.at > limit}
        for entry in entries:
            if entry.at <= limit:
                counting.append(entry)
            else:
                ahead.setdefault(entry.id, entry)
        if self._until is None:
            self.ahead = list(ahead.values())
        return counting

    def _remember(self, entries: Iterable[Entry]) -> None:
        """Note the recent ones and the newest."""
        since, limit = (self._until or self.clock_time()) - RECENT, self._limit()
        latest_ms = int(limit.timestamp() * 1000)
        known = {entry.id for entry in self.recent}
        for entry in entries:
            moment = entry.written or entry.at
            # A desk whose clock was years ahead may have written down late what was seen at a right time.
            if moment >= since and (moment <= limit or self._until is not None) and entry.id not in known:
                known.add(entry.id)
                self.recent.append(entry)
                # What is written next comes after all that was, though a clock went back in between.
                given = rows.ms_of(entry.id)
                if given is not None and self._last_ms <= given <= latest_ms:
                    self._last_ms = given + 1
            if self.newest is None or entry.at > self.newest.at:
                self.newest = entry
        self.recent.sort(key=lambda entry: entry.key)

    def _take_in(self, entries: Iterable[Entry]) -> frozenset[str]:
        taken = list(entries)
        self._remember(taken)
        self.standing = self.standing.after_all(taken)
        self._drop_answered()
        subjects = frozenset(subject for entry in taken for subject in entry.subjects())
        self._heal(subject for subject in subjects if self.standing.page(subject).short)
        return subjects

    def _heal(self, subjects: Iterable[str]) -> None:
        """Fold the pages anew from which so much was taken back that older entries show again."""
        for subject in subjects:
            # Corrections first, so that nothing they replace takes up room on the page.
            history = sorted(self.history(subject), key=lambda entry: not isinstance(entry, Corrected))
            page = fold(history).page(subject)
            self.standing = self.standing.with_page(page)
