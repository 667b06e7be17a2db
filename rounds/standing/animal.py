"""What an animal is and how it stands: worked out from its page, never stored."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from functools import cached_property
from typing import NamedTuple, TypeVar

from rounds.logbook.entries import (
    Arrived,
    Ate,
    BehaviourSeen,
    BrumationBegan,
    BrumationEnded,
    ConditionSeen,
    Died,
    DroppingsSeen,
    EggCheckDone,
    EggsLaid,
    Entry,
    Fed,
    Left,
    Measured,
    Misted,
    Moved,
    QuarantineEnded,
    Referred,
    SexSettled,
    TreatmentGiven,
    VetSeen,
    Watered,
    Weighed,
)
from rounds.logbook.times import days_between
from rounds.logbook.words import DANGER_SIGNS, Sex
from rounds.standing.fold import Standing
from rounds.standing.page import Page

Kind = TypeVar("Kind", bound=Entry)


class Stay(NamedTuple):
    """A time an animal lived in one enclosure; `until` None while it still does."""

    enclosure: str
    since: datetime
    until: datetime | None

    def covers(self, moment: datetime) -> bool:
        """Whether it lived there at that moment."""
        return self.since <= moment and (self.until is None or moment < self.until)


class SignSeen(NamedTuple):
    """A sign of the egg-check list that was there, and the entry that says so."""

    sign: str
    entry: Entry


class Animal:
    """One animal as it stands. Get it with `animal(standing, subject)`, which keeps it."""

    def __init__(self, standing: Standing, subject: str) -> None:
        self.standing = standing
        self.subject = subject
        self.page: Page = standing.page(subject)

    def own(self, kind: type[Kind]) -> tuple[Kind, ...]:
        """Entries of a kind about this animal itself, oldest first (not those that only mention it)."""
        if not kind.mentions:
            return self.page.of(kind)
        return tuple(entry for entry in self.page.of(kind) if entry.about == self.subject)

    def last(self, kind: type[Kind]) -> Kind | None:
        """The newest entry of a kind about this animal itself."""
        own = self.own(kind)
        return own[-1] if own else None

    @cached_property
    def arrived(self) -> Arrived | None:
        """The entry that opened it (the newest, when it came back after leaving)."""
        return self.last(Arrived)

    @property
    def name(self) -> str:
        """What keepers call it."""
        return self.arrived.name if self.arrived else self.standing.name(self.subject)

    @cached_property
    def sex(self) -> Sex:
        """F, M or ?: as last settled, else as it arrived."""
        settled, arrived = self.last(SexSettled), self.arrived
        if settled and (arrived is None or settled.key > arrived.key):
            return settled.sex
        known = [entry.sex for entry in self.own(Arrived) if entry.sex != "?"]
        if settled and settled.sex != "?" and not (arrived and arrived.sex != "?"):
            return settled.sex
        return known[-1] if known else "?"

    @cached_property
    def hatched(self) -> date | None:
        """The day it hatched, as far as known."""
        days = [entry.hatched for entry in self.own(Arrived) if entry.hatched]
        return days[-1] if days else None

    def age_days(self, now: datetime) -> int | None:
        """Age in days; None when not known."""
        return days_between(self.hatched, now) if self.hatched else None

    @property
    def traits(self) -> tuple[str, ...]:
        """Free words about its breeding, as given at arrival."""
        return self.arrived.traits if self.arrived else ()

    @cached_property
    def place(self) -> str | None:
        """Where it lives now; None when it is not here (any more)."""
        return self.standing.places.get(self.subject)

    @cached_property
    def gone(self) -> Left | Died | None:
        """The entry by which it left or died, if it is not here any more."""
        ends: list[Left | Died] = [*self.own(Left), *self.own(Died)]
        if not ends:
            return None
        end = max(ends, key=lambda entry: entry.key)
        return None if self.arrived and self.arrived.key > end.key else end

    @cached_property
    def came_back_at(self) -> datetime | None:
        """When it came back, if it had left before; None when it arrived once only."""
        if self.arrived is None or not any(left.key < self.arrived.key for left in self.own(Left)):
            return None
        return self.arrived.at

    @property
    def here(self) -> bool:
        """Whether it arrived and neither left nor died since."""
        return self.arrived is not None and self.gone is None

    @cached_property
    def stays(self) -> tuple[Stay, ...]:
        """Where it lived when, oldest first, as far back as the page goes."""
        steps: list[tuple[datetime, str | None]] = []
        events: list[Entry] = [*self.own(Arrived), *self.own(Moved), *self._departures()]
        for entry in sorted(events, key=lambda entry: entry.key):
            if isinstance(entry, Arrived):
                steps.append((entry.at, entry.place or (steps[-1][1] if steps else None)))
            else:
                steps.append((entry.at, entry.to if isinstance(entry, Moved) else None))
        if not steps:
            return ()
        found: list[Stay] = []
        for (since, place), (until, _) in zip(steps, [*steps[1:], (None, None)], strict=True):
            if place is None:
                continue
            if found and found[-1].enclosure == place and found[-1].until == since:
                found[-1] = found[-1]._replace(until=until)
            else:
                found.append(Stay(place, since, until))
        return tuple(found)

    def _departures(self) -> list[Left | Died]:
        """The entries by which it left the room as a whole."""
        return [*self.own(Left), *self.own(Died)]

    def companions(self) -> tuple[str, ...]:
        """The other animals and groups that live where it lives."""
        if self.place is None:
            return ()
        return tuple(who for who in self.standing.living_in(self.place) if who != self.subject)

    def counting(self, kind: type[Kind]) -> list[Kind]:
        """Care that counts for it, oldest first: given to itself, or to its enclosure while it lived there."""
        found: list[Kind] = list(self.own(kind))
        for stay in self.stays:
            page = self.standing.page(stay.enclosure)
            found.extend(
                entry for entry in page.of(kind) if entry.about == stay.enclosure and stay.covers(entry.at)
            )
        found.sort(key=lambda entry: entry.key)
        return found

    def last_fed(self, food: str | None = None) -> Fed | None:
        """The last food given to it or to its tub (of one sort, if named)."""
        return _last(entry for entry in self.counting(Fed) if food is None or entry.food == food)

    def last_watered(self) -> Watered | None:
        """The last time its dish was filled."""
        return _last(self.counting(Watered))

    def last_misted(self) -> Misted | None:
        """The last misting that reached it."""
        return _last(self.counting(Misted))

    @property
    def weights(self) -> tuple[Weighed, ...]:
        """Its weighings, oldest first, as far back as the page goes."""
        return self.own(Weighed)

    @property
    def last_weight(self) -> Weighed | None:
        """The last weighing."""
        return self.last(Weighed)

    @property
    def lengths(self) -> tuple[Measured, ...]:
        """Its measurements, oldest first."""
        return self.own(Measured)

    @cached_property
    def eating(self) -> tuple[Ate, ...]:
        """How it took its food, oldest first."""
        return self.own(Ate)

    @cached_property
    def refusals(self) -> tuple[Ate, ...]:
        """The unbroken run of refusals up to now, oldest first. Any food taken ends it.

        A food offered to the tub and not noted otherwise says nothing about this animal.
        """
        run: list[Ate] = []
        for entry in reversed(self.eating):
            if entry.how != "refused":
                break
            run.append(entry)
        return tuple(reversed(run))

    @property
    def droppings(self) -> tuple[DroppingsSeen, ...]:
        """Droppings seen of it (or found missing), oldest first."""
        return tuple(self.counting(DroppingsSeen))

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

    @property
    def last_brumation(self) -> tuple[datetime, datetime | None] | None:
        """Begin and end of the last brumation."""
        began, ended = self.last(BrumationBegan), self.last(BrumationEnded)
        if began is None:
            return None
        return began.at, ended.at if ended is not None and ended.key > began.key else None

    @cached_property
    def quarantine_since(self) -> datetime | None:
        """When its quarantine began, if it was never ended by an entry. The house rule says how long."""
        arrived, ended = self.arrived, self.last(QuarantineEnded)
        if arrived is None or not arrived.quarantine or (ended is not None and ended.key > arrived.key):
            return None
        return arrived.at

    @cached_property
    def with_the_vet(self) -> Referred | None:
        """The referral that is still open: no vet has seen it since."""
        referred, seen = self.last(Referred), self.last(VetSeen)
        if referred is None or (seen is not None and seen.key > referred.key):
            return None
        return referred

    @property
    def last_vet(self) -> VetSeen | None:
        """The last time a vet saw it."""
        return self.last(VetSeen)

    def under_treatment(self, now: datetime) -> VetSeen | None:
        """The vet's visit that put it under treatment, while that lasts."""
        seen = self.last_vet
        if seen is None or seen.under_treatment_until is None:
            return None
        return seen if now.date() <= seen.under_treatment_until else None

    @property
    def last_treatment(self) -> TreatmentGiven | None:
        """The last treatment given as prescribed."""
        return self.last(TreatmentGiven)

    @cached_property
    def look(self) -> ConditionSeen | None:
        """The last note of its condition that says how bright it was."""
        return _last(entry for entry in self.own(ConditionSeen) if entry.look)

    @cached_property
    def dull_looks(self) -> tuple[ConditionSeen, ...]:
        """The unbroken run of dull looks up to now, oldest first. Looking bright or quiet ends it."""
        run: list[ConditionSeen] = []
        for entry in reversed([entry for entry in self.own(ConditionSeen) if entry.look]):
            if entry.look != "dull":
                break
            run.append(entry)
        return tuple(reversed(run))

    @cached_property
    def danger(self) -> tuple[SignSeen, ...]:
        """Danger signs that stand: seen, and not looked for and found gone, nor seen by a vet, since.

        Each with the entry in which it was first seen. An egg check that found a sign absent clears that
        sign; a vet's visit clears them all.
        """
        return tuple(SignSeen(sign, entry) for sign, entry in self._dangers[0].items())

    @cached_property
    def danger_since(self) -> datetime | None:
        """Since when there has been some danger sign or other without a break; None without any."""
        return self._dangers[1]

    @cached_property
    def _dangers(self) -> tuple[dict[str, Entry], datetime | None]:
        seen = self.last_vet
        signs: dict[str, Entry] = {}
        since: datetime | None = None
        looks: list[EggCheckDone | ConditionSeen] = [*self.own(EggCheckDone), *self.own(ConditionSeen)]
        for entry in sorted(looks, key=lambda entry: entry.key):
            if seen is not None and entry.key <= seen.key:
                continue
            present = entry.present if isinstance(entry, EggCheckDone) else entry.signs
            absent = entry.absent if isinstance(entry, EggCheckDone) else ()
            for sign in absent:
                signs.pop(sign, None)
            for sign in present:
                if sign in DANGER_SIGNS:
                    signs.setdefault(sign, entry)
            since = (since or entry.at) if signs else None
        return signs, since

    @cached_property
    def laid(self) -> tuple[EggsLaid, ...]:
        """Its entries of eggs laid, oldest first."""
        return self.own(EggsLaid)


def _last(entries: Iterable[Kind]) -> Kind | None:
    return max(entries, key=lambda entry: entry.key, default=None)


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
