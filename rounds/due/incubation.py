"""A shelf under the house rules: what its readings are summed by, where it drifts, when it was too hot."""

from __future__ import annotations

from datetime import datetime
from itertools import pairwise
from typing import Final

import msgspec

from rounds.rules.house import House
from rounds.standing.clutch import Clutch, clutches_lately
from rounds.standing.fold import Standing
from rounds.standing.incubator import DAY, HOUR, Limits, Series
from rounds.standing.slopes import theil_sen

#: A shelf that follows the day does not drift: it is further out than in the day before by more than this, in °C.
_DAY_HOURS: Final = 24
_FURTHER_C: Final = 0.2
#: A day has a mean once so many of its hours were read.
_HOURS_OF_A_DAY: Final = 18


class Drift(msgspec.Struct, frozen=True):
    """A shelf on its way out of its band: °C a day, from when, where it is, and the limit it is going to pass."""

    a_day: float
    since: float
    now_c: float
    limit: float
    #: In so many hours, if it goes on so.
    hours: float


def limits_of(house: House) -> Limits:
    """What a shelf's readings are summed by, from the house rules."""
    low, high = house.band("climate.incubator_c")
    return Limits(
        base=house.number("incubation.base_c"),
        top=house.number("incubation.top_c"),
        low=low,
        high=high,
        alarm=house.number("climate.incubator_alarm_c"),
        gap_hours=house.number("incubation.gap_hours"),
    )


def may_lie(standing: Standing, house: House, now: datetime) -> list[Clutch]:
    """The clutches that may still lie in the incubator, by id: seen within two of the longest incubations."""
    return clutches_lately(standing, now, 2 * house.days("breeding.longest_incubation_days"))


def drift(one: Series, house: House, now: float) -> Drift | None:
    """Whether a shelf that is still in its band is going to leave it soon; None where it is steady, or not read."""
    last = one.last(now)
    limits = one.limits
    if last is None or now - last.at > DAY or not limits.low <= last.air_c <= limits.high:
        return None
    return _by_hours(one, house, last.at, last.air_c) or _by_days(one, house, last.at, last.air_c)


def _by_hours(one: Series, house: House, at: float, here: float) -> Drift | None:
    """The drift of the last hours, if the shelf was not as far out within the day before them."""
    over, within = house.days("incubation.drift_over_hours"), house.number("incubation.drift_hours")
    values = [one.air_at(at - hour * HOUR) for hour in range(over, -1, -1)]
    known = [value for value in values if value is not None]
    before = [one.air_at(at - hour * HOUR) for hour in range(over + 1, over + _DAY_HOURS + 1)]
    day = [value for value in before if value is not None]
    if len(known) < len(values) or len(day) < _DAY_HOURS:
        return None
    slope = theil_sen([float(hour) for hour in range(len(known))], known)
    moved = known[-1] - known[0]
    along = sum((two - first) * slope > 0 for first, two in pairwise(known))
    is_new = here > max(day) + _FURTHER_C if slope > 0 else here < min(day) - _FURTHER_C
    if abs(moved) < house.number("incubation.drift_c") or moved * slope <= 0 or along < over - 1 or not is_new:
        return None
    return _passing(one.limits, slope, here, at - over * HOUR, within)


def _by_days(one: Series, house: House, at: float, here: float) -> Drift | None:
    """The drift of the means of the last days."""
    over, ahead = house.days("incubation.drift_over_days"), house.number("incubation.drift_ahead_days")
    means: list[float] = []
    for day in range(over - 1, -1, -1):
        values = [one.air_at(at - day * DAY - hour * HOUR) for hour in range(24)]
        known = [value for value in values if value is not None]
        if len(known) >= _HOURS_OF_A_DAY:
            means.append(sum(known) / len(known))
    if len(means) < over - 1:
        return None
    slope = theil_sen([24.0 * day for day in range(len(means))], means)
    steady = all((two - first) * slope > 0 for first, two in pairwise(means))
    if not steady or abs(means[-1] - means[0]) < house.number("incubation.drift_c"):
        return None
    return _passing(one.limits, slope, here, at - len(means) * DAY, 24.0 * ahead)


def _passing(limits: Limits, slope: float, here: float, since: float, within: float) -> Drift | None:
    limit = limits.high if slope > 0 else limits.low
    hours = (limit - here) / slope
    return Drift(24 * slope, since, here, limit, hours) if 0 <= hours <= within else None
