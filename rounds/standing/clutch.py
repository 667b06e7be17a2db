"""A clutch from the first egg seen to the last young out."""

from __future__ import annotations

from datetime import datetime

from rounds.logbook.boxing import Boxings, InBoxes, read_boxings
from rounds.logbook.entries import EggsBoxed, EggsLaid, EggsLost, Hatched
from rounds.logbook.times import days_between
from rounds.standing.animal import Animal
from rounds.standing.fold import Standing
from rounds.standing.kept import cached_property


class Clutch:
    """One clutch as it stands. Get it with `clutch(standing, subject)`."""

    def __init__(self, standing: Standing, subject: str) -> None:
        self.standing = standing
        self.subject = subject
        self.page = standing.page(subject)

    @cached_property
    def laid(self) -> tuple[EggsLaid, ...]:
        """What was noted of its laying, oldest first."""
        return tuple(entry for entry in self.page.of(EggsLaid) if entry.clutch == self.subject)

    @property
    def dam(self) -> str | None:
        """Its mother."""
        return self.laid[0].about if self.laid else None

    @property
    def called(self) -> str:
        """What keepers call it: `Saltbush 1`, her name and the number at the end of its id; else its id."""
        own = self.subject.rpartition("/")[2]
        number = own.rpartition("-")[2]
        if self.dam is None or not (number.isdecimal() and len(number) < 4):
            return own
        return f"{self.standing.name(self.dam)} {number}"

    @property
    def sire(self) -> str | None:
        """Its father, when he was noted with the eggs."""
        sires = [entry.sire for entry in self.laid if entry.sire]
        return sires[-1] if sires else None

    @property
    def count(self) -> int:
        """Eggs laid, slugs among them, as last counted."""
        return self.laid[-1].count if self.laid else 0

    def count_at(self, moment: datetime) -> int:
        """Eggs laid, as last counted up to a moment."""
        counted = [entry.count for entry in self.laid if entry.at <= moment]
        return counted[-1] if counted else 0

    @property
    def most(self) -> int:
        """The most eggs ever counted: a smaller count since may be of those that came since."""
        return max((entry.count for entry in self.laid), default=0)

    def most_at(self, moment: datetime) -> int:
        """The most eggs counted up to a moment."""
        return max((entry.count for entry in self.laid if entry.at <= moment), default=0)

    @property
    def slugs(self) -> int:
        """Slugs among them, as last counted."""
        return self.laid[-1].slugs if self.laid else 0

    @cached_property
    def complete(self) -> EggsLaid | None:
        """The entry that first said she was done."""
        return next((entry for entry in self.laid if entry.complete), None)

    @property
    def begun_at(self) -> datetime | None:
        """When its first eggs were seen."""
        return self.laid[0].at if self.laid else None

    @cached_property
    def last_egg(self) -> EggsLaid | None:
        """The newest entry in which the count had grown: no egg was seen after it."""
        newest: EggsLaid | None = None
        for entry in self.laid:
            if newest is None or entry.count > newest.count:
                newest = entry
        return newest

    # Its eggs in their boxes

    @property
    def boxed(self) -> EggsBoxed | None:
        """How and where it was last put to incubate."""
        return self.page.last(EggsBoxed)

    @property
    def place(self) -> str | None:
        """Where its egg box stands; of several, the last."""
        return self.boxed.place if self.boxed else None

    @property
    def places_left(self) -> tuple[str, ...]:
        """Each place in which eggs of it are left, or may be, in the order in which they were boxed."""
        every = dict.fromkeys(box.place for box in self.in_boxes.boxes if box.place is not None)
        return tuple(one for one in every if self.left_to_hatch and self.left_in(one) != 0)

    @property
    def lost(self) -> int:
        """Eggs that spoiled or were taken out, before they were boxed and after."""
        return sum(entry.count for entry in self.page.of(EggsLost))

    @property
    def hatched(self) -> int:
        """Young that came out."""
        return sum(entry.count for entry in self.page.of(Hatched) if entry.about == self.subject)

    @property
    def left_to_hatch(self) -> int:
        """Eggs in the box that have neither hatched nor been lost."""
        return self.in_boxes.left

    @property
    def may_be_left(self) -> bool:
        """Whether eggs are in a box, or may be: where more are gone or boxed than were laid no one knows."""
        return self.left_to_hatch > 0 or (self.boxed is not None and self.boxings.over > 0)

    def may_lie_in(self, place: str | None) -> bool:
        """Whether eggs of it are in this place, or may be."""
        return self.may_be_left and (self.boxings.over > 0 or self.left_in(place) != 0)

    @property
    def in_boxes(self) -> InBoxes:
        """What was put into boxes, and what became of it since."""
        return self.boxings.now

    @property
    def started(self) -> datetime | None:
        """The moment its days count from: its first eggs, else its first boxing."""
        if self.begun_at is not None:
            return self.begun_at
        boxed = self.page.of(EggsBoxed)
        return boxed[0].at if boxed else None

    @cached_property
    def boxings(self) -> Boxings:
        """Where each of its eggs is: in a box, gone, or in no box."""
        events: list[EggsBoxed | EggsLost | Hatched] = [*self.page.of(EggsBoxed), *self.page.of(EggsLost)]
        events += [entry for entry in self.page.of(Hatched) if entry.about == self.subject]
        return read_boxings(self.laid, events)

    @property
    def unboxed(self) -> int:
        """Sound eggs that are in no box."""
        return self.boxings.unboxed

    def left_in(self, place: str | None) -> int | None:
        """Eggs left in one place; None where it can not be known which of several places lost or hatched some."""
        shares = self.in_boxes.shares
        return None if shares is None else shares.get(place, 0)


def called(standing: Standing, subject: str) -> str:
    """What keepers call any subject: a clutch by her name and its number (`Saltbush 1`)."""
    return clutch(standing, subject).called if subject.startswith("clutch/") else standing.name(subject)


def clutches_lately(standing: Standing, now: datetime, days: int) -> list[Clutch]:
    """The clutches of which something was seen in so many days, by id; of the others no page is opened."""
    newest = standing.register.newest
    return [
        clutch(standing, subject)
        for subject in standing.subjects("clutch")
        if (last := newest.get(subject)) is not None and days_between(last, now) <= days
    ]


def clutch(standing: Standing, subject: str) -> Clutch:
    """The clutch as it stands; worked out once for a standing."""
    found = standing.views.get(("clutch", subject))
    if found is None:
        found = standing.views[("clutch", subject)] = Clutch(standing, subject)
    assert isinstance(found, Clutch)
    return found


def clutches_of(standing: Standing, dam: Animal) -> tuple[Clutch, ...]:
    """An animal's clutches, oldest first."""
    return tuple(clutch(standing, subject) for subject in dict.fromkeys(entry.clutch for entry in dam.laid))


def clutches_in(standing: Standing, place: str) -> list[Clutch]:
    """Clutches whose eggs incubate in an egg box or on a shelf now, by id; or may, as they do not add up."""
    came = {entry.about for entry in standing.page(place).of(EggsBoxed)}
    found = [clutch(standing, subject) for subject in sorted(came)]
    return [one for one in found if _holds(one, place)]


def _holds(eggs: Clutch, place: str) -> bool:
    here = any(box.place == place for box in eggs.in_boxes.boxes)
    return here and eggs.may_lie_in(place)
