"""What is agreed for a day, and what became of it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from rounds.logbook.entries import ROOM, AppointmentEnded, AppointmentMade, Referred, VetCalled, VetSeen
from rounds.logbook.plain import folded
from rounds.standing.page import Page
from rounds.standing.view import View


class Appointments(View):
    """The appointments of one animal, one group or the room."""

    def waiting(self) -> Iterator[AppointmentMade]:
        """Those of which no one has said what became of them, by their day."""
        yield from sorted(
            (one for one in self.own(AppointmentMade) if not self._is_answered(one)),
            key=lambda one: (one.on, one.clock or "", one.key),
        )

    def _is_answered(self, one: AppointmentMade) -> bool:
        """Whether it was ended, a vet came on that day or later, or another day was agreed once it had passed."""
        if any(end.key > one.key and is_said_of(end, one) for end in self.own(AppointmentEnded)):
            return True
        if any(seen.at.date() >= one.on and seen.key > one.key for seen in self.own(VetSeen)):
            return True
        return any(
            other.key > one.key and other.at.date() > one.on and other.on > one.on and _with_the_same(one, other)
            for other in self.own(AppointmentMade)
        )

    @property
    def vet_by(self) -> tuple[date, VetSeen | VetCalled] | None:
        """The day by which a vet wants to see or hear of it, as last spoken to; None when no day was named."""
        contacts: list[VetSeen | VetCalled] = [*self.own(VetSeen)[-1:], *self.own(VetCalled)[-1:]]
        last = max(contacts, key=lambda entry: entry.key, default=None)
        return (last.again, last) if last is not None and last.again is not None else None

    @property
    def referred_for(self) -> tuple[date, Referred] | None:
        """The day for which it was referred to a vet, if none has seen it since."""
        referred, seen = self.last(Referred), self.last(VetSeen)
        if referred is None or referred.appointment is None or (seen is not None and seen.key > referred.key):
            return None
        return referred.appointment, referred


def is_said_of(end: AppointmentEnded, one: AppointmentMade) -> bool:
    """Whether what became of an appointment was said of this one: its day, and of several that day its person."""
    named = not end.whom.strip() or folded(end.whom) == folded(one.whom)
    return end.on == one.on and named and end.clock in (None, one.clock)


def _with_the_same(one: AppointmentMade, other: AppointmentMade) -> bool:
    """Whether two are with the same person, as far as is said: a buyer takes no vet's place.

    In the room many come and go: there both have to be named alike.
    """
    whom, whom_then = folded(one.whom), folded(other.whom)
    if one.about == ROOM or (whom and whom_then):
        return whom == whom_then or ("vet" in whom.split() and "vet" in whom_then.split())
    return True


def with_whom(one: AppointmentMade) -> str:
    """`the vet 10:30, look at her again`: with whom, when and why, as far as it is known."""
    who = " ".join(word for word in (one.whom.strip() or "appointment", one.clock or "") if word)
    return ", ".join(word for word in (who, one.why.strip()) if word)


def appointments(page: Page) -> Appointments:
    """The appointments on a page."""
    return Appointments(page)
