"""An animal's year on paper and on its page: brumation, waking, pairings, recovery, seasons, and fit to pair."""

from __future__ import annotations

from datetime import datetime

from rounds.due.before_pairing import before_brumation
from rounds.due.figures import percent
from rounds.due.fitness import fit_to_pair
from rounds.logbook.entries.base import grams
from rounds.logbook.times import days_between, months_between
from rounds.paper.values import Values, moment
from rounds.paper.words import date_words, day_words, many, span_words
from rounds.rules.house import House
from rounds.standing.animal import animal
from rounds.standing.female import female
from rounds.standing.fold import Standing
from rounds.standing.pairings import Pairing, pairings_of
from rounds.standing.recovery import Recovery, recovery
from rounds.standing.seasons import seasons_of
from rounds.standing.year import Year, year_of

#: So many pairings are told in the head of a page, the newest; the page of the paper tells three.
_MOST_PAIRINGS = 1


def year_values(standing: Standing, house: House, now: datetime, subject: str) -> Values:
    """The year of an animal, ready for JSON; empty for one that is not here or is no single animal."""
    if not subject.startswith("animal/"):
        return {}
    one = animal(standing, subject)
    if not one.here:
        return {}
    year = year_of(standing, one, house.year_days)
    last = year.brumation
    values: Values = {
        "year": {
            "says": year_words(year, now),
            "asleep": year.asleep,
            "winters": year.winters,
            "began": moment(last.began.at if last and last.began else None, house),
            "warm_up": moment(last.warm_up.at if last and last.warm_up else None, house),
            "woke": moment(year.woke, house),
            "weeks_awake": year.weeks_awake(now),
            "first_feed": moment(year.first_feed.at if year.first_feed else None, house),
            "fed_at_latest": year.fed_at_latest,
            "grams_before": year.grams_before,
            "grams_at_end": year.grams_at_end,
            "loss_percent": None if year.loss is None else round(100 * year.loss, 1),
            "against_brumation": []
            if year.asleep
            else [caution.says for caution in before_brumation(standing, house, now, subject)],
        },
        "pairings": [
            _pairing_values(standing, house, now, subject, pair) for pair in pairings_of(standing, subject)
        ],
        "fit": None,
        "recovery": None,
        "seasons": [],
    }
    if _asked_of(standing, house, now, subject):
        found = fit_to_pair(standing, house, now, subject)
        values["fit"] = {"fit": found.answer, "says": found.says}
    if one.sex == "F":
        her = female(standing, subject, house.breeding_days)
        back = recovery(her, now, house.year_days)
        values["recovery"] = None if back is None else _recovery_values(house, back)
        values["seasons"] = [
            {"since": moment(season.since, house), "by_waking": season.by_waking, "clutches": list(season.clutches)}
            for season in seasons_of(her, now, house.year_days)
        ]
    return values


def _asked_of(standing: Standing, house: House, now: datetime, subject: str) -> bool:
    one = animal(standing, subject)
    least = house.number("eggbinding.can_carry_from_months")
    return one.sex in ("F", "M") and (one.hatched is None or months_between(one.hatched, now.date()) >= least)


def _recovery_values(house: House, found: Recovery) -> Values:
    return {
        "clutch": found.eggs.subject,
        "laid": moment(found.laid, house),
        "grams_before": found.before,
        "grams": found.last.grams if found.last else None,
        "percent": None if found.part is None else round(100 * found.part, 1),
        "says": recovery_words(found),
    }


def _pairing_values(standing: Standing, house: House, now: datetime, subject: str, pair: Pairing) -> Values:
    mate = pair.other(subject)
    return {
        "mate": mate,
        "mate_name": standing.name(mate),
        "since": moment(pair.since, house),
        "until": moment(pair.until, house),
        "seen": list(pair.words),
        "matings": len(pair.matings),
        "says": pairing_words(standing, subject, pair, now),
    }


# In words


def year_words(year: Year, now: datetime) -> str:
    """The last brumation in a sentence; empty when none was noted."""
    last = year.brumation
    if last is None:
        return ""
    began = last.began
    if year.asleep and began is not None:
        told = [f"brumates since {date_words(began.at, now)}"]
        told += [f"warm-up since {date_words(last.warm_up.at, now)}"] if last.warm_up is not None else []
    elif last.ended is not None:
        awake = year.weeks_awake(now) or 0
        told = [f"woke {date_words(last.ended.at, now)}, {many(awake, 'week')} ago"]
    else:
        told = [f"warm-up {date_words(last.warm_up.at, now)}, waking not noted"] if last.warm_up is not None else []
    told += _weights(year)
    # Where the pages keep the first feed no more, a later one would only mislead.
    if year.first_feed is not None and not year.fed_at_latest:
        told.append(f"first fed {date_words(year.first_feed.at, now)}")
    if last.ended is not None:
        told += [f"brumated from {date_words(began.at, now)}"] if began is not None else []
        told += [f"warm-up {date_words(last.warm_up.at, now)}"] if last.warm_up is not None else []
    return ", ".join(told)


def _weights(year: Year) -> list[str]:
    """What it weighed before brumation and at its end, and the part lost."""
    before, loss = year.grams_before, year.loss
    if before is None:
        return []
    if loss is None or year.grams_at_end is None:
        return [f"{grams(before)} before, not weighed since"]
    change = f"{percent(loss)} lost" if loss >= 0 else f"{percent(-loss)} gained"
    return [f"{grams(before)} before, {grams(year.grams_at_end)} {'now' if year.asleep else 'after'}: {change}"]


def pairing_words(standing: Standing, subject: str, pair: Pairing, now: datetime) -> str:
    """`with Karri 12 to 14 Mar: bobbing, nape bite, 2 matings`."""
    who = standing.name(pair.other(subject))
    if pair.until is None:
        gone = days_between(pair.since, now)
        when = f"since {day_words(pair.since, now) if gone in (0, 1) else date_words(pair.since, now)}"
    else:
        when = span_words(pair.since, pair.until, now)
    seen = [*pair.words, *([many(len(pair.matings), "mating")] if pair.matings else [])]
    return f"with {who} {when}: {', '.join(seen) or 'nothing noted'}"


def recovery_words(found: Recovery) -> str:
    """How she recovers, in a few words; empty when her weight before the clutch is not known."""
    if found.before is None:
        return ""
    if found.last is None or found.part is None:
        return f"not weighed since she laid; {grams(found.before)} before it"
    return f"{grams(found.last.grams)}, {percent(found.part)} of her {grams(found.before)} before the last clutch"


def year_lines(standing: Standing, house: House, now: datetime, subject: str) -> list[str]:
    """What stands about it on the page of an animal, each a sentence of its own; the sum before pairing first.

    Worked out once an hour for a standing: a page is painted at every key.
    """
    key, hour = ("year lines", subject), now.replace(minute=0, second=0, microsecond=0)
    known: tuple[House, datetime, list[str]] | None = standing.views.get(key)
    if known is None or known[0] is not house or known[1] != hour:
        known = standing.views[key] = (house, hour, _year_lines(standing, house, now, subject))
    return known[2]


def _year_lines(standing: Standing, house: House, now: datetime, subject: str) -> list[str]:
    if not subject.startswith("animal/") or not animal(standing, subject).here:
        return []
    one = animal(standing, subject)
    told = []
    if _asked_of(standing, house, now, subject):
        told.append(f"before pairing: {fit_to_pair(standing, house, now, subject).says}")
    told += [
        pairing_words(standing, subject, pair, now)
        for pair in reversed(pairings_of(standing, subject)[-_MOST_PAIRINGS:])
    ]
    told.append(year_words(year_of(standing, one, house.year_days), now))
    if one.sex == "F":
        her = female(standing, subject, house.breeding_days)
        back = recovery(her, now, house.year_days) if her.phase(now) in ("resting", "laid", "with male") else None
        told.append(recovery_words(back) if back is not None else "")
    return [line for line in told if line]
