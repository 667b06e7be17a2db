"""What a desk knows of a colony: the standing, the recent entries, and those dated ahead."""

from __future__ import annotations

from bisect import insort
from collections.abc import Callable, Iterable
from datetime import datetime, timedelta
from operator import attrgetter
from typing import Final, TypeAlias

from msgspec.structs import replace

from rounds.logbook import rows
from rounds.logbook.entries import Entry, HandedOver, TakenOver
from rounds.standing.fold import Gathering, Standing

#: How long an entry stays among the recent ones: today, yesterday, and the shift being handed over.
RECENT: Final = timedelta(hours=48)
_AT: Final = attrgetter("at")
_WRITTEN: Final = attrgetter("written")
_BY_TIME: Final = attrgetter("key")
#: Gives the recent entries that an earlier run stored, all or those of some kinds only.
StoredRecent: TypeAlias = Callable[[tuple[type[Entry], ...]], list[Entry]]


class Recent:
    """Entries of the last two days by time, each once. Those of an earlier run are decoded when asked for."""

    def __init__(self, stored: StoredRecent | None = None) -> None:
        self._stored = stored
        self._entries: list[Entry] = []
        self._ids: set[str] = set()

    @property
    def entries(self) -> list[Entry]:
        """All of them, oldest first."""
        if self._stored is not None:
            stored, self._stored = self._stored, None
            self.add(stored(()))
        return self._entries

    @property
    def shifts(self) -> list[TakenOver | HandedOver]:
        """Take-overs and hand-overs among them, oldest first."""
        stored = self._stored((TakenOver, HandedOver)) if self._stored is not None else []
        found = {
            entry.id: entry for entry in (*stored, *self._entries) if isinstance(entry, TakenOver | HandedOver)
        }
        return sorted(found.values(), key=_BY_TIME)

    def add(self, entries: Iterable[Entry]) -> list[Entry]:
        """Note these; those that were new."""
        new = [entry for entry in entries if entry.id not in self._ids]
        self._ids.update(entry.id for entry in new)
        if len(new) > 16:
            self._entries += new
            self._entries.sort(key=_BY_TIME)
        else:
            for entry in new:
                insort(self._entries, entry, key=_BY_TIME)
        return new


def as_seen(entries: Iterable[Entry], limit: datetime) -> list[Entry]:
    """The entries for a look back at a moment: what was written down after it counts from when it was seen."""
    return [
        replace(entry, written=None) if entry.written is not None and entry.written > limit else entry
        for entry in entries
    ]


class State:
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


class StateBuilder:
    """A reading of all sheets under way: the state that they make, sheet by sheet."""

    def __init__(self, since: datetime, limit: datetime, *, looking_back: bool) -> None:
        self._state = State()
        self.gathering = Gathering()
        self._since = since
        self._limit = limit
        self._looking_back = looking_back

    def sift(self, entries: list[Entry]) -> list[Entry]:
        """Those that can make a difference: for `add`, and for the reading of sheets."""
        newest = max(map(_AT, entries), default=self._since)
        if newest >= self._since or any(map(_WRITTEN, entries)):
            return entries  # some are recent, or ahead, or may have been written late
        return self.gathering.sift(entries, newest)

    def add(self, entries: list[Entry]) -> None:
        """Take in the entries of one sheet, sifted or not."""
        if not entries:
            return
        # Ten years pass through here, most of them quite plain: neither ahead nor recent nor late.
        newest = max(entries, key=_AT)
        if self._looking_back:
            entries = as_seen(entries, self._limit)
        if newest.at > self._limit:
            entries = self._state.counting(entries, self._limit, keep=not self._looking_back)
        if newest.at >= self._since or any(map(_WRITTEN, entries)):
            self._state.remember(entries, self._since, None if self._looking_back else self._limit)
        elif self._state.newest is None or newest.at > self._state.newest.at:
            self._state.newest = newest
        self.gathering.add(entries)

    def end(self) -> State:
        """The state that all of them make."""
        self._state.standing = self.gathering.standing()
        self._state.drop_answered()
        return self._state
