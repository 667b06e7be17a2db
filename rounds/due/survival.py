"""Deaths among young held against the published survival: how many were to be expected, and by what chance so many.

Each young is taken to die at one rate a day, that of the survival published (house rules `young.survival_…`); the
number of deaths over the days that all of them lived is then a Poisson number.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from math import erfc, exp, lgamma, log, sqrt

import msgspec

from rounds.logbook.group_census import GroupCensus, Step, YoungGone
from rounds.rules.house import House

_DAY = timedelta(days=1)
#: Up to so many deaths the chance is summed exactly; no colony has more, a foreign sheet may.
_EXACT = 2_000


class Deaths(msgspec.Struct, frozen=True):
    """Deaths over a time: how many, of how many days lived, how many were expected, and the chance of so many."""

    count: int
    since: datetime
    days_lived: float
    expected: float
    chance: float
    entries: tuple[YoungGone, ...]


def daily_rate(house: House) -> float:
    """Deaths a day of one young, from the survival of the house rules."""
    return -log(house.number("young.survival_percent") / 100) / house.number("young.survival_days")


def days_lived(steps: Sequence[Step], since: datetime, until: datetime) -> float:
    """The days that all young of a group lived between two moments, added up."""
    total = 0.0
    for step, after in zip(steps, [*steps[1:], None], strict=True):
        begin, end = max(step.at, since), min(until if after is None else after.at, until)
        if end > begin:
            total += step.count * ((end - begin) / _DAY)
    return total


def deaths_over(census: GroupCensus, house: House, since: datetime, now: datetime) -> Deaths:
    """The deaths of a group between two moments, against the published survival. Young not found count as dead."""
    lost = tuple(one for one in census.lost if since <= one.entry.at <= now)
    count = sum(one.count for one in lost)
    lived = days_lived(census.steps, since, now)
    expected = lived * daily_rate(house)
    return Deaths(count, since, lived, expected, chance_of(count, expected), lost)


def chance_of(count: int, expected: float) -> float:
    """The chance of so many or more where so many are expected (Poisson, exact)."""
    if count <= 0:
        return 1.0
    if expected <= 0 or count > 10 * expected + 200:
        return 0.0  # smaller than any number that could matter
    if count > _EXACT:
        return 0.5 * erfc((count - 0.5 - expected) / sqrt(2 * expected))
    fewer = sum(exp(k * log(expected) - expected - lgamma(k + 1)) for k in range(count))
    return max(0.0, 1.0 - fewer)
