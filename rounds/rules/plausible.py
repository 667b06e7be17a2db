"""Whether a weight can be believed as it was written: held against the others, the length, and the length of life.

A guard against slips of the pen and mixed-up animals. It judges no animal: it asks whether the scale said so.
"""

from __future__ import annotations

from datetime import datetime
from typing import Final

from rounds.logbook.entries import Weighed
from rounds.logbook.times import days_between, hours_between
from rounds.rules.house import House
from rounds.standing.animal import Animal, animal
from rounds.standing.fold import Standing
from rounds.standing.group import group
from rounds.standing.weighing import weighings_of
from rounds.standing.weighings import splits

_WEEK_HOURS: Final = 168.0
#: A figure that differs by chance and by feeding is asked about later the longer ago the last one was.
_MOST_WEEKS: Final = 8.0
#: mass g = A × snout–vent mm ^ B, for the lengths of `plausible.length_mm` (its source stands there).
_LENGTH_A: Final = 2.435e-5
_LENGTH_B: Final = 3.063


def weight_doubt(
    standing: Standing,
    house: House,
    subject: str,
    grams: float,
    at: datetime,
    excluding: frozenset[str] = frozenset(),
) -> str:
    """A sentence when a weight in g, seen at `at`, is far from what can be believed; empty when it is near.

    `excluding` are ids of entries that do not count: the weight itself, or one that it replaces.
    """
    one: Animal = group(standing, subject) if subject.startswith("group/") else animal(standing, subject)
    weights = [entry for entry in one.weights if entry.id not in excluding]
    before = [entry for entry in weights if entry.at <= at]
    near = _held_against(one, house, before, at) if before else weights[0] if weights else None
    if near is not None:
        return _far_from(one, house, near, grams, at)
    return _first(one, house, grams, at)


def _held_against(one: Animal, house: House, before: list[Weighed], at: datetime) -> Weighed:
    """What a weight is held against: the last reading, or the last weighing before this one.

    A slip that was written must not judge the figure that puts it right. Once two readings of this weighing agree
    they do.
    """
    ends = splits(one)
    *earlier, last = weighings_of(before, house.weighing_rule, ends)
    parted = any(last.at < end <= at for end in ends)
    again = not parted and house.weighing_rule.together(last.at, at)
    if not again or not earlier or (last.times > 1 and not last.unsure):
        return last.readings[-1]
    return earlier[-1].readings[-1] if earlier[-1].unsure else earlier[-1].reading


def _far_from(one: Animal, house: House, near: Weighed, grams: float, at: datetime) -> str:
    weeks = abs(hours_between(near.at, at)) / _WEEK_HOURS
    far = house.number("weights.ask_percent") * min(max(1.0, weeks), _MOST_WEEKS) ** 0.5
    earlier, later = (near.grams, grams) if near.at <= at else (grams, near.grams)
    gain = (later - earlier) / earlier * 100
    change = (grams - near.grams) / near.grams * 100
    lost = _laid_between(one, house, near.at, at) / earlier * 100 if near.at <= at else 0.0
    if -far - lost <= gain <= far + _growth(one, house, weeks, at):
        return ""
    than = f"{near.grams:g} g on {near.at.day} {near.at:%b}"
    return (
        f"{one.name}: {grams:g} g is {abs(change):.0f} % {'more' if change > 0 else 'less'} than {than}. "
        "Is that what the scale says?"
    )


def _laid_between(one: Animal, house: House, begins: datetime, ends: datetime) -> float:
    """The mass of the eggs laid since, in g: as weighed, else so many of the heaviest that are believed."""
    heaviest, most = house.band("plausible.egg_g")[1], {}
    for entry in one.laid:
        if begins < entry.at <= ends:
            most[entry.clutch] = entry.eggs_grams or entry.count * heaviest
    return float(sum(most.values()))


def _growth(one: Animal, house: House, weeks: float, at: datetime) -> float:
    """How much young may have gained in so many weeks, in %, beside what is asked about anyway."""
    age = one.age_days(at)
    if age is None or age >= house.number("plausible.adult_days"):
        return 0.0
    times: float = (1 + house.number("plausible.growth_high_percent") / 100) ** min(weeks, 200.0)
    return (times - 1) * 100


def _grams(value: float) -> str:
    """A mass as it is said when it is only about right."""
    return f"{value:.0f}" if value >= 20 else f"{value:.1f}"


def _first(one: Animal, house: House, grams: float, at: datetime) -> str:
    """A first weight: against the length if one is near, else against the length of life and the species."""
    margin = house.number("plausible.margin_times")
    holds, (shortest, longest) = house.days("plausible.length_holds_days"), house.band("plausible.length_mm")
    lengths = [
        entry.svl_mm
        for entry in one.lengths
        if entry.svl_mm is not None
        and shortest <= entry.svl_mm <= longest
        and abs(days_between(entry.at, at)) <= holds
    ]
    if lengths:
        expected = _LENGTH_A * lengths[-1] ** _LENGTH_B
        scatter = margin * house.number("plausible.length_percent") / 100
        if expected * (1 - scatter) <= grams <= expected * (1 + scatter):
            return ""
        return (
            f"{one.name} measures {lengths[-1]:g} mm, which makes about {_grams(expected)} g. "
            f"{grams:g} g: is that what the scale says?"
        )
    hatched, adult = house.band("plausible.hatchling_g"), house.band("plausible.adult_g")
    low, high = hatched[0] / margin, adult[1] * margin
    age = one.age_days(at)
    if age is not None and age >= 0:
        weeks = age / 7
        slow = house.number("plausible.growth_low_percent") / 100
        fast = house.number("plausible.growth_high_percent") / 100
        if age >= house.number("plausible.adult_days"):
            low = adult[0] / margin
        else:
            low = min(adult[0], hatched[0] * (1 + slow / 2) ** weeks) / margin
        high = min(adult[1], hatched[1] * (1 + fast) ** min(weeks, 200.0)) * margin
    if low <= grams <= high:
        return ""
    return (
        f"{one.name}: {grams:g} g is {'much' if grams > high else 'little'} for "
        f"{'one of its age' if age is not None else 'a bearded dragon'} ({_grams(low)} to {_grams(high)} g). "
        "Is that what the scale says?"
    )
