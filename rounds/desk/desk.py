"""A colony opened at one desk: read what was seen, write what is seen now, hear of other desks."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Final

from rounds.errors import BadEntry
from rounds.logbook import rows
from rounds.logbook.drafts import Draft
from rounds.logbook.entries import Corrected, Entry
from rounds.logbook.sheets import Sheets, Trouble
from rounds.logbook.times import fixed
from rounds.rules.loader import Settings, load
from rounds.standing.fold import Standing, fold

if TYPE_CHECKING:
    from rounds.desk.slots import Slot
    from rounds.rules.house import House

Clock = Callable[[], datetime]
#: How far ahead of this machine's clock another desk's entry may be and still count.
AHEAD: Final = timedelta(hours=1)
#: How long an entry stays among the recent ones: today, yesterday, and the shift being handed over.
RECENT: Final = timedelta(hours=48)
#: A machine whose clock is this far behind the newest entry, or this far past it, is asked about.
CLOCK_BEHIND: Final = timedelta(minutes=10)
CLOCK_PAST: Final = timedelta(days=120)


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

    def now(self) -> datetime:
        """The reckoning moment, with the room's offset."""
        return fixed(self._until or self._clock(), self.settings.zone)

    def read(self) -> None:
        """Read every sheet and fold it."""
        self.recent, self.ahead, self.newest = [], [], None
        entries = self._counting(self.sheets.read())
        self.standing = fold(entries)
        self._remember(entries)
        self._heal(self.standing.short)

    def news(self) -> frozenset[str]:
        """Take in what other desks have written since; the subjects it is about."""
        entries = self._counting(self.sheets.news())
        return self._take_in(entries) if entries else frozenset()

    def record(self, *drafts: Draft) -> tuple[Entry, ...]:
        """Write what was seen, all of it or nothing, and return once it is on disk.

        Raises `BadEntry` before anything is written, `NotSaved` when the disk did not take it.
        """
        if not drafts:
            return ()
        if not self.keeper:
            raise BadEntry("Nobody is on shift yet: take over with your initials first.")
        now = self.now()
        return self.write([draft.entry(self.next_id(), now, self.keeper) for draft in drafts])

    def write(self, entries: Iterable[Entry]) -> tuple[Entry, ...]:
        """Write whole entries (as `record` makes them, or as they came from elsewhere) in one save."""
        whole = tuple(rows.checked(entry) for entry in entries)
        self.sheets.append(whole, fixed(self._clock(), self.settings.zone).date())
        self._take_in(self._counting(whole))
        return whole

    def correct(self, wrong: Entry, instead: Draft | None = None, because: str = "") -> tuple[Entry, ...]:
        """Answer a mistake: a correction that names the wrong entry, and the right one if there is one.

        The right one keeps the time at which the wrong one said it was seen, unless it brings its own.
        """
        if isinstance(wrong, Corrected):
            raise BadEntry("A correction is not corrected: write the entry again as it should be.")
        now = self.now()
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
        # The ids of one save follow each other ms by ms; no two keys come that close.
        while mine and (ms := rows.ms_of(save[-1].id)) is not None and rows.ms_of(mine[-1].id) == ms - 1:
            save.append(mine.pop())
        return tuple(reversed(save))

    def take_back(self, because: str = "") -> tuple[Entry, ...]:
        """Take back what this keeper saved last, by corrections; what was taken back, or ()."""
        wrong = self.last_save()
        now = self.now()
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
        found = [entry for entry in self._counting(self.sheets.read()) if subject in entry.subjects()]
        return sorted(found, key=lambda entry: entry.key)

    def next_id(self) -> str:
        """An id later than all this desk has given."""
        ms = max(int(self._clock().timestamp() * 1000), self._last_ms + 1)
        self._last_ms = ms
        return rows.id_of(datetime.fromtimestamp(ms / 1000, UTC), self._salt.getrandbits(25))

    def clock_doubt(self) -> str:
        """A sentence when this machine's clock does not fit the sheets; empty when it does."""
        if self._until is not None or self.newest is None:
            return ""
        now, newest = self.now(), self.newest
        last = f"{newest.at:%d %b %Y %H:%M} by {newest.by}"
        if newest.at - now > CLOCK_BEHIND:
            return (
                f"This machine's clock says {now:%d %b %Y %H:%M}, but the newest entry is of {last}. "
                "Set the clock before you write: entries would get a wrong time."
            )
        if now - newest.at > CLOCK_PAST:
            return (
                f"This machine's clock says {now:%d %b %Y %H:%M}; the last entry is of {last}. "
                "If that is right, go on; if not, set the clock before you write."
            )
        return ""

    def _counting(self, entries: Iterable[Entry]) -> list[Entry]:
        """Those not dated ahead of the reckoning moment; the others are kept to be reported."""
        limit = self._until or self._clock() + AHEAD
        counting: list[Entry] = []
        ahead: list[Entry] = []
        for entry in entries:
            (counting if entry.at <= limit else ahead).append(entry)
        if ahead and self._until is None:
            known = {entry.id for entry in self.ahead}
            self.ahead.extend(entry for entry in ahead if entry.id not in known)
        return counting

    def _remember(self, entries: Iterable[Entry]) -> None:
        """Note the recent ones and the newest."""
        since = self.now() - RECENT
        known = {entry.id for entry in self.recent}
        for entry in entries:
            if (entry.written or entry.at) >= since and entry.id not in known:
                known.add(entry.id)
                self.recent.append(entry)
            if self.newest is None or entry.at > self.newest.at:
                self.newest = entry
        self.recent.sort(key=lambda entry: entry.key)

    def _take_in(self, entries: Iterable[Entry]) -> frozenset[str]:
        taken = list(entries)
        self._remember(taken)
        self.standing = self.standing.after_all(taken)
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
