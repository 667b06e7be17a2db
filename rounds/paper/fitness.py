"""Fit to pair: every adult in a table, or one animal with each check, its figure, its rule and the source."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from rounds.due.fitness import Check, fit_to_pair
from rounds.logbook.times import months_between
from rounds.paper.page import Page
from rounds.paper.values import Values, entry_values, moment
from rounds.rules.house import House
from rounds.rules.settings import Settings
from rounds.standing.animal import Animal, animals_here
from rounds.standing.as_of import as_of
from rounds.standing.fold import Standing


def adults(standing: Standing, house: House, now: datetime) -> tuple[str, ...]:
    """Those of whom it is asked: females and males who are here, and not known to be far from the age; by name."""
    found = [one for one in animals_here(standing) if one.sex in ("F", "M") and not _far_too_young(one, house, now)]
    return tuple(one.subject for one in sorted(found, key=lambda one: (one.sex, one.name.casefold(), one.subject)))


def _far_too_young(one: Animal, house: House, now: datetime) -> bool:
    young = house.number("eggbinding.can_carry_from_months")
    return one.hatched is not None and months_between(one.hatched, now.date()) < young


def fit_list(standing: Standing, settings: Settings, now: datetime, subjects: Iterable[str]) -> Values:
    """The checks of these animals, ready for JSON."""
    standing, house = as_of(standing, now), settings.house
    return {
        "colony": settings.name,
        "now": moment(now, house),
        "animals": [fit_values(standing, house, now, subject) for subject in subjects],
    }


def fit_values(standing: Standing, house: House, now: datetime, subject: str) -> Values:
    """Every check of one animal, with the rules and the entries behind it."""
    found = fit_to_pair(standing, house, now, subject)
    return {
        "subject": subject,
        "name": standing.name(subject),
        "sex": standing.card(subject).sex,
        "place_name": standing.name(place) if (place := standing.places.get(subject)) else "",
        "fit": found.answer,
        "says": found.says,
        "checks": [_check_values(house, check) for check in found.checks],
    }


def _check_values(house: House, check: Check) -> Values:
    return {
        "check": check.name,
        "answer": check.answer,
        "says": check.says,
        "rules": [
            {
                "key": key,
                "value": house.rule(key).shown(),
                "grade": house.rule(key).grade,
                "source": house.rule(key).source,
                "cite": house.rule(key).cite(),
            }
            for key in check.house
        ],
        "entries": [entry_values(entry) for entry in check.entries],
    }


def fit_text(found: Values, now: datetime, *, each: bool) -> str:
    """The checks as 80 columns of text: a line an animal, or with `each` every check of it."""
    page = Page()
    page.title(f"{found['colony']}   before pairing", f"{now:%a} {now.day} {now:%b %Y %H:%M}")
    animals = found["animals"]
    if not animals:
        page.text("No grown animal is here.")
    if each:
        for one in animals:
            _one(page, one)
        return str(page)
    for sex, heading in (("F", "Females"), ("M", "Males"), ("?", "Sex not settled")):
        rows = [one for one in animals if one["sex"] == sex]
        if rows:
            page.heading(f"{heading}: {len(rows)}")
            page.table([[one["name"], one["place_name"], one["says"]] for one in rows], (16, 8), lead="  ")
    page.blank()
    page.text("Each check, its rule and its source: rounds fit NAME")
    return str(page)


def _one(page: Page, one: Values) -> None:
    page.text(f"{one['name']}: {one['says']}.")
    page.table([[check["answer"], check["check"], check["says"]] for check in one["checks"]], (9, 32), lead="  ")
    rules = dict.fromkeys(rule["cite"] for check in one["checks"] for rule in check["rules"])
    page.heading("House rules behind it")
    for cite in rules:
        page.text(cite, "  ")
