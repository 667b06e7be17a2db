"""Fit to pair: a list of checks, each with its word, its figure, the house rule behind it and its entries.

A check says `yes`, `no` or `not known`; `not known` is no yes. A sign for the vet, treatment and quarantine come
first: no figure makes up for them. It suggests nothing and writes nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import Final, Literal

import msgspec

from rounds.due import reckon
from rounds.due.dates import day
from rounds.due.figures import percent
from rounds.due.matter import Level
from rounds.due.matters.look import Look
from rounds.due.matters.wording import many
from rounds.logbook.entries import BrumationBegan, ConditionSeen, Entry
from rounds.rules.house import House
from rounds.standing.as_of import as_of
from rounds.standing.fold import Standing
from rounds.standing.pairings import last_pairing
from rounds.standing.recovery import recovery
from rounds.standing.seasons import bred_in_a_row, seasons_of
from rounds.standing.year import year_of

Answer = Literal["yes", "no", "not known"]
#: The check that asks for matters at the level of the vet.
VET_CHECK: Final = "no vet matter open"
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


class Fitness(msgspec.Struct, frozen=True):
    """All checks of one animal, the gravest first."""

    subject: str
    checks: tuple[Check, ...]

    @property
    def answer(self) -> Answer:
        """no, once one check says no; not known, once one is not; else yes."""
        answers = {check.answer for check in self.checks}
        return "no" if "no" in answers else "not known" if "not known" in answers or not answers else "yes"

    @property
    def says(self) -> str:
        """The sum in words: `fit by these checks`, `not now: too light (310 g, bred from 350 g)`."""
        if self.answer == "yes":
            return "fit by these checks"
        told = [check.short or check.says for check in self.checks if check.answer == self.answer]
        more = f", and {len(told) - 2} more" if len(told) > 2 else ""
        return f"{'not now' if self.answer == 'no' else 'not known'}: {', '.join(told[:2])}{more}"

    def of(self, answer: Answer) -> tuple[Check, ...]:
        """The checks with this answer."""
        return tuple(check for check in self.checks if check.answer == answer)


def fit_to_pair(standing: Standing, house: House, now: datetime, subject: str) -> Fitness:
    """Whether an animal is fit to be paired at `now`, by what was noted up to then."""
    return fitness(Look(as_of(standing, now), house, now, subject))


def fitness(look: Look) -> Fitness:
    """The same of a look."""
    checks = [*_health(look), *_body(look), *_year(look)]
    if look.animal.sex == "F":
        checks += _of_her(look)
    return Fitness(look.subject, tuple(checks))


def _check(
    name: str, no: str, yes: str, *, house: Sequence[str] = (), entries: Sequence[Entry | None] = ()
) -> Check:
    """A check that says no when there is something to say against it."""
    behind = tuple(entry for entry in entries if entry is not None)
    return Check(name, "no" if no else "yes", no or yes, no, tuple(house), behind)


# Health


def _health(look: Look) -> Iterator[Check]:
    one, now = look.animal, look.now
    grave = [found for found in reckon.found_by(look) if found.level >= Level.VET]
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
        yield Check("weight does not fall", "not known", weighed, f"too few weighings ({weighed})", keys)
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
    run = look.animal.refusals
    fresh = bool(run) and look.days_since(run[-1].at) <= look.house.days("health.refused_lapses_days")
    key = "health.refused_young_times" if look.is_young else "health.refused_adult_times"
    refused = look.turns(run) >= look.house.number(key)
    no = f"refused food since {day(run[0].at, look.now)}" if fresh and refused else ""
    return _check(
        "takes food", no, "no run of refusals noted", house=(key, "health.refused_lapses_days"), entries=run
    )


# The year, and the last pairing


def _year(look: Look) -> Iterator[Check]:
    yield _awake(look)
    key, now = "pairing.apart_days", look.now
    last, apart = last_pairing(look.standing, look.subject), look.house.days(key)
    if last is None:
        yield Check("apart since the last pairing", "yes", "no pairing is noted", "", (key,))
        return
    who = look.standing.name(last.other(look.subject))
    if last.until is None:
        no = f"with {who} since {day(last.since, now)}"
    else:
        until = look.in_days(last.until, apart)
        no = f"apart from {who} until {day(until, now)}" if now.date() < until else ""
    yes = f"apart from {who} since {day(last.until, now)}" if last.until is not None else ""
    yield _check("apart since the last pairing", no, yes, house=(key,), entries=(last.put,))


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
    told = f"woke {day(noted.ended.at, now)}, {many(awake // 7, 'week')} ago"
    if awake < wait:
        short = f"woke {many(awake, 'day')} ago, paired from {wait}"
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


# Hers alone


def _of_her(look: Look) -> Iterator[Check]:
    yield _not_gravid(look)
    her, house, now = look.female, look.house, look.now
    last = her.last_complete
    rest = house.days("pairing.after_laying_days")
    if last is None or last.complete is None:
        yield Check("rest since the last clutch", "yes", "no clutch is noted", "", ("pairing.after_laying_days",))
    else:
        gone = look.days_since(last.complete.at)
        told = f"{many(gone, 'day')} since {day(last.complete.at, now)}, rests {rest}"
        no = f"laid {many(gone, 'day')} ago, rests {rest}" if gone < rest else ""
        yield Check(
            "rest since the last clutch",
            "no" if no else "yes",
            told,
            no,
            ("pairing.after_laying_days",),
            (last.complete,),
        )
    yield _recovered(look)
    yield from _seasons(look)


def _not_gravid(look: Look) -> Check:
    her, now = look.female, look.now
    name, keys = (
        "not gravid or laying",
        ("breeding.window_opens", "breeding.window_closes", "breeding.next_clutch_days"),
    )
    if her.laying is not None:
        return Check(name, "no", f"laying, {many(her.laying.count, 'egg')} so far", "laying", keys, her.laying.laid)
    if look.digging is not None:
        return Check(name, "no", f"digs since {day(look.digging.since, now)}", "digs", keys, look.digging.entries)
    if her.felt is not None:
        return Check(name, "no", f"eggs felt {day(her.felt.at, now)}", "gravid", keys, (her.felt,))
    if her.heavy is not None and look.gravid_because is not None:
        return Check(
            name, "no", f"heavy {day(her.heavy.at, now)}, may be gravid", "heavy, may be gravid", keys, (her.heavy,)
        )
    window = look.window
    if window is not None and look.gravid_because is not None:
        if now.date() > window.closes and window.why != "stored sperm":
            told = f"window ended {day(window.closes, now)}, no eggs noted"
            return Check(name, "not known", told, "may be gravid", keys, window.entries)
    if window is not None and look.gravid_because is not None and now.date() <= window.closes:
        mated = {"mated": "mated", "with a male": "was with a male", "stored sperm": "next clutch"}[window.why]
        told = f"{mated}: window {day(window.opens, now)} to {day(window.closes, now)}"
        return Check(name, "not known", told, "may be gravid", keys, window.entries)
    return Check(name, "yes", "nothing noted speaks for eggs", "", keys)


def _recovered(look: Look) -> Check:
    key = "pairing.recovered_percent"
    name, found = "recovered from the last clutch", recovery(look.female, look.now)
    if found is None:
        return Check(name, "yes", "no clutch is noted", "", (key,))
    behind = (found.last.reading,) if found.last is not None else ()
    if found.before is None:
        return Check(
            name,
            "not known",
            "no weight is noted from before it",
            "weight before the clutch not known",
            (key,),
            behind,
        )
    if found.last is None or found.part is None:
        told = f"not weighed since; {found.before:g} g before it"
        return Check(name, "not known", told, "not weighed since the clutch", (key,))
    least = look.house.number(key)
    told = f"{found.last.grams:g} g, {percent(found.part)} of {found.before:g} g before it; asked for {least:g} %"
    if found.part < least / 100 - 1e-9:
        return Check(
            name, "no", told, f"not recovered ({percent(found.part)} of {found.before:g} g)", (key,), behind
        )
    if found.last.unsure:
        return Check(name, "not known", f"{told}; readings differ", "readings of the weight differ", (key,), behind)
    return Check(name, "yes", told, "", (key,), behind)


def _seasons(look: Look) -> Iterator[Check]:
    house = look.house
    most = house.days("breeding.season_clutches")
    seasons = seasons_of(look.female, look.now, house.year_days)
    keys = ("breeding.season_clutches", "breeding.season_gap_days")
    for word, season in (("this season", seasons[-1]), ("last season", seasons[-2] if len(seasons) > 1 else None)):
        had = len(season.clutches) if season is not None else 0
        # One more may come of a pairing this season; last season's are over.
        over = had >= most if word == "this season" else had > most
        told = f"{many(had, 'clutch', 'clutches')} of at most {most}"
        if season is None:
            told = "none is noted here"
        yield Check(f"clutches {word}", "no" if over else "yes", told, f"{told} {word}" if over else "", keys)
    after, row = house.days("breeding.rest_after_seasons"), bred_in_a_row(seasons)
    told = f"bred {many(row, 'season')} in a row, " + (f"rests after {after}" if after else "no rest year is set")
    # In a season that has begun with eggs she breeds already.
    before = row - bool(seasons[-1].clutches)
    rests = bool(after) and before >= after
    yield Check(
        "rest year", "no" if rests else "yes", told, told if rests else "", ("breeding.rest_after_seasons",)
    )
