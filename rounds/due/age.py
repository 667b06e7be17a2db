"""Age classes, by the calendar."""

from __future__ import annotations

from datetime import date
from typing import Literal

from rounds.logbook.times import months_between
from rounds.rules.house import House

AgeClass = Literal["hatchling", "young", "adult", "older"]


def age_class(hatched: date | None, house: House, day: date) -> AgeClass:
    """How it is fed and weighed at its age. An age not known counts as an adult's."""
    if hatched is None:
        return "adult"
    months = months_between(hatched, day)
    if months < house.number("feeding.hatchling_until_months"):
        return "hatchling"
    if months < house.number("feeding.young_until_months"):
        return "young"
    return "adult" if months < house.number("feeding.adult_until_months") else "older"
