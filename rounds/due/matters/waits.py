"""Waits for the next egg: how far each has come, and what has answered it."""

from __future__ import annotations

from datetime import datetime, timedelta

import msgspec

from rounds.due.dates import later
from rounds.due.matter import Level
from rounds.due.matters.look import Look
from rounds.logbook.entries import EggsLaid, VetCalled, VetSeen
from rounds.logbook.times import days_between, hours_between
from rounds.standing.clutch import Clutch


class Wait(msgspec.Struct, frozen=True):
    """One wait for the next egg that nothing has answered: since when, and how far it has come."""

    since: datetime
    level: Level
    #: Whether a vet saw her, or was spoken to, in it.
    heard: bool


def unanswered_waits(look: Look, clutch: Clutch, until: datetime) -> list[Wait]:
    """The waits of a clutch up to a moment, and of those begun before it, that nothing has answered."""
    found = _waits(look, clutch, until)
    for other, ended in _begun_before(look, clutch):
        found += _waits(look, other, ended)
    return found


def _begun_before(look: Look, clutch: Clutch) -> list[tuple[Clutch, datetime]]:
    """Clutches begun before this one that no vet has heard of, each with when its waiting ended.

    Those that are not believed, those of the same laying, and any after which eggs were felt. A few eggs under
    another name answer nothing; so many as are believed do.
    """
    her, begun, contact = look.female, clutch.begun_at, look.animal.last_contact
    if begun is None or not her.is_few(clutch) or (contact is not None and contact.at >= begun):
        return []
    known = max(begun, min(entry.known for entry in clutch.laid))  # written down late it ended no waiting before
    one_laying = her.laying_with(clutch)
    found: list[tuple[Clutch, datetime]] = []
    for other in her.clutches:
        if other is clutch or other.laid[0].at >= begun or her.was_long_over(other):
            continue
        if her.counts(other.laid[0]):
            found.append((other, known))
            continue
        # Said to be complete it waits no longer, unless eggs were felt after that and no vet has heard of them.
        done = other.complete
        if done is not None and _felt_after(look, done, known):
            found.append((other, known))
        elif other in one_laying:
            found.append((other, known if done is None else min(known, done.known)))
    return found


def _felt_after(look: Look, done: EggsLaid, known: datetime) -> bool:
    """Whether eggs were felt after a clutch was said to be complete, while she counted as freshly laid."""
    lasts = look.house.breeding_days.laid_lasts
    return any(
        done.at < entry.at <= known
        and days_between(done.at, entry.at) <= lasts
        and look.animal.after_contact(entry)
        for entry in look.female.felt_since(done)
    )


def _waits(look: Look, clutch: Clutch, until: datetime) -> list[Wait]:
    """The waits between its eggs, and after the last, that nothing has answered."""
    her, contact, grown = look.female, look.animal.last_contact, list[EggsLaid]()
    for entry in clutch.laid:
        if not grown or entry.count > grown[-1].count:
            grown.append(entry)
    least, last = her.least_count(clutch), grown[-1]
    # What was written down late ends the waiting only then: until then nobody knew of it.
    ends = [*(entry.known for entry in grown[1:]), until]
    found: list[Wait] = []
    for entry, end in zip(grown, ends, strict=True):
        end = max(entry.at, end)
        if entry is not last and contact is not None and contact.at >= end:
            continue  # the vet has heard of it since
        if entry is not last and clutch.count >= least:
            # So many eggs answer what was waited for before them; with eggs felt after so many, only as many again.
            felt = entry.count >= least and any(entry.at < one.at <= end for one in her.felt_since(entry))
            if not felt or clutch.count - entry.count >= least:
                continue
        found.append(_wait(look, entry.at, end))
    return found


def _wait(look: Look, since: datetime, until: datetime) -> Wait:
    """A wait for the next egg, as far as it came by its hours, or by what a vet said in it."""
    contacts: list[VetSeen | VetCalled] = [*look.animal.own(VetSeen), *look.animal.own(VetCalled)]
    heard = [entry for entry in contacts if since <= entry.at <= until]
    if heard:
        last = max(heard, key=lambda entry: entry.key)
        rests = last.at + timedelta(hours=look.house.number("eggbinding.stopped_vet_hours"))
        if last.again is not None and last.again >= last.at.date():
            most = later(last.at, look.house.days("eggbinding.vet_again_days"))
            rests = min(most, look.midnight(look.in_days(look.midnight(last.again), 1)))
        return Wait(since, Level.VET if until >= rests else Level.WATCH, True)
    hours = hours_between(since, until)
    if hours >= look.house.number("eggbinding.stopped_vet_hours"):
        return Wait(since, Level.VET_NOW, False)
    called = hours >= look.house.number("eggbinding.stopped_call_hours")
    return Wait(since, Level.VET if called else Level.WATCH, False)
