"""Times as loggers write them: ISO, days in the colony's order, twelve-hour clocks, seconds since 1970. Pure."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta, timezone
from typing import Final, NamedTuple
from zoneinfo import ZoneInfo

from rounds.errors import BadEntry
from rounds.logbook.times import DateOrder

_ISO: Final = re.compile(r"(?P<y>\d{4})[-/.](?P<m>\d{1,2})[-/.](?P<d>\d{1,2})")
_COMPACT: Final = re.compile(r"(?P<y>(?:19|20)\d{2})(?P<m>\d{2})(?P<d>\d{2})(?=\D|$)")
_DIGITS: Final = re.compile(r"(?P<a>\d{1,2})(?P<s>[-/.])(?P<b>\d{1,2})(?P=s)(?P<y>\d{4}|\d{2})(?!\d)")
_NAMED: Final = re.compile(r"(?P<d>\d{1,2})[ -](?P<n>[A-Za-z]{3,9})\.?[ ,-]{1,2}(?P<y>\d{4}|\d{2})(?!\d)")
_NAMED_FIRST: Final = re.compile(r"(?P<n>[A-Za-z]{3,9})\.? (?P<d>\d{1,2}),? (?P<y>\d{4})")
_WEEKDAY: Final = re.compile(r"(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,? ", re.I)
_CLOCK: Final = re.compile(
    r"(?P<h>\d{1,2})[:.h](?P<m>\d{2})(?:[:.](?P<s>\d{2})(?:[.,]\d+)?)?\s*(?P<half>[AaPp]\.?[Mm]\.?)?"
    r"\s*(?P<zone>Z|UTC|GMT|(?:UTC|GMT)?\s*[+\-−]\d{1,2}(?::?\d{2})?)?"
)
_RUN_ON: Final = re.compile(r"((?:19|20)\d{2})(\d{2})(\d{2})[T _]?(\d{2})(\d{2})(\d{2})")
_CLOCK_FIRST: Final = re.compile(r"(\d{1,2}:\d{2}(?::\d{2})?(?:\s*[AaPp]\.?[Mm]\.?)?)[ ,]+(\d.*\d)")
_EPOCH: Final = re.compile(r"\d{9,10}(?:\.\d+)?|\d{12,13}")
_OFFSET: Final = re.compile(r"(?:UTC|GMT|UT|Z)?\s*([+\-−])\s*(\d{1,2})(?::?(\d{2}))?", re.I)
_MONTHS: Final = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_CENTURY: Final = 2000
#: A logger whose clock was never set begins in 1970 or 2000.
_SET_FROM: Final = 2010

Zone = ZoneInfo | timezone


class Written(NamedTuple):
    """A time as it stands in the file: by some clock, or with the offset that stands beside it.

    `by_order` tells that its day was read in the colony's order, such as 3/4.
    """

    wall: datetime
    zone: timezone | None = None
    by_order: bool = False


def _plain(cell: str) -> str:
    """The time with its day first and its parts apart, however it was written."""
    text = cell.strip()
    run_on = _RUN_ON.fullmatch(text)
    if run_on is not None:
        return "{}-{}-{} {}:{}:{}".format(*run_on.groups())
    turned = _CLOCK_FIRST.fullmatch(text)
    return f"{turned[2]} {turned[1]}" if turned is not None else text


def looks_like_time(cell: str) -> bool:
    """Whether a cell holds a day and an hour."""
    cell = _plain(cell)
    day = _day_in(cell)
    return day is not None and _CLOCK.match(cell[day.end() :].lstrip(" T,_")) is not None


def looks_like_day(cell: str) -> bool:
    """Whether a cell holds a day alone."""
    day = _day_in(cell)
    return day is not None and not cell[day.end() :].strip(" ,T")


def looks_like_clock(cell: str) -> bool:
    """Whether a cell holds an hour alone."""
    return ":" in cell and _CLOCK.fullmatch(cell.strip()) is not None


def looks_like_epoch(cell: str) -> bool:
    """Whether a cell holds seconds, or thousandths of them, since 1970."""
    return _EPOCH.fullmatch(cell.strip()) is not None


def _day_in(cell: str) -> re.Match[str] | None:
    cell = cell.strip()
    start = _WEEKDAY.match(cell)
    at = start.end() if start else 0
    for pattern in (_ISO, _COMPACT, _DIGITS, _NAMED, _NAMED_FIRST):
        found = pattern.match(cell, at)
        if found is not None:
            return found
    return None


def written(cell: str, order: DateOrder) -> Written:
    """The time in a cell. Raises `ValueError` with what is wrong with it, in words."""
    text = _plain(cell)
    if looks_like_epoch(text):
        return Written(_epoch(text), UTC)
    found = _day_in(text)
    if found is None:
        raise ValueError("no time")
    day = _day(found, order)
    clock = _CLOCK.match(text[found.end() :].lstrip(" T,_"))
    if clock is None:
        raise ValueError("no hour")
    hour, minute, second = int(clock["h"]), int(clock["m"]), int(clock["s"] or 0)
    if clock["half"]:
        if not 1 <= hour <= 12:
            raise ValueError(f"there is no {hour} o'clock on a twelve-hour clock")
        hour = hour % 12 + (12 if clock["half"][0] in "pP" else 0)
    if hour == 24 and minute == second == 0:
        day, hour = day + timedelta(days=1), 0
    try:
        wall = datetime.combine(day, time(hour, minute, second))
    except ValueError:
        raise ValueError("there is no such hour") from None
    offset = offset_of(clock["zone"]) if clock["zone"] else None
    if offset is None and clock["zone"] and clock["zone"].strip()[:1] in ("+", "-", "−"):
        raise ValueError(f"{clock['zone'].strip()} is no offset of a clock")
    return Written(wall, offset, "a" in found.groupdict())


def _epoch(text: str) -> datetime:
    seconds = float(text)
    return datetime.fromtimestamp(seconds / 1000 if seconds > 1e11 else seconds, UTC).replace(tzinfo=None)


def _day(found: re.Match[str], order: DateOrder) -> date:
    parts = found.groupdict()
    year = int(parts["y"])
    year += _CENTURY if len(parts["y"]) == 2 else 0
    if "n" in parts:
        name = parts["n"][:3].casefold()
        if name not in _MONTHS:
            raise ValueError(f"there is no month {parts['n']}")
        month, day = _MONTHS.index(name) + 1, int(parts["d"])
    elif "a" in parts:
        first, second = int(parts["a"]), int(parts["b"])
        day, month = (first, second) if order == "day-month" else (second, first)
        if not 1 <= month <= 12:
            if not (1 <= day <= 12 and 1 <= month <= 31):
                raise ValueError("there is no such day, in either order")
            raise WrongOrder(f"there is no month {month}")
    else:
        month, day = int(parts["m"]), int(parts["d"])
    try:
        return date(year, month, day)
    except ValueError:
        raise ValueError("there is no such day") from None


def two_ways(cell: str) -> tuple[int, int, int] | None:
    """The figures of a day that colonies write in two orders, `3/4/2026`, with its year; None of any other."""
    found = _day_in(_plain(cell))
    if found is None or "a" not in found.groupdict():
        return None
    return int(found["a"]), int(found["b"]), int(found["y"])


class WrongOrder(ValueError):
    """A day whose month is none: the file may be written in the other order."""


def offset_of(text: str) -> timezone | None:
    """The offset that a zone in a file names: `Z`, `UTC`, `GMT+01:00`, `+10`; None where it names none."""
    plain = text.strip().replace("−", "-")
    if plain.upper() in ("Z", "UTC", "GMT"):
        return UTC
    found = _OFFSET.fullmatch(plain)
    if found is None:
        return None
    hours, minutes = int(found[2]), int(found[3] or 0)
    if hours > 14 or minutes > 59:
        return None
    return timezone(timedelta(hours=hours, minutes=minutes) * (-1 if found[1] == "-" else 1))


def offset_in_header(name: str) -> timezone | None:
    """The offset that the name of a time's column gives: `Date Time, GMT+01:00`, `Time (UTC)`."""
    found = re.search(r"\b(?:UTC|GMT)\s*(?:[+\-−]\s*\d{1,2}(?::?\d{2})?)?", name, re.I)
    return offset_of(found[0]) if found else None


def zone_named(text: str) -> Zone:
    """The zone a keeper gives for a file: `UTC`, `+01:00`, `Europe/Vienna`. Raises `BadEntry`."""
    fixed = offset_of(text)
    if fixed is not None:
        return fixed
    try:
        return ZoneInfo(text.strip())
    except (KeyError, ValueError, OSError):
        raise BadEntry(f"There is no zone “{text[:60]}”: write UTC, +01:00 or Europe/Vienna.") from None


class Clock:
    """The logger's clock: from what it wrote, in the order of the file, to moments.

    An hour that the autumn change shows twice is the first of the two, unless the reading before it was later by
    an hour at most; with `hourly`, for readings an hour apart or more, also unless it was the same.
    """

    def __init__(self, zone: Zone, *, hourly: bool = False) -> None:
        self.zone = zone
        self.hourly = hourly
        self._before: datetime | None = None

    def moment(self, one: Written) -> datetime:
        """The moment, in UTC. Raises `ValueError` in words: an hour left out in spring, a wrong year."""
        if not _SET_FROM <= one.wall.year < 9_000:
            raise ValueError(f"the year {one.wall.year}: the logger's clock was not set")
        if one.zone is not None:
            found = one.wall.replace(tzinfo=one.zone).astimezone(UTC)
        else:
            local = one.wall.replace(tzinfo=self.zone)
            found = local.astimezone(UTC)
            if found.astimezone(self.zone).replace(tzinfo=None) != one.wall:
                raise LeftOut("the room's clock left this hour out")
            later = local.replace(fold=1).astimezone(UTC)
            if later != found and self._is_second(found):
                found = later
        self._before = found
        return found

    def _is_second(self, first: datetime) -> bool:
        """Whether the hour was shown before already."""
        if self._before is None:
            return False
        ahead = self._before - first
        return timedelta() < ahead <= timedelta(hours=1) or (self.hourly and not ahead)


class LeftOut(ValueError):
    """An hour that the spring change leaves out."""
