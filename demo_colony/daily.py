"""The care of every day, at the intervals the house keeps: what good keepers write without a thought."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random
from typing import Any, Final

from demo_colony.animals import DWELLERS, OPENED
from demo_colony.book import Line
from demo_colony.incubator import shelf_c
from demo_colony.people import RACK_LAPTOP
from demo_colony.places import EVER, Place
from demo_colony.room import Homes, Timetable
from demo_colony.story import Told
from demo_colony.weights import Weights, hatched
from rounds.logbook.entries import (
    Ate,
    BehaviourSeen,
    Cleaned,
    ClimateRead,
    DroppingsSeen,
    Entry,
    Fed,
    LampChanged,
    Measured,
    Misted,
    ShedSeen,
    Watered,
    Weighed,
)

#: Where the last readings were forgotten, and since when.
UNREAD: Final = {"enclosure/e4": -8}
#: Lamps with a day of their own; that of E1 is older than the house allows, and nobody held the meter under it.
LAMPS: Final = {"enclosure/e1": -204, "enclosure/old-tank": -140}
#: Mass in g from snout–vent length in mm, computed from the young of Wild et al. 2023.
MASS_AT_1_MM, MASS_EXPONENT = 2.435e-5, 3.063
INSECTS: Final = ("roaches", "crickets", "locusts", "crickets")
GREENS: Final = ("dandelion and endive", "grated squash and rocket", "clover and plantain leaf")
YEAR: Final = 365
#: To this age both ends of a tub are read daily; the house goes by the calendar.
HATCHLING: Final = 62


class Daily:
    """Everything of the daily round that is no story."""

    def __init__(self, told: list[Told], homes: Homes, times: Timetable, weights: Weights, rng: Random) -> None:
        self._homes = homes
        self._times = times
        self._weights = weights
        self._rng = rng
        self._ages = {one.subject: one.age for one in DWELLERS}
        self._ages |= {group: -day for group, day in hatched(told).items()}
        self._woken = {one.subject: wakes(number) for number, one in enumerate(DWELLERS) if one.brumates}
        self._numbers = {one.subject: number for number, one in enumerate(DWELLERS)}
        #: From here on the story tells of an animal's weights, or of how it eats.
        self._told_weights = _first_days(told, "weighed")
        self._told_eating = _first_days(told, "ate")
        self._left_out = {(line.day, line.about, line.members["care"]) for line in told if line.kind == "left_out"}
        self._dusted: dict[str, int] = {}

    def lines(self) -> Iterator[Line]:
        """Every line of every morning and evening walk."""
        for day in range(OPENED + 1, 0):
            morning = self._homes.residents(day, 7 * 60)
            evening = self._homes.residents(day, 16 * 60 + 30)
            for number, place in enumerate(EVER):
                living = morning.get(place.subject, [])
                if living:
                    yield from self._morning(day, number, place, living)
                elif place.what == "incubator shelf":
                    yield self._at(day, "m", ClimateRead, place.subject, **self._shelf(place, day))
                for who in evening.get(place.subject, []):
                    yield from self._evening(day, place.subject, who)

    def _morning(self, day: int, number: int, place: Place, living: list[str]) -> Iterator[Line]:
        stop = place.subject
        awake = [who for who in living if not self._brumating(who, day)]
        scrubbed = {"scrubbed": True} if (day + number + number // 7) % 7 == 0 else {}
        yield self._at(day, "m", Watered, stop, **scrubbed)
        if not awake:
            return
        youngest = min(self._age(who, day) for who in awake)
        yield from self._food(day, number, stop, awake, youngest)
        if place.houses:
            # A female in a lay box is left alone.
            full = (day + 11 * number + 25) % 60 == 0 and (day, stop, "full clean") not in self._left_out
            yield self._at(day, "m", Cleaned, stop, extent="full" if full else "spot")
        if (day + number + 6 * (number // 7) + 6) % 7 == 0 and day <= UNREAD.get(stop, 0):
            yield self._at(day, "m", ClimateRead, stop, **self._climate(day, number, place))
        elif youngest < HATCHLING:
            ends = {"basking_c": 40 + (day + number) % 7 / 10, "cool_c": 24 - (day + number) % 5 / 10}
            yield self._at(day, "m", ClimateRead, stop, **ends)
        if (day + number) % (2 if youngest < YEAR else 5) == 0:
            yield self._at(day, "m", DroppingsSeen, stop)
        for who in awake:
            yield from self._of_one(day, stop, who)

    def _food(self, day: int, number: int, stop: str, awake: list[str], youngest: int) -> Iterator[Line]:
        every = 1 if youngest < YEAR else 2 if any(self._age(who, day) <= 4 * YEAR for who in awake) else 4
        if (day + number) % every == 0:
            yield self._insects(day, "m", stop, youngest)
            for who in awake:
                if day < self._told_eating.get(who, 0) and self._rng.random() < 0.12:
                    yield self._at(day, "m", Ate, who, how="well" if self._rng.random() < 0.9 else "some")
        if youngest >= 6 * 7 and (day + number + 1) % (1 if youngest < YEAR else 2) == 0:
            yield self._at(day, "m", Fed, stop, food="greens", what=GREENS[day % len(GREENS)])
        if youngest < 2 * 30:
            yield self._at(day, "m", Misted, stop)

    def _insects(self, day: int, when: str, stop: str, youngest: int) -> Line:
        every = 2 if youngest < YEAR else 7
        dust = day - self._dusted.get(stop, -1000) >= every
        if dust:
            self._dusted[stop] = day
        small = youngest < YEAR
        return self._at(
            day,
            when,
            Fed,
            stop,
            what="small crickets" if small else INSECTS[day % len(INSECTS)],
            amount="as much as they eat" if small else "",
            dusted="calcium" if dust else "",
        )

    def _of_one(self, day: int, stop: str, who: str) -> Iterator[Line]:
        age = self._age(who, day)
        number = self._numbers.get(who, 0)
        every = 7 if age < YEAR else 14
        phase = ROOM_NUMBER[stop] + 2 * (ROOM_NUMBER[stop] // 7) if age < YEAR else 5 * number
        if (day + phase) % every == 0 and day < self._told_weights.get(who, 0):
            yield self._at(day, "m", Weighed, who, grams=self._weights.grams(who, day))
        if age < YEAR and (day + phase) % 28 == 0:
            length = (self._weights.grams(who, day) / MASS_AT_1_MM) ** (1 / MASS_EXPONENT)
            yield self._at(day, "m", Measured, who, svl_mm=round(length))
        shed = (day + 7 * number) % (31 if age < YEAR else 58)
        if shed in (0, 3) and who.startswith("animal/"):
            yield self._at(day, "m", ShedSeen, who, state="begun" if shed == 0 else "clean")
        if self._rng.random() < 0.008 and who in MALES:
            yield self._at(day, "m", BehaviourSeen, who, behaviour=self._rng.choice(("head bobbing", "push-ups")))

    def _evening(self, day: int, stop: str, who: str) -> Iterator[Line]:
        if self._age(who, day) < 2 * 30:
            yield self._insects(day, "e", stop, self._age(who, day))
            yield self._at(day, "e", Misted, stop)

    def lamps(self) -> Iterator[Line]:
        """When each tub got its UV lamp. Those in a lay box or on a shelf have none."""
        for number, place in enumerate(EVER):
            if place.houses:
                day = LAMPS.get(place.subject, -20 - (number * 37) % 140)
                late = None if day > OPENED else (OPENED, 11 * 3600 + number)
                yield Line(day, 14 * 3600 + 60 * number, LampChanged, place.subject, {"what": "UV tube"}, late)

    def _climate(self, day: int, number: int, place: Place) -> dict[str, Any]:
        rng = self._rng
        if place.what == "lay box":
            return {"air_c": round(rng.gauss(28.9, 0.25), 1)}
        basking = max(38.3, min(41.7, rng.gauss(40.0, 0.6)))
        reading: dict[str, Any] = {
            "basking_c": round(basking, 1),
            "cool_c": round(max(22.3, min(25.7, rng.gauss(24.0, 0.5))), 1),
            "night_low_c": round(max(20.4, rng.gauss(21.6, 0.4)), 1),
        }
        if (day + number + 6 * (number // 7) + 6) % 28 == 0 and place.subject not in LAMPS:
            reading["uv_index"] = round(max(3.2, min(6.5, rng.gauss(4.6, 0.5))), 1)
        if (day + number + 6 * (number // 7) + 6) % 14 == 0:
            reading["humidity"] = round(rng.gauss(36, 4))
        return reading

    def _shelf(self, place: Place, day: int) -> dict[str, Any]:
        return {"air_c": shelf_c(place.subject, day, 8 * 60), "humidity": round(self._rng.gauss(82, 2))}

    def _brumating(self, who: str, day: int) -> bool:
        return day < self._woken.get(who, day)

    def _age(self, who: str, day: int) -> int:
        return self._ages[who] + day

    def _at(self, day: int, when: str, kind: type[Entry], about: str, **fields: Any) -> Line:
        stop = (
            about if about in ROOM_NUMBER else self._homes.of(about, day, 7 * 60 if when == "m" else 16 * 60 + 30)
        )
        assert stop is not None
        return Line(day, self._times.at(stop, day, when), kind, about, fields, desk=RACK_LAPTOP)


def wakes(number: int) -> int:
    """The day on which the animal of this number in the table woke from brumation."""
    return -107 + number % 8


def _first_days(told: list[Told], kind: str) -> dict[str, int]:
    found: dict[str, int] = {}
    for line in told:
        if line.kind == kind and line.day > OPENED:
            found.setdefault(line.about, line.day)
    return found


ROOM_NUMBER: Final = {place.subject: number for number, place in enumerate(EVER)}
MALES: Final = frozenset(one.subject for one in DWELLERS if one.sex == "M")
