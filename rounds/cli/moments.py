"""Times as a keeper writes them, read by the room's clock."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta
from typing import Final, NamedTuple
from zoneinfo import ZoneInfo

from rounds.errors import BadEntry, UsageError
from rounds.logbook.times import fixed, on_wall

_MOMENT: Final = re.compile(
    r"(?:(?P<day>\d{4}-\d{2}-\d{2})[T ])?(?P<clock>\d{1,2}:\d{2}(?::\d{2})?)(?:[.,]\d+)?"
    r"(?P<offset>Z|z|[+-]\d{2}:?\d{2})?"
)
_DAY: Final = re.compile(r"\d{4}-\d{2}-\d{2}")


class Read(NamedTuple):
    """A moment with the room's offset, and a remark when the room's clock did not show it just once."""

    moment: datetime
    remark: str = ""


def read_moment(text: str, zone: ZoneInfo, today: date) -> Read:
    """`2026-04-12T07:15`, with or without an offset, or `07:15` for today. Raises `BadEntry`.

    Without an offset it is the room's clock. A time that the spring change leaves out is read with the offset
    before the change; one that the autumn change shows twice is the first of the two (RFC 5545 §3.3.5).
    """
    found = _MOMENT.fullmatch(text.strip())
    if found is None or (found["offset"] and not found["day"]):
        raise BadEntry(
            f"“{text[:60]}” is no time: write 2026-04-12T07:15 (the room's clock), 2026-04-12T07:15+02:00, or "
            "07:15 "
            "for today"
        )
    try:
        day = date.fromisoformat(found["day"]) if found["day"] else today
        clock = time.fromisoformat(found["clock"].zfill(8 if found["clock"].count(":") == 2 else 5))
        if found["offset"]:
            offset = "+00:00" if found["offset"] in "Zz" else found["offset"]
            moment = fixed(datetime.fromisoformat(f"{day}T{clock.isoformat()}{offset}"), zone)
            return Read(moment)
        moment = on_wall(day, clock, zone)
    except (ValueError, OverflowError) as error:
        raise BadEntry(f"“{text[:60]}” is no time: there is no such day or hour") from error
    if moment.replace(tzinfo=None) != datetime.combine(day, clock):
        return Read(
            moment,
            f"{clock:%H:%M} was left out by the room's clock on {day}: read as {moment:%H:%M}, when it had changed",
        )
    later = datetime.combine(day, clock, tzinfo=zone).replace(fold=1)
    if later.utcoffset() != moment.utcoffset():
        return Read(moment, f"{clock:%H:%M} came twice on {day}: read as the first; write an offset for the second")
    return Read(moment)


def reckoning_moment(text: str, zone: ZoneInfo, now: datetime) -> datetime:
    """What `--on` names: a day (its end, so that all written that day counts; today: now) or a moment."""
    if _DAY.fullmatch(text.strip()):
        try:
            day = date.fromisoformat(text.strip())
        except ValueError as error:
            raise UsageError(f"--on {text[:40]}: there is no such day") from error
        if day == fixed(now, zone).date():
            return now
        try:
            return on_wall(day + timedelta(days=1), time(0), zone) - timedelta(seconds=1)
        except (ValueError, OverflowError) as error:
            raise UsageError(f"--on {text[:40]}: too far away to reckon") from error
    try:
        read = read_moment(text, zone, fixed(now, zone).date())
    except BadEntry as error:
        raise UsageError(f"--on: {error}; or a day, 2026-04-12") from error
    try:
        return read.moment.astimezone(UTC)
    except OverflowError as error:
        raise UsageError(f"--on {text[:40]}: too far away to reckon") from error
