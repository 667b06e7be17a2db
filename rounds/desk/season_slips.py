"""Slips of a season at the door: counts of nothing, holds of no one, boxes that are none, days gone by. Pure."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import Final

from rounds.desk.young_door import census_without, since
from rounds.logbook.entries import (
    AppointmentEnded,
    AppointmentMade,
    Arrived,
    ClimateLogged,
    CountSettled,
    EggBoxMadeUp,
    EggBoxShelved,
    EggsLost,
    EggsSeen,
    Entry,
    Hatched,
    HeldBack,
    Released,
    Reserved,
    SingledOut,
    StockIn,
    TraitsSettled,
)
from rounds.logbook.times import fixed, with_year
from rounds.rules.house import House
from rounds.standing.animal import Animal, animal
from rounds.standing.appointments import appointments, is_said_of, with_whom
from rounds.standing.clutch import called
from rounds.standing.clutch_young import clutches_of_group
from rounds.standing.fold import Standing
from rounds.standing.group import group
from rounds.standing.holding import holds, released

#: What is not written of none, in words.
_OF_NONE: Final[dict[type[Entry], str]] = {
    EggsLost: "lost",
    EggsSeen: "seen",
    Hatched: "hatched",
    HeldBack: "held back",
    Released: "set free",
    Reserved: "reserved",
}
#: What cannot both be said of one trait; `normal` may stand beside what is carried unseen.
_APART: Final = frozenset(combinations(("shows", "carries", "possible", "without"), 2)) | {("shows", "normal")}
_WORDS: Final = {"possible": "may carry", "normal": "normal for"}
#: A count of more than so many times what is reckoned is asked about; less is a matter of counting.
_MORE_THAN_THERE: Final = 1.5
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
    if isinstance(entry, SingledOut):
        return _none_of_this_group(standing, entry, excluding)
    if isinstance(entry, Released):
        return _nothing_to_release(standing, entry, excluding)
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


def _none_of_this_group(standing: Standing, entry: SingledOut, excluding: frozenset[str]) -> str:
    """An animal that was here before the group was."""
    came = [one for one in standing.page(entry.animal).of(Arrived) if one.about == entry.animal]
    first = min((one.at for one in came if one.id not in excluding), default=None)
    opened = min((step.at for step in group(standing, entry.about).census.steps), default=None)
    if first is None or opened is None or first >= opened:
        return ""
    who, young = standing.name(entry.animal), standing.name(entry.about)
    return f"{who} is here since {with_year(first)}, before {young} was: give the young another name."


def _held(standing: Standing, entry: Entry) -> Animal:
    return group(standing, entry.about) if entry.about.startswith("group/") else animal(standing, entry.about)


def _nothing_to_release(standing: Standing, entry: Released, excluding: frozenset[str]) -> str:
    one = _held(standing, entry)
    later = {
        other.id for kind in (HeldBack, Reserved, Released) for other in one.own(kind) if other.key > entry.key
    }
    before = holds(one, excluding | later | {entry.id})
    if released(before, entry) != before:
        return ""
    name = standing.name(entry.about)
    if not before.every:
        return f"{name} is neither held back nor reserved: there is nothing to set free."
    what = f"reserved for {entry.whom.strip()}" if entry.whom.strip() else "held back"
    return f"{name}: nothing is {what}. There is: {before.says}."


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
    if isinstance(entry, Hatched) and entry.into is not None:
        theirs = clutches_of_group(standing, group(standing, entry.into))
        if theirs and entry.about not in theirs:
            names = " and ".join(called(standing, one) for one in (*theirs, entry.about))
            yield f"Young of {names} cannot be told apart once they are together. Put them together?"
    if not entry.about.startswith("group/"):
        return
    census = census_without(standing, entry, excluding | since(standing, entry))
    if not census.known:
        return
    there = census.alive
    if isinstance(entry, CountSettled) and there and entry.count > _MORE_THAN_THERE * there:
        yield f"{name}: {entry.count} settled, but {there} are reckoned. Are there so many?"
    if isinstance(entry, TraitsSettled) and entry.count is not None and entry.count > there:
        yield f"{name}: seen in {entry.count} young, but {there} are there."
    if isinstance(entry, HeldBack) and entry.count is not None:
        every = holds(group(standing, entry.about), excluding | {entry.id})
        free = there - every.counted(there, every.every)
        if entry.count > free:
            kept = f": {every.says}" if every.every else ""
            yield f"{name}: {entry.count} to hold back, {free} of {there} are free{kept}. Hold back all the same?"


def _another_day(house: House, entry: AppointmentMade, name: str) -> Iterator[str]:
    """A day that was over when it was agreed, or one so far away that its year may be a slip."""
    seen = fixed(entry.at, house.zone).date()
    away, most = (entry.on - seen).days, house.days("plausible.appointment_days")
    told = with_year(entry.on)
    if away < 0:
        yield f"{name}: {told} was over when it was agreed. Is that the day?"
    elif away > most:
        yield f"{name}: {told} is {away} days away. Is that the day?"
