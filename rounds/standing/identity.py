"""Who a subject is and whether it is here: what its own page tells, without the rest of the colony.

Cards are made of it, and the views of animals, groups and enclosures build on it.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from functools import cached_property

from rounds.logbook.entries import (
    Arrived,
    Died,
    EnclosureSetUp,
    EnclosureTakenDown,
    Entry,
    Left,
    Moved,
    QuarantineEnded,
    SexSettled,
    StockCounted,
    StockIn,
)
from rounds.logbook.words import Sex
from rounds.standing.view import View, newest


class AnimalIdentity(View):
    """Who an animal is, and where it lives."""

    @cached_property
    def arrived(self) -> Arrived | None:
        """The entry that opened it (the newest, when it came back after leaving)."""
        return self.last(Arrived)

    @cached_property
    def sex(self) -> Sex:
        """F, M or ?: as last settled, else as it arrived."""
        settled, arrived = self.last(SexSettled), self.arrived
        if settled and (arrived is None or settled.key > arrived.key):
            return settled.sex
        known = [entry.sex for entry in self.own(Arrived) if entry.sex != "?"]
        if settled and settled.sex != "?" and not (arrived and arrived.sex != "?"):
            return settled.sex
        return known[-1] if known else "?"

    @cached_property
    def hatched(self) -> date | None:
        """The day it hatched, as far as known."""
        days = [entry.hatched for entry in self.own(Arrived) if entry.hatched]
        return days[-1] if days else None

    @cached_property
    def gone(self) -> Left | Died | None:
        """The entry by which it left or died, if it is not here any more."""
        ends: list[Left | Died] = [*self.own(Left), *self.own(Died)]
        if not ends:
            return None
        end = max(ends, key=lambda entry: entry.key)
        return None if self.arrived and self.arrived.key > end.key else end

    @property
    def here(self) -> bool:
        """Whether it arrived and neither left nor died since."""
        return self.arrived is not None and self.gone is None

    @cached_property
    def place(self) -> str | None:
        """Where it lives now; None when it is not here (any more)."""
        placing: list[Entry] = [entry for kind in (Arrived, Moved, Died, Left) for entry in self.own(kind)]
        placing.sort(key=lambda entry: entry.key)
        place: str | None = None
        gone = False
        count: int | None = None
        for entry in placing:
            if isinstance(entry, Arrived):
                place, gone = entry.place or place, False
                count = entry.count if count is None or entry.count is None else count + entry.count
            elif isinstance(entry, Moved):
                place = entry.to
            elif isinstance(entry, Left | Died):
                if entry.count is None or count is None:
                    gone = True
                else:
                    count -= entry.count
                    gone = count <= 0
        return None if gone else place

    @cached_property
    def quarantine_since(self) -> datetime | None:
        """When its quarantine began, if it was never ended by an entry. The house rule says how long."""
        arrived, ended = self.arrived, self.last(QuarantineEnded)
        if arrived is None or not arrived.quarantine or (ended is not None and ended.key > arrived.key):
            return None
        return arrived.at


class GroupIdentity(AnimalIdentity):
    """Who a group is, and how many there are of it."""

    @cached_property
    def started(self) -> int:
        """How many there were in all, later joiners too."""
        return sum(entry.count or 0 for entry in self.own(Arrived))

    @cached_property
    def died(self) -> int:
        """How many of it died since it was registered."""
        return sum(self._many(entry) for entry in self._since_registered(self.own(Died)))

    @cached_property
    def left(self) -> int:
        """How many of it left since it was registered."""
        return sum(self._many(entry) for entry in self._since_registered(self.own(Left)))

    @property
    def count(self) -> int:
        """How many there are now."""
        return max(0, self.started - self.died - self.left)

    @cached_property
    def gone(self) -> Left | Died | None:
        """The last entry by which the group came to nothing."""
        ends: list[Left | Died] = [*self.own(Left), *self.own(Died)]
        whole = [entry for entry in ends if entry.count is None]
        if whole or (ends and self.count == 0):
            end = max(whole or ends, key=lambda entry: entry.key)
            return None if self.arrived and self.arrived.key > end.key else end
        return None

    def _since_registered(self, entries: Iterable[Died | Left]) -> list[Died | Left]:
        """Those of the group as it was registered: who died or left before is not counted in it."""
        first = self.own(Arrived)[:1]
        return [entry for entry in entries if not first or entry.key > first[0].key]

    def _many(self, entry: Left | Died) -> int:
        return self.started if entry.count is None else entry.count


class SupplyIdentity(View):
    """What a supply is called, and whether it was ever counted."""

    @cached_property
    def opened(self) -> StockCounted | StockIn | None:
        """The entry that opened it: its first count, or what first came in."""
        found: list[StockCounted | StockIn] = [*self.own(StockCounted)[:1], *self.own(StockIn)[:1]]
        return min(found, key=lambda entry: entry.key, default=None)

    @cached_property
    def name(self) -> str:
        """What keepers call it: the name last written, else its id in words."""
        named: list[StockCounted | StockIn] = [
            *(entry for entry in self.own(StockCounted) if entry.name.strip()),
            *(entry for entry in self.own(StockIn) if entry.name.strip()),
        ]
        last = newest(named)
        return last.name if last is not None else self.subject.partition("/")[2].replace("-", " ")


class EnclosureIdentity(View):
    """What an enclosure is, and whether it stands."""

    @cached_property
    def set_up(self) -> EnclosureSetUp | None:
        """The entry that opened it (the newest, when it was set up again)."""
        return self.last(EnclosureSetUp)

    @cached_property
    def stands(self) -> bool:
        """Whether it was set up and not taken down since."""
        down = self.last(EnclosureTakenDown)
        return self.set_up is not None and (down is None or down.key < self.set_up.key)
