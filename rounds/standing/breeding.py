"""The parts of a female's breeding year: phases, the days they are reckoned by, company, windows, digging."""

from __future__ import annotations

from datetime import date, datetime
from typing import Literal

import msgspec

from rounds.logbook.entries import Entry
from rounds.logbook.times import days_between
from rounds.standing.weighing import WeighingRule

Phase = Literal["resting", "with male", "mated", "gravid", "nesting", "in lay box", "laying", "laid"]
#: What opens a window to lay.
Chance = Literal["mated", "with a male", "stored sperm"]


class Days(msgspec.Struct, frozen=True):
    """The house rules that a female's year is reckoned by; in days where no other unit is named.

    `House.breeding_days` gives those of a house. The values here are the defaults of rounds/rules/defaults
    (breeding, eggbinding, pairing), where their sources stand.
    """

    window_opens: int = 14
    window_closes: int = 42
    next_opens: int = 21
    next_closes: int = 42
    laid_lasts: int = 14
    nesting_gap: int = 14
    dig_vet_day: int = 7
    closing_hours: int = 24
    #: Once no egg came for so many hours a vet is called.
    call_hours: float = 24
    #: Laying stopped with eggs left: a vet sees her within so many hours of the last egg.
    vet_hours: float = 48
    gravid_days: int = 120
    stored_days: int = 120
    together_days: int = 3
    gravid_from_months: int = 8
    grown_months: int = 18
    grown_grams: int = 200
    least_eggs: int = 10
    short_percent: int = 50
    #: For how many of her own intervals the house's window, or what others took, counts.
    forecast_counts: float = 4
    #: How far times to laying are taken to differ before the colony has its own, as a part of them.
    forecast_spread: float = 0.2
    #: From how many intervals of others at most it is learned how far they differ.
    forecast_held: float = 20
    #: From how many of the colony's newest clutches is learned.
    forecast_clutches: int = 60
    #: She is due from this quantile of the forecast, and overdue after that.
    forecast_due: float = 0.1
    forecast_overdue: float = 0.95
    #: Which readings of the scale are one weighing.
    weighing: WeighingRule = WeighingRule()
    #: What is noted within so many hours was seen once.
    turn_hours: float = 3


class Company(msgspec.Struct, frozen=True):
    """A time she and a male were together; `until` None while they still are."""

    mate: str | None
    since: datetime
    until: datetime | None
    entry: Entry | None
    #: When it was written down.
    known: datetime


class Window(msgspec.Struct, frozen=True):
    """The days on which she may lay, both ends among them, and what they are reckoned from."""

    opens: date
    closes: date
    #: When it ends by the first chance alone; the same as `closes` when there was one.
    first_closes: date
    entries: tuple[Entry, ...]
    why: Chance
    #: The days of the first and of the last chance.
    first: date
    last: date


class Digging(msgspec.Struct, frozen=True):
    """A run of nest digging: the entries, oldest first. Pauses belong to it, for trial nests come and go."""

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
        """Which day it is since digging was first seen, pauses counted; that day is day 1."""
        return days_between(self.since, now) + 1
