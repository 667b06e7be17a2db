"""The walk: the stops in walking order, which are done, and where it goes on.

A walk is a day and its part, morning or evening. It belongs to the room's day on which it began, and that
day turns some hours after midnight (house rule `walk.day_turns_hour`), so that a walk begun at 23:30 is
finished as the same walk. What is left of it when the day turns is not taken up again: the morning walk
is a new one, at which care that was not done shows as late.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from functools import cached_property

import msgspec

from rounds.due.lines import without_place
from rounds.due.round import walk_day
from rounds.logbook.entries import StopWalked
from rounds.logbook.words import WalkPart
from rounds.rules.settings import Settings
from rounds.standing.enclosure import enclosure, walking_order
from rounds.standing.fold import Standing
from rounds.standing.moment import as_of


class Stop(msgspec.Struct, frozen=True):
    """An enclosure's turn on this walk: its number from 1, and the entries that say that it was walked."""

    enclosure: str
    number: int
    walked: tuple[StopWalked, ...] = ()

    @property
    def done(self) -> bool:
        """Whether some keeper stood here on this walk."""
        return bool(self.walked)

    @property
    def by(self) -> tuple[str, ...]:
        """Who did, each once, in the order in which they came."""
        return tuple(dict.fromkeys(entry.by for entry in self.walked))

    @property
    def done_twice(self) -> bool:
        """Whether it was walked more than once, by two keepers or at two desks."""
        return len(self.walked) > 1


def part_of(now: datetime, settings: Settings) -> WalkPart:
    """Which walk of the room's day a moment belongs to; the hours after midnight are still the evening's."""
    wall = now.astimezone(settings.zone)
    if wall.date() > walk_day(now, settings.house):
        return "evening"
    return "evening" if wall.time() >= settings.evening_from else "morning"


class Walk:
    """One walk of the room as far as it has come. `part` is that of `now` unless it is given."""

    def __init__(self, standing: Standing, settings: Settings, now: datetime, part: WalkPart | None = None) -> None:
        self.standing = as_of(standing, now)
        self.settings = settings
        self.day = walk_day(now, settings.house)
        self.part: WalkPart = part or part_of(now, settings)

    @cached_property
    def stops(self) -> tuple[Stop, ...]:
        """Every enclosure that stands, in walking order."""
        order = walking_order(self.standing, self.settings.walking_order)
        return tuple(Stop(subject, number, self._walked(subject)) for number, subject in enumerate(order, 1))

    def _walked(self, subject: str) -> tuple[StopWalked, ...]:
        return tuple(
            entry
            for entry in enclosure(self.standing, subject).stops
            if entry.day == self.day and entry.walk == self.part
        )

    @cached_property
    def no_place(self) -> tuple[str, ...]:
        """Animals and groups that no stop leads to: they have no place, or one that does not stand."""
        return without_place(self.standing)

    @cached_property
    def _places(self) -> dict[str, int]:
        return {stop.enclosure: place for place, stop in enumerate(self.stops)}

    def stop(self, subject: str) -> Stop | None:
        """The stop at an enclosure; None when it does not stand in the room."""
        place = self._places.get(subject)
        return None if place is None else self.stops[place]

    @property
    def progress(self) -> tuple[int, int]:
        """How many stops are done, of how many."""
        return sum(stop.done for stop in self.stops), len(self.stops)

    @property
    def finished(self) -> bool:
        """Whether every stop is done."""
        done, many = self.progress
        return done == many

    def last_walked(self, by: str | None = None) -> Stop | None:
        """The stop where a keeper (this one, if named) stood last on this walk."""
        latest: Stop | None = None
        when = None
        for stop in self.stops:
            for entry in stop.walked:
                if (by is None or entry.by == by) and (when is None or entry.key > when):
                    latest, when = stop, entry.key
        return latest

    def resume(self, by: str | None = None) -> Stop | None:
        """Where the walk goes on: the first stop not done after the last one walked; None when all are done.

        Named, a keeper goes on after the own last stop, also when another walks from the far end.
        """
        last = self.last_walked(by) or self.last_walked()
        return self.next_open(last.enclosure if last else None)

    def next_open(self, subject: str | None) -> Stop | None:
        """The first stop not done after an enclosure, in walking order, round the room; None when all are done."""
        start = self._places.get(subject, -1) + 1 if subject is not None else 0
        return next((stop for stop in self._round_from(start) if not stop.done), None)

    def _round_from(self, start: int) -> Sequence[Stop]:
        return (*self.stops[start:], *self.stops[:start])

    def after(self, subject: str) -> Stop | None:
        """The stop behind an enclosure, done or not; None at the end of the room."""
        place = self._places.get(subject)
        return self.stops[place + 1] if place is not None and place + 1 < len(self.stops) else None

    def before(self, subject: str) -> Stop | None:
        """The stop in front of an enclosure, done or not; None at the beginning."""
        place = self._places.get(subject)
        return self.stops[place - 1] if place else None
