"""Short words for screens and paper: ages, days, weights, phases, and one line for who lives somewhere."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Final, NamedTuple

from rounds.due.dates import day
from rounds.due.forecast import forecast_of
from rounds.logbook.entries import VetCalled
from rounds.logbook.entries.base import grams
from rounds.logbook.times import days_between, hours_between, months_between, with_year
from rounds.logbook.turns import turns
from rounds.rules.house import House
from rounds.standing.animal import Animal, animal
from rounds.standing.breeding import Window
from rounds.standing.female import Female, female
from rounds.standing.fold import Standing
from rounds.standing.group import group
from rounds.standing.rest import rest_words, rested
from rounds.standing.trend import trend
from rounds.standing.weighings import last_weighing

#: CDC 2024. For keepers who are new here, and in docs/how-to.md.
SALMONELLA: Final = (
    "Reptiles carry Salmonella: wash your hands after touching, feeding and cleaning. Children under 5, people "
    "over 65 and those with weak immunity keep away. Never clean gear in the kitchen. (CDC 2024)"
)
#: Stands once where it is needed: on the take-over and on what is printed.
CAUTION: Final = "A record, not veterinary advice: your vet and your local codes come first."


def vet_words(house: House) -> str:
    """`Vet: Dr Quoll, 08 5550 1234`, as colony.toml has it, for beside a vet matter; empty when it has none."""
    return f"Vet: {house.vet}" if house.vet else ""


def many(count: int, one: str, more: str = "") -> str:
    """`1 stop`, `2 stops`."""
    return f"{count} {one if count == 1 else more or one + 's'}"


def first_words(text: str, most: int = 60) -> str:
    """The beginning of a text that is only named, on one line, in at most so many letters."""
    text = " ⏎ ".join(text.split("\n"))
    return text if len(text) <= most else f"{text[: most - 2].rstrip()} …"


def age_words(since: date | None, now: datetime) -> str:
    """An age as keepers say it: `12 d`, `7 m`, `3 y 1 m`, whole months by the calendar."""
    if since is None:
        return "age not known"
    days = days_between(since, now)
    if days < 0:
        return "not hatched yet"
    if days < 60:
        return f"{days} d"
    months = months_between(since, now.date())
    if months < 24:
        return f"{months} m"
    return f"{months // 12} y" + (f" {months % 12} m" if months % 12 else "")


def day_words(moment: datetime | date, now: datetime) -> str:
    """`today`, `yesterday`, `3 days ago`, then the date."""
    gone = days_between(moment, now)
    if gone == 0:
        return "today"
    if gone == 1:
        return "yesterday"
    if gone == -1:
        return "tomorrow"
    if 1 < gone < 15:
        return f"{gone} days ago"
    return date_words(moment, now)


def date_words(moment: datetime | date, now: datetime) -> str:
    """`12 Mar`, with the year when it is not this one."""
    return day(moment, now)


def full_day(iso: str) -> str:
    """`14 Jul 2025`, from an ISO date: with its year always, for what is read years later."""
    return with_year(date.fromisoformat(iso))


def span_words(first: datetime | date, last: datetime | date, now: datetime) -> str:
    """`22 Nov`, `22 to 25 Nov`, `30 Sep to 2 Oct`, with the year when it is not this one."""
    if days_between(first, last) == 0:
        return date_words(last, now)
    same = (first.year, first.month) == (last.year, last.month)
    begun = f"{first.day}" if same else date_words(first, now) if first.year != last.year else day(first)
    return f"{begun} to {date_words(last, now)}"


def time_words(moment: datetime, now: datetime) -> str:
    """`07:15`, `yesterday 18:10`, `12 Mar 18:10`: as the room's clock showed it then, whatever it shows now."""
    gone = days_between(moment, now)
    if gone == 0:
        return f"{moment:%H:%M}"
    return f"{'yesterday' if gone == 1 else date_words(moment, now)} {moment:%H:%M}"


def stamp_words(moment: datetime, now: datetime) -> str:
    """`24 Nov 18:10`: the date even of today, for what is read on another day."""
    return f"{date_words(moment, now)} {moment:%H:%M}"


def left_words(deadline: datetime, now: datetime) -> str:
    """How long until a deadline, or since it passed; cut down to whole ones, so that it never promises more."""
    hours = hours_between(now, deadline)
    size = abs(hours)
    text = f"{int(size * 60)} min" if size < 1 else f"{int(size)} h" if size < 72 else f"{int(size / 24)} days"
    return f"{text} left" if hours >= 0 else f"{text} past"


def left_beside(says: str, deadline: datetime | None, now: datetime) -> str:
    """How long is left, beside a matter's sentence; nothing where that says how long it is overdue."""
    return "" if deadline is None or (deadline < now and " overdue." in says) else left_words(deadline, now)


class Resident(NamedTuple):
    """One who lives at a stop, in columns."""

    subject: str
    sex: str
    name: str
    age: str
    weight: str
    trend: str
    state: str


def resident(standing: Standing, house: House, subject: str, now: datetime) -> Resident:
    """The line of an animal or group at its stop."""
    if subject.startswith("group/"):
        young = group(standing, subject)
        return Resident(
            subject,
            str(young.count),
            young.name,
            age_words(young.hatched, now),
            weight_words(young, house),
            "",
            "young, counted together" + (f", {young.died} died" if young.died else ""),
        )
    one = animal(standing, subject)
    return Resident(
        subject,
        one.sex,
        one.name,
        age_words(one.hatched, now),
        weight_words(one, house),
        trend(one, house.weight_limits, now).words,
        state_words(standing, house, one, now),
    )


def weight_words(one: Animal, house: House) -> str:
    """The last weight that was read; what counts of several readings stands with the state."""
    last = last_weighing(one, house.weighing_rule)
    return grams(last.readings[-1].grams) if last else "no weight"


def state_words(standing: Standing, house: House, one: Animal, now: datetime) -> str:
    """Phase of breeding, and what else sets an animal apart: with the vet, treatment, quarantine, brumation."""
    words: list[str] = []
    referred, treated, contact = one.with_the_vet, one.under_treatment(now), one.last_contact
    if referred is not None:
        on = referred.appointment
        words.append("with the vet" + (f", {date_words(on, now)}" if on is not None and on >= now.date() else ""))
    if treated is not None:
        until = treated.under_treatment_until
        words.append("under treatment" + (f" to {date_words(until, now)}" if until is not None else ""))
    elif contact is not None and days_between(contact.at, now) <= house.days("health.vet_said_days"):
        words.append(f"vet {'phoned' if isinstance(contact, VetCalled) else 'seen'} {date_words(contact.at, now)}")
    if is_off_food(one, house, now):
        words.append(
            f"off food since {date_words(one.refusals(house.days('health.off_food_gap_days'))[0].at, now)}"
        )
    if one.sex_certainty != "sure":
        words.append(f"sex {'likely' if one.sex_certainty == 'likely' else 'a guess'}")
    if one.quarantine_since is not None:
        words.append(f"quarantine day {days_between(one.quarantine_since, now) + 1}")
    if one.brumating_since is not None:
        words.append("brumating")
    elif one.sex == "F":
        words.append(phase_words(female(standing, one.subject, house.breeding_days), now))
    elif one.sex == "M":
        words.append("male")
    if rest := rest_words(rested(one, now)):
        words = [rest if word == "resting" else word for word in words]
        words += [rest] if rest not in words else []
    weighed = last_weighing(one, house.weighing_rule)
    if weighed is not None and weighed.times > 1 and weighed.ended.date() == now.date():
        counts = "weight:" if weighed.grams == weighed.readings[-1].grams else f"{grams(weighed.grams)} counts,"
        words.append(f"{counts} {weighed.words}")
    return ", ".join(words)


def counts_words(standing: Standing, house: House, subject: str) -> str:
    """Behind a weight just written: what counts, where it was read before on this day; else nothing."""
    one = group(standing, subject) if subject.startswith("group/") else animal(standing, subject)
    last = last_weighing(one, house.weighing_rule)
    return f"; {grams(last.grams)} counts, {last.words}" if last is not None and last.times > 1 else ""


def is_off_food(one: Animal, house: House, now: datetime) -> bool:
    """Whether it has refused food several times up to now, so that its line says so."""
    run = one.refusals(house.days("health.off_food_gap_days"))
    least = house.number("eggbinding.off_food_times")
    refused = len(turns(run, house.number("walk.turn_gap_hours")))
    return refused >= least and days_between(run[-1].at, now) <= house.days("health.refused_lapses_days")


def phase_words(her: Female, now: datetime, *, on_paper: bool = False) -> str:
    """Her phase with the figure that matters, and when she is due.

    `on_paper`, read on another day, with dates, and without when she is due: that has a column there.
    """
    phase = her.phase(now)
    if phase == "laying" and her.laying is not None:
        return f"laying, {many(her.laying.count, 'egg')} so far"
    if phase in ("nesting", "in lay box"):
        digs, found = her.digging(now), window(her, now)
        told = [f"{phase}, day {digs.day(now)}" if digs else phase]
        if her.matings and not on_paper:
            told += [f"mated {date_words(her.matings[-1].at, now)}"]
            told += [window_words(her, now)] if found is not None and now.date() <= found.closes else []
        return ", ".join(told)
    if phase == "mated" and her.matings:
        mated = f"mated {date_words(her.matings[-1].at, now)}"
        return mated if on_paper else ", ".join(filter(None, (mated, window_words(her, now))))
    found = window(her, now)
    is_open = found is not None and now.date() <= found.closes
    opens = f", {window_words(her, now)}" if is_open and not on_paper else ""
    if phase == "gravid":
        return f"gravid{opens}"
    if phase == "with male" and her.with_male_now is not None:
        return f"with male since {date_words(her.with_male_now.since, now)}{opens}"
    if phase == "laid" and her.last_complete is not None and her.last_complete.last_egg is not None:
        egg = her.last_complete.last_egg.at
        return f"laid {date_words(egg, now) if on_paper else day_words(egg, now)}"
    if phase == "resting" and is_open and found is not None:
        why = "was with a male" if found.why == "with a male" else "next clutch"
        return f"{why}{opens}"
    return phase


def window(her: Female, now: datetime) -> Window | None:
    """The days on which she may lay: by matings seen, by company of a male, or the next clutch by stored sperm."""
    windows = her.windows(now)
    return windows[-1] if windows else None


def window_words(her: Female, now: datetime) -> str:
    """Her forecast, `due 6 to 21 Apr` or `overdue since 22 Apr`; the house's window once that has ended."""
    found = window(her, now)
    if found is None or days_between(found.closes, now) > her.days.gravid_days:
        return ""
    forecast = forecast_of(her, now)
    if forecast is not None and forecast.state != "over":
        return forecast.short
    return f"window {date_words(found.opens, now)} to {date_words(found.closes, now)}"


def damaged(troubles: Sequence[object]) -> str:
    """That something on the sheets could not be read: it must never look as if all were well."""
    return f"NOT ALL OF THE SHEETS COULD BE READ: {many(len(troubles), 'place')}."
