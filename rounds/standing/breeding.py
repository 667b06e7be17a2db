"""The parts of a female's breeding year: her phase, the days it depends on, company of a male, a run of digging."""

from __future__ import annotations

from datetime import datetime
from typing import Literal, NamedTuple

from rounds.logbook.entries import Entry
from rounds.logbook.times import days_between

Phase = Literal["resting", "with male", "mated", "gravid", "nesting", "in lay box", "laying", "laid"]


class Days(NamedTuple):
    """The house rules a phase depends on, in days."""

    window_closes: int = 42
    laid_lasts: int = 14
    nesting_gap: int = 14
    closing_hours: int = 24


class Company(NamedTuple):
    """A time she and a male were together; `until` None while they still are."""

    mate: str | None
    since: datetime
    until: datetime | None
    entry: Entry | None


class Digging(NamedTuple):
    """A run of nest digging without a long pause: the entries, oldest first."""

    entries: tuple[Entry, ...]

    @property
    def since(self) -> datetime:
        """When it was first seen."""
        return self.entries[0].at

    @property
    def last(self) -> datetime:
        """When it was last seen."""
        return self.entries[-1].at

    def day(self, now: datetime) -> int:
        """Which day of digging it is; the day it was first seen is day 1."""
        return days_between(self.since, now) + 1
