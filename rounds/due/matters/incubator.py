"""Shelves that hold eggs: what was too hot or too cold, and what is going to be."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Final, NamedTuple

from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import day_time, many
from rounds.logbook.entries import ClimateLogged, ClimateRead, Entry
from rounds.logbook.times import fixed

if TYPE_CHECKING:
    from rounds.standing.incubator import Series, Spell  # late: no start has to wait for it
    from rounds.standing.shelves import Lying

_SHELVES: Final = ("incubator shelf", "egg box")


class _Eggs(NamedTuple):
    """Eggs on a shelf or in a box, and its temperatures: since when they are judged, up to now, in s since 1970."""

    lying: Sequence[Lying]
    readings: Series
    begun: float
    now: float

    @property
    def there(self) -> str:
        """`18 eggs`; how many clutches where it is not known how many eggs are left."""
        eggs = sum(one.clutch.left_in(one.place) or 0 for one in self.lying)
        clutches = len({one.clutch.subject for one in self.lying})
        return many(eggs, "egg") if eggs else many(clutches, "clutch", "clutches")


def _eggs(look: Look) -> _Eggs | None:
    """The eggs here, judged over the last days of the house, from the day on which the oldest were laid."""
    if look.enclosure.what not in _SHELVES:
        return None
    from rounds.due.incubation import limits_of  # late: no start has to wait for it
    from rounds.standing.incubator import DAY
    from rounds.standing.shelf_readings import series
    from rounds.standing.shelves import eggs_on

    lying = eggs_on(look.standing, look.subject)
    if not lying:
        return None
    now = look.now.timestamp()
    laid = [one.clutch.started for one in lying if one.clutch.started is not None]
    begun = max(now - look.house.days("incubation.hot_days") * DAY, min(laid, default=look.now).timestamp())
    return _Eggs(lying, series(look.standing, look.subject, limits_of(look.house)), begun, now)


def _moment(look: Look, at: float) -> datetime:
    return fixed(datetime.fromtimestamp(at, UTC), look.house.zone)


def _entries(spells: Sequence[Spell]) -> tuple[Entry, ...]:
    return tuple({id: entry for spell in spells for id, entry in spell.entries.items()}.values())


def _for_how_long(hours: float, way: str) -> str:
    """`3 h above`; a day's highest or lowest alone does not say for how long."""
    return f"{hours:.0f} h {way}" if hours >= 0.5 else f"was {way}"


@cites("climate.incubator_alarm_c", "incubation.hot_days")
@needs(ClimateRead, ClimateLogged)
def eggs_were_too_hot(look: Look) -> Iterator[Matter]:
    """Eggs were above the alarm within the last days, though the shelf is back in its band now.

    Today: above 32 °C sex reverses (Quinn et al. 2007; Holleley et al. 2015; Whiteley et al. 2022). It rests on
    what was read by hand or by a logger, from the day the eggs came; the hours stay on the clutch's page. What a
    keeper read off stays told though a logger's file says otherwise for the same time, and a highest noted alone.
    """
    eggs = _eggs(look)
    if eggs is None:
        return
    one, alarm = eggs.readings, eggs.readings.limits.alarm
    last = one.last(eggs.now)
    spells = one.spells(eggs.begun, eggs.now, alarm)
    if last is not None and last.air_c > alarm:
        return
    by_hand = [] if spells else [entry for entry in _by_hand(look, eggs) if _highest(entry) > alarm]
    if spells and last is not None:
        hours = one.sums(eggs.begun, min(eggs.now, last.at)).hot_hours
        peak, since, behind = max(spell.peak for spell in spells), _moment(look, spells[0].begun), _entries(spells)
        told = f"{_for_how_long(hours, 'above')} {alarm:g} °C, up to {peak:.1f}, from {day_time(since)}"
    elif by_hand:
        since, behind = by_hand[0].at, tuple(by_hand)
        told = _told_by_hand(look, max(map(_highest, by_hand)), since)
    else:
        return
    yield look.matter(
        eggs_were_too_hot,
        Level.TODAY,
        f"{look.name}: {told}.",
        since=since,
        entries=behind,
        do=(
            f"{eggs.there} there. Check thermostat and probe; read again in an hour.",
            "Sex of the young may differ from their genes: note it, do not sex them by genes alone.",
        ),
        worsens="again so hot: more of the eggs are at risk",
        acts=("climate",),
    )


def _highest(entry: ClimateRead) -> float:
    return max(entry.air_c if entry.air_c is not None else -99.0, entry.air_high_c or -99.0)


def _lowest(entry: ClimateRead) -> float:
    noted = [one for one in (entry.air_c, entry.air_low_c) if one is not None]
    return min(noted, default=99.0)


def _by_hand(look: Look, eggs: _Eggs) -> list[ClimateRead]:
    """What was read by hand here since the eggs are judged, oldest first."""
    return [
        entry
        for entry in look.standing.page(look.subject).of(ClimateRead)
        if entry.about == look.subject and eggs.begun <= entry.at.timestamp() <= eggs.now
    ]


def _told_by_hand(look: Look, furthest: float, since: datetime) -> str:
    unseen = ", the logger did not see it" if _was_logged(look, since) else ""
    return f"{furthest:.1f} °C read by hand {day_time(since)}{unseen}"


def _was_logged(look: Look, at: datetime) -> bool:
    """Whether a logger read at that moment too."""
    from rounds.standing.shelf_readings import covered, is_covered

    stretches = [one for one in look.standing.page(look.subject).of(ClimateLogged) if one.about == look.subject]
    return is_covered(covered(stretches), at.timestamp())


@cites("climate.incubator_c", "climate.margin_c", "incubation.hot_days")
@needs(ClimateRead, ClimateLogged)
def eggs_were_too_cold(look: Look) -> Iterator[Matter]:
    """Eggs were below their band by more than the margin within the last days, though the shelf is warm again now.

    Watch, for as long as heat is told. It rests on what was read by hand or by a logger, from the day the eggs
    came; a lowest noted alone is told too. What is lost in warmth stands in the forecast of the hatch already.
    """
    eggs = _eggs(look)
    if eggs is None:
        return
    one, low = eggs.readings, eggs.readings.limits.low
    last = one.last(eggs.now)
    limit = low - look.house.number("climate.margin_c")
    spells = one.cold_spells(eggs.begun, eggs.now, limit)
    if last is not None and last.air_c < low:
        return
    by_hand = [] if spells else [entry for entry in _by_hand(look, eggs) if _lowest(entry) < limit]
    behind: tuple[Entry, ...]
    if spells and last is not None:
        cold = _for_how_long(one.sums(eggs.begun, min(eggs.now, last.at)).cold_hours, "below")
        least, since, behind = min(spell.peak for spell in spells), _moment(look, spells[0].begun), _entries(spells)
        told = f"{cold} {low:g} °C, down to {least:.1f}, from {day_time(since)}"
    elif by_hand:
        since, behind = by_hand[0].at, tuple(by_hand)
        told = _told_by_hand(look, min(map(_lowest, by_hand)), since)
    else:
        return
    yield look.matter(
        eggs_were_too_cold,
        Level.WATCH,
        f"{look.name}: {told}.",
        since=since,
        entries=behind,
        do=(f"{eggs.there} there. Check power, thermostat and probe; read again in an hour.",),
        worsens="cold again: they hatch later still",
        acts=("climate",),
    )


@cites(
    "climate.incubator_c",
    "climate.incubator_alarm_c",
    "incubation.drift_hours",
    "incubation.drift_c",
    "incubation.drift_over_hours",
    "incubation.drift_over_days",
    "incubation.drift_ahead_days",
)
@needs(ClimateRead, ClimateLogged)
def shelf_drifts(look: Look) -> Iterator[Matter]:
    """A shelf with eggs is in its band and on the way out of it.

    Watch; today when it is getting warmer and would pass the alarm within the hours of the house. Either it moved
    one way over the last hours, further than in the day before, or the means of its last days go one way.
    """
    eggs = _eggs(look)
    if eggs is None:
        return
    from rounds.due.incubation import drift  # late: no start has to wait for it

    found, last = drift(eggs.readings, look.house, eggs.now), eggs.readings.last(eggs.now)
    if found is None or last is None:
        return
    warmer, alarm = found.a_day > 0, eggs.readings.limits.alarm
    hot = warmer and found.now_c + found.a_day * look.house.number("incubation.drift_hours") / 24 > alarm
    begun = eggs.readings.between(found.since, eggs.now)[:1]
    yield look.matter(
        shelf_drifts,
        Level.TODAY if hot else Level.WATCH,
        f"{look.name}: getting {'warmer' if warmer else 'colder'}, {found.now_c:.1f} °C, "
        f"past {found.limit:g} °C in {max(1.0, found.hours):.0f} h.",
        since=_moment(look, found.since),
        entries=tuple({point.entry.id: point.entry for point in (*begun, last)}.values()),
        do=("Check thermostat and probe; read again in an hour.",),
        worsens=f"above {alarm:g} °C the eggs are at risk" if warmer else "cold eggs stand still",
        acts=("climate",),
    )
