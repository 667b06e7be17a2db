"""The young by clutch: groups counted together and young with names, how they grow, and what is due to them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from rounds.due.lines import lines_at
from rounds.due.matters.wording import capital
from rounds.due.round import part_of
from rounds.due.sale import against_sale, age_not_known, open_before_sale
from rounds.logbook.entries.base import grams
from rounds.logbook.times import fixed, months_between
from rounds.paper.descent import clutch_sire
from rounds.paper.page import Page
from rounds.paper.values import Values, moment
from rounds.paper.words import age_words, day_words, many
from rounds.rules.house import House
from rounds.rules.settings import Settings
from rounds.rules.siblings import sibling_median
from rounds.standing.animal import Animal, animal
from rounds.standing.as_of import as_of
from rounds.standing.clutch import called, clutch
from rounds.standing.clutch_young import clutches_of_group, young_of
from rounds.standing.fold import Standing
from rounds.standing.group import group, last_count
from rounds.standing.growth import growth
from rounds.standing.holding import holds
from rounds.standing.weighings import last_weighing

CODES = "Local codes come first: they may set a least age, papers to go along, and what is written down."


def young_list(standing: Standing, settings: Settings, now: datetime) -> Values:
    """The young as values, ready for JSON: by clutch, the youngest first."""
    house, standing = settings.house, as_of(standing, now)
    low, high = house.band("young.growth_band_percent")
    lines = Lines(standing, house, now)
    return {
        "colony": settings.name,
        "now": moment(now, house),
        "growth_band": [low, high],
        "least_age_days": house.days("sale.least_age_days"),
        "least_grams": house.number("sale.least_grams"),
        "clutches": [
            clutch_values(standing, house, now, clutches, subjects, lines)
            for clutches, subjects in by_clutch(standing, house, now)
        ],
        "local_codes": CODES,
    }


def by_clutch(standing: Standing, house: House, now: datetime) -> list[tuple[tuple[str, ...], list[str]]]:
    """Groups and young with names that are here, by the clutches they are of; those of none known come last."""
    found: dict[tuple[str, ...], list[str]] = {}
    until = house.number("feeding.young_until_months")
    for subject in (*standing.subjects("group"), *standing.subjects("animal")):
        card = standing.card(subject)
        if not card.here:
            continue
        if subject.startswith("group/"):
            clutches = clutches_of_group(standing, group(standing, subject))
        else:
            # It hatched before it came: who came, moved or was sexed last so long ago need not be looked up.
            if card.since is not None and months_between(fixed(card.since, house.zone).date(), now.date()) >= until:
                continue
            one = animal(standing, subject)
            if not _is_young(house, one, now):
                continue
            clutches = (one.arrived.clutch,) if one.arrived and one.arrived.clutch else ()
        key = young_of(standing, clutches[0]).clutches if clutches else ()
        found.setdefault(key, []).append(subject)
    return sorted(found.items(), key=lambda one: (not one[0], -_hatched(standing, one[1]), one[0]))


def _is_young(house: House, one: Animal, now: datetime) -> bool:
    until = house.number("feeding.young_until_months")
    return one.hatched is not None and months_between(one.hatched, now.date()) < until


def _hatched(standing: Standing, subjects: Sequence[str]) -> int:
    days = [day for one in subjects if (day := _one(standing, one).hatched) is not None]
    return max((day.toordinal() for day in days), default=0)


def _one(standing: Standing, subject: str) -> Animal:
    return group(standing, subject) if subject.startswith("group/") else animal(standing, subject)


def clutch_values(
    standing: Standing,
    house: House,
    now: datetime,
    clutches: Sequence[str],
    subjects: Sequence[str],
    lines: Lines,
) -> Values:
    """The young of a clutch (or of several that share a group), with the sum of all that hatched."""
    parents = [clutch(standing, one) for one in clutches]
    dams = dict.fromkeys(standing.name(one.dam) for one in parents if one.dam)
    sires = dict.fromkeys(word for one in parents if (word := clutch_sire(standing, house, one)))
    return {
        "of": list(clutches),
        "name": " and ".join(called(standing, one) for one in clutches) or "clutch not known",
        "dam_name": " or ".join(dams),
        "sire_name": " or ".join(sires),
        "sum": young_of(standing, clutches[0]).says if clutches else "",
        "young": [young_values(standing, house, now, one, lines) for one in subjects],
    }


class Lines:
    """The due lines of each place, looked up once."""

    def __init__(self, standing: Standing, house: House, now: datetime) -> None:
        self._of: dict[str | None, dict[str, list[str]]] = {}
        self._around = standing, house, now
        self._part = part_of(now, house)

    def about(self, place: str | None, subject: str) -> Iterator[str]:
        """What is due to a subject itself, in words."""
        if place not in self._of:
            here = self._of[place] = {}
            for line in lines_at(*self._around, place, self._part):
                if line.left_out is None:
                    here.setdefault(line.about, []).append(line.care)
        yield from self._of[place].get(subject, ())


def young_values(standing: Standing, house: House, now: datetime, subject: str, lines: Lines) -> Values:
    """One group, or one young animal, as values."""
    one = _one(standing, subject)
    together = subject.startswith("group/")
    last, grew = (
        last_weighing(one, house.weighing_rule),
        growth(one, house.weighing_rule, house.days("young.growth_apart_days"), now),
    )
    siblings = None if together else sibling_median(standing, house, one)
    values: Values = {
        "subject": subject,
        "name": one.name,
        "sex": "" if together else one.sex_words,
        "place": one.place,
        "place_name": standing.name(one.place) if one.place else "",
        "hatched": one.hatched.isoformat() if one.hatched else None,
        "age_days": one.age_days(now),
        "age": age_words(one.hatched, now),
        "grams": last.grams if last else None,
        "weighed_at": moment(last.ended, house) if last else None,
        "growth_percent": round(grew.rate * 100, 1) if grew else None,
        "growth": _band(house, grew.rate * 100) if grew else None,
        "siblings_grams": round(siblings.grams, 2) if siblings else None,
        "held": [hold.says for hold in holds(one).every],
        "against_sale": list(against_sale(standing, house, subject, now)),
        "asked_before_sale": age_not_known(standing, house, subject, now),
        "open_before_sale": list(open_before_sale(standing, house, subject, now)),
    }
    due = list(dict.fromkeys(lines.about(one.place, subject)))
    if together:
        young = group(standing, subject)
        counted = last_count(young)
        census = young.census
        values |= {
            "count": census.alive,
            "counted": counted.count if counted else None,
            "counted_at": moment(counted.at, house) if counted else None,
            "died": census.died,
            "not_found": census.not_found,
            "sum": census.says,
        }
    return values | {"due": due}


def _band(house: House, percent: float) -> str:
    low, high = house.band("young.growth_band_percent")
    return "under band" if percent < low else "over band" if percent > high else "in band"


def growth_words(found: Values) -> str:
    """`in band, 8.9 % a week`; empty where it was not weighed twice."""
    if found["growth_percent"] is None:
        return ""
    return f"{found['growth']}, {found['growth_percent']:g} % a week"


def sale_words(found: Values) -> str:
    """What is open of its health, the worst, before what is held of it and what stands against a sale; else that it
    may be sold.
    """
    if found["open_before_sale"]:
        worst = found["open_before_sale"][0].rstrip(".")
        rest = held_or_refused(found)
        return f"{worst}; look before a sale" + (f". {capital(rest)}" if rest else "")
    return held_or_refused(found) or "may be sold"


def held_or_refused(found: Values) -> str:
    """For whom it is reserved or that it is held back, and what stands against a sale; empty where nothing does."""
    words = [", ".join(found["held"])] if found["held"] else []
    words += ["not for sale yet: " + "; ".join(found["against_sale"])] if found["against_sale"] else []
    words += [found["asked_before_sale"]] if found["asked_before_sale"] else []
    return ". ".join((*words[:1], *map(capital, words[1:])))


def young_text(found: Values, now: datetime) -> str:
    """The young as 80 columns of text."""
    page = Page()
    page.title(f"{found['colony']}   young", f"{now:%a} {now.day} {now:%b %Y %H:%M}")
    if not found["clutches"]:
        page.text("No young are here.")
    for one in found["clutches"]:
        page.heading(one["name"])
        dam, sire = one["dam_name"] or "not known", one["sire_name"] or "not known"
        page.text(f"dam {dam}, sire {sire}" if one["of"] else "", "  ")
        page.text(one["sum"], "  ")
        for young in one["young"]:
            page.blank()
            head = [
                young["name"],
                f"{many(young['count'], 'young', 'young')}" if "count" in young else young["sex"],
                young["age"],
                young["place_name"] or "in no enclosure",
                grams(young["grams"]) if young["grams"] is not None else "no weight",
            ]
            page.text("   ".join(head), "  ", "    ")
            page.text(growth_words(young), "    growth  ")
            if young["siblings_grams"] is not None:
                page.text(f"{grams(young['siblings_grams'])} (median)", "    siblings  ")
            if "count" in young:
                page.text(_counted(young, now), "    counted ")
                page.text(young["sum"], "    sum     ")
            page.text(sale_words(young), "    sale    ")
            page.text(", ".join(young["due"]), "    due     ")
    page.blank()
    low, high = found["growth_band"]
    page.text(f"Band: {low:g} to {high:g} % a week (Wild et al. 2023). {found['local_codes']}")
    return str(page)


def _counted(young: Values, now: datetime) -> str:
    if young["counted_at"] is None:
        return "never"
    return f"{young['counted']}, {day_words(datetime.fromisoformat(young['counted_at']), now)}"
