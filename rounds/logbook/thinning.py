"""Readings of a logger that a straight line between their neighbours gives as well are left out. Pure.

After Ramer 1972 and Douglas & Peucker 1973: the reading furthest off the line is kept, and each half goes on so.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final, NamedTuple

#: A straight line may miss what was read by so much. Our choice: half of what a good logger promises for warmth,
#: and the step of a common one for humidity.
WITHIN_C: Final = 0.1
WITHIN_PERCENT: Final = 2.0


class Reading(NamedTuple):
    """One reading: seconds since 1970 (UTC), °C, relative humidity in % or None."""

    at: float
    air_c: float
    humidity: float | None = None


def thinned(readings: Sequence[Reading]) -> list[Reading]:
    """Those that are needed, in order; the first, the last, the highest and the lowest always are.

    `readings` are in order of time. What is left out lies within 0.1 °C and 2 % of the line between those kept.
    """
    many = len(readings)
    if many <= 2:
        return list(readings)
    order = range(many)
    kept = {
        0,
        many - 1,
        max(order, key=lambda place: readings[place].air_c),
        min(order, key=lambda place: readings[place].air_c),
    }
    ends = sorted(kept)
    todo = list(pairwise(ends))
    while todo:
        first, last = todo.pop()
        place = _furthest(readings, first, last)
        if place is not None:
            kept.add(place)
            todo += [(first, place), (place, last)]
    return [readings[place] for place in sorted(kept)]


def _furthest(readings: Sequence[Reading], first: int, last: int) -> int | None:
    """The reading between these two that their line misses most; None when it misses none by too much."""
    if last - first < 2:
        return None
    begun, ended = readings[first], readings[last]
    span = ended.at - begun.at
    rise = ended.air_c - begun.air_c
    damp = begun.humidity is not None and ended.humidity is not None
    worst, found = 1.0 + 1e-9, None
    for place in range(first + 1, last):
        one = readings[place]
        part = (one.at - begun.at) / span if span else 0.0
        off = abs(one.air_c - begun.air_c - rise * part) / WITHIN_C
        if one.humidity is not None and damp and begun.humidity is not None and ended.humidity is not None:
            line = begun.humidity + (ended.humidity - begun.humidity) * part
            off = max(off, abs(one.humidity - line) / WITHIN_PERCENT)
        if off > worst:
            worst, found = off, place
    return found
