"""What was bred from an adult, for the record that goes along: pairings, clutches, laying, and what is not known.

Mates are named, for their young have them as parents; nothing else of another animal, no note and no buyer is told.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import Final

from rounds.due.checks_before_hers import not_gravid
from rounds.due.matters.look import Look
from rounds.logbook.entries.base import grams
from rounds.paper.descent import clutch_sire
from rounds.paper.values import Values, moment
from rounds.paper.words import date_words, many
from rounds.rules.house import House
from rounds.standing.animal import Animal
from rounds.standing.clutch import Clutch, called, clutch, clutches_of
from rounds.standing.female import female
from rounds.standing.fold import Standing
from rounds.standing.pairings import pairings_of
from rounds.standing.recovery import recovery

#: So many clutches and pairings have a line; those before are one sum.
MOST_CLUTCHES: Final = 5
MOST_OF_HIS: Final = 3
MOST_PAIRINGS: Final = 2


def bred_values(standing: Standing, house: House, one: Animal, now: datetime) -> Values | None:
    """The breeding of an adult; None of a group, and of one too young of which nothing is noted."""
    if one.subject.startswith("group/"):
        return None
    eggs = _clutches(standing, one)
    pairs = pairings_of(standing, one.subject)
    months = one.age_months(now)
    grown = months is None or months >= house.number("eggbinding.can_carry_from_months")
    matings = () if one.sex == "M" else female(standing, one.subject, house.breeding_days).matings_ever
    if not (eggs or pairs or matings or (grown and one.sex != "?")):
        return None
    most = MOST_OF_HIS if one.sex == "M" else MOST_CLUTCHES
    earlier = eggs[:-most]
    return {
        "his": one.sex == "M",
        "clutches": [_clutch(standing, house, each) for each in eggs[-most:]],
        "earlier": {"clutches": len(earlier), "eggs": sum(each.count for each in earlier)},
        "pairings": [
            {
                "with": standing.name(pair.other(one.subject)),
                "since": moment(pair.since, house),
                "until": moment(pair.until, house),
                "mated": [moment(entry.at, house) for entry in pair.matings],
            }
            for pair in pairs[-MOST_PAIRINGS:]
        ],
        "last_mating": moment(matings[-1].at, house) if matings else None,
        **(_hers(standing, house, one, now) if one.sex == "F" else {"last_laying": None, "eggs_in_her": None}),
        "not_known": list(_not_known(standing, house, one, eggs, now)),
    }


def _clutches(standing: Standing, one: Animal) -> Sequence[Clutch]:
    if one.sex != "M":
        return [each for each in clutches_of(standing, one) if each.begun_at is not None]
    sired = (clutch(standing, subject) for subject in standing.subjects("clutch"))
    found = [(each.begun_at, each) for each in sired if each.sire == one.subject and each.begun_at is not None]
    return [each for _, each in sorted(found, key=lambda both: (both[0], both[1].subject))]


def _clutch(standing: Standing, house: House, eggs: Clutch) -> Values:
    return {
        "clutch": eggs.subject,
        "name": called(standing, eggs.subject),
        "laid": moment(eggs.begun_at, house),
        "eggs": eggs.count,
        "slugs": eggs.slugs,
        "complete": eggs.complete is not None,
        "dam_name": standing.name(eggs.dam) if eggs.dam else "",
        "sire_name": clutch_sire(standing, house, eggs),
        "hatched": eggs.hatched,
        "left_to_hatch": eggs.left_to_hatch,
    }


def _hers(standing: Standing, house: House, one: Animal, now: datetime) -> Values:
    her = female(standing, one.subject, house.breeding_days)
    last, eggs = recovery(her, now, house.year_days), not_gravid(Look(standing, house, now, one.subject))
    return {
        "last_laying": {
            "grams_before": last.before,
            "grams_since": last.last.grams if last.last else None,
            "weighed": moment(last.last.at, house) if last.last else None,
        }
        if last is not None
        else None,
        "eggs_in_her": None if eggs.answer == "yes" else eggs.says,
    }


def _not_known(
    standing: Standing, house: House, one: Animal, eggs: Sequence[Clutch], now: datetime
) -> Iterator[str]:
    came = one.arrived
    if came is not None and not came.bred_here and came.clutch is None:
        yield f"what was before {date_words(came.at, now)}, when {'he' if one.sex == 'M' else 'she'} came"
    for each in () if one.sex == "M" else eggs[-MOST_CLUTCHES:]:
        name = called(standing, each.subject)
        if not clutch_sire(standing, house, each):
            yield f"the sire of {name}"
        if each.complete is None:
            yield f"whether {name} was complete"


def bred_lines(bred: Values, now: datetime) -> list[tuple[str, str]]:
    """The lines of the page, each with its label."""

    def day(at: str) -> str:
        return date_words(datetime.fromisoformat(at), now)

    found: list[tuple[str, str]] = []
    for each in reversed(bred["clutches"]):
        slugs = f" ({many(each['slugs'], 'slug')})" if each["slugs"] and not bred["his"] else ""
        mate = "" if bred["his"] else f", sire {each['sire_name'] or 'not known'}"
        came = [f"{each['hatched']} hatched"] if each["hatched"] else []
        came += [f"{each['left_to_hatch']} incubate"] if each["left_to_hatch"] else []
        told = f"laid {day(each['laid'])}, {many(each['eggs'], 'egg')}{slugs}{mate}"
        found.append((each["name"], "; ".join((told, *([", ".join(came)] if came else ())))))
    earlier = bred["earlier"]
    if earlier["clutches"]:
        found.append(
            ("before", f"{many(earlier['clutches'], 'clutch', 'clutches')}, {many(earlier['eggs'], 'egg')}")
        )
    for pair in reversed(bred["pairings"]):
        until = f" to {day(pair['until'])}" if pair["until"] else ", not parted"
        mated = f", mated {', '.join(map(day, pair['mated'][-3:]))}" if pair["mated"] else ""
        found.append(("paired", f"with {pair['with']} {day(pair['since'])}{until}{mated}"))
    if bred["last_mating"] and not any(bred["last_mating"] in pair["mated"] for pair in bred["pairings"]):
        found.append(("last mating", day(bred["last_mating"])))
    last = bred["last_laying"]
    if last is not None:
        before = f"{grams(last['grams_before'])} before it" if last["grams_before"] else "not weighed before it"
        since = f", {grams(last['grams_since'])} {day(last['weighed'])}" if last["grams_since"] else ""
        found.append(("last laying", before + since))
    if bred["eggs_in_her"]:
        found.append(("eggs now", bred["eggs_in_her"]))
    if not found:
        found.append(("here", "no pairing and no clutch noted"))
    return found + ([("not known", "; ".join(bred["not_known"]))] if bred["not_known"] else [])
