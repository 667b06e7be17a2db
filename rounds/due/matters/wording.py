"""How the matters say days, counts and names, and the steps that many of them share."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from typing import Final

from rounds.rules.house import House

_MONTHS: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

#: The step to a vet, in every matter that leads to one.
VET_STEP: Final = (
    "Call a vet who treats reptiles, say what was seen and when, and agree it with your vet before anything "
    "else is done; local codes and licensed practice come first."
)
VET_NOW_STEP: Final = (
    "Call a vet who treats reptiles now, out of hours too, and agree it with your vet on the way; "
    "local codes and licensed practice come first."
)
NEVER_STEP: Final = "Never press or massage her belly, never inject anything, never wait past the clock."
#: Where the vet is the next step, behind a colon.
CALL_STEP: Final = "call a vet who treats reptiles, and agree it with your vet."
UNTIL_THEN_STEP: Final = "Until then keep warm and quiet, with water."
QUIET_STEP: Final = "Give warmth, water and quiet, and look in as seldom as you can."


def day(moment: datetime | date) -> str:
    """`12 Apr`."""
    return f"{moment.day} {_MONTHS[moment.month - 1]}"


def day_time(moment: datetime) -> str:
    """`12 Apr 18:10`."""
    return f"{day(moment)} {moment:%H:%M}"


def many(count: float, one: str, more: str = "") -> str:
    """`1 egg`, `3 eggs`."""
    return f"{count:g} {one if count == 1 else more or one + 's'}"


def listed(parts: Iterable[str]) -> str:
    """`a, b and c`."""
    words = list(parts)
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + (" and " if words else "") + "".join(words[-1:])


def for_hours(hours: float) -> str:
    """A stretch of time in whole hours, or in minutes when it is short."""
    if abs(hours) < 1:
        return many(int(abs(hours) * 60), "minute")
    return many(int(abs(hours)), "hour")


def percent(fraction: float) -> str:
    """0.084 → `8 %`."""
    return f"{fraction * 100:.0f} %"


def is_over(value: float, base: float, fraction: float) -> bool:
    """Whether a weight is above another by a fraction or more, to the gram whatever the last binary digit says."""
    return value >= base * (1 + fraction) - 1e-6


def quoted(text: str, most: int = 160) -> str:
    """A keeper's or vet's own words on one line, cut when long, in marks that tell them from ours."""
    line = " ".join(text.split()).replace("“", "'").replace("”", "'")
    return "“" + (line if len(line) <= most else line[: most - 1].rstrip() + "…") + "”"


def nest_steps(house: House) -> tuple[str, ...]:
    """A nest in time: how deep, damp and warm, from the house rules."""
    low, high = house.band("eggbinding.nest_c")
    return (
        f"Give her a lay box: {house.number('eggbinding.nest_depth_cm'):g} cm or more of damp sand and soil that "
        f"holds a shape, {low:g}–{high:g} °C.",
        "Box her apart and leave her alone (common practice, no source).",
    )


def nest_check_steps(house: House) -> tuple[str, ...]:
    """The nest she has, looked over: the same numbers as a question."""
    low, high = house.band("eggbinding.nest_c")
    return (
        f"Is the nest deep, damp, warm and quiet enough? {house.number('eggbinding.nest_depth_cm'):g} cm or more "
        f"of damp sand and soil that holds a shape, {low:g}–{high:g} °C, alone in it.",
        "Offer another one, of another medium or in another place.",
    )


def soak_step(house: House) -> str:
    """The soak a keeper may give, from the house rules."""
    low, high = house.band("eggbinding.soak_minutes")
    return (
        f"You may give a lukewarm soak, about {house.number('eggbinding.soak_c'):g} °C for {low:g}–{high:g} min, "
        "once a day."
    )
