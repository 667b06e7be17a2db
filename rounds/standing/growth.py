"""How young grow: so many per cent a week, compounding, between weighings some days apart."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from math import expm1, log

import msgspec

from rounds.logbook.entries import Merged, SplitOff
from rounds.logbook.times import days_between, hours_between
from rounds.standing.animal import Animal
from rounds.standing.weighing import Weighing, WeighingRule
from rounds.standing.weighings import weighings

_WEEK_HOURS = 168.0


class Growth(msgspec.Struct, frozen=True):
    """Growth between two weighings: `rate` a week as a part of the weight (0.09 for 9 %)."""

    rate: float
    first: Weighing
    last: Weighing


def sorted_at(one: Animal) -> datetime | None:
    """When young of a group were last parted or put together: its mean before is that of others. None if never."""
    page = one.page
    return max((entry.at for entry in (*page.of(SplitOff), *page.of(Merged))), default=None)


def since_sorted(one: Animal, weights: Sequence[Weighing]) -> tuple[Weighing, ...]:
    """The weighings of a group since it was last sorted; all of them where it never was."""
    parted = sorted_at(one)
    return tuple(weights) if parted is None else tuple(each for each in weights if each.at > parted)


def growth(one: Animal, rule: WeighingRule, apart_days: int, now: datetime) -> Growth | None:
    """Growth up to the last weighing, from the newest before it that lies `apart_days` back or more.

    Repeats within a shift are one weighing. None with fewer than two such weighings since it was last sorted.
    """
    weights = since_sorted(one, [each for each in weighings(one, rule) if each.at <= now])
    if len(weights) < 2:
        return None
    last = weights[-1]
    earlier = [each for each in weights[:-1] if days_between(each.at, last.at) >= apart_days]
    if not earlier:
        return None
    first = earlier[-1]
    weeks = hours_between(first.at, last.at) / _WEEK_HOURS
    # Slips of the scale give a growth a week that no number holds.
    return Growth(expm1(min(5.0, log(last.grams / first.grams) / weeks)), first, last)
