"""Whether a logger's file writes its days as the colony does: 3/4 as 3 April, or as March 4. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from itertools import pairwise
from typing import Final

from rounds.errors import BadEntry
from rounds.logbook.logger_times import two_ways
from rounds.logbook.times import DateOrder

#: Days of one order lie so many days apart at most, those of the other so many at least: a logger skips no month.
_CLOSE: Final = 3
_APART: Final = 26
_LETTERS: Final = 10


class NeedsOrder(BadEntry):
    """The days of the file are hardly written in the colony's order: the keeper says in which."""


def ask_order(cells: Iterable[tuple[int, str]], order: DateOrder) -> None:
    """Raise `NeedsOrder` where the days speak for the other order; `cells` are times, each with its line's number.

    They do where a month is none and no line proves the colony's order, or where they lie a month apart in the
    colony's order and a day apart in the other. One day alone says nothing: it is read as the colony writes it.
    """
    days: list[tuple[int, int, int]] = []
    begun, wrong, right = "", 0, False
    for number, cell in cells:
        if cell[:_LETTERS] == begun:
            continue
        begun = cell[:_LETTERS]
        found = two_ways(cell)
        if found is None or (days and days[-1] == found):
            continue
        days.append(found)
        first, second, _ = found
        month, day = (second, first) if order == "day-month" else (first, second)
        if 1 <= day <= 12 < month <= 31:
            wrong = wrong or number
        right = right or month <= 12 < day
    other: DateOrder = "month-day" if order == "day-month" else "day-month"
    here, there = order.replace("-", ", then "), other.replace("-", ", then ")
    if wrong and not right:
        raise NeedsOrder(
            f"Line {wrong}: there is no such month (read as {here}). "
            f"If the file writes {there}, add --date-order {other}."
        )
    if _step(days, order) >= _APART and 0 < _step(days, other) <= _CLOSE:
        raise NeedsOrder(
            f"The days of the file lie a month apart (read as {here}). "
            f"If it writes {there}, add --date-order {other}; else --date-order {order}."
        )


def _step(days: Sequence[tuple[int, int, int]], order: DateOrder) -> int:
    """How many days lie between most days of the file and the next; 0 where it cannot be said."""
    found: list[date] = []
    for first, second, year in days:
        month, day = (second, first) if order == "day-month" else (first, second)
        try:
            found.append(date(year + 2_000 if year < 100 else year, month, day))
        except ValueError:
            return 0
    steps = sorted(abs((two - one).days) for one, two in pairwise(found))
    return steps[len(steps) // 2] if steps else 0
