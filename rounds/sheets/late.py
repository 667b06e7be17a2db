"""Which sheets from after a period hold something of it: a late note, or a correction."""

from __future__ import annotations

import re
from datetime import date
from typing import Final

#: Months of a period that are looked for one by one.
_MOST_MONTHS: Final = 120


def late_lines(first: date | None, last: date | None) -> re.Pattern[bytes] | None:
    """What a sheet from after a period holds when it matters to it: the month of a day in it, or a correction.

    None for a period without an end, and for a long one: every sheet may hold such.
    """
    if first is None or last is None:
        return None
    # A day more on both sides: an offset may put an entry on the day before or after.
    day, end = day_beside(first, -1), day_beside(last, 1)
    months = range(12 * day.year + day.month - 1, 12 * end.year + end.month)
    # Of a long time its years will do.
    texts = [f"{month // 12:04d}-{month % 12 + 1:02d}" for month in months[:_MOST_MONTHS]]
    if len(months) > _MOST_MONTHS:
        texts = [f"{year:04d}" for year in range(day.year, end.year + 1)]
    return re.compile(rb'"at"\s*:\s*"(?:' + "|".join(texts).encode() + rb')|"kind"\s*:\s*"corrected"')


def day_beside(day: date, step: int) -> date:
    """The day before or after, as far as the calendar goes."""
    return date.fromordinal(min(max(day.toordinal() + step, date.min.toordinal()), date.max.toordinal()))
