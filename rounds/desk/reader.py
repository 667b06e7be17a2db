"""A colony opened to be read: what stands on its sheets, what was kept of them, and what other desks write."""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterable, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Final

from rounds.cache.lines import Noting
from rounds.cache.pack import Doubtful
from rounds.cache.share import read_share
from rounds.cache.state import RECENT, Taken, Taking
from rounds.desk.clock_check import clock_doubt
from rounds.logbook.entries import Corrected, Entry
from rounds.logbook.times import fixed
from rounds.sheets.positions import Misplaced
from rounds.sheets.shares import ALL
from rounds.sheets.store import Sheets, Trouble
from rounds.standing.enclosure import walking_order
from rounds.standing.fold import Standing, fold

if TYPE_CHECKING:
    from rounds.cache.cache import Cache, TakenUp
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
    ) -> None:
        self.folder = folder
        self.settings = settings
        self.sheets = sheets
        self._taken = Taken()
        #: A reading of all sheets that is under way.
        self._taking: Taking | None = None
        self._cache = cache
        #: How many entries were taken in that are not in the cache.
        self._not_kept = 0
        #: Whether what was taken up from the cache still has to be held against every sheet.
        self._unlooked = False
        #: Whether the sheets turned out not to be what the cache was made from.
        self.is_in_doubt = False
        self._clock = clock
        self._until = until

    def keep(self) -> bool:
        """Keep what was taken in, in the cache, for the next start; whether that could be done."""
        if self._cache is None or self._until is not None or self._unlooked or self.is_in_doubt:
            return False
        walking_order(self.standing, self.settings.walking_order)  # so that the next start finds it worked out
        kept = self._cache.keep(self._taken, self.sheets, self.clock_time())
        self._not_kept = 0 if kept else self._not_kept
        return kept

    def take_up(self, *, at_once: bool) -> bool:
        """Go on from what an earlier run kept, if it holds."""
        found = self._kept_by_an_earlier_run()
        if found is None:
            return False
        self.sheets.take_up(found.marks)
        if at_once and found.quiet:
            self._unlooked = True
        elif not self.sheets.holds():
            return False
        self._taken = found.taken
        if not self._unlooked:
            self.news()
        return True

    def _kept_by_an_earlier_run(self) -> TakenUp | None:
        if self._cache is None:
            return None
        moment = self._until or self.clock_time()
        return self._cache.take_up(
            moment, self._limit(), self._page_from_nothing, looking_back=self._until is not None
        )

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
        from rounds.cache.together import shares_for

        for done, of in self.reading(shares_for(self.sheets.size())):
            if progress is not None:
                progress(done, of)

    def reading(self, processes: int = 1) -> Generator[tuple[int, int], None, None]:
        """Read every sheet and fold it, giving way after each one; until the end all stays as it was.

        A long history may be read by several processes; only a program with a single thread asks for that.
        """
        cached = self._cache is not None and self._until is None
        noting = Noting(self._cache.folder if self._cache is not None and cached else None)
        self._taking = taking = Taking(self._since(), self._limit(), looking_back=self._until is not None)
        self.is_in_doubt, self._unlooked = True, False  # until all is read, or for good when that is broken off
        try:
            if processes > 1:
                from rounds.cache.together import read_together

                yield from read_together(processes, taking, noting, self.sheets)
            else:
                yield from read_share(ALL, taking, noting, self.sheets)
        finally:
            self._taking = None
        if self._cache is not None:
            self._cache.take_lines(noting.end())
        taken = taking.end()
        taken.last_ms = max(taken.last_ms, self._taken.last_ms)
        self._taken, self.is_in_doubt = taken, False
        self._heal(self.standing.short)
        self._not_kept = taking.many
        if self._not_kept >= _LONG and self.keep() and (found := self._kept_by_an_earlier_run()) is not None:
            self._taken = found.taken  # the same, but for its pages, which need no longer all be in memory

    def news(self) -> frozenset[str]:
        """Take in what other desks have written since; the subjects it is about."""
        self._look_at_the_sheets()
        if self.is_in_doubt:
            return frozenset()  # all is to be read again, and nothing of it may be handed out twice
        self._look_at_the_clock()
        entries = self._counting([*self.ahead, *self.sheets.news()])
        return self._take_in(entries) if entries else frozenset()

    def history(self, subject: str) -> list[Entry]:
        """Every entry on a subject's page that was ever written, oldest first, corrected ones too."""
        return sorted(self._counting(self._about(subject)), key=lambda entry: entry.key)

    def _about(self, subject: str) -> Iterable[Entry]:
        self._look_at_the_sheets()
        lines = self._cache.lines if self._cache is not None and not self.sheets.shaken else None
        if lines is not None:
            try:
                return list(self.sheets.lines.about(subject, lines.places(subject), lines.covered))
            except (Doubtful, Misplaced, OSError):
                assert self._cache is not None
                self._cache.forget_lines()
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

    def _look_at_the_sheets(self) -> None:
        """Hold what was taken up from the cache against every sheet, if that was put off."""
        if self._unlooked:
            self._unlooked = False
            self.is_in_doubt = not self.sheets.holds()

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
        self._not_kept += len(taken)
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
        """Fold those pages again from which so much was taken back that older entries show again."""
        for subject in subjects:
            self._taken.standing = self.standing.with_page(self._page_from_nothing(subject))

    def _page_from_nothing(self, subject: str) -> Page:
        """A subject's page folded from its history."""
        # Corrections first, so that nothing they replace takes up room on the page.
        history = sorted(self.history(subject), key=lambda entry: not isinstance(entry, Corrected))
        return fold(history).page(subject)
