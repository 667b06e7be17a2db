"""The checks before pairing that are made of a male and a female alike: health, age, weight, body, the year."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, Literal

import msgspec

from rounds.due import reckon
from rounds.due.dates import day
from rounds.due.figures import percent
from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look
from rounds.due.matters.wording import many
from rounds.logbook.entries import BrumationBegan, ConditionSeen, Entry
from rounds.standing.pairings import last_pairing
from rounds.standing.rest import rest_words, rested
from rounds.standing.year import year_of

Answer = Literal["yes", "no", "not known"]
#: The check that asks for matters at the level of the vet.
VET_CHECK: Final = "no vet matter open"
#: The check of the last pairing, and the week apart after it.
APART_CHECK: Final = "apart since the last pairing"
#: The check that asks for other matters of its health.
HEALTH_CHECK: Final = "nothing else of its health open"
#: Those that no other check asks for.
HEALTH: Final = frozenset(
    {"looks dull", "vet waits", "no droppings", "droppings not right", "stuck shed", "brumation loss"}
)
_THIN: Final = ("very thin", "thin")


class Check(msgspec.Struct, frozen=True):
    """One thing that is looked at before pairing.

    `says` is the finding with its figure; `short` what the sum of all says of it when the answer is not yes.
    """

    name: str
    answer: Answer
    says: str
    short: str = ""
    house: tuple[str, ...] = ()
    entries: tuple[Entry, ...] = ()


def checks_of_any(look: Look) -> Iterator[Check]:
    """The checks of any animal, the gravest first."""
    yield from _health(look)
    yield from _rest(look)
    yield from _body(look)
    yield from _year(look)


def _check(
    name: str, no: str, yes: str, *, house: Sequence[str] = (), entries: Sequence[Entry | None] = ()
) -> Check:
    """A check that says no when there is something to say against it."""
    behind = tuple(entry for entry in entries if entry is not None)
    return Check(name, "no" if no else "yes", no or yes, no, tuple(house), behind)


def _rest(look: Look) -> Iterator[Check]:
    """Asked only of one that a keeper rests: the others have no such check."""
    found = rested(look.animal, look.now)
    if found is not None:
        told = rest_words(found)
        yield Check(
            "not rested by the keeper", "no", f"{told}, noted {day(found.at, look.now)}", told, (), (found,)
        )


# Health


def _health(look: Look) -> Iterator[Check]:
    one, now = look.animal, look.now
    every = list(reckon.found_by(look))
    grave = [found for found in every if found.level >= Level.VET]
    signs = [sign.entry for sign in one.danger]
    told = grave[0].says if grave else f"{one.danger[0].sign} seen" if signs else ""
    short = "for the vet" if told else ""
    yield Check(
        VET_CHECK,
        "no" if told else "yes",
        told or "none is open",
        short,
        tuple(dict.fromkeys(key for found in grave for key in found.house)),
        tuple(dict.fromkeys((*signs, *(entry for found in grave for entry in found.entries)))),
    )
    yield _other_matters([found for found in every if found.rule in HEALTH and found.level < Level.VET])
    with_vet = one.with_the_vet
    treated = one.under_the_vet(now, look.house.days("health.treatment_lasts_days"))
    no = "with the vet" if with_vet is not None else ""
    if treated is not None:
        until = getattr(treated, "under_treatment_until", None)
        no = "under treatment" + (f" to {day(until, now)}" if until is not None else "")
    yield _check(
        "not under treatment",
        no,
        "none noted",
        house=("health.treatment_lasts_days",),
        entries=(treated, with_vet),
    )
    since = one.quarantine_since
    no = f"in quarantine, day {look.days_since(since) + 1}" if since is not None else ""
    yield _check("not in quarantine", no, "in none", house=("health.quarantine_days",), entries=(one.arrived,))


def _other_matters(found: Sequence[Matter]) -> Check:
    """Matters of its health that are no vet's yet: for today it is no, to be watched it is not known."""
    if not found:
        return Check(HEALTH_CHECK, "yes", "none is open")
    worst = max(found, key=lambda one: one.level)
    return Check(
        HEALTH_CHECK,
        "no" if worst.level >= Level.TODAY else "not known",
        worst.says,
        worst.rule,
        tuple(dict.fromkeys(key for one in found for key in one.house)),
        tuple(dict.fromkeys(entry for one in found for entry in one.entries)),
    )


# Age, weight, body


def _body(look: Look) -> Iterator[Check]:
    yield _age(look)
    yield from _weight(look)
    yield _condition(look)
    yield _food(look)


def _age(look: Look) -> Check:
    key = "breeding.male_least_months" if look.animal.sex == "M" else "breeding.female_least_months"
    least, months = look.house.days(key), look.age_months
    behind = (look.animal.arrived,) if look.animal.arrived is not None else ()
    if look.animal.sex == "?":
        return Check("age", "not known", "the sex is not settled", "sex not settled", (key,), behind)
    if months is None:
        return Check("age", "not known", "no day of hatching is noted", "age not known", (key,), behind)
    from_ = f"bred from {least}"
    if months < least:
        return Check(
            "age",
            "no",
            f"{many(months, 'month')}, {from_}",
            f"too young ({months} months, {from_})",
            (key,),
            behind,
        )
    return Check("age", "yes", f"{many(months, 'month')}, {from_}", "", (key,), behind)


def _weight(look: Look) -> Iterator[Check]:
    house, last = look.house, look.last_weighing
    fresh, grams = house.days("pairing.weight_days"), house.number("breeding.female_least_grams")
    is_male = look.animal.sex == "M"
    keys: tuple[str, ...] = (
        ("pairing.weight_days",) if is_male else ("breeding.female_least_grams", "pairing.weight_days")
    )
    if last is None:
        yield Check("weight", "not known", "none is noted", "no weight", keys)
    else:
        when = day(last.ended, look.now)
        least = "" if is_male else f", bred from {grams:g} g"
        told, behind = f"{last.grams:g} g on {when}{least}", (last.reading,)
        if not is_male and last.grams < grams:
            # However old: one that was too light is not fit until a weight says otherwise.
            light = f"too light ({last.grams:g} g, bred from {grams:g} g)"
            yield Check("weight", "no", told, light, keys, behind)
        elif look.days_since(last.ended) > fresh:
            yield Check(
                "weight",
                "not known",
                f"{told}; counts for {many(fresh, 'day')}",
                f"no weight in {fresh} days",
                keys,
                behind,
            )
        elif last.unsure:
            yield Check(
                "weight", "not known", f"{told}; readings differ", "readings of the weight differ", keys, behind
            )
        else:
            yield Check("weight", "yes", told, "", keys, behind)
    trend = look.trend
    keys = ("weights.drop_percent", "weights.trend_loss_percent")
    if trend.lost:
        lost = f"{percent(trend.loss)} lost in {many(trend.loss_days, 'day')}"
        yield Check("weight does not fall", "no", lost, f"weight falls ({lost})", keys, tuple(trend.behind))
        return
    weighed = many(len(trend.weighings), "weighing") + (f" since {trend.restart.why}" if trend.restart else "")
    if trend.unconfirmed:
        less = f"{percent(trend.unconfirmed)} less, not confirmed"
        yield Check("weight does not fall", "not known", less, less, keys, tuple(trend.behind))
    elif len(trend.weighings) < 2:
        few = f"too few weighings ({weighed})" if look.last_weighing is not None else "no weight"
        yield Check("weight does not fall", "not known", weighed, few, keys)
    else:
        told = trend.words if trend.enough else f"{weighed}, none far under the others"
        yield Check("weight does not fall", "yes", told, "", keys, tuple(trend.behind))


def _condition(look: Look) -> Check:
    key, now = "pairing.condition_days", look.now
    noted = [entry for entry in look.animal.own(ConditionSeen) if entry.body]
    looked = look.animal.look
    if looked is not None and looked.look == "dull":
        return Check("condition", "no", f"looked dull {day(looked.at, now)}", "", (key,), (looked,))
    if not noted:
        return Check("condition", "not known", "the body was never noted", "body not looked at", (key,))
    last = noted[-1]
    told = f"{last.body} on {day(last.at, now)}"
    if last.body in _THIN:
        return Check("condition", "no", told, last.body, (key,), (last,))
    if look.days_since(last.at) > look.house.days(key):
        within = many(look.house.days(key), "day")
        return Check(
            "condition",
            "not known",
            f"{told}; counts for {within}",
            f"body not looked at in {within}",
            (key,),
            (last,),
        )
    return Check("condition", "yes", told, "", (key,), (last,))


def _food(look: Look) -> Check:
    run = look.animal.refusals(look.house.days("health.off_food_gap_days"))
    fresh = bool(run) and look.days_since(run[-1].at) <= look.house.days("health.refused_lapses_days")
    key = "health.refused_young_times" if look.is_young else "health.refused_adult_times"
    refused = look.turns(run) >= look.house.number(key)
    no = f"refused food since {day(run[0].at, look.now)}" if fresh and refused else ""
    return _check(
        "takes food",
        no,
        "no run of refusals noted",
        house=(key, "health.refused_lapses_days", "health.off_food_gap_days"),
        entries=run,
    )


# The year, and the last pairing


def _year(look: Look) -> Iterator[Check]:
    yield _awake(look)
    key, now = "pairing.apart_days", look.now
    last, apart = last_pairing(look.standing, look.subject), look.house.days(key)
    if last is None:
        yield Check(APART_CHECK, "yes", "no pairing is noted", "", (key,))
        return
    who = look.standing.name(last.other(look.subject))
    if last.until is None:
        no = f"with {who} since {day(last.since, now)}"
    else:
        until = look.in_days(last.until, apart)
        no = f"apart from {who} until {day(until, now)}" if now.date() < until else ""
    yes = f"apart from {who} since {day(last.until, now)}" if last.until is not None else ""
    yield _check(APART_CHECK, no, yes, house=(key,), entries=(last.put,))


def _awake(look: Look) -> Check:
    key, now = "pairing.after_waking_days", look.now
    one, wait = look.animal, look.house.days(key)
    year = year_of(look.standing, one, look.house.year_days)
    if year.asleep:
        return Check("awake", "no", "brumates", "", (key,), tuple(filter(None, (one.last(BrumationBegan),))))
    noted = year.brumation
    if noted is None:
        if one.arrived is not None and look.days_since(one.arrived.at) < wait:
            told = f"arrived awake {day(one.arrived.at, now)}; when it woke is not known"
            return Check("awake", "not known", told, "waking not known", (key,), (one.arrived,))
        return Check("awake", "yes", "no brumation is noted here", "", (key,))
    if noted.ended is None:
        behind = tuple(filter(None, (noted.warm_up, noted.began)))
        return Check("awake", "not known", "the end of brumation was not noted", "waking not noted", (key,), behind)
    awake = look.days_since(noted.ended.at)
    weeks = f"{many(awake // 7, 'week')} ago" if awake >= 7 else f"{many(awake, 'day')} ago" if awake else "today"
    told = f"woke {day(noted.ended.at, now)}, {weeks}"
    if awake < wait:
        short = f"woke {many(awake, 'day') + ' ago' if awake else 'today'}, paired from day {wait}"
        return Check("awake", "no", f"{told}; paired from day {wait}", short, (key,), (noted.ended,))
    if year.first_feed is None and awake <= look.house.days("pairing.after_waking_days") * 3:
        return Check(
            "awake",
            "not known",
            f"{told}; no food since is noted",
            "no food noted since waking",
            (key,),
            (noted.ended,),
        )
    fed = (
        f"; first fed {day(year.first_feed.at, now)}"
        if year.first_feed is not None and not year.fed_at_latest
        else ""
    )
    return Check("awake", "yes", told + fed, "", (key,), (noted.ended,))
