"""Food refused, a body that is thin, and a shed that is stuck."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

import msgspec

from rounds.due.dates import end_of_day, just_before
from rounds.due.figures import percent
from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import CALL_STEP, day, span, times, vet_steps
from rounds.logbook.entries import Ate, ConditionSeen, EggCheckDone, Entry, ShedSeen
from rounds.logbook.times import days_between
from rounds.standing.health import OffFood
from rounds.standing.weighing import Weighing, last_word


@cites(
    "health.refused_young_times",
    "health.refused_adult_times",
    "health.refused_lapses_days",
    "health.off_food_gap_days",
    "walk.turn_gap_hours",
    "eggbinding.off_food_times",
    "eggbinding.off_food_gain_days",
    "eggbinding.off_food_expected_days",
    "eggbinding.off_food_vet_days",
    "eggbinding.gain_percent",
    "weights.shift_hours",
    "weights.drop_percent",
)
@needs(Ate, EggCheckDone, ConditionSeen)
def refused_food(look: Look) -> Iterator[Matter]:
    """An animal refused food several times in a row. Refusals within three hours of the first of them are one.

    Young: today. Adults: watch, today from twice as many times on. Any food taken ends it. Not asked in
    brumation. Of a gravid female who is bright it is expected (dvm360) and stands on her line; today from two
    weeks on.

    Vet at any one of these: (a) four weeks without food (WikiVet); (b) a female who may be gravid, 10 % or more
    above her own weight, refuses food for a week, and no window is open; (c) the same for two weeks, in an open
    window. As vet it stands until a vet has seen the animal or was spoken to, or enough eggs came.
    """
    one = look.animal
    raised = next(
        (
            found
            for run in one.off_food_runs(look.house.days("health.off_food_gap_days"))
            if (found := _off_food_for_vet(look, run)) is not None
        ),
        None,
    )
    key = "health.refused_young_times" if look.is_young else "health.refused_adult_times"
    limit = look.house.days(key)
    run = raised.run if raised is not None else one.refusals(look.house.days("health.off_food_gap_days"))
    if not run:
        return
    days = look.days_since(run[0].at)
    refused = look.turns(run)
    level: Level | None = Level.VET if raised is not None else None
    if raised is None:
        if one.brumating_since is not None or look.days_since(run[-1].at) > look.house.days(
            "health.refused_lapses_days"
        ):
            return
        if is_expected(look):
            expected = look.house.days("eggbinding.off_food_expected_days")
            level = Level.TODAY if days >= expected and refused >= limit else None
        elif refused >= limit:
            level = Level.TODAY if look.is_young or refused >= 2 * limit else Level.WATCH
    if level is None:
        return
    new = ", in quarantine" if one.quarantine_since is not None else ""
    last = one.off_food_runs(look.house.days("health.off_food_gap_days"))[-1]
    ended = last.entries[-1] is not run[-1] or last.ended is not None
    since = span(run[0].at, run[-1].at) if raised is not None and ended else f"since {day(run[0].at)}"
    says = f"{look.name}: refused food {times(refused)}, {since}{new}."
    if raised is not None:
        says += f" {raised.why}"
    yield look.matter(
        refused_food,
        level,
        says,
        since=run[0].at,
        entries=(*run, *(raised.behind if raised is not None else ())),
        do=(
            *(vet_steps(look.house) if level == Level.VET else ()),
            "Is the basking spot warm? Who shares the enclosure? Offer another food.",
            "Weigh, and look for droppings.",
            *(() if level == Level.VET else (f"Also losing weight, or dull: {CALL_STEP}",)),
        ),
        worsens="any danger sign"
        if level == Level.VET
        else f"vet after {look.house.days('eggbinding.off_food_vet_days')} days, or losing weight, or dull"
        if level == Level.TODAY
        else f"today from {2 * limit} times in a row; losing weight or dull: vet",
        acts=("vet called", "refer", "vet seen", "feed", "weigh")
        if level == Level.VET
        else ("feed", "weigh", "climate", "droppings"),
    )


class _ForVet(msgspec.Struct, frozen=True):
    """A time without food that came to the vet's: its refusals, why, and what else is behind it."""

    run: tuple[Entry, ...]
    why: str
    behind: tuple[Entry, ...] = ()


def _off_food_for_vet(look: Look, run: OffFood) -> _ForVet | None:
    """Whether a time without food came to the vet's, at any moment of it that no vet has heard of."""
    one, her = look.animal, look.female
    gravid = look.may_be_gravid
    entries = tuple(
        entry
        for entry in run.entries
        if one.after_contact(entry)
        and not one.brumated_at(entry.at, entry.known)
        and (not gravid or her.counts(entry))
    )
    if not entries:
        return None
    first, last = entries[0], entries[-1]
    four_weeks = look.house.days("eggbinding.off_food_vet_days")
    lapses = look.house.days("health.refused_lapses_days")
    end = min(run.ended.known, look.now) if run.ended is not None else look.now
    if days_between(first.at, end) >= four_weeks and days_between(first.at, last.at) >= four_weeks - lapses:
        return _ForVet(entries, f"No food for {four_weeks} days.")
    least = look.house.days("health.refused_adult_times")
    if not gravid or look.turns(entries) < least:
        return None
    for moment in _moments(look, entries, run.ended, lapses):
        heavy = _heavy_off_food(look, run, entries, moment)
        if heavy is not None:
            gain = percent(her.gain(heavy) or 0)
            return _ForVet(entries, f"{heavy.grams:g} g, {gain} above her own.", heavy.middle)
    return None


def _moments(look: Look, entries: tuple[Entry, ...], ended: Ate | None, lapses: int) -> list[datetime]:
    """When it is asked: just before whatever may have changed the answer was written or went by, and now."""
    one, her = look.animal, look.female
    times = [just_before(entry.known) for entry in (*entries, *one.weights, *her.matings, *one.laid)]
    times += [just_before(company.known) for company in her.company]
    times += [end_of_day(entry.at, lapses) for entry in entries]
    times += [just_before(ended.known)] if ended is not None else []
    for window in her.windows(look.now):
        times += [just_before(look.midnight(window.first)), just_before(look.midnight(window.closes))]
    return sorted({*(moment for moment in times if entries[0].known <= moment < look.now), look.now})


def _heavy_off_food(look: Look, run: OffFood, entries: tuple[Entry, ...], moment: datetime) -> Weighing | None:
    """The weighing that made a time without food the vet's at a moment, by what was written up to then."""
    her = look.female
    refused = [entry for entry in entries if entry.known <= moment]
    if look.turns(refused) < look.house.days("health.refused_adult_times"):
        return None
    if run.ended is not None and run.ended.known <= moment:
        return None
    if days_between(refused[-1].at, moment) > look.house.days("health.refused_lapses_days"):
        return None
    least = look.house.number("eggbinding.gain_percent") / 100 - 1e-6
    counting = [kept for one in her.weighings(moment) if (kept := one.only(her.counts)) is not None]
    heavy = [one for one in last_word(counting) if (her.gain(one) or 0) >= least]
    if not heavy:
        return None
    explained = any(window.first <= moment.date() <= window.closes for window in her.windows(moment))
    long = "off_food_expected_days" if explained else "off_food_gain_days"
    days = days_between(refused[0].at, moment)
    return heavy[-1] if days >= look.house.days(f"eggbinding.{long}") else None


def is_expected(look: Look, at: datetime | None = None) -> bool:
    """Whether refusing food is expected of her: gravid by what was noted, and bright as far as known.

    With `at` by what had been written down at that time.
    """
    one, her = look.animal, look.female
    if at is not None and look.may_be_gravid:
        known = [entry for entry in (*her.matings, *her.felt_ever, *her.dug_ever) if entry.known <= at]
        return bool(known) and not one.danger
    if not look.may_be_gravid or one.danger or (one.look is not None and one.look.look == "dull"):
        return False
    gravid = look.house.days("breeding.carries_days")
    mated = any(look.days_since(entry.at) <= gravid for entry in her.matings)
    return bool(mated or her.felt or her.heavy or her.laying or look.digging)


_THIN = ("very thin", "thin")


@cites("weights.least_weighings")
@needs(ConditionSeen)
def looks_thin(look: Look) -> Iterator[Matter]:
    """An animal was last noted as thin, or very thin.

    Watch; today for young, and for any that is very thin. It ends when its body is noted as good again.
    """
    noted = [entry for entry in look.animal.own(ConditionSeen) if entry.body]
    if not noted or noted[-1].body not in _THIN or look.animal.brumating_since is not None:
        return
    run: list[ConditionSeen] = []
    for entry in reversed(noted):
        if entry.body not in _THIN:
            break
        run.append(entry)
    yield look.matter(
        looks_thin,
        Level.TODAY if look.is_young or noted[-1].body == "very thin" else Level.WATCH,
        f"{look.name}: {noted[-1].body} since {day(run[-1].at)}.",
        since=run[-1].at,
        entries=tuple(reversed(run)),
        do=("Weigh, and look at food, droppings and company.", f"Losing weight too: {CALL_STEP}"),
        worsens="a loss found by the weight rule",
        acts=("weigh", "feed", "droppings"),
    )


@cites("health.shed_days")
@needs(ShedSeen)
def stuck_shed(look: Look) -> Iterator[Matter]:
    """A shed is stuck.

    Watch; today when it is still stuck after the days of the house rule: toes and the tip of the tail may
    be tied off (common practice, no source).
    """
    shed = look.animal.own(ShedSeen)
    run: list[ShedSeen] = []
    for entry in reversed(shed):
        if entry.state != "stuck":
            break
        run.append(entry)
    if not run:
        return
    first, last = run[-1], run[0]
    over = look.days_since(first.at) >= look.house.days("health.shed_days")
    where = f" ({' '.join(last.where.split())[:60]})" if last.where.strip() else ""
    again = look.in_days(first.at, look.house.days("health.shed_days"))
    yield look.matter(
        stuck_shed,
        Level.TODAY if over else Level.WATCH,
        f"{look.name}: shed stuck since {day(first.at)}{where}.",
        since=first.at,
        entries=tuple(reversed(run)),
        do=(
            "A lukewarm bath and something rough to rub against; do not pull.",
            f"Toes or tail swollen or dark: {CALL_STEP}",
            "Off clean? Write it down.",
        ),
        worsens="toes or tail swollen or dark: vet" if over else f"still stuck on {day(again)}: today",
        acts=("note",),
    )
