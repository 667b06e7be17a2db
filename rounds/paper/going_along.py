"""The record that goes along with an animal, or with some of a group: one page, 80 columns, to the buyer.

It tells of this one alone: no other animal's health, no notes, no price. Treatments stand as they were written; no
advice about any is given.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import Final

from rounds.due.dates import later
from rounds.due.matters.wording import times
from rounds.due.sale import against_sale, age_not_known
from rounds.errors import BadEntry
from rounds.logbook.entries import Arrived, Ate, Entry, Fed, ShedSeen, Tested, TreatmentGiven, VetSeen
from rounds.logbook.entries.base import grams
from rounds.paper.bred import bred_lines, bred_values
from rounds.paper.descent import clutch_sire
from rounds.paper.page import Page
from rounds.paper.values import Values, moment
from rounds.paper.words import CAUTION, SALMONELLA, age_words, date_words, full_day
from rounds.paper.young import CODES
from rounds.rules.settings import Settings
from rounds.standing.animal import Animal, animal
from rounds.standing.as_of import as_of
from rounds.standing.clutch import called, clutch
from rounds.standing.clutch_young import came_from, clutches_of_group
from rounds.standing.descent import descent_of
from rounds.standing.fold import Standing
from rounds.standing.group import Group, group
from rounds.standing.growth import growth
from rounds.standing.parents import parents_of
from rounds.standing.weighings import weighings

#: The page has room for so many lines of a part.
_WEIGHTS: Final = 8
_BESIDE_BRED: Final = 5
_OTHERS: Final = 5
_FOOD_DAYS: Final = 28


def going_along(
    standing: Standing, settings: Settings, now: datetime, subject: str, count: int | None = None, by: str = ""
) -> Values:
    """The record as values, ready for JSON. `count` is how many of a group go. Raises `BadEntry`."""
    if not subject.startswith(("animal/", "group/")):
        raise BadEntry("a record goes along with an animal, or with some of a group: name one")
    house, standing = settings.house, as_of(standing, now)
    together = subject.startswith("group/")
    one: Animal = group(standing, subject) if together else animal(standing, subject)
    if one.arrived is None:
        raise BadEntry(f"{standing.name(subject)} never arrived: there is nothing to go along with it")
    there = group(standing, subject).count if together else 1
    if not together and count is not None:
        raise BadEntry(f"{one.name} is one animal: leave --count out")
    if count is not None and not 0 < count <= max(there, 1):
        raise BadEntry(f"{one.name}: {count} to go, {there} are there")
    clutches = clutches_of_group(standing, group(standing, subject)) if together else ()
    eggs = clutches[0] if len(clutches) == 1 else None if together else one.arrived.clutch
    dam, sire = _parents(standing, settings, one)
    grew = growth(one, house.weighing_rule, house.days("young.growth_apart_days"), now)
    before = list(came_from(standing, subject))
    return {
        "colony": settings.name,
        "now": moment(now, house),
        "by": by,
        "species": "Pogona vitticeps",
        "subject": subject,
        "name": one.name,
        "count": (count or there) if together else None,
        "tag": one.arrived.tag,
        "sex": "?" if together else one.sex,
        "sex_certainty": None if together or one.sex == "?" else one.sex_certainty,
        "sex_words": "not sexed" if together else one.sex_words,
        "traits": list(one.traits),
        "hatched": one.hatched.isoformat() if one.hatched else None,
        "hatched_about": any(entry.hatched_about for entry in one.page.of(type(one.arrived))),
        "age": age_words(one.hatched, now),
        "clutch": called(standing, eggs) if eggs else "",
        "dam_name": dam,
        "sire_name": sire,
        "bred_here": one.arrived.bred_here or eggs is not None,
        "origin": one.arrived.origin,
        "here_since": _here_since(standing, before),
        "singled_out_of": [standing.name(who) for who, came in before if came is not None and not together],
        "weighings": _weighings(standing, settings, before)[-_WEIGHTS:],
        "lengths": [
            {"at": moment(entry.at, house), "svl_mm": entry.svl_mm, "total_mm": entry.total_mm}
            for entry in one.lengths[-2:]
        ],
        "growth_percent": round(grew.rate * 100, 1) if grew else None,
        "fed_since": moment(_fed_since(one, now), house),
        "fed": _fed(one, _fed_since(one, now)),
        "ate": [_row(entry) for entry in one.own(Ate)[-_OTHERS:]],
        "sheds": [_row(entry) for entry in one.own(ShedSeen)[-_OTHERS:]],
        "tests": [_row(entry) for entry in one.own(Tested)[-_OTHERS:]],
        "treatments": _treatments(standing, before),
        "bred": bred_values(standing, house, one, now),
        "against_sale": list(against_sale(standing, house, subject, now)),
        "asked_before_sale": age_not_known(standing, house, subject, now),
        "local_codes": CODES,
    }


def _parents(standing: Standing, settings: Settings, one: Animal) -> tuple[str, str]:
    """The names of its dam and its sire, as the pedigree has them; sires any of whom it may be joined by “or”."""
    dams: tuple[str, ...]
    sires: tuple[str | None, ...]
    if isinstance(one, Group):
        known = descent_of(standing, one)
        dams, sires, reckoned = (
            (known.dam,) if known.dam else (),
            (known.sire,) if known.sire else known.possible_sires,
            False,
        )
        if not sires and known.clutch is not None:
            laid = clutch(standing, known.clutch)
            return " or ".join(map(standing.name, dams)), clutch_sire(standing, settings.house, laid)
    else:
        parents = parents_of(standing, one.subject, settings.house.breeding_days)
        dams, sires, reckoned = parents.dams, parents.sires, parents.known == "reckoned" and not parents.couples
    names = [standing.name(sire) if sire is not None else "a male not known" for sire in sires]
    how = ", by who was with her" if reckoned and len(names) == 1 else ""
    return " or ".join(map(standing.name, dams)), " or ".join(names) + how


def _here_since(standing: Standing, before: Sequence[tuple[str, Entry | None]]) -> str | None:
    """The first day on which it, or the group it came from, was in the colony."""
    came = [entry.at for who, _ in before for entry in standing.page(who).of(Arrived) if entry.about == who]
    return min(came).date().isoformat() if came else None


def _weighings(standing: Standing, settings: Settings, before: Sequence[tuple[str, Entry | None]]) -> list[Values]:
    """Its weighings, oldest first; those of the group it came from, up to then, are means and say so."""
    house = settings.house
    found: list[tuple[datetime, Values]] = []
    for who, came in before:
        one = group(standing, who) if who.startswith("group/") else animal(standing, who)
        for each in weighings(one, house.weighing_rule):
            if came is None or each.at < came.at:
                mean = one.name if came is not None else ""
                found.append((each.at, {"at": moment(each.at, house), "grams": each.grams, "mean_of": mean}))
    return [values for _, values in sorted(found, key=lambda each: each[0])]


def _row(entry: Entry) -> Values:
    return {"at": entry.at.isoformat(), "says": entry.phrase()}


def _fed_since(one: Animal, now: datetime) -> datetime:
    """From when every feeding is known: four weeks ago, or the oldest that the pages it was fed on still hold."""
    since = later(now, -_FOOD_DAYS)
    places = (stay.enclosure for stay in one.stays if stay.until is None or stay.until > since)
    for subject in (one.subject, *dict.fromkeys(places)):
        kept = one.standing.page(subject).of(Fed)
        if len(kept) >= (Fed.keep or len(kept) + 1):
            since = max(since, kept[0].at)
    return since


def _fed(one: Animal, since: datetime) -> list[Values]:
    """What it was fed from a moment on: each food, how often, and with what it was dusted."""
    found: dict[tuple[str, str], list[Fed]] = {}
    for entry in one.counting(Fed):
        if entry.at >= since:
            found.setdefault((entry.what or entry.food, entry.dusted), []).append(entry)
    return [
        {"what": what, "dusted": dusted, "times": len(entries), "last": entries[-1].at.isoformat()}
        for (what, dusted), entries in sorted(found.items(), key=lambda each: -len(each[1]))[:_OTHERS]
    ]


def _treatments(standing: Standing, before: Sequence[tuple[str, Entry | None]]) -> list[Values]:
    """Vet's visits and treatments as they were written, of the groups it came from too, up to when it left them."""

    def every() -> Iterator[Entry]:
        for who, came in before:
            one = group(standing, who) if who.startswith("group/") else animal(standing, who)
            for entry in (*one.own(VetSeen), *one.own(TreatmentGiven)):
                if came is None or entry.key < came.key:
                    yield entry

    found: list[Values] = []
    for entry in sorted(every(), key=lambda each: each.key):
        if isinstance(entry, VetSeen):
            until = entry.under_treatment_until
            words = [
                "vet's visit",
                entry.treatment,
                f"under treatment until {full_day(until.isoformat())}" if until else "",
            ]
            found.append({"at": entry.at.isoformat(), "says": ", ".join(word for word in words if word)})
        else:
            found.append(_row(entry))
    return found[-_OTHERS:]


def going_along_text(found: Values, now: datetime) -> str:
    """The record as one page of 80 columns."""
    page = Page()
    many = f"{found['count']} young of " if found["count"] is not None else ""
    page.title(f"{many}{found['name']}", f"{now:%a} {now.day} {now:%b %Y}")
    page.text(f"{found['species']}, from {found['colony']}{', written by ' + found['by'] if found['by'] else ''}")
    page.heading("Who")
    page.text(found["tag"], "  label       ")
    page.text({"F": "female", "M": "male", "?": "not known"}[found["sex"]] + _certainty(found), "  sex         ")
    about = "about " if found["hatched_about"] else ""
    page.text(
        f"{about}{full_day(found['hatched'])} ({found['age']})" if found["hatched"] else "not known",
        "  hatched     ",
    )
    page.text(found["dam_name"] or "not known", "  dam         ")
    page.text(found["sire_name"] or "not known", "  sire        ")
    page.text(found["clutch"], "  clutch      ")
    page.text(", ".join(found["traits"]), "  traits      ")
    bred = "bred here" if found["bred_here"] else f"from {found['origin']}" if found["origin"] else "not known"
    since = f"; here since {full_day(found['here_since'])}" if found["here_since"] else ""
    page.text(f"{bred}{since}", "  origin      ")
    page.heading("Weight and growth")
    rows = [
        [
            _day(each["at"], now),
            grams(each["grams"]),
            f"mean of {each['mean_of']}" if each["mean_of"] else "mean" if many else "",
        ]
        for each in found["weighings"]
    ]
    shown = rows[-_BESIDE_BRED:] if found["bred"] is not None else rows
    page.table(shown or [["not weighed", "", ""]], (14, 12), lead="  ")
    if found["growth_percent"] is not None:
        page.text(f"{found['growth_percent']:g} % a week between the last two weighings", "  growth      ")
    for each in found["lengths"]:
        parts = [
            f"{each[name]:g} mm {word}"
            for name, word in (("svl_mm", "snout–vent"), ("total_mm", "in all"))
            if each[name]
        ]
        page.text(", ".join(parts), f"  {_day(each['at'], now):<12}")
    if found["bred"] is not None:
        page.heading("Bred")
        for label, told in bred_lines(found["bred"], now):
            page.text(told, f"  {label:<12}" if len(label) < 12 else f"  {label} ", " " * 14)
    page.heading("Food")
    for each in found["fed"]:
        dusted = f", dusted with {each['dusted']}" if each["dusted"] else ""
        page.text(
            f"{each['what']}{dusted}: {times(each['times'])} since {_day(found['fed_since'], now)}, "
            f"last {_day(each['last'], now)}",
            "  ",
        )
    _part(page, found["ate"], now)
    if not found["fed"] and not found["ate"]:
        page.text("nothing written down", "  ")
    for heading, part in (("Sheds", "sheds"), ("Tests", "tests"), ("Treatments on record", "treatments")):
        page.heading(heading)
        _part(page, found[part], now)
        page.text("" if found[part] else "none written down", "  ")
    page.blank()
    if found["against_sale"]:
        page.text(f"Not for sale yet: {'; '.join(found['against_sale'])}.")
    if found["asked_before_sale"]:
        page.text(f"Its {found['asked_before_sale']}.")
    page.text(CODES)
    page.text(CAUTION)
    page.text(SALMONELLA)
    return str(page)


def _certainty(found: Values) -> str:
    return {"likely": ", likely", "guess": ", a guess", "sure": ""}.get(found["sex_certainty"] or "sure", "")


def _day(at: str, now: datetime) -> str:
    return date_words(datetime.fromisoformat(at), now)


def _part(page: Page, rows: Sequence[Values], now: datetime) -> None:
    page.table([[_day(each["at"], now), each["says"]] for each in rows], (12,), lead="  ")
