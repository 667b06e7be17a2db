"""A page of the logbook in plain notation, for tests.

    2026-03-10 AK
    08:00  b3      enclosure_set_up  name=B3
    08:01  wattle  arrived  name=Wattle sex=F place=b3
    17:30  wattle  behaviour_seen  behaviour="nest digging"

A line with a date (and the keeper) starts a day; the others are a time, a subject and an entry
(`rounds.logbook.plain` has the words for subjects). Times are the room's, Europe/Vienna unless told.
"""

from __future__ import annotations

import re
import shlex
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from rounds.logbook import plain
from rounds.logbook.entries import Entry
from rounds.logbook.times import on_wall
from rounds.standing.fold import Standing, fold

VIENNA = ZoneInfo("Europe/Vienna")
_DAY = re.compile(r"(\d{4}-\d{2}-\d{2})(?:\s+(\S+))?$")


def logbook(text: str, zone: ZoneInfo = VIENNA) -> list[Entry]:
    """The entries of a page of the logbook, in the order they are written."""
    entries: list[Entry] = []
    day: date | None = None
    by = "AK"
    for number, line in enumerate(text.splitlines(), 1):
        line = line.strip()
        if not line or line.startswith("#"):
            continue
        found = _DAY.match(line)
        if found:
            day, by = date.fromisoformat(found[1]), found[2] or by
            continue
        assert day is not None, f"line {number}: no day yet"
        clock, about, kind, *words = shlex.split(line)
        moment = on_wall(day, time.fromisoformat(clock), zone)
        entries.append(plain.entry(kind, about, words, id=f"{day:%Y%m%d}-{len(entries):05d}", at=moment, by=by))
    return entries


def standing(text: str, zone: ZoneInfo = VIENNA) -> Standing:
    """The standing after a page of the logbook."""
    return fold(logbook(text, zone))


def at(text: str, zone: ZoneInfo = VIENNA) -> datetime:
    """A moment such as `2026-04-12 18:00`, by the room's clock."""
    day, _, clock = text.partition(" ")
    return on_wall(date.fromisoformat(day), time.fromisoformat(clock or "12:00"), zone)
