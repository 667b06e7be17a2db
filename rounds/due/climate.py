"""Warmth and light: readings to be taken, and the UV lamp."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from typing import Final

from rounds.due.age import months_after
from rounds.due.line import DueLine
from rounds.due.round import Round, last_day
from rounds.logbook.entries import ClimateRead, EggsBoxed
from rounds.standing.animal import Animal
from rounds.standing.clutch import clutch
from rounds.standing.enclosure import Enclosure

#: Enclosures that have a UV lamp of their own.
_LIT: Final = frozenset({"tub", "open tub", "tank", "bin", "vivarium", "other"})


def climate_lines(around: Round, tub: Enclosure, living: Sequence[Animal]) -> Iterator[DueLine]:
    """The day's reading: both ends where animals bask, the nest's warmth in a lay box, the air round eggs."""
    if tub.what in ("incubator shelf", "egg box"):
        if not holds_eggs(tub):
            return
        says, last = "climate: air temperature", _last_air(around, tub)
    elif not living:
        return
    elif tub.what == "lay box":
        says, last = "climate: warmth of the nest", _last_air(around, tub)
    elif all(one.brumating_since is not None for one in living):
        says, last = "climate: temperature, brumating", _last_air(around, tub)
    else:
        basking, cool = _last_ends(around, tub)
        missing = [
            end for end, day in (("basking spot", basking), ("cool end", cool)) if day is None or day < around.day
        ]
        last = min(basking, cool) if basking and cool else None
        says = "climate: " + " and ".join(missing or ["basking spot", "cool end"])
    key = "climate.read_days"
    due = around.fell_due(key, last, around.day_of(tub.set_up) if tub.set_up else None)
    if due is not None:
        yield DueLine(
            care="climate",
            about=tub.subject,
            place=tub.subject,
            says=says,
            due=due,
            late_days=around.late(due),
            plain=False,
            house=(key,),
            left_out=around.left_out("climate", tub.subject, None),
        )


def holds_eggs(shelf: Enclosure) -> bool:
    """Whether a clutch incubates here of which some eggs are still to hatch."""
    clutches = (clutch(shelf.standing, subject) for subject in {entry.about for entry in shelf.page.of(EggsBoxed)})
    return any(one.place == shelf.subject and one.left_to_hatch > 0 for one in clutches)


def _last_ends(around: Round, tub: Enclosure) -> tuple[date | None, date | None]:
    readings = tub.climate
    basking = last_day(around, [one for one in readings if one.basking_c is not None])
    cool = last_day(around, [one for one in readings if one.cool_c is not None])
    return basking, cool


def _last_air(around: Round, tub: Enclosure) -> date | None:
    """The last day with any temperature."""
    return last_day(around, [one for one in tub.climate if _temperature(one)])


def _temperature(reading: ClimateRead) -> bool:
    return any(
        value is not None for value in (reading.air_c, reading.basking_c, reading.cool_c, reading.night_low_c)
    )


def lamp_lines(around: Round, tub: Enclosure, living: Sequence[Animal]) -> Iterator[DueLine]:
    """A new UV lamp: sooner when no meter says that the old one is good, later when one does.

    A lamp whose change was never noted is at least as old as its enclosure.
    """
    fitted = tub.lamp or tub.set_up
    if not living or fitted is None or (tub.what not in _LIT and tub.lamp is None):
        return
    metered = _metered(around, tub)
    key = "climate.lamp_metered_months" if metered else "climate.lamp_months"
    due = months_after(around.day_of(fitted), around.house.days(key))
    if due > around.day:
        return
    yield DueLine(
        care="lamp",
        about=tub.subject,
        place=tub.subject,
        says="UV lamp: change it" + ("" if metered else ", or read the UV index at the basking spot"),
        due=due,
        late_days=around.late(due),
        plain=False,
        house=(key, "climate.uv_read_days"),
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
