"""From mating to the first egg: a place to lay, and digging."""

from __future__ import annotations

from collections.abc import Iterator

from rounds.due.dates import days_before
from rounds.due.forecast import FORECAST_RULES, forecast_of
from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites
from rounds.due.matters.wording import (
    NEVER_STEP,
    QUIET_STEP,
    capital,
    day,
    many,
    nest_check_steps,
    nest_steps,
    soak_step,
    span,
    vet_steps,
)
from rounds.logbook.entries import Arrived
from rounds.standing.breeding import Digging


@cites(
    "breeding.carries_days",
    "breeding.stored_sperm_days",
    "eggbinding.dig_today_day",
    "eggbinding.nest_depth_cm",
    "eggbinding.nest_c",
)
def no_lay_box(look: Look) -> Iterator[Matter]:
    """A female digs and has no lay box.

    Today when she can be gravid: mated or with a male in the last months, or by stored sperm after a clutch, or
    eggs were felt. Otherwise watch, and today from day 5 on, because unmated females can lay infertile eggs
    (common practice, no source). No nest site is the commonest cause of egg-binding in lizards (WikiVet). Once
    digging is for the vet, `digging without eggs` says so instead.
    """
    digs = look.digging
    if digs is None or not look.may_be_gravid or look.female.has_lay_box or look.unfinished:
        return
    because = look.gravid_because
    if look.female.digs_for_vet(digs, look.now, look.now):
        return  # digging_without_eggs says it, for the vet
    long = digs.day(look.now) >= look.house.days("eggbinding.dig_today_day")
    tail = "" if because is not None else " No mating is known."
    yield look.matter(
        no_lay_box,
        Level.TODAY if because is not None or long else Level.WATCH,
        f"{look.name} {_dug(look, digs)}. No lay box.{tail}",
        since=digs.since,
        entries=(*digs.entries, *(because or ())),
        do=(*nest_steps(look.house), QUIET_STEP),
        worsens=_digging_worsens(look, digs, today=because is not None),
        acts=("lay box", "egg check"),
    )


@cites("eggbinding.box_before_days", *FORECAST_RULES)
def lay_box_not_ready(look: Look) -> Iterator[Matter]:
    """Her window to lay opens within a week, or is open, and no lay box is prepared.

    Watch; today when eggs were felt in her and the window is open or not known, and from the day on which she is
    due by her forecast when a mating was seen. The window is reckoned from matings seen, from company of a male,
    and after a clutch from the time to the next one, by stored sperm.
    """
    her = look.female
    window = look.window
    if not look.may_be_gravid or her.has_lay_box or look.unfinished or look.digging:
        return
    if window is None:
        if her.felt is None:
            return
        yield look.matter(
            lay_box_not_ready,
            Level.TODAY,
            f"{look.name}: eggs felt {day(her.felt.at)}. No lay box.",
            since=her.felt.at,
            entries=(her.felt,),
            do=nest_steps(look.house),
            worsens="digging: a lay box at once",
            acts=("lay box", "egg check"),
        )
        return
    ready = days_before(window.opens, look.house.days("eggbinding.box_before_days"))
    today = look.now.date()
    if not ready <= today <= window.closes:
        return
    is_open = today >= window.opens
    verb = "opened" if is_open else "opens"
    next_clutch = " for the next clutch" if window.why == "stored sperm" else ""
    forecast = forecast_of(her, look.now) if window.why == "mated" and is_open else None
    is_due = forecast is not None and today >= forecast.early
    when = f"Window{next_clutch} {verb} {day(window.opens)}."
    if is_due and forecast is not None:
        when = f"{capital(forecast.short)}."
    yield look.matter(
        lay_box_not_ready,
        Level.TODAY if is_due or (is_open and her.felt) else Level.WATCH,
        f"{look.name}: no lay box yet. {when}",
        since=look.midnight(ready),
        entries=(*(window.entries or _since_together(look)), *((her.felt,) if her.felt else ())),
        do=nest_steps(look.house),
        worsens="digging: a lay box at once",
        acts=("lay box", "egg check"),
    )


def _since_together(look: Look) -> tuple[Arrived, ...]:
    """Where no entry says that they were put together: her arrival, from which on her places are known."""
    return (look.animal.arrived,) if look.animal.arrived is not None else ()


@cites("eggbinding.nest_depth_cm")
def nest_too_shallow(look: Look) -> Iterator[Matter]:
    """The lay box she has is not as deep as the house rule wants.

    Watch; today once she digs in it.
    """
    box = look.female.lay_box
    least = look.house.number("eggbinding.nest_depth_cm")
    if box is None or box.depth_cm is None or box.depth_cm >= least or not look.may_be_gravid:
        return
    if look.digging is None and look.gravid_because is None:
        return
    yield look.matter(
        nest_too_shallow,
        Level.TODAY if look.digging else Level.WATCH,
        f"{look.name}: lay box {box.depth_cm:g} cm deep, {least:g} cm wanted.",
        since=box.at,
        entries=(box,),
        do=nest_steps(look.house)[:1],
        worsens="she may dig on and not lay" if look.digging else "as soon as she digs in it: today",
        acts=("lay box",),
    )


@cites(
    "eggbinding.dig_watch_day",
    "eggbinding.dig_today_day",
    "eggbinding.dig_vet_day",
    "breeding.nesting_gap",
    "eggbinding.nest_depth_cm",
    "eggbinding.nest_c",
    "eggbinding.soak_c",
    "eggbinding.soak_minutes",
    "eggbinding.vet_again_days",
    "eggbinding.call_again_days",
    "walk.turn_gap_hours",
)
def digging_without_eggs(look: Look) -> Iterator[Matter]:
    """She digs and no eggs come.

    The day on which digging was first seen is day 1. The days run on through a pause: trial nests come and go.
    Day 3: watch. Day 5: today (is the nest deep, damp, warm and quiet? offer another). After day 7: vet. About a
    week of scratching before eggs is common practice, no source. Digging counts however it was entered. It counts
    as hers too when it was written of her tub and only she can have dug.

    Seen on one day only, it stays at today and ends after two weeks. It goes on to the vet when something else
    speaks for eggs: a window that is or was open, eggs felt, a heavy body.

    Enough eggs end the days, and so does a vet who has seen her or was spoken to. Two weeks without digging end
    them too, as long as they have not come to the vet.
    """
    digs = look.digging
    if digs is None or not look.may_be_gravid:
        return
    dug, box = digs.day(look.now), look.female.lay_box
    vet_day = look.house.days("eggbinding.dig_vet_day")
    alone = dug > vet_day and not look.female.digs_for_vet(digs, look.now, look.now)
    begun = look.unfinished or (look.female.last_complete if look.female.laid_since_cycle_start else None)
    laid = begun.count if begun is not None else 0
    if look.unfinished is not None and not look.female.is_short(look.unfinished):
        return  # enough eggs; laying_stopped says whether they are all
    # Of a vet who heard of it the word stands for some days; then her days count on from the first.
    contact = look.animal.last_contact if not look.animal.after_contact(digs.entries[0]) else None
    rests = look.evidence.rests_until if contact is not None else None
    heard = rests is not None and look.now <= rests
    if dug > vet_day and not alone:
        level = Level.TODAY if heard else Level.VET
    elif look.unfinished is not None or not look.female.has_lay_box:
        return  # laying_stopped says it, with its deadline; or no_lay_box, and more
    elif dug >= look.house.days("eggbinding.dig_today_day"):
        level = Level.TODAY
    elif dug >= look.house.days("eggbinding.dig_watch_day"):
        level = Level.WATCH
    else:
        return
    missing = "" if look.female.has_lay_box else " No lay box."
    referred = look.animal.with_the_vet
    referral = f" Referred {day(referred.at)}." if referred is not None and level == Level.VET else ""
    nest = nest_check_steps(look.house) if look.female.has_lay_box else nest_steps(look.house)
    eggs = many(laid, "egg") if laid else "no eggs"
    yield look.matter(
        digging_without_eggs,
        level,
        f"{look.name}: day {dug}, {eggs}. {capital(_dug(look, digs))}.{missing}{referral}",
        since=digs.since,
        entries=(*digs.entries, *((box,) if box else ()), *((referred,) if referral and referred else ())),
        do=(
            *(vet_steps(look.house) if level == Level.VET else ()),
            *nest,
            QUIET_STEP,
            *((soak_step(look.house),) if level >= Level.TODAY else ()),
            NEVER_STEP,
        ),
        worsens="any danger sign: vet now" if level == Level.VET else _digging_worsens(look, digs),
        asks_again=contact.at if contact is not None else None,
        acts=("vet called", "refer", "vet seen", "eggs laid", "lay box", "egg check")
        if level == Level.VET
        else ("egg check", "lay box", "eggs laid"),
    )


def _dug(look: Look, digs: Digging) -> str:
    """`has dug since 18 Nov`, or `dug 18 to 20 Nov` once a day has gone by without."""
    if look.days_since(digs.last) <= 1:
        return f"has dug since {day(digs.since)}"
    return f"dug {span(digs.since, digs.last)}"


def _digging_worsens(look: Look, digs: Digging, today: bool = False) -> str:
    """When digging turns worse; `today` when it is for today already."""
    house = look.house
    today_day, vet = house.days("eggbinding.dig_today_day"), house.days("eggbinding.dig_vet_day")
    steps = []
    if digs.day(look.now) < today_day and not today:
        steps.append(f"today from {day(look.in_days(digs.since, today_day - 1))} (day {today_day})")
    if digs.day(look.now) <= vet:
        steps.append(f"vet from {day(look.in_days(digs.since, vet))} (after day {vet})")
    return ", ".join([*steps, "any danger sign: vet now"])
