"""Shelves that hold eggs: what was too hot, and what is going to be."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime

import msgspec

from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import day_time, many
from rounds.logbook.entries import ClimateLogged, ClimateRead, Entry
from rounds.logbook.times import fixed

_SHELVES = ("incubator shelf", "egg box")


class Past(msgspec.Struct, frozen=True):
    """When eggs here were past a limit within the last days, and are in their band again.

    `hours` in all, past the alarm or below the band; the furthest out; since when; the readings; the eggs in words.
    """

    hours: float
    peak: float
    since: datetime
    entries: tuple[Entry, ...]
    eggs: str


def _past(look: Look, *, hot: bool) -> Past | None:
    """What was too hot or too cold for the eggs here: since the first was laid, within the days of the house."""
    if look.enclosure.what not in _SHELVES:
        return None
    from rounds.due.incubation import limits_of  # late: no start has to wait for it
    from rounds.standing.incubator import DAY  # late: no start has to wait for it
    from rounds.standing.shelf_readings import series  # late: no start has to wait for it
    from rounds.standing.shelves import eggs_on  # late: no start has to wait for it

    lying = eggs_on(look.standing, look.subject)
    if not lying:
        return None
    now, limits = look.now.timestamp(), limits_of(look.house)
    laid = [one.clutch.started for one in lying if one.clutch.started is not None]
    begun = max(now - look.house.days("incubation.hot_days") * DAY, min(laid, default=look.now).timestamp())
    one = series(look.standing, look.subject, limits)
    last = one.last(now)
    if hot:
        spells = one.spells(begun, now, limits.alarm)
    else:
        spells = one.cold_spells(begun, now, limits.low - look.house.number("climate.margin_c"))
    if not spells or last is None or (last.air_c > limits.alarm if hot else last.air_c < limits.low):
        return None
    sums = one.sums(begun, min(now, last.at))
    peaks = [spell.peak for spell in spells]
    eggs = sum(one.clutch.left_in(one.place) or 0 for one in lying)
    return Past(
        hours=sums.hot_hours if hot else sums.cold_hours,
        peak=max(peaks) if hot else min(peaks),
        since=fixed(datetime.fromtimestamp(spells[0].begun, UTC), look.house.zone),
        entries=tuple({id: entry for spell in spells for id, entry in spell.entries.items()}.values()),
        eggs=many(eggs, "egg") if eggs else many(len({one.clutch.subject for one in lying}), "clutch", "clutches"),
    )


def _words(look: Look, past: Past, limit: str, furthest: str) -> str:
    """`S1: 8 h above 32 °C, up to 33.1, from 25 Nov 22:00.`

    Of a day's highest or lowest alone, which does not say for how long, `was above`.
    """
    hours = f"{past.hours:.0f} h" if past.hours >= 0.5 else "was"
    return f"{look.name}: {hours} {limit} °C, {furthest} {past.peak:.1f}, from {day_time(past.since)}."


@cites("climate.incubator_alarm_c", "incubation.hot_days")
@needs(ClimateRead, ClimateLogged)
def eggs_were_too_hot(look: Look) -> Iterator[Matter]:
    """Eggs were above the alarm within the last days, though the shelf is back in its band now.

    Today: above 32 °C sex reverses (Quinn et al. 2007; Holleley et al. 2015; Whiteley et al. 2022). It rests on
    what was read by hand or by a logger, from the day the eggs came; the hours stay on the clutch's page.
    """
    past = _past(look, hot=True)
    if past is None:
        return
    alarm = look.house.number("climate.incubator_alarm_c")
    yield look.matter(
        eggs_were_too_hot,
        Level.TODAY,
        _words(look, past, f"above {alarm:g}", "up to"),
        since=past.since,
        entries=past.entries,
        do=(
            f"{past.eggs} there. Check thermostat and probe; read again in an hour.",
            "Sex of the young may differ from their genes: note it, do not sex them by genes alone.",
        ),
        worsens="again so hot: more of the eggs are at risk",
        acts=("climate",),
    )


@cites("climate.incubator_c", "climate.margin_c", "incubation.hot_days")
@needs(ClimateRead, ClimateLogged)
def eggs_were_too_cold(look: Look) -> Iterator[Matter]:
    """Eggs were below their band by more than the margin within the last days, though the shelf is warm again now.

    Watch, for as long as heat is told. It rests on what was read by hand or by a logger, from the day the eggs
    came. What is lost in warmth stands in the forecast of the hatch already.
    """
    past = _past(look, hot=False)
    if past is None:
        return
    low, _ = look.house.band("climate.incubator_c")
    yield look.matter(
        eggs_were_too_cold,
        Level.WATCH,
        _words(look, past, f"below {low:g}", "down to"),
        since=past.since,
        entries=past.entries,
        do=(f"{past.eggs} there. Check power, thermostat and probe; read again in an hour.",),
        worsens="cold again: they hatch later still",
        acts=("climate",),
    )


@cites("climate.incubator_c", "climate.incubator_alarm_c", "incubation.drift_hours")
@needs(ClimateRead, ClimateLogged)
def shelf_drifts(look: Look) -> Iterator[Matter]:
    """A shelf with eggs is in its band and on the way out of it.

    Watch; today when it is getting warmer and would pass the alarm within the hours of the house. Either it has
    moved by half a degree in six hours, further than in the day before, or the means of its days go one way.
    """
    if look.enclosure.what not in _SHELVES:
        return
    from rounds.due.incubation import drift, limits_of  # late: no start has to wait for it
    from rounds.standing.shelf_readings import series  # late: no start has to wait for it
    from rounds.standing.shelves import eggs_on  # late: no start has to wait for it

    if not eggs_on(look.standing, look.subject):
        return
    now, limits = look.now.timestamp(), limits_of(look.house)
    one = series(look.standing, look.subject, limits)
    soon = look.house.number("incubation.drift_hours")
    found = drift(one, now, soon)
    last = one.last(now)
    if found is None or last is None:
        return
    warmer = found.a_day > 0
    hot = warmer and found.now_c + found.a_day * soon / 24 > limits.alarm
    begun = one.between(found.since, now)[:1]
    yield look.matter(
        shelf_drifts,
        Level.TODAY if hot else Level.WATCH,
        f"{look.name}: getting {'warmer' if warmer else 'colder'}, {found.now_c:.1f} °C, "
        f"past {found.limit:g} °C in {max(1.0, found.hours):.0f} h.",
        since=fixed(datetime.fromtimestamp(found.since, UTC), look.house.zone),
        entries=tuple({point.entry.id: point.entry for point in (*begun, last)}.values()),
        do=("Check thermostat and probe; read again in an hour.",),
        worsens=f"above {limits.alarm:g} °C the eggs are at risk" if warmer else "cold eggs stand still",
        acts=("climate",),
    )
