"""Who lives where on which day, and when a keeper stands at which stop."""

from __future__ import annotations

from collections.abc import Iterable
from random import Random
from typing import Final

from demo_colony.animals import DWELLERS, OPENED
from demo_colony.people import EVENING_WALK, MORNING_WALK
from demo_colony.places import EVER, OLD_TANK, ROOM, SHELVES
from demo_colony.story import Told, place_told

#: Since these days the morning walk, and the evening walk too, are written stop by stop.
MORNINGS_SINCE: Final = -75
EVENINGS_SINCE: Final = -21
STOPS: Final = tuple(place.subject for place in ROOM)
#: The last day on which the old tank stood.
OLD_TANK_UNTIL: Final = -50
#: Yesterday evening's walk was left behind the lay boxes, when the vet was rung about Mulga.
LEFT_AT: Final = SHELVES[0].subject


class Homes:
    """Where each animal and group lived, as the story tells it."""

    def __init__(self, lines: Iterable[Told]) -> None:
        self._steps: dict[str, list[tuple[int, int, str | None]]] = {
            one.subject: [(-one.came, 11 * 60 + 30, one.place)] for one in DWELLERS
        }
        #: The shelf on which the eggs of each clutch were put.
        self.shelves: dict[str, str] = {}
        for line in lines:
            minute = MORNING_WALK if line.minute is None else line.minute
            if line.kind in ("moved", "arrived"):
                self._steps.setdefault(line.about, []).append((line.day, minute, place_told(line)))
            elif line.kind == "merged" or (line.kind in ("left", "died") and "count" not in line.members):
                self._steps.setdefault(line.about, []).append((line.day, minute, None))
            elif line.kind == "eggs_boxed":
                self.shelves[line.about] = line.members["place"]

    def of(self, subject: str, day: int, minute: int) -> str | None:
        """The enclosure a subject lived in at a minute of a day."""
        place: str | None = None
        for since_day, since_minute, there in self._steps.get(subject, ()):
            if (since_day, since_minute) < (day, minute):
                place = there
        return place

    def residents(self, day: int, minute: int) -> dict[str, list[str]]:
        """Who lived in each enclosure, at a minute of a day."""
        found: dict[str, list[str]] = {}
        for subject in self._steps:
            place = self.of(subject, day, minute)
            if place is not None:
                found.setdefault(place, []).append(subject)
        return found

    def stop(self, line: Told) -> str:
        """The stop at which a line of the story was seen."""
        sort = line.about.partition("/")[0]
        if sort == "enclosure":
            return line.about
        if sort == "clutch":
            return self.shelves[line.about]
        minute = MORNING_WALK if line.when == "m" else EVENING_WALK
        place = self.of(line.about, line.day, minute)
        assert place is not None, f"{line.about} lives nowhere on day {line.day}"
        return place


class Timetable:
    """The second at which a keeper stands at each stop of each walk."""

    def __init__(self, rng: Random) -> None:
        self._morning = {day: _walk(rng, MORNING_WALK, 45, 95) for day in range(OPENED - 60, 0)}
        self._evening = {day: _walk(rng, EVENING_WALK, 25, 60) for day in range(OPENED, 0)}

    def at(self, stop: str, day: int, when: str) -> int:
        """Seconds after midnight; `when` is m or e."""
        return (self._morning if when == "m" else self._evening)[day][stop]


def _walk(rng: Random, minute: int, least: int, most: int) -> dict[str, int]:
    second = minute * 60
    found: dict[str, int] = {}
    for place in EVER:
        second += rng.randint(least, most)
        found[place.subject] = second
    return found


def stops_on(day: int) -> tuple[str, ...]:
    """The stops of a day's walk."""
    return STOPS if day > OLD_TANK_UNTIL else (*STOPS, OLD_TANK.subject)
