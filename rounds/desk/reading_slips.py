"""Figures read off that are likelier a slip than so: °F typed as °C. Pure."""

from __future__ import annotations

from collections.abc import Iterator

from rounds.logbook.entries import ClimateRead
from rounds.rules.house import House
from rounds.standing.clutch import called
from rounds.standing.fold import Standing


def too_hot(standing: Standing, house: House, entry: ClimateRead) -> Iterator[str]:
    """A reading so warm that it is likelier one in °F."""
    most = house.number("plausible.reading_c")
    read = (entry.air_c, entry.air_high_c, entry.air_low_c, entry.cool_c, entry.night_low_c, entry.basking_c)
    hottest = max((value for value in read if value is not None), default=most)
    if hottest > most:
        as_c = (hottest - 32) / 1.8
        yield f"{called(standing, entry.about)}: {hottest:g} °C. Is it {hottest:g} °F, {as_c:.1f} °C?"
