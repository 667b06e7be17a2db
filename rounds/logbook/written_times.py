"""Times and days as people write them: one reader for the fields of forms, for `--at` and for JSON lines.

`yesterday 18`, `3 nov`, `12.10. 8:00`, `-2d`, `7:30`, `mon 8`, `2026-04-12T07:15`. `said_moment` and `said_day`
say back what was read, in words that read back to the same. Nothing here reads the clock: `now` is an argument.
"""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta
from typing import Final, Literal, NamedTuple
from zoneinfo import ZoneInfo

from rounds.errors import BadEntry
from rounds.logbook.times import DateOrder, days_between, fixed, on_wall
from rounds.logbook.written_days import (
    DayRead,
    Lies,
    Parts,
    day_in,
    parts_of,
    said_day,
)

__all__ = ["DayRead", "Lies", "Read", "read_day", "read_moment", "said_day", "said_moment"]

#: An hour that was not written. It is said back, so that it can be put right.
NOON: Final = time(12)
#: A day without a year that lies further back than this many days is said back with its year.
_FAR_DAYS: Final = 200
HOW: Final = "write 7:30, yesterday 18, 3 nov 18:00, -2d or 2026-04-12 18:00"
_AGO: Final = re.compile(r"(?:-(\d{1,4}) ?|(\d{1,4}) ?(?=[a-z]+ ago))([a-z]+)(?: ago)?")
_UNITS: Final[dict[str, Literal["minutes", "hours", "days", "weeks"]]] = {
    **dict.fromkeys(("min", "mins", "minute", "minutes"), "minutes"),
    **dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), "hours"),
    **dict.fromkeys(("d", "day", "days"), "days"),
    **dict.fromkeys(("w", "week", "weeks"), "weeks"),
}


class Read(NamedTuple):
    """A moment with the room's offset; a remark when it is not plainly what was written."""

    moment: datetime
    remark: str = ""


def read_moment(
    text: str,
    now: datetime,
    zone: ZoneInfo,
    order: DateOrder = "day-month",
    *,
    latest: datetime | None = None,
) -> Read:
    """A moment as a keeper writes it, by the room's clock. Raises `BadEntry`, also for one after `latest`.

    A day without a year is the last such day. A day without an hour is its noon, and said so; today is now, and
    so is its weekday until noon. A weekday with an hour is the last such day, today too, its hour come or not.
    `-2d` is this hour two days ago. A time that the spring change leaves out is read with the offset before the
    change; one that the autumn change shows twice is the first of the two (RFC 5545 §3.3.5).
    """
    here = fixed(now, zone)
    parts = parts_of(text)
    shown = text.strip()[:60]
    try:
        read = _read(parts, here, zone, order)
    except (ValueError, OverflowError) as error:
        told = str(error) if isinstance(error, _Told) else ""
        raise BadEntry(f"“{shown}” is no time{told and ': ' + told}; {HOW}.") from error
    if latest is not None and read.moment > latest:
        try:
            said = said_moment(read.moment, here, zone)
        except OverflowError:  # the last hours of the calendar
            said = f"{read.moment:%Y-%m-%d}"
        raise BadEntry(f"“{shown}” is {said}: that has not come yet.")
    return read


class _Told(ValueError):
    """What is wrong with a time, in words."""


def _read(parts: Parts, here: datetime, zone: ZoneInfo, order: DateOrder) -> Read:
    if parts.text == "now":
        return Read(_minute(here))
    ago = _AGO.fullmatch(parts.text)
    if ago is not None and ago[3] in _UNITS:
        return Read(_ago(int(ago[1] or ago[2]), _UNITS[ago[3]], here, zone))
    words, clock, offset = parts.words, parts.clock, parts.offset
    if not words:
        if clock is None:
            raise _Told("")
        if offset:
            raise _Told("an offset needs its day")
        return _on(here.date(), clock, "", zone)
    named = _day(words, here, order)
    day = named.day
    if clock is None:
        read = _on(day, NOON, "", zone)
        if day == here.date() and (not named.weekday or read.moment > here):
            return Read(_minute(here), "no hour was given: read as now")
        return _far(read._replace(remark="no hour was given: read as noon"), named, here)
    return _far(_on(day, clock, offset, zone), named, here)


def _far(read: Read, day: DayRead, here: datetime) -> Read:
    """A day without a year that fell many months back is said back with its year."""
    if not day.yearless or days_between(read.moment, here) <= _FAR_DAYS:
        return read
    far = f"no year was given: read as {day.day.day} {day.day:%b %Y}"
    return read._replace(remark=f"{far}; {read.remark}" if read.remark else far)


def _day(words: str, here: datetime, order: DateOrder) -> DayRead:
    """The day that the words before the hour name."""
    ago = _AGO.fullmatch(words)
    if ago is not None and _UNITS.get(ago[3]) in ("days", "weeks"):
        many = int(ago[1] or ago[2])
        return DayRead(here.date() - timedelta(**{_UNITS[ago[3]]: many}))
    try:
        read = day_in(words, here.date(), order, "behind")
    except ValueError as error:
        raise _Told(str(error)) from error
    if read.about:
        year = re.fullmatch(r"([01]\d|2[0-3])([0-5]\d)", words)
        raise _Told(f"a year or an hour? {year[1]}:{year[2]} is an hour" if year else "it needs its day")
    return read


def _ago(many: int, unit: str, here: datetime, zone: ZoneInfo) -> datetime:
    if unit in ("days", "weeks"):
        day = here.date() - timedelta(**{unit: many})
        return _minute(here) if many == 0 else on_wall(day, here.time().replace(second=0), zone)
    return _minute(fixed(here - timedelta(**{unit: many}), zone))


def _minute(moment: datetime) -> datetime:
    return moment.replace(second=0)


def _on(day: date, clock: time, offset: str, zone: ZoneInfo) -> Read:
    if offset:
        written = "+00:00" if offset in "zZ" else offset
        return Read(fixed(datetime.fromisoformat(f"{day}T{clock.isoformat()}{written}"), zone))
    moment = on_wall(day, clock, zone)
    if moment.replace(tzinfo=None) != datetime.combine(day, clock):
        return Read(
            moment,
            f"{clock:%H:%M} was left out by the room's clock on {day}: read as {moment:%H:%M}, when it had changed",
        )
    if _comes_twice(day, clock, zone):
        later = _second(day, clock, zone)
        return Read(
            moment,
            f"{clock:%H:%M} came twice on {day}: read as the first; for the second write {said_offset(later)} "
            "behind it",
        )
    return Read(moment)


def _second(day: date, clock: time, zone: ZoneInfo) -> datetime:
    return fixed(datetime.combine(day, clock, tzinfo=zone).replace(fold=1))


def _comes_twice(day: date, clock: time, zone: ZoneInfo) -> bool:
    first = on_wall(day, clock, zone)
    later = _second(day, clock, zone)
    return later.replace(tzinfo=None) == first.replace(tzinfo=None) and later.utcoffset() != first.utcoffset()


def said_offset(moment: datetime) -> str:
    """`+02:00`, the offset of a moment as it is written behind an hour."""
    return moment.isoformat()[19:]


def said_moment(moment: datetime, now: datetime, zone: ZoneInfo) -> str:
    """`yesterday, Tue 24 Nov 18:00`: a moment said back, so that it reads back to the same.

    Its offset is added where the room's clock shows that hour twice and this is the second.
    """
    here = fixed(moment, zone)
    clock = f"{here:%H:%M:%S}" if here.second else f"{here:%H:%M}"
    day = here.date()
    second = _comes_twice(day, here.time(), zone) and on_wall(day, here.time(), zone) != here
    near = {0: "today, ", 1: "yesterday, "}.get(days_between(here, fixed(now, zone)), "")
    return f"{near}{said_day(day, fixed(now, zone).date())} {clock}{said_offset(here) if second else ''}"


def read_day(
    text: str, today: date, order: DateOrder = "day-month", lies: Lies = "behind", label: str = "day"
) -> DayRead:
    """A day as a keeper writes it; `2024-05`, `may 2024` and `2024` are their first day, and `about` is set.

    `lies` says which year is meant where none is written: the last such day, or the next one. Raises `BadEntry`.
    """
    parts = parts_of(text)
    told = ""
    try:
        if parts.clock is None or parts.offset:
            far = re.fullmatch(r"(?:\+|in )(\d{1,4}) ?([a-z]+)", parts.text)
            ago = _AGO.fullmatch(parts.text)
            many, unit = (far[1], far[2]) if far else (ago[1] or ago[2], ago[3]) if ago else ("0", "")
            if _UNITS.get(unit) in ("days", "weeks"):
                step = timedelta(**{_UNITS[unit]: int(many)})
                return DayRead(today + step if far else today - step)
            return day_in(parts.text, today, order, lies)
        told = "an hour is not asked for here"
    except (ValueError, OverflowError) as error:
        told = str(error) if isinstance(error, ValueError) else ""
    like = "3 dec, +2w" if lies == "ahead" else "3 nov, yesterday"
    raise BadEntry(f"{label}: “{text.strip()[:60]}” is no day{told and ': ' + told}; write {like} or 2026-04-12.")
