"""Food and mist by age class.

Food given to a shared tub counts for each who lives in it, so one line stands for the tub as long as all
in it are due alike; otherwise each animal or group that is due has a line of its own, so that no one is
fed twice because a young one shares the tub.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta
from typing import Final

import msgspec
from msgspec.structs import replace

from rounds.due.age import AgeClass, age_class
from rounds.due.checks import rungs
from rounds.due.line import DueLine
from rounds.due.round import Round
from rounds.logbook.drafts import Draft
from rounds.logbook.entries import Fed, LeftOut, Misted
from rounds.logbook.times import fixed
from rounds.logbook.words import Care, Food
from rounds.standing.animal import Animal

#: By age class: how often insects, how many meals a day where more than one may be asked, how often calcium.
INSECTS: Final[dict[AgeClass, tuple[str, str | None, str]]] = {
    "hatchling": (
        "feeding.insects_hatchling_days",
        "feeding.insects_hatchling_a_day",
        "feeding.calcium_hatchling_days",
    ),
    "young": ("feeding.insects_young_days", "feeding.insects_young_a_day", "feeding.calcium_young_days"),
    "adult": ("feeding.insects_adult_days", None, "feeding.calcium_adult_days"),
    "older": ("feeding.insects_older_days", None, "feeding.calcium_adult_days"),
}
_GRAVID_CALCIUM: Final = "feeding.calcium_gravid_days"
_LIGHTS: Final = "feeding.before_lights_off_hours"


class Wants(msgspec.Struct, frozen=True):
    """Food due to one animal or group."""

    who: str
    due: date
    dusted: bool
    again: bool
    left_out: LeftOut | None
    house: tuple[str, ...]
    too_late: bool = False


def feed_lines(around: Round, place: str | None, living: Sequence[Animal]) -> Iterator[DueLine]:
    """Insects and greens due to those who live here.

    Insects are not fed shortly before the lights go off, where colony.toml says when that is: the line then
    says so and is for tomorrow; a second meal is let go.
    """
    awake = [one for one in living if one.brumating_since is None]
    fed = {one.subject: one.counting(Fed) for one in awake}
    insects = [wants for one in awake if (wants := _insects(around, place, one, fed[one.subject]))]
    greens = [wants for one in awake if (wants := _greens(around, place, one, fed[one.subject]))]
    yield from _lines(around, place, living, insects, "feed insects", "insects")
    yield from _lines(around, place, living, greens, "feed greens", "greens")


def _insects(around: Round, place: str | None, one: Animal, fed: Sequence[Fed]) -> Wants | None:
    days_key, a_day_key, calcium_key = INSECTS[age_class(one.hatched, around.house, around.day)]
    meals = [entry for entry in fed if entry.food == "insects"]
    opened = around.day_of(one.arrived) if one.arrived else None
    last = around.day_of(meals[-1]) if meals else None
    if a_day_key is not None:
        due = around.turn_due(days_key, a_day_key, meals, opened)
    else:
        due = around.fell_due(days_key, last, opened)
    if due is None:
        return None
    again = last == around.day
    too_late = _too_late_for_insects(around)
    if too_late and again:
        return None
    if calcium_key != INSECTS["hatchling"][2] and _gravid(around, one):
        calcium_key = _GRAVID_CALCIUM
    dusted = next((around.day_of(meal) for meal in reversed(meals) if with_calcium(meal.dusted)), None)
    dust = around.fell_due(calcium_key, dusted, opened) is not None
    return Wants(
        one.subject,
        around.day + timedelta(days=1) if too_late else due,
        dust and not too_late,
        again=again,
        left_out=around.left_out("feed insects", one.subject, place, by_turn=a_day_key is not None),
        house=(_LIGHTS,)
        if too_late
        else (days_key, *((a_day_key,) if a_day_key else ()), *((calcium_key,) if dust else ())),
        too_late=too_late,
    )


def _gravid(around: Round, one: Animal) -> bool:
    """Whether she is gravid, known or reckoned."""
    return any(rung.gravid for rung in rungs(around, one))


def _too_late_for_insects(around: Round) -> bool:
    """Whether the lights go off too soon for insects to be digested, or are off."""
    off = around.house.lights_off
    if off is None:
        return False
    wall = fixed(around.now, around.house.zone)
    until = datetime.combine(wall, off) - timedelta(hours=around.house.number(_LIGHTS))
    # After midnight it is still the evening of the room's day.
    return wall.date() > around.day or wall.replace(tzinfo=None) >= until


def _greens(around: Round, place: str | None, one: Animal, fed: Sequence[Fed]) -> Wants | None:
    age = age_class(one.hatched, around.house, around.day)
    if (
        one.hatched is not None
        and (around.day - one.hatched).days < around.house.number("feeding.greens_from_weeks") * 7
    ):
        return None
    key = greens_key(age)
    last = next((around.day_of(entry) for entry in reversed(fed) if entry.food == "greens"), None)
    due = around.fell_due(key, last, around.day_of(one.arrived) if one.arrived else None)
    if due is None:
        return None
    left_out = around.left_out("feed greens", one.subject, place)
    return Wants(one.subject, due, dusted=False, again=False, left_out=left_out, house=(key,))


def greens_key(age: AgeClass) -> str:
    """The house rule that says how often one of an age class gets greens."""
    return "feeding.greens_young_days" if age in ("hatchling", "young") else "feeding.greens_adult_days"


def with_calcium(dusted: str) -> bool:
    """Whether the words for what food was dusted with name calcium."""
    words = dusted.casefold()
    return "calc" in words or words in ("ca", "yes", "dusted")


def _lines(
    around: Round, place: str | None, living: Sequence[Animal], wanted: list[Wants], care: Care, food: Food
) -> Iterator[DueLine]:
    # Alike in what they get, or of one age: then one dish is for all of them.
    alike = len({(wants.again, wants.left_out and wants.left_out.id) for wants in wanted}) == 1 and (
        len({wants.dusted for wants in wanted}) == 1 or len({wants.house[0] for wants in wanted}) == 1
    )
    if place is not None and alike and len(wanted) == len(living):
        keys = dict.fromkeys(key for wants in wanted for key in wants.house)
        first = min(wanted, key=lambda wants: wants.due)
        # It is dusted when it is for one of them.
        dusted = any(wants.dusted for wants in wanted)
        wanted = [replace(first, who=place, dusted=dusted, house=tuple(keys))]
    for wants in wanted:
        says = food + (", dusted with calcium" if wants.dusted else "") + (", second meal" if wants.again else "")
        if wants.too_late:
            says = f"too late today: lights off at {around.house.lights_off:%H:%M}"
        given = {"food": food, "dusted": "calcium"} if wants.dusted else {"food": food}
        yield DueLine(
            care=care,
            about=wants.who,
            place=place or "",
            says=says,
            due=wants.due,
            late_days=around.late(wants.due),
            plain=not wants.too_late,
            drafts=() if wants.too_late else (Draft(Fed, wants.who, given),),
            house=wants.house,
            left_out=wants.left_out,
        )


def mist_lines(around: Round, place: str | None, living: Sequence[Animal]) -> Iterator[DueLine]:
    """Mist for hatchlings: of the enclosure, for it is misted as a whole."""
    key = "feeding.mist_hatchling_a_day"
    if around.house.number(key) < 1:
        return
    due: dict[str, date] = {}
    for one in living:
        if one.hatched is None or age_class(one.hatched, around.house, around.day) != "hatchling":
            continue
        opened = around.day_of(one.arrived) if one.arrived else None
        fell_due = around.turn_due(None, key, one.counting(Misted), opened)
        if fell_due is not None:
            about = place or one.subject
            due[about] = min(fell_due, due.get(about, fell_due))
    for about, day in due.items():
        yield DueLine(
            care="mist",
            about=about,
            place=place or "",
            says="mist for the hatchlings",
            due=day,
            late_days=around.late(day),
            drafts=(Draft(Misted, about, {}),),
            house=("feeding.hatchling_until_months", key),
            left_out=around.left_out("mist", about, place, by_turn=True),
        )
