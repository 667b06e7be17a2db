"""A shelf under the house rules: what its readings are summed by, where it drifts, when it was too hot."""

from __future__ import annotations

from rounds.rules.house import House
from rounds.standing.incubator import Limits


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
