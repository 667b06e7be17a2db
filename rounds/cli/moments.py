"""The moment that `--on` names, by the room's clock. Nothing here reads the clock."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from rounds.errors import BadEntry, UsageError
from rounds.logbook.times import DateOrder, fixed, on_wall
from rounds.logbook.written_times import read_day, read_moment

#: What is reckoned looks some years back and ahead, for which the calendar has to have room.
_EARLIEST: Final = 1900
_LATEST: Final = 9_900


def reckoning_moment(text: str, zone: ZoneInfo, now: datetime, order: DateOrder = "day-month") -> datetime:
    """What `--on` names: a day (its end, so that all written that day counts; today: now) or a moment.

    Raises `UsageError`.
    """
    found = _named(text, zone, now, order)
    if not _EARLIEST <= found.year <= _LATEST:
        raise UsageError(f"--on {text[:40]}: too far away to reckon")
    return found


def _named(text: str, zone: ZoneInfo, now: datetime, order: DateOrder) -> datetime:
    today = fixed(now, zone).date()
    try:
        day = read_day(text, today, order)
    except BadEntry:
        day = None
    try:
        if day is None:
            return read_moment(text, now, zone, order).moment.astimezone(UTC)
        if day.about:
            raise UsageError(f"--on {text[:40]}: it needs its day, such as 2026-04-12")
        if day.day == today:
            return now
        return on_wall(day.day + timedelta(days=1), time(0), zone) - timedelta(seconds=1)
    except BadEntry as error:
        raise UsageError(f"--on: {error} A day alone means its end.") from error
    except (ValueError, OverflowError) as error:
        raise UsageError(f"--on {text[:40]}: too far away to reckon") from error
