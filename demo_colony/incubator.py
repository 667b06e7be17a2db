"""How warm the incubator's shelves were, and what their loggers wrote: two shelves over both seasons."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi, sin
from typing import Final

from demo_colony.animals import OPENED
from demo_colony.book import Line
from rounds.logbook.entries import ClimateLogged

SHELVES: Final = ("enclosure/s1", "enclosure/s2")
#: The loggers lay on the shelves since this day; that of the upper one had an empty battery for some days.
LOGGED_SINCE: Final = -432
EMPTY: Final = {"enclosure/s1": range(-47, -43)}
#: The lower shelf was at 33 °C for a night: its door stood against the heating cable.
HOT_FROM, HOT_TO = (-2, 21 * 60), (-1, 4 * 60)
#: Since this day the upper shelf creeps upwards.
CREEPS_SINCE: Final = -12
_NOON, _DAY, _STEP = 12 * 60, 24 * 60, 180


def shelf_c(shelf: str, day: int, minute: int) -> float:
    """The air on a shelf in °C, at a minute of a day."""
    if shelf == "enclosure/s2" and HOT_FROM <= (day, minute) <= HOT_TO:
        return 33.0
    last_season = day < OPENED - 30
    mean = 28.9 if last_season else 29.5 if shelf == "enclosure/s1" else 29.2
    creeps = 0.08 * max(0, day - CREEPS_SINCE) if shelf == "enclosure/s1" else 0.0
    return round(mean + creeps + 0.2 * sin(2 * pi * minute / _DAY) + 0.1 * sin(day), 1)


def logged() -> Iterator[Line]:
    """The loggers' files, as they were read in: from noon to noon."""
    for day in range(LOGGED_SINCE, 0):
        for number, shelf in enumerate(SHELVES):
            if day in EMPTY.get(shelf, ()):
                continue
            minutes = tuple(range(0, _DAY, _STEP))
            air = tuple(shelf_c(shelf, day - 1 + (_NOON + one) // _DAY, (_NOON + one) % _DAY) for one in minutes)
            fields = {"minutes": minutes, "air_c": air, "logger": shelf[-2:]}
            late = (max(day, OPENED), 13 * 3600 + number)
            yield Line(day - 1, _NOON * 60 + number, ClimateLogged, shelf, fields, late)
