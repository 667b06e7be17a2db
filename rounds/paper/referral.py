"""The vet's page: one animal, its timeline, weights and signs, as they were written down. It names no drug."""

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
    Referred,
    ShedSeen,
    TreatmentGiven,
    VetSeen,
    Weighed,
)
from rounds.logbook.turns import said_once
from rounds.logbook.words import SIGNS
from rounds.paper.page import Page
from rounds.paper.said import said
from rounds.paper.subject import weighing_values, weight_rows
from rounds.paper.timeline import counting, timeline
from rounds.paper.values import Values, entry_values, moment, printed, resident_values
from rounds.paper.words import CAUTION
from rounds.rules.settings import Settings
from rounds.standing.animal import animal
from rounds.standing.female import Female, female
from rounds.standing.fold import Standing

#: How far back the timeline goes when no breeding season begins it.
LOOK_BACK: Final = timedelta(days=120)
#: One page: so many lines of each part, the newest.
_MOST: Final = 14


def referral(
    standing: Standing,
    settings: Settings,
    now: datetime,
    subject: str,
    history: Sequence[Entry],
    matters: Sequence[Matter],
    by: str = "",
) -> Values:
    """The page as values, ready for JSON. `history` is every entry on the animal's page, oldest first."""
    house = settings.house
    one = animal(standing, subject)
    known = [entry for entry in counting(history) if entry.at <= now]
    own = [entry for entry in known if entry.about == subject]
    place = standing.page(one.place) if one.place else None
    gap = house.number("walk.turn_gap_hours")
    read = [entry for entry in place.of(ClimateRead) if entry.about == one.place] if place else []
    climate = said_once(read, gap)
    since = _since(female(standing, subject, house.breeding_days), now)
    vets = [entry for entry in own if isinstance(entry, VetSeen | Referred | TreatmentGiven)]
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
        },
        "why": [
            {"level": matter.level.word, "says": matter.says}
            for matter in matters
            if matter.level >= Level.TODAY and matter.put_off is None
        ],
        "signs": _signs(own),
        "timeline": [
            {"at": entry.at.isoformat(), "by": entry.by, "says": said(standing, entry), "note": entry.note}
            for entry in timeline(known)
            if entry.at >= since and not isinstance(entry, VetSeen | Referred)
        ],
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
            {"at": entry.at.isoformat(), "by": entry.by, "says": said(standing, entry), "note": entry.note}
            for entry in own
            if isinstance(entry, ConditionSeen | DroppingsSeen | ShedSeen) and entry.at >= since
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
    """Each sign of the list: when it was last looked for, and whether it was there."""
    last: dict[str, tuple[Entry, bool]] = {}
    for entry in own:
        present = entry.present if isinstance(entry, EggCheckDone) else ()
        if isinstance(entry, ConditionSeen):
            present = entry.signs
        for sign in present:
            last[sign] = (entry, True)
        for sign in entry.absent if isinstance(entry, EggCheckDone) else ():
            last[sign] = (entry, False)
    return [
        {"sign": sign, "seen": there, "at": entry.at.isoformat(), "by": entry.by}
        for sign in SIGNS
        if sign in last
        for entry, there in (last[sign],)
    ]


def referral_text(found: Values, now: datetime) -> str:
    """The page as 80 columns of text."""
    page = Page()
    one = found["animal"]
    page.title(f"For the vet: {found['name']}", f"{now:%a} {now.day} {now:%b %Y %H:%M}")
    page.text(f"{found['colony']}{'   written by ' + found['by'] if found['by'] else ''}")
    page.text(found["phone"] or "", "vet: ")
    sex = {"F": "female", "M": "male", "?": "sex not known"}[one["sex"]]
    born = f"hatched {'about ' if one['hatched_about'] else ''}{one['hatched']}" if one["hatched"] else ""
    told = (
        one["species"],
        sex,
        one["age"],
        born,
        f"tag {one['tag']}" if one["tag"] else "",
        one["weight"],
        one["state"],
    )
    page.text(", ".join(word for word in told if word))
    page.text(f"lives with {', '.join(one['lives_with'])}" if one["lives_with"] else "lives alone")
    if found["why"]:
        page.heading("Why")
        for matter in found["why"]:
            page.text(matter["says"], f"  {matter['level']:<8}")
    page.heading("Signs")
    seen = [f"{sign['sign']} ({printed(sign['at'], now)} {sign['by']})" for sign in found["signs"] if sign["seen"]]
    page.text(", ".join(seen) or "none noted", "  seen           ")
    for last, signs in _absent(found["signs"]).items():
        page.text(f"{', '.join(signs)} ({printed(last, now)})", "  not there      ")
    _part(page, "Timeline", found["timeline"], now)
    if found["weighings"]:
        page.heading("Weights")
        page.table(weight_rows(found["weighings"][-_MOST:], now, printed), (16, 9, 8), lead="  ")
    _part(page, "Food", found["eaten"], now)
    _part(page, "Condition, droppings, shed", found["looked"], now)
    _part(page, "Climate at its enclosure", found["climate"], now)
    _part(page, "Vet so far, as written down", found["vet"], now)
    page.heading("Vet's findings and instructions")
    page.lines += ["", "  " + "_" * 74, "", "  " + "_" * 74, "", "  " + "_" * 74]
    page.blank()
    page.text(CAUTION)
    return str(page)


def _absent(signs: Sequence[Values]) -> dict[str, list[str]]:
    """Signs looked for and not there, by when they were last looked for."""
    found: dict[str, list[str]] = {}
    for sign in signs:
        if not sign["seen"]:
            found.setdefault(sign["at"], []).append(sign["sign"])
    return found


def _part(page: Page, heading: str, entries: Sequence[Values], now: datetime) -> None:
    if not entries:
        return
    page.heading(heading)
    if len(entries) > _MOST:
        page.text(f"({len(entries) - _MOST} earlier ones are in the logbook)", "  ")
    page.table(
        [
            [printed(one["at"], now), one["by"], one["says"] + (f": {one['note']}" if one.get("note") else "")]
            for one in entries[-_MOST:]
        ],
        (18, 6),
        lead="  ",
    )
