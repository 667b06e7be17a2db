"""The walk: the stops in walking order, which are done, and where it goes on.

A walk is a day and its part, morning or evening. It belongs to the room's day on which it began, and that
day turns some hours after midnight (house rule `walk.day_turns_hour`), so that a walk begun at 23:30 is
finished as the same walk. What is left of it when the day turns is not taken up again: the morning walk
is a new one, at which care that was not done shows as late.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from functools import cached_property

from rounds.due.lines import without_place
from rounds.due.round import part_of, walk_day
from rounds.logbook.entries import StopWalked
from rounds.logbook.words import WalkPart
from rounds.rules.settings import Settings
from rounds.standing.as_of import as_of
from rounds.standing.enclosure import walking_order
from rounds.standing.fold import Standing


class Walk:
    """One walk of the room as far as it has come. `part` is that of `now` unless it is given."""

    def __init__(self, standing: Standing, settings: Settings, now: datetime, part: WalkPart | None = None) -> None:
        self.standing = as_of(standing, now)
        self.settings = settings
        self.day = walk_day(now, settings.house)
        self.part: WalkPart = part or part_of(now, settings.house)

    @cached_property
    def order(self) -> tuple[str, ...]:
        """Every stop: the enclosures that stand, in walking order."""
        return walking_order(self.standing, self.settings.walking_order)

    @cached_property
    def done(self) -> Mapping[str, tuple[StopWalked, ...]]:
        """The stops done on this walk, in walking order, each with who stood there, oldest first.

        More than one entry to a stop: it was done twice, by two keepers or at two desks.
        """
        walked = self.standing.register.walked(self.day, self.part)
        return {stop: walked[stop] for stop in self.order if stop in walked}

    @cached_property
    def no_place(self) -> tuple[str, ...]:
        """Animals and groups that no stop leads to: they have no place, or one that does not stand."""
        return without_place(self.standing)

    @cached_property
    def _places(self) -> dict[str, int]:
        return {stop: place for place, stop in enumerate(self.order)}

    @property
    def progress(self) -> tuple[int, int]:
        """How many stops are done, of how many."""
        return len(self.done), len(self.order)

    @property
    def finished(self) -> bool:
        """Whether every stop is done."""
        return len(self.done) == len(self.order)

    def last_walked(self, by: str | None = None) -> str | None:
        """The stop where a keeper (this one, if named) stood last on this walk."""
        times = (
            (entry.key, stop) for stop, entries in self.done.items() for entry in entries if by in (None, entry.by)
        )
        return max(times, default=(None, None))[1]

    @property
    def resume(self) -> str | None:
        """Where the walk goes on: the first stop not done after the last one walked; None when all are done."""
        return self.resume_for(None)

    def resume_for(self, by: str | None) -> str | None:
        """The same for one keeper, who goes on after the own last stop, though another walks from the far end."""
        last = self.last_walked(by) or self.last_walked()
        return self.next(last) if last is not None else self._first_open(self.order)

    def next(self, stop: str) -> str | None:
        """The first other stop not done after a stop, round the room; None when nothing else is left."""
        place = self._places.get(stop, -1)
        return self._first_open((*self.order[place + 1 :], *self.order[: max(place, 0)]))

    def _first_open(self, stops: Iterable[str]) -> str | None:
        return next((stop for stop in stops if stop not in self.done), None)

    def number(self, stop: str) -> int | None:
        """The number of a stop in walking order, from 1; None when it does not stand in the room."""
        place = self._places.get(stop)
        return None if place is None else place + 1

    def after(self, stop: str) -> str | None:
        """The stop behind one, done or not; None at the end of the room."""
        place = self._places.get(stop)
        return self.order[place + 1] if place is not None and place + 1 < len(self.order) else None

    def before(self, stop: str) -> str | None:
        """The stop in front of one, done or not; None at the beginning."""
        place = self._places.get(stop)
        return self.order[place - 1] if place else None
