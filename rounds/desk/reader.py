"""A colony opened to be read: what stands on its sheets, what was kept of them, and what other desks write."""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterable, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Final

from rounds.cache.state import RECENT, State, StateBuilder, as_seen
from rounds.cache.trust import Doubtful
from rounds.desk.clock_check import clock_doubt
from rounds.desk.lookout import Lookout
from rounds.desk.missing import Missing
from rounds.logbook.entries import Corrected, Entry
from rounds.logbook.times import fixed
from rounds.sheets.freshness import Freshness
from rounds.sheets.positions import Misplaced
from rounds.sheets.store import Sheets, Trouble
from rounds.standing.enclosure import walking_order
from rounds.standing.fold import Standing, fold

if TYPE_CHECKING:
    from rounds.cache.cache import Cache, Loaded
    from rounds.logbook.entries import HandedOver, TakenOver
    from rounds.rules.house import House
    from rounds.rules.settings import Settings
    from rounds.standing.page import Page

Clock = Callable[[], datetime]
#: Hears how far a long reading is: done, of how many.
Progress = Callable[[int, int], None]
#: How far ahead of this machine's clock another desk's entry may be and still count.
AHEAD: Final = timedelta(hours=1)
#: A history of so many entries is kept as soon as it was read, and need not all stay in memory.
_LONG: Final = 50_000
#: Entries of other programs may carry parts of a second; a reckoning moment has none.
_WHOLE_SECOND: Final = timedelta(microseconds=999_999)


def system_clock() -> datetime:
    """The only place that reads the clock."""
    return datetime.now(UTC)


class Reader:
    """One open colony as far as it is read. `Desk` writes, too."""

    def __init__(
        self,
        folder: Path,
        settings: Settings,
        sheets: Sheets,
        *,
        clock: Clock = system_clock,
        until: datetime | None = None,
        cache: Cache | None = None,
        missing: Missing | None = None,
    ) -> None:
        """`missing` notes what stands on no sheet any more; without it nothing of that is noted."""
        self.folder = folder
        self.settings = settings
        self.sheets = sheets
        self._state = State()
        #: A reading of all sheets that is under way.
        self._building: StateBuilder | None = None
        self._cache = cache
        self._missing = missing if until is None else None
        self._lookout = Lookout(self._missing, folder, sheets)
        #: How many entries were taken in that are not in the cache.
        self._not_kept = 0
        self._freshness = Freshness.VERIFIED
        self._clock = clock
        self._until = until

    @property
    def is_stale(self) -> bool:
        """Whether all is to be read again: the cache was made from other sheets, or a reading has not ended."""
        return self._freshness is Freshness.STALE

    def keep(self) -> bool:
        """Keep what was taken in, in the cache, for the next start; whether that could be done."""
        if self._cache is None or self._until is not None or self._freshness is not Freshness.VERIFIED:
            return False
        walking_order(self.standing, self.settings.walking_order)  # so that the next start finds it worked out
        kept = self._cache.save(self._state, self.sheets, self.clock_time())
        self._not_kept = 0 if kept else self._not_kept
        return kept

    def load_from_cache(self, *, at_once: bool) -> bool:
        """Go on from what an earlier run kept, if that can be done.

        With `at_once` old sheets are looked at only at the first `news`, unless one is seen to have changed.
        """
        found = self._load()
        if found is None:
            return False
        self.sheets.restore(found.marks)
        self._state, self._lookout.colony_file = found.state, found.settings
        if at_once and found.quiet:
            self._freshness = Freshness.UNVERIFIED
        elif not self.sheets.verify():
            self._freshness = Freshness.STALE
            return False
        if self._freshness is Freshness.VERIFIED:
            self._lookout.are_there_still(self._state)
            self.news()
        return not self.is_stale

    def _load(self) -> Loaded | None:
        if self._cache is None:
            return None
        moment = self._until or self.clock_time()
        return self._cache.load(
            moment, self._limit(), self._page_from_nothing, looking_back=self._until is not None
        )

    @property
    def name(self) -> str:
        """The name under which this desk's sheets lie."""
        return self.sheets.desk

    @property
    def standing(self) -> Standing:
        """How everything stands, by all that was read and written so far."""
        return self._state.standing

    @property
    def recent(self) -> list[Entry]:
        """Entries of the last two days, by time: what the hand-over and take-back look at."""
        return self._state.recent.entries

    @property
    def recent_shifts(self) -> list[TakenOver | HandedOver]:
        """Take-overs and hand-overs among them."""
        return self._state.recent.shifts

    @property
    def ahead(self) -> list[Entry]:
        """Entries dated so far ahead that they do not count yet."""
        return self._state.ahead

    @property
    def newest(self) -> Entry | None:
        """The newest entry that counts."""
        return self._state.newest

    @property
    def house(self) -> House:
        """The colony's house rules."""
        return self.settings.house

    @property
    def troubles(self) -> Sequence[Trouble]:
        """What was found damaged on the sheets and set aside."""
        missing = self.missing
        told = [Trouble("", 0, missing.sentence)] if missing else []
        return [*told, *self.sheets.troubles]

    @property
    def missing(self) -> Missing | None:
        """What was read here before and stands on no sheet any more; None when nothing is missing."""
        return self._missing or None

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

    def reading(self) -> Generator[tuple[int, int], None, None]:
        """Read every sheet and fold it, giving way after each one; until the end all stays as it was."""
        cache = self._cache if self._until is None else None
        indexing = cache.indexing() if cache is not None else None
        self._building = building = StateBuilder(self._since(), self._limit(), looking_back=self._until is not None)
        self._freshness = Freshness.STALE  # until all is read, or for good when that is broken off
        before, marks = self._state, self.sheets.marks_before()

        there: set[str] = set()
        wanted = self._lookout.awaited

        def sift(entries: list[Entry]) -> list[Entry]:
            if wanted:
                there.update(entry.id for entry in entries if entry.id in wanted)
            return building.sift(entries)

        try:
            many = 0
            for part in self.sheets.read_through(sift):
                if wanted:
                    there.update(entry.id for entry in part.entries if entry.id in wanted)
                building.add(part.entries)
                many += part.many
                if indexing is not None:
                    indexing.add(self.sheets, part)
                done = part.done, part.of
                del part  # the memory of one sheet serves the next
                yield done
        finally:
            self._building = None
        if cache is not None and indexing is not None:
            cache.use_index(indexing.end())
        self._lookout.came_back(there)
        state = building.end()
        state.last_ms = max(state.last_ms, self._state.last_ms)
        self._state, self._freshness = state, Freshness.VERIFIED
        self._heal(self.standing.short)
        self._lookout.compare(before, marks, self._state)
        self._not_kept = many
        if self._not_kept >= _LONG and self.keep() and (found := self._load()) is not None:
            self._state = found.state  # the same, but for its pages, which need no longer all be in memory

    def news(self) -> frozenset[str]:
        """Take in what other desks have written since; the subjects it is about."""
        self._verify()
        if self.is_stale:
            return frozenset()  # all is to be read again, and nothing of it may be handed out twice
        self._look_at_the_clock()
        news = self.sheets.news()
        if self._lookout.is_perhaps_another():
            self._freshness = Freshness.STALE  # what stands here now is not to be mixed with what is known
            return frozenset()
        entries = self._counting([*self.ahead, *news])
        self._not_kept += self.sheets.marked_anew
        self.sheets.marked_anew = 0
        if self.sheets.is_stale:
            self._freshness = Freshness.STALE
        self._lookout.look(self._state)
        return self._take_in(entries) if entries else frozenset()

    def history(self, subject: str) -> list[Entry]:
        """Every entry on a subject's page that was ever written, oldest first, corrected ones too."""
        # Those ahead are known since they were read; one that was corrected is not to be reported again.
        counting = self._state.counting(self._about(subject), self._limit(), keep=False)
        return sorted(counting, key=lambda entry: entry.key)

    def _about(self, subject: str) -> Iterable[Entry]:
        self._verify()
        if self._cache is not None and self.sheets.is_verified:
            try:
                if (index := self._cache.index) is not None:
                    return list(self.sheets.lines.about(subject, index.places(subject), index.covered))
            except (Doubtful, Misplaced, OSError):
                self._cache.forget_index()
        return self.sheets.about(subject)

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

    def _verify(self) -> None:
        """Hold what was loaded from the cache against every sheet, if that was put off."""
        if self._freshness is Freshness.UNVERIFIED:
            self._freshness = Freshness.VERIFIED if self.sheets.verify() else Freshness.STALE
            if self._freshness is Freshness.VERIFIED:
                self._lookout.are_there_still(self._state)

    def _look_at_the_clock(self) -> None:
        """When the clock was put back, what was written before that lies ahead of it now."""
        state = self._state
        if self._until is not None or state.newest is None or state.newest.at <= (limit := self._limit()):
            return
        known = {entry.id for entry in state.ahead}
        state.ahead += [entry for entry in self.recent if entry.at > limit and entry.id not in known]
        state.drop_answered()

    def _counting(self, entries: Iterable[Entry]) -> list[Entry]:
        """Those not dated ahead of the reckoning moment; the others are kept to be reported."""
        return self._state.counting(entries, self._limit(), keep=self._until is None)

    def _take_in(self, entries: Iterable[Entry]) -> frozenset[str]:
        taken = tuple(entries)
        self._lookout.came_back(entry.id for entry in taken)
        self._not_kept += len(taken)
        if self._building is not None:
            self._building.add(list(taken))
        self._state.remember(taken, self._since(), self._limit() if self._until is None else None)
        self._state.standing = self.standing.after_all(taken)
        self._state.drop_answered()
        # Only what is taken back can leave a page short.
        touched = {subject for entry in taken if isinstance(entry, Corrected) for subject in entry.subjects()}
        self._heal(subject for subject in touched if self.standing.page(subject).short)
        return frozenset(subject for entry in taken for subject in entry.subjects())

    def _heal(self, subjects: Iterable[str]) -> None:
        """Fold those pages again from which so much was taken back that older entries show again."""
        for subject in subjects:
            self._state.standing = self.standing.with_page(self._page_from_nothing(subject))

    def _page_from_nothing(self, subject: str) -> Page:
        """A subject's page folded from its history."""
        # Corrections first, so that nothing they replace takes up room on the page.
        history = sorted(self.history(subject), key=lambda entry: not isinstance(entry, Corrected))
        if self._until is not None:
            history = as_seen(history, self._until)
        return fold(history).page(subject)
