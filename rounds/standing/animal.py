"""What an animal is and how it stands: worked out from its page, never stored."""

from __future__ import annotations

from datetime import datetime

import msgspec
from msgspec.structs import replace

from rounds.logbook.entries import (
    Arrived,
    BehaviourSeen,
    BrumationBegan,
    BrumationEnded,
    Died,
    DroppingsSeen,
    EggsLaid,
    Entry,
    Left,
    Measured,
    Moved,
    PedigreeNoted,
    Weighed,
)
from rounds.logbook.times import days_between, months_between
from rounds.standing.fold import Standing
from rounds.standing.health import Health
from rounds.standing.identity import AnimalIdentity
from rounds.standing.kept import cached_property
from rounds.standing.view import Kind, newest


class Stay(msgspec.Struct, frozen=True):
    """A time an animal lived in one enclosure; `until` None while it still does."""

    enclosure: str
    since: datetime
    until: datetime | None
    #: When it was written down that it went there.
    known: datetime

    def covers(self, moment: datetime) -> bool:
        """Whether it lived there at that moment."""
        return self.since <= moment and (self.until is None or moment < self.until)


class Animal(AnimalIdentity, Health):
    """One animal as it stands. Get it with `animal(standing, subject)`, which keeps it."""

    def __init__(self, standing: Standing, subject: str) -> None:
        super().__init__(standing.page(subject))
        self.standing = standing
        self._counting: dict[type[Entry], tuple[Entry, ...]] = {}

    @property
    def name(self) -> str:
        """What keepers call it."""
        return self.arrived.name if self.arrived else self.standing.name(self.subject)

    def age_days(self, now: datetime) -> int | None:
        """Age in days; None when not known."""
        return days_between(self.hatched, now) if self.hatched else None

    def age_months(self, now: datetime) -> int | None:
        """Age in whole months by the calendar, as it is shown and judged; None when not known."""
        return months_between(self.hatched, now.date()) if self.hatched else None

    @property
    def traits(self) -> tuple[str, ...]:
        """Free words about its breeding, as given at arrival, else with its pedigree."""
        if self.arrived is not None and self.arrived.traits:
            return self.arrived.traits
        return next((entry.traits for entry in reversed(self.own(PedigreeNoted)) if entry.traits), ())

    @cached_property
    def came_back_at(self) -> datetime | None:
        """When it came back, if it had left before; None when it arrived once only."""
        if self.arrived is None or not any(left.key < self.arrived.key for left in self.own(Left)):
            return None
        return self.arrived.at

    @cached_property
    def stays(self) -> tuple[Stay, ...]:
        """Where it lived when, oldest first, as far back as the page goes."""
        steps: list[tuple[datetime, str | None, datetime]] = []
        events: list[Entry] = [*self.own(Arrived), *self.own(Moved), *self._departures()]
        for entry in sorted(events, key=lambda entry: entry.key):
            if isinstance(entry, Arrived):
                steps.append((entry.at, entry.place or (steps[-1][1] if steps else None), entry.known))
            else:
                steps.append((entry.at, entry.to if isinstance(entry, Moved) else None, entry.known))
        if not steps:
            return ()
        found: list[Stay] = []
        ends = [*(step[0] for step in steps[1:]), None]
        for (since, place, known), until in zip(steps, ends, strict=True):
            if place is None:
                continue
            if found and found[-1].enclosure == place and found[-1].until == since:
                found[-1] = replace(found[-1], until=until)
            else:
                found.append(Stay(place, since, until, known))
        return tuple(found)

    def _departures(self) -> list[Entry]:
        """The entries by which it left the room as a whole."""
        return [*self.own(Left), *self.own(Died)]

    def companions(self) -> tuple[str, ...]:
        """The other animals and groups that live where it lives."""
        if self.place is None:
            return ()
        return tuple(who for who in self.standing.living_in(self.place) if who != self.subject)

    def counting(self, kind: type[Kind]) -> tuple[Kind, ...]:
        """Care that counts for it, oldest first: given to itself, or to its enclosure while it lived there."""
        found = self._counting.get(kind)
        if found is None:
            found = self._counting[kind] = tuple(self._care(kind))
        return found  # type: ignore[return-value]

    def _care(self, kind: type[Kind]) -> list[Kind]:
        found: list[Kind] = list(self.own(kind))
        for stay in self.stays:
            page = self.standing.page(stay.enclosure)
            found.extend(
                entry for entry in page.of(kind) if entry.about == stay.enclosure and stay.covers(entry.at)
            )
        found.sort(key=lambda entry: entry.key)
        return found

    @property
    def weights(self) -> tuple[Weighed, ...]:
        """Every reading of the scale, oldest first, as far back as the page goes; `weighings` has what counts."""
        return self.own(Weighed)

    @property
    def lengths(self) -> tuple[Measured, ...]:
        """Its measurements, oldest first."""
        return self.own(Measured)

    @property
    def droppings(self) -> tuple[DroppingsSeen, ...]:
        """Droppings seen of it (or found missing), oldest first."""
        return self.counting(DroppingsSeen)

    @property
    def behaviour(self) -> tuple[BehaviourSeen, ...]:
        """What it was seen to do, oldest first (not what others did toward it)."""
        return self.own(BehaviourSeen)

    @cached_property
    def brumating_since(self) -> datetime | None:
        """When its present brumation began; None while awake."""
        began, ended = self.last(BrumationBegan), self.last(BrumationEnded)
        if began is None or (ended is not None and ended.key > began.key):
            return None
        return began.at

    def brumated_at(self, moment: datetime, known: datetime | None = None) -> bool:
        """Whether it brumated at a moment, by what was written down until then (or until `known`)."""
        noted = [
            entry
            for entry in (*self.own(BrumationBegan), *self.own(BrumationEnded))
            if entry.at <= moment and entry.known <= (known or moment)
        ]
        last = newest(noted)
        return isinstance(last, BrumationBegan)

    @property
    def last_brumation(self) -> tuple[datetime, datetime | None] | None:
        """Begin and end of the last brumation."""
        began, ended = self.last(BrumationBegan), self.last(BrumationEnded)
        if began is None:
            return None
        return began.at, ended.at if ended is not None and ended.key > began.key else None

    @cached_property
    def laid(self) -> tuple[EggsLaid, ...]:
        """Its entries of eggs laid, oldest first."""
        return self.own(EggsLaid)


def animal(standing: Standing, subject: str) -> Animal:
    """The animal as it stands; worked out once for a standing."""
    found = standing.views.get(("animal", subject))
    if found is None:
        found = standing.views[("animal", subject)] = Animal(standing, subject)
    assert isinstance(found, Animal)
    return found


def animals_here(standing: Standing) -> list[Animal]:
    """All animals that are in the colony now, by id."""
    return [one for subject in standing.subjects("animal") if (one := animal(standing, subject)).here]
