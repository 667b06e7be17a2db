"""Figures of the incubator that are likelier a slip than so: °F typed as °C, young long before their time. Pure."""

from __future__ import annotations

from collections.abc import Iterator

from rounds.logbook.entries import ClimateRead, EggsSeen, Entry, Hatched
from rounds.logbook.times import days_between
from rounds.rules.house import House
from rounds.standing.clutch import called, clutch
from rounds.standing.fold import Standing


def too_hot(standing: Standing, house: House, entry: ClimateRead) -> Iterator[str]:
    """A reading so warm that it is likelier one in °F."""
    most = house.number("plausible.reading_c")
    read = (entry.air_c, entry.air_high_c, entry.air_low_c, entry.cool_c, entry.night_low_c, entry.basking_c)
    hottest = max((value for value in read if value is not None), default=most)
    if hottest > most:
        as_c = (hottest - 32) / 1.8
        yield f"{called(standing, entry.about)}: {hottest:g} °C. Is it {hottest:g} °F, {as_c:.1f} °C?"


def too_early(standing: Standing, house: House, entry: Entry) -> Iterator[str]:
    """Eggs pipped or hatched well before any may hatch: by the house, and by how far a forecast may miss."""
    if not isinstance(entry, Hatched) and not (isinstance(entry, EggsSeen) and "pipped" in entry.signs):
        return
    started = clutch(standing, entry.about).started if entry.about.startswith("clutch/") else None
    if started is None:
        return
    first = house.days("eggs.hatch_from_days")
    day, least = days_between(started, entry.at), first * (1 - house.number("incubation.window_percent") / 100)
    if 0 <= day < least:
        name, what = called(standing, entry.about), "hatched" if isinstance(entry, Hatched) else "pipped"
        yield f"{name}: {what} on day {day}; eggs may hatch from day {first}. Is it this clutch?"
