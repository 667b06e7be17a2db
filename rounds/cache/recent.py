"""The entries of the last two days, by time: what the hand-over, take-back and a restarted desk look at."""

from __future__ import annotations

from bisect import insort
from collections.abc import Callable, Iterable
from operator import attrgetter
from typing import Final

from rounds.logbook.entries import Entry, HandedOver, TakenOver

_BY_TIME: Final = attrgetter("key")
#: Gives the entries kept from an earlier run, all or those of some kinds only.
KeptRecent = Callable[[tuple[type[Entry], ...]], list[Entry]]


class Recent:
    """Entries by time, each once. Those kept from an earlier run are read when somebody looks."""

    def __init__(self, kept: KeptRecent | None = None) -> None:
        self._kept = kept
        self._entries: list[Entry] = []
        self._ids: set[str] = set()

    @property
    def entries(self) -> list[Entry]:
        """All of them, oldest first."""
        if self._kept is not None:
            kept, self._kept = self._kept, None
            self.add(kept(()))
        return self._entries

    @property
    def shifts(self) -> list[TakenOver | HandedOver]:
        """Take-overs and hand-overs among them, oldest first."""
        kept = self._kept((TakenOver, HandedOver)) if self._kept is not None else []
        found = {entry.id: entry for entry in (*kept, *self._entries) if isinstance(entry, TakenOver | HandedOver)}
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
