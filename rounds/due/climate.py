"""Warmth and light: readings to be taken, and the UV lamp."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, timedelta
from typing import Final

import msgspec

from rounds.due.age import age_class
from rounds.due.line import DueLine
from rounds.due.round import Round, last_day, lived_in_since
from rounds.logbook.entries import ClimateRead, EggsBoxed
from rounds.logbook.times import months_after
from rounds.standing.animal import Animal
from rounds.standing.enclosure import Enclosure
from rounds.standing.fold import Standing
from rounds.standing.shelves import eggs_on, shelf_of

#: Enclosures that have a UV lamp of their own.
_LIT: Final = frozenset({"tub", "open tub", "tank", "bin", "vivarium", "other"})


class Reading(msgspec.Struct, frozen=True):
    """A reading that is due: what, by which rule, when it was last taken, and from which day it is owed."""

    says: str
    key: str
    last: date | None
    opened: date | None
    due: date


def reading_due(around: Round, tub: Enclosure, living: Sequence[Animal]) -> Reading | None:
    """The reading that is due: both ends where animals bask, the nest's warmth in a lay box, the air round eggs.

    Weekly in a tub, daily where hatchlings live and where eggs incubate.
    """
    key, opened = "climate.read_days", lived_in_since(around, living, tub.set_up)
    if tub.what in ("incubator shelf", "egg box"):
        if shelf_of(tub.standing, tub.subject) != tub.subject:
            return None  # the shelf that the box stands on is read
        key, opened = "climate.read_eggs_days", _eggs_since(around, tub)
        if opened is None:
            return None
        says, last = "air temperature", _last_read(around, tub)
    elif not living:
        return None
    elif tub.what == "lay box":
        says, last = "warmth of the nest", _last_air(around, tub)
    elif all(one.brumating_since is not None for one in living):
        says, last = "temperature, brumating", _last_air(around, tub)
    else:
        if any(age_class(one.hatched, around.house, around.day) == "hatchling" for one in living):
            key = "climate.read_hatchlings_days"
        basking, cool = _last_ends(around, tub)
        ends = (("basking spot", basking), ("cool end", cool))
        missing = [end for end, day in ends if around.fell_due(key, day, opened) is not None]
        last = min(basking, cool) if basking and cool else None
        says = " and ".join(missing or ["basking spot", "cool end"])
    due = around.fell_due(key, last, opened)
    return None if due is None else Reading(says, key, last, opened, due)


def climate_lines(around: Round, tub: Enclosure, living: Sequence[Animal]) -> Iterator[DueLine]:
    """The reading that is due here."""
    found = reading_due(around, tub, living)
    if found is not None:
        yield DueLine(
            care="climate",
            about=tub.subject,
            place=tub.subject,
            says=f"climate: {found.says}",
            due=found.due,
            late_days=around.late(found.due),
            plain=False,
            house=(found.key,),
            left_out=around.left_out("climate", tub.subject, None),
        )


def holds_eggs(shelf: Enclosure) -> bool:
    """Whether a clutch incubates here, or in a box on this shelf, of which some eggs are still to hatch."""
    return bool(eggs_on(shelf.standing, shelf.subject))


def eggs_here(shelf: Enclosure) -> list[EggsBoxed]:
    """How the clutches came here that incubate on this shelf, in a box on it or in this egg box, oldest first."""
    found = [
        box
        for lying in eggs_on(shelf.standing, shelf.subject)
        for box in lying.clutch.in_boxes.boxes
        if box.place == lying.place
    ]
    return sorted(found, key=lambda box: box.key)


def _eggs_since(around: Round, shelf: Enclosure) -> date | None:
    """The day from which eggs have been here; None without any."""
    boxed = eggs_here(shelf)
    return around.day_of(boxed[0]) if boxed else None


def _last_ends(around: Round, tub: Enclosure) -> tuple[date | None, date | None]:
    readings = tub.climate
    basking = last_day(around, [one for one in readings if one.basking_c is not None])
    cool = last_day(around, [one for one in readings if one.cool_c is not None])
    return basking, cool


def _last_air(around: Round, tub: Enclosure) -> date | None:
    """The last day with any temperature."""
    return last_day(around, [one for one in tub.climate if _temperature(one)])


def _last_read(around: Round, shelf: Enclosure) -> date | None:
    """The last day with a temperature of the eggs here, by hand or by a logger whose file was read.

    Of a shelf, or of every box on it with eggs: what is read inside a box is nearer to its eggs.
    """
    days = [_last_air(around, shelf), _last_of_series(around, shelf.standing, shelf.subject)]
    inside = [
        _last_of_series(around, shelf.standing, place)
        for place in {one.place for one in eggs_on(shelf.standing, shelf.subject)}
    ]
    if inside and None not in inside:
        days.append(min(day for day in inside if day is not None))
    return max((day for day in days if day is not None), default=None)


def _last_of_series(around: Round, standing: Standing, place: str) -> date | None:
    from rounds.due.incubation import limits_of  # late: no start has to wait for it
    from rounds.standing.shelf_readings import series  # late: no start has to wait for it

    last = series(standing, place, limits_of(around.house)).last(around.now.timestamp())
    return None if last is None else around.day_of_moment(datetime.fromtimestamp(last.at, UTC))


def _temperature(reading: ClimateRead) -> bool:
    return any(
        value is not None for value in (reading.air_c, reading.basking_c, reading.cool_c, reading.night_low_c)
    )


class Lamp(msgspec.Struct, frozen=True):
    """A UV lamp that is due for a change: since when, by which rule, and whether a meter speaks for it."""

    since: date
    key: str
    metered: bool


def lamp_due(around: Round, tub: Enclosure, living: Sequence[Animal]) -> Lamp | None:
    """The lamp of an enclosure when it is due: sooner when no meter says that it is good, later when one does.

    A lamp whose change was never noted is at least as old as its enclosure.
    """
    fitted = tub.lamp or tub.set_up
    if not living or fitted is None or (tub.what not in _LIT and tub.lamp is None):
        return None
    metered = _metered(around, tub)
    key = "climate.lamp_metered_months" if metered else "climate.lamp_months"
    since = months_after(around.day_of(fitted), around.house.days(key))
    return None if since > around.day else Lamp(since, key, metered)


def lamp_lines(around: Round, tub: Enclosure, living: Sequence[Animal]) -> Iterator[DueLine]:
    """A new UV lamp. One whose change was never noted is due, but never late."""
    lamp = lamp_due(around, tub, living)
    if lamp is None:
        return
    due = lamp.since if tub.lamp is not None else around.day
    yield DueLine(
        care="lamp",
        about=tub.subject,
        place=tub.subject,
        says="UV lamp: change it" + ("" if lamp.metered else ", or read the UV index at the basking spot"),
        due=due,
        late_days=around.late(due),
        plain=False,
        house=(lamp.key, "climate.uv_read_days"),
        left_out=around.left_out("lamp", tub.subject, None),
    )


def _metered(around: Round, tub: Enclosure) -> bool:
    """Whether the last reading of the UV index still counts, and found enough."""
    readings = [one for one in tub.climate if one.uv_index is not None]
    if not readings:
        return False
    last = readings[-1]
    least, _ = around.house.band("climate.uv_index")
    counts = around.day - around.day_of(last) <= timedelta(days=around.house.days("climate.uv_read_days"))
    return counts and last.uv_index is not None and last.uv_index >= least
