"""What the sheet for the vet holds beside the animal: signs, clutches, husbandry, what was tried, treatments.

Everything stands as it was written down. Nothing is diagnosed, and no drug is named but by a vet's own words.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Final

from rounds.logbook.entries import (
    Ate,
    ClimateRead,
    ConditionSeen,
    EggCheckDone,
    Entry,
    Fed,
    LampChanged,
    LayBoxIn,
    LayBoxOut,
    Moved,
    Noted,
    Referred,
    Tested,
    TreatmentEnded,
    TreatmentGiven,
    VetCalled,
    VetSeen,
)
from rounds.logbook.times import hours_between
from rounds.logbook.words import DANGER_SIGNS
from rounds.paper.said import said
from rounds.paper.timeline import timeline
from rounds.paper.values import Values
from rounds.paper.words import full_day
from rounds.standing.animal import Animal
from rounds.standing.clutch import called
from rounds.standing.enclosure import enclosure
from rounds.standing.female import Female
from rounds.standing.fold import Standing

#: A soak has no entry kind of its own: it stands in notes.
_SOAK: Final = re.compile(r"\b(?:soak|bath)", re.IGNORECASE)
_READINGS: Final = (
    ("basking_c", "basking spot", "°C"),
    ("cool_c", "cool end", "°C"),
    ("night_low_c", "night low", "°C"),
    ("air_c", "air", "°C"),
    ("humidity", "humidity", "%"),
    ("uv_index", "UV index", ""),
)
#: So many of the last meals are told.
_MEALS: Final = 6


def told(standing: Standing, entry: Entry, subject: str = "") -> Values:
    """An entry in words; one about another subject names it."""
    whose = "" if not subject or entry.about == subject else f"{called(standing, entry.about)}: "
    return {"at": entry.at.isoformat(), "by": entry.by, "says": whose + said(standing, entry), "note": entry.note}


def signs_of(entry: Entry) -> tuple[str, ...]:
    """The signs that were there, by an entry."""
    if isinstance(entry, EggCheckDone):
        return entry.present
    return entry.signs if isinstance(entry, ConditionSeen) else ()


def every_sign(own: Iterable[Entry]) -> list[Values]:
    """Every time a sign was seen, danger signs first, the newest first among each."""
    seen = [(entry, signs) for entry in own if (signs := signs_of(entry))]
    seen.sort(key=lambda one: one[0].key, reverse=True)
    seen.sort(key=lambda one: DANGER_SIGNS.isdisjoint(one[1]))
    return [
        {
            "at": entry.at.isoformat(),
            "by": entry.by,
            "signs": list(signs),
            "danger": not DANGER_SIGNS.isdisjoint(signs),
            "note": entry.note,
        }
        for entry, signs in seen
    ]


def events(standing: Standing, subject: str, known: Sequence[Entry], since: datetime) -> list[Values]:
    """The season as it went, oldest first: what marks it, every sign, food refused, and calls to the vet."""
    marks = {entry.id for entry in timeline(known)}
    found = [
        entry
        for entry in known
        if entry.at >= since
        and not isinstance(entry, VetSeen | Referred)
        and (entry.id in marks or signs_of(entry) or isinstance(entry, VetCalled) or _refused(entry))
    ]
    return [
        {**told(standing, entry, subject), "danger": not DANGER_SIGNS.isdisjoint(signs_of(entry))}
        for entry in found
    ]


def _refused(entry: Entry) -> bool:
    return isinstance(entry, Ate) and entry.how == "refused"


def clutches(her: Female) -> list[Values]:
    """Her clutches, newest first: eggs, slugs, from when to when, complete or not, and what hatched."""
    found: list[Values] = []
    for eggs in reversed(her.clutches):
        last = eggs.last_egg or (eggs.laid[-1] if eggs.laid else None)
        hours = hours_between(eggs.begun_at, last.at) if eggs.begun_at and last else 0.0
        found.append(
            {
                "clutch": eggs.subject,
                "begun": eggs.begun_at.isoformat() if eggs.begun_at else None,
                "last_egg": last.at.isoformat() if last else None,
                "hours": round(hours, 1),
                "eggs": eggs.count,
                "slugs": eggs.slugs,
                "complete": eggs.complete is not None,
                "sire": eggs.standing.name(eggs.sire) if eggs.sire else "",
                "hatched": eggs.hatched,
            }
        )
    return found


def husbandry(standing: Standing, one: Animal) -> Values:
    """How it is kept: where and with whom, the last reading of each temperature, light, food, and calcium."""
    place = enclosure(standing, one.place) if one.place else None
    fed = sorted(one.counting(Fed), key=lambda entry: entry.key, reverse=True)
    dusted = next((entry for entry in fed if entry.dusted), None)
    lamp = _lamp(standing, one)
    return {
        "enclosure": place.name if place is not None else "",
        "what": place.what if place is not None else "",
        "lives_with": [standing.name(who) for who in one.companions()],
        "readings": _readings(standing, one),
        "lamp": {**told(standing, lamp), "place_name": _elsewhere(standing, one, lamp)}
        if lamp is not None
        else None,
        "fed": [told(standing, entry) for entry in fed[:_MEALS]],
        "calcium": {**told(standing, dusted), "dusted": dusted.dusted} if dusted is not None else None,
    }


def _lamp(standing: Standing, one: Animal) -> LampChanged | None:
    """The last change of the lamp it lives under, or lived under before it came where none is noted."""
    for stay in reversed(one.stays):
        for entry in reversed(enclosure(standing, stay.enclosure).own(LampChanged)):
            if stay.until is None or entry.at < stay.until:
                return entry
    return None


def _elsewhere(standing: Standing, one: Animal, entry: Entry) -> str:
    """Where an entry was made, if not where the animal lives now."""
    return "" if entry.about == one.place else called(standing, entry.about)


def _readings(standing: Standing, one: Animal) -> list[Values]:
    """The last reading of each quantity where it lives; where none was taken there, where it lived before."""
    read = [
        entry
        for stay in reversed(one.stays)
        for entry in reversed(enclosure(standing, stay.enclosure).own(ClimateRead))
        if stay.until is None or stay.covers(entry.at)
    ]
    found: list[Values] = []
    for member, words, unit in _READINGS:
        last = next((entry for entry in read if getattr(entry, member) is not None), None)
        if last is not None:
            nest = member == "air_c" and enclosure(standing, last.about).what == "lay box"
            found.append(
                {
                    "what": "nest" if nest else words,
                    "value": getattr(last, member),
                    "unit": unit,
                    "at": last.at.isoformat(),
                    "by": last.by,
                    "place_name": _elsewhere(standing, one, last),
                }
            )
    return found


def tried(standing: Standing, one: Animal, own: Iterable[Entry], since: datetime) -> list[Values]:
    """What was done about it, newest first: lay boxes, soaks as noted, calls, where it was moved."""
    found: dict[str, Entry] = {}
    boxes: list[Entry] = [*one.counting(LayBoxIn), *one.counting(LayBoxOut)]
    for entry in (*own, *boxes):
        soak = isinstance(entry, Noted) and _SOAK.search(entry.note) is not None
        if entry.at >= since and (soak or isinstance(entry, LayBoxIn | LayBoxOut | VetCalled | Referred | Moved)):
            found[entry.id] = entry
    ordered = sorted(found.values(), key=lambda entry: entry.key, reverse=True)
    return [told(standing, entry, one.subject) for entry in ordered]


def treatments(standing: Standing, own: Iterable[Entry]) -> list[Values]:
    """Treatments and tests on record, newest first, in the words they were written down in."""
    found = [
        entry
        for entry in own
        if isinstance(entry, TreatmentGiven | TreatmentEnded | Tested)
        or (isinstance(entry, VetSeen) and (entry.treatment or entry.under_treatment_until))
    ]
    return [{**told(standing, entry), **_treated(entry)} for entry in reversed(found)]


def _treated(entry: Entry) -> Values:
    if not isinstance(entry, VetSeen):
        return {}
    until = entry.under_treatment_until
    words = [
        f"treatment: {entry.treatment}" if entry.treatment else "",
        f"under treatment until {full_day(until.isoformat())}" if until else "",
    ]
    return {"says": ", ".join(["vet seen", *(word for word in words if word)])}
