"""Who a subject is and whether it is here: what its own page tells, without the rest of the colony.

Cards are made of it, and the views of animals, groups and enclosures build on it.
"""

from __future__ import annotations

from datetime import date, datetime

from rounds.logbook.entries import (
    Arrived,
    Died,
    EnclosureSetUp,
    EnclosureTakenDown,
    Entry,
    Left,
    Moved,
    PedigreeNoted,
    QuarantineEnded,
    SexSettled,
    StockCounted,
    StockIn,
)
from rounds.logbook.group_census import COUNTING, GroupCensus, read_census
from rounds.logbook.words import Certainty, Sex
from rounds.standing.kept import cached_property
from rounds.standing.view import View, newest


class AnimalIdentity(View):
    """Who an animal is, and where it lives."""

    @cached_property
    def arrived(self) -> Arrived | None:
        """The entry that opened it (the newest, when it came back after leaving)."""
        return self.last(Arrived)

    @cached_property
    def elsewhere(self) -> PedigreeNoted | None:
        """What names one that never lived here: its descent was noted, and it never arrived. Else None."""
        if self.arrived is not None:
            return None
        noted = self.own(PedigreeNoted)
        return next((entry for entry in reversed(noted) if entry.name.strip()), noted[-1] if noted else None)

    @cached_property
    def sex(self) -> Sex:
        """F, M or ?: as last settled, else as it arrived, else as papers say."""
        settled, arrived = self.last(SexSettled), self.arrived
        if settled and (arrived is None or settled.key > arrived.key):
            return settled.sex
        known = [entry.sex for entry in self.own(PedigreeNoted) if entry.sex != "?"]
        known += [entry.sex for entry in self.own(Arrived) if entry.sex != "?"]
        if settled and settled.sex != "?" and not (arrived and arrived.sex != "?"):
            return settled.sex
        return known[-1] if known else "?"

    @cached_property
    def sex_certainty(self) -> Certainty:
        """How sure its sex is, as last settled; what it arrived as counts as sure."""
        settled, arrived = self.last(SexSettled), self.arrived
        if (
            settled is None
            or self.sex == "?"
            or settled.sex != self.sex
            or (arrived and arrived.sex != "?" and arrived.key > settled.key)
        ):
            return "sure"
        return settled.certainty

    @property
    def sex_words(self) -> str:
        """`F`, `F, likely`, `M, a guess` or `?`."""
        if self.sex == "?":
            return "?"
        return self.sex + {"likely": ", likely", "guess": ", a guess"}.get(self.sex_certainty, "")

    @cached_property
    def hatched(self) -> date | None:
        """The day it hatched, as far as known: as it arrived, else as papers say."""
        days = [entry.hatched for entry in self.own(PedigreeNoted) if entry.hatched]
        days += [entry.hatched for entry in self.own(Arrived) if entry.hatched]
        return days[-1] if days else None

    @cached_property
    def gone(self) -> Entry | None:
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
        for entry in placing:
            if isinstance(entry, Arrived):
                place, gone = entry.place or place, False
            elif isinstance(entry, Moved):
                place = entry.to
            else:
                gone = True
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
    def census(self) -> GroupCensus:
        """Every term of its sum."""
        return read_census(self.subject, (entry for kind in COUNTING for entry in self.page.of(kind)))

    @property
    def started(self) -> int:
        """How many came into it in all, later joiners too."""
        return self.census.came

    @property
    def died(self) -> int:
        """How many of it died since it was registered."""
        return self.census.died

    @property
    def left(self) -> int:
        """How many of it left since it was registered."""
        return self.census.left

    @property
    def count(self) -> int:
        """How many there are now."""
        return self.census.alive

    @cached_property
    def gone(self) -> Entry | None:
        """The entry by which the group came to nothing: a death, a leaving, a merging, the last one singled out."""
        return self.census.ended

    @cached_property
    def place(self) -> str | None:
        """Where they live now; None when none of them is here (any more)."""
        if self.gone is not None:
            return None
        placing: list[Entry] = [*self.own(Arrived), *self.own(Moved)]
        place: str | None = None
        for entry in sorted(placing, key=lambda entry: entry.key):
            place = (
                entry.place if isinstance(entry, Arrived) else entry.to if isinstance(entry, Moved) else None
            ) or place
        return place


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
