"""What a desk has taken in from the sheets: the standing, the recent entries, and those dated ahead."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta
from operator import attrgetter
from typing import Final

from rounds.cache.recent import Recent
from rounds.logbook import rows
from rounds.logbook.entries import Entry
from rounds.standing.fold import Gathering, Standing

#: How long an entry stays among the recent ones: today, yesterday, and the shift being handed over.
RECENT: Final = timedelta(hours=48)
_AT: Final = attrgetter("at")
_WRITTEN: Final = attrgetter("written")


class Taken:
    """Everything that is worked out from entries as they come, at whatever moment they come."""

    def __init__(self) -> None:
        self.standing = Standing()
        #: Entries of the last two days.
        self.recent = Recent()
        #: Entries dated so far ahead that they do not count yet.
        self.ahead: list[Entry] = []
        #: The newest entry that counts.
        self.newest: Entry | None = None
        #: The ms of the last id that was given or seen: what is written next comes after it.
        self.last_ms = 0
        #: Whether something was written by a clock that ran far ahead: then what is recent depends on when
        #: it is asked, and is not kept.
        self.odd = False

    def counting(self, entries: Iterable[Entry], limit: datetime, *, keep: bool = True) -> list[Entry]:
        """Those not dated after `limit`; the others are kept, to be reported and to count when their time comes."""
        counting: list[Entry] = []
        ahead: dict[str, Entry] = {entry.id: entry for entry in self.ahead if entry.at > limit}
        for entry in entries:
            if entry.at <= limit:
                counting.append(entry)
            else:
                ahead.setdefault(entry.id, entry)
        if keep:
            self.ahead = list(ahead.values())
        return counting

    def remember(self, entries: Iterable[Entry], since: datetime, limit: datetime | None) -> None:
        """Note the recent ones, which were written at `since` or later, and the newest.

        A desk whose clock was years ahead may have written down late what was seen at a right time: what
        was written after `limit` is not recent.
        """
        recent: list[Entry] = []
        for entry in entries:
            moment = entry.written or entry.at
            if limit is not None and moment > limit:
                self.odd = True
            elif moment >= since:
                recent.append(entry)
            if self.newest is None or entry.at > self.newest.at:
                self.newest = entry
        latest_ms = int(limit.timestamp() * 1000) if limit is not None else None
        for entry in self.recent.add(recent):
            # What is written next comes after all that was, though a clock went back in between.
            given = rows.ms_of(entry.id)
            if given is not None and self.last_ms <= given and (latest_ms is None or given <= latest_ms):
                self.last_ms = given + 1

    def drop_answered(self) -> None:
        """An entry with a wrong date that was corrected is no longer reported."""
        if self.ahead:
            self.ahead = [one for one in self.ahead if one.id not in self.standing.page(one.about).dead]


class Taking:
    """A reading of all sheets under way: what they hold is taken in sheet by sheet."""

    def __init__(self, since: datetime, limit: datetime, *, looking_back: bool) -> None:
        self.taken = Taken()
        #: How many entries were taken in.
        self.many = 0
        self.gathering = Gathering()
        self._since = since
        self._limit = limit
        self._looking_back = looking_back

    def add(self, entries: list[Entry]) -> None:
        """Take in the entries of one sheet."""
        if not entries:
            return
        # Ten years pass through here, most of them quite plain: neither ahead nor recent nor late.
        newest = max(entries, key=_AT)
        if newest.at > self._limit:
            entries = self.taken.counting(entries, self._limit, keep=not self._looking_back)
        if newest.at >= self._since or any(map(_WRITTEN, entries)):
            self.taken.remember(entries, self._since, None if self._looking_back else self._limit)
        elif self.taken.newest is None or newest.at > self.taken.newest.at:
            self.taken.newest = newest
        self.many += len(entries)
        self.gathering.add(entries, newest.at)

    def join(
        self, recent: list[Entry], ahead: list[Entry], newest: Entry | None, last_ms: int, many: int, *, odd: bool
    ) -> None:
        """Take in what another process took in, its pages aside."""
        taken = self.taken
        taken.recent.add(recent)
        taken.ahead = list({entry.id: entry for entry in (*taken.ahead, *ahead)}.values())
        if newest is not None and (taken.newest is None or newest.at > taken.newest.at):
            taken.newest = newest
        taken.last_ms = max(taken.last_ms, last_ms)
        taken.odd = taken.odd or odd
        self.many += many

    def end(self) -> Taken:
        """All that was taken in, with its standing."""
        self.taken.standing = self.gathering.standing()
        self.taken.drop_answered()
        return self.taken
