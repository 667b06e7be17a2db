"""Slips of a season at the door: counts of nothing, boxes that are none, traits said twice, days gone by. Pure.

Those about young stand in `rounds.desk.young_door`.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import Final

from rounds.logbook.entries import (
    AppointmentEnded,
    AppointmentMade,
    ClimateLogged,
    Died,
    EggBoxMadeUp,
    EggBoxShelved,
    EggsLost,
    EggsSeen,
    Entry,
    Hatched,
    HeldBack,
    Left,
    Released,
    Reserved,
    SplitOff,
    StockIn,
    TraitsSettled,
)
from rounds.logbook.times import fixed, with_year
from rounds.rules.house import House
from rounds.standing.appointments import appointments, is_said_of, with_whom
from rounds.standing.clutch import called
from rounds.standing.fold import Standing

#: What is not written of none, in words.
_OF_NONE: Final[dict[type[Entry], str]] = {
    Died: "died",
    EggsLost: "lost",
    EggsSeen: "seen",
    Hatched: "hatched",
    HeldBack: "held back",
    Left: "left",
    Released: "set free",
    Reserved: "reserved",
    SplitOff: "split off",
}
#: What cannot both be said of one trait; `normal` may stand beside what is carried unseen.
_APART: Final = frozenset(combinations(("shows", "carries", "possible", "without"), 2)) | {("shows", "normal")}
_WORDS: Final = {"possible": "may carry", "normal": "normal for"}
#: More water than so many times the dry medium is asked about: above every ratio that can be written.
_MOST_WATER: Final = 10.0


def cannot(standing: Standing, entry: Entry, excluding: frozenset[str]) -> str:
    """A sentence when an entry of the season cannot be as it was written; empty when it can."""
    name = called(standing, entry.about)
    if type(entry) in _OF_NONE and getattr(entry, "count", None) == 0:
        return f"{name}: none {_OF_NONE[type(entry)]}: there is nothing to write."
    if isinstance(entry, StockIn) and not entry.amount:
        return f"{name}: nothing came in: there is nothing to write."
    if isinstance(entry, EggBoxMadeUp | EggBoxShelved):
        return _no_place_for_eggs(standing, entry)
    if isinstance(entry, AppointmentEnded):
        return _no_such_appointment(standing, entry, excluding)
    if isinstance(entry, ClimateLogged):
        many = len(entry.minutes), len(entry.air_c), len(entry.humidity) or len(entry.air_c)
        if len(set(many)) > 1:
            told = f"{many[0]} times, {many[1]} temperatures, {len(entry.humidity)} humidities"
            return f"{name}: {told}. Give as many of each."
    if isinstance(entry, TraitsSettled):
        for one, other in sorted(_APART):
            both = {*getattr(entry, one)} & {*getattr(entry, other)}
            if both:
                words = f"{_WORDS.get(one, one)} and {_WORDS.get(other, other)}"
                return f"{name}: {min(both)} is said twice, {words}. Leave one of them."
    return ""


def _no_place_for_eggs(standing: Standing, entry: EggBoxMadeUp | EggBoxShelved) -> str:
    for place, what in ((entry.about, "it is no egg box"), (entry.shelf, "an egg box stands on a shelf")):
        if place is None or standing.card(place).what in ("egg box", "incubator shelf"):
            continue  # young just hatched may lie there
        if living := [standing.name(one) for one in standing.living_in(place)]:
            lives = "lives" if len(living) == 1 else "live"
            return f"{', '.join(living[:4])} {lives} in {standing.name(place)}: {what}."
    if entry.shelf is not None and standing.card(entry.shelf).what == "egg box":
        return f"{standing.name(entry.shelf)} is an egg box: name the shelf it stands on."
    return ""


def _no_such_appointment(standing: Standing, entry: AppointmentEnded, excluding: frozenset[str]) -> str:
    made = [one for one in standing.page(entry.about).of(AppointmentMade) if one.about == entry.about]
    made = [one for one in made if one.id not in excluding]
    if any(is_said_of(entry, one) for one in made):
        return ""
    there = "; ".join(f"{with_year(one.on)} {with_whom(one)}" for one in made[-3:])
    return f"{called(standing, entry.about)}: no such appointment." + (f" There is: {there}." if there else "")


def hardly(standing: Standing, house: House, entry: Entry, excluding: frozenset[str]) -> Iterator[str]:
    """A sentence for each thing about an entry of the season that is likelier a slip than so."""
    name = called(standing, entry.about)
    if isinstance(entry, AppointmentMade):
        yield from _another_day(house, entry, name)
    if isinstance(entry, AppointmentEnded) and not entry.whom.strip() and entry.clock is None:
        waiting = appointments(standing.page(entry.about)).waiting()
        that_day = [one for one in waiting if one.on == entry.on and one.id not in excluding]
        if len(that_day) > 1:
            told = "; ".join(with_whom(one) for one in that_day[:4])
            yield f"{name}: {len(that_day)} are agreed for that day ({told}). Is it said of all? Else name whom."
    if (
        isinstance(entry, EggBoxMadeUp)
        and entry.dry_grams
        and (entry.water_grams or 0) > _MOST_WATER * entry.dry_grams
    ):
        yield f"{name}: {entry.water_grams:g} g of water to {entry.dry_grams:g} g dry. Is that so?"


def _another_day(house: House, entry: AppointmentMade, name: str) -> Iterator[str]:
    """A day that was over when it was agreed, or one so far away that its year may be a slip."""
    seen = fixed(entry.at, house.zone).date()
    away, most = (entry.on - seen).days, house.days("plausible.appointment_days")
    told = with_year(entry.on)
    if away < 0:
        yield f"{name}: {told} was over when it was agreed. Is that the day?"
    elif away > most:
        yield f"{name}: {told} is {away} days away. Is that the day?"
