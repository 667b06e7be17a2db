"""The sheet for the vet: one animal, its season, weights and signs, as they were written down. It names no drug."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Final

from rounds.due.matter import Level, Matter
from rounds.logbook.entries import (
    Ate,
    ClimateRead,
    ConditionSeen,
    DroppingsSeen,
    EggCheckDone,
    Entry,
    Measured,
    Referred,
    ShedSeen,
    TreatmentGiven,
    VetCalled,
    VetSeen,
    Weighed,
)
from rounds.logbook.turns import said_once
from rounds.logbook.words import SIGNS
from rounds.paper.descent import descent_values
from rounds.paper.referral_parts import clutches, events, every_sign, husbandry, told, treatments, tried
from rounds.paper.said import said
from rounds.paper.subject import weighing_values
from rounds.paper.timeline import counting
from rounds.paper.values import Values, entry_values, moment, resident_values
from rounds.rules.settings import Settings
from rounds.standing.animal import animal
from rounds.standing.female import Female, female
from rounds.standing.fold import Standing

#: How far back the timeline goes when no breeding season begins it.
LOOK_BACK: Final = timedelta(days=120)


def referral(
    standing: Standing,
    settings: Settings,
    now: datetime,
    subject: str,
    history: Sequence[Entry],
    matters: Sequence[Matter],
    by: str = "",
) -> Values:
    """The sheet as values, ready for JSON. `history` is every entry on the animal's page, oldest first."""
    house = settings.house
    one = animal(standing, subject)
    known = [entry for entry in counting(history) if entry.at <= now]
    own = [entry for entry in known if entry.about == subject]
    place = standing.page(one.place) if one.place else None
    gap = house.number("walk.turn_gap_hours")
    read = [entry for entry in place.of(ClimateRead) if entry.about == one.place] if place else []
    climate = said_once(read, gap)
    her = female(standing, subject, house.breeding_days)
    since = _since(her, now)
    vets = [entry for entry in own if isinstance(entry, VetSeen | Referred | TreatmentGiven | VetCalled)]
    eaten = said_once((entry for entry in own if isinstance(entry, Ate)), gap)
    return {
        "colony": settings.name,
        "now": moment(now, house),
        "by": by,
        "phone": house.vet or None,
        "subject": subject,
        "name": one.name,
        "animal": {
            **resident_values(standing, house, subject, now),
            "species": "central bearded dragon, Pogona vitticeps",
            "hatched": one.hatched.isoformat() if one.hatched else None,
            "hatched_about": bool(one.arrived and one.arrived.hatched_about),
            "tag": one.arrived.tag if one.arrived else "",
            "origin": one.arrived.origin if one.arrived else "",
            "lives_with": [standing.name(who) for who in one.companions()],
            "lengths": [{"at": last.at.isoformat(), "svl_mm": last.svl_mm, "total_mm": last.total_mm}]
            if (last := one.last(Measured)) is not None
            else [],
            **descent_values(standing, house, one),
        },
        "why": [
            {"level": matter.level.word, "says": matter.says}
            for matter in matters
            if matter.level >= Level.TODAY and matter.put_off is None
        ],
        "signs": _signs(own),
        "since": since.isoformat(),
        "mated": her.last_mating_ever.at.isoformat() if her.last_mating_ever is not None else None,
        "timeline": events(standing, subject, known, since),
        "every_sign": every_sign(own),
        "clutches": clutches(her) if one.sex != "M" else [],
        "husbandry": husbandry(standing, one),
        "tried": tried(standing, one, own, since),
        "treatments": treatments(standing, own),
        "weights": [
            {"at": entry.at.isoformat(), "grams": entry.grams, "by": entry.by}
            for entry in own
            if isinstance(entry, Weighed)
        ],
        "weighings": weighing_values(standing, house, subject, own),
        "eaten": [
            {"at": entry.at.isoformat(), "by": entry.by, "says": said(standing, entry)} for entry in eaten[-6:]
        ],
        "looked": [
            told(standing, entry, subject)
            for entry in sorted(
                (
                    *(entry for entry in own if isinstance(entry, ConditionSeen | ShedSeen)),
                    *one.counting(DroppingsSeen),  # those of its enclosure too, which it has alone or shares
                ),
                key=lambda entry: entry.key,
            )
            if since <= entry.at <= now
        ],
        "climate": [
            {"at": entry.at.isoformat(), "by": entry.by, "says": said(standing, entry)} for entry in climate[-3:]
        ],
        "vet": [{**entry_values(entry), "says": said(standing, entry)} for entry in vets],
    }


def _since(her: Female, now: datetime) -> datetime:
    """The season on the page: from before her last clutch, or the last months."""
    starts = [now - LOOK_BACK]
    if her.last_mating_ever is not None:
        starts.append(her.last_mating_ever.at)
    if her.last_complete is not None and her.last_complete.begun_at is not None:
        starts.append(her.last_complete.begun_at)
    return min(starts)


def _signs(own: Sequence[Entry]) -> list[Values]:
    """Each sign of the list: when last looked for, whether it was there, and when it last was not (`not_at`)."""
    last: dict[str, tuple[Entry, bool]] = {}
    clear: dict[str, Entry] = {}
    for entry in own:
        present = entry.present if isinstance(entry, EggCheckDone) else ()
        if isinstance(entry, ConditionSeen):
            present = entry.signs
        for sign in present:
            last[sign] = (entry, True)
        for sign in entry.absent if isinstance(entry, EggCheckDone) else ():
            last[sign] = (entry, False)
            clear[sign] = entry
    return [
        {"sign": sign, "seen": there, "at": entry.at.isoformat(), "by": entry.by}
        | {"not_at": clear[sign].at.isoformat() if there and sign in clear else None}
        for sign in SIGNS
        if sign in last
        for entry, there in (last[sign],)
    ]
