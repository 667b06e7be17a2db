"""One supply as it stands at a moment, reckoned: what is left, what is needed, until when it lasts."""

from __future__ import annotations

from datetime import date

import msgspec

from rounds.due.matter import Level
from rounds.logbook.entries import StockCounted


class Stock(msgspec.Struct, frozen=True, kw_only=True):
    """One supply at a moment: what is left of it, what is needed, until when it lasts. Amounts are in `unit`."""

    subject: str
    name: str
    unit: str
    #: What it is for, as colony.toml has it; empty where that tells nothing.
    use: str
    counted: StockCounted | None
    came_in: float
    #: What is reckoned to be left this morning; None when nothing was ever counted, nor came in.
    left: float | None
    #: What the plan gives on a day, on average over the next 14; None where nothing is planned.
    planned: float | None
    #: The unit it would have to be counted in to be planned; empty where it is planned, or is not eaten.
    planned_in: str
    #: What was really used a day, by the counts of the last weeks; None without two counts.
    really: float | None
    #: Really used ÷ planned, held between the limits; 1 while nothing is known.
    factor: float
    #: Whether the factor was learned from counts.
    learned: bool
    need_week: float | None
    need_fortnight: float | None
    #: The first day whose need is not covered any more; None when it lasts a year, or no one can say.
    runs_out: date | None
    #: When to order, so that none is missed.
    order_on: date | None
    #: How much to order today; 0 when nothing is to be ordered yet.
    order: float
    #: How pressing it is that it runs out; None while nothing is to be ordered yet.
    level: Level | None
    house: tuple[str, ...]

    def days_left(self, today: date) -> int | None:
        """For how many days it lasts, today among them; None when no one can say."""
        return None if self.runs_out is None else max(0, (self.runs_out - today).days)
