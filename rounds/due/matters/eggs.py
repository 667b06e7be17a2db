"""Egg checks, laying and what comes after: eggs left in her, and food left."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from rounds.due.checks import next_check
from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import (
    CALL_STEP,
    NEVER_STEP,
    QUIET_STEP,
    VET_NOW_STEP,
    VET_STEP,
    day,
    day_time,
    for_hours,
    is_over,
    listed,
    many,
    nest_steps,
    percent,
    soak_step,
)
from rounds.due.round import known_at
from rounds.logbook.entries import Ate, EggCheckDone, EggsLaid, Entry
from rounds.logbook.times import days_between
from rounds.standing.clutch import Clutch


@cites(
    "eggbinding.stopped_vet_hours",
    "eggbinding.stopped_hours",
    "eggbinding.stopped_call_hours",
    "eggbinding.count_short_percent",
    "eggbinding.count_short_hours",
    "eggbinding.heavy_after_percent",
    "eggbinding.soak_c",
    "eggbinding.soak_minutes",
)
@needs(EggsLaid)
def laying_stopped(look: Look) -> Iterator[Matter]:
    """Laying began and is not known to be complete, or eggs were felt after it was said to be.

    Watch while eggs may still come. Today at once when eggs were felt after the last egg, when the count is
    well short of her usual, when her weight says that eggs are left, or when nothing more was noted for
    some hours. The vet has a deadline 48 h after the last egg (WikiVet, Lizard and Snake Dystocia), counted
    down in elapsed hours; she is called from half of it on, and past it is vet now, also when nobody wrote
    whether the clutch is complete. A vet's visit after the last egg ends the countdown.
    """
    clutch = look.unfinished
    last = clutch.last_egg if clutch is not None else None
    if clutch is None or last is None:
        return
    house, hours = look.house, look.hours_since(last.at)
    evidence, behind = _eggs_left(look, clutch, last)
    done = clutch.complete is not None
    seen = look.animal.last_vet
    so_far = "" if done else " so far"
    says = f"{look.name} has laid {many(clutch.count, 'egg')}{so_far}, the last {for_hours(hours)} ago"
    says += f"; {listed(evidence)}" if evidence else ""
    say_done = "Say whether the clutch is complete: write the eggs as complete, or the count so far."
    entries = tuple({entry.id: entry for entry in (*clutch.laid, *behind)}.values())
    if seen is not None and seen.at >= max(entry.at for entry in (last, *behind)):
        yield look.matter(
            laying_stopped,
            Level.WATCH,
            f"{says}; a vet saw her on {day_time(seen.at)}, and the clutch is not said to be complete.",
            since=last.at,
            entries=(*entries, seen),
            do=("Do as the vet said.", say_done),
            worsens="one egg more: the countdown begins anew; any danger sign: vet now",
            acts=("eggs laid", "egg check"),
        )
        return
    stops, calls, deadline = (
        last.at + timedelta(hours=house.number(f"eggbinding.{key}"))
        for key in ("stopped_hours", "stopped_call_hours", "stopped_vet_hours")
    )
    if look.now >= deadline:
        level = Level.VET_NOW
    elif look.now >= calls:
        level = Level.VET
    elif evidence or look.now >= stops:
        level = Level.TODAY
    else:
        level = Level.WATCH
    left = f"the vet's deadline is {day_time(deadline)}"
    says += {
        Level.WATCH: f"; {left}.",
        Level.TODAY: f"; {left}, in {for_hours(look.hours_since(deadline))}.",
        Level.VET: f"; {left}, in {for_hours(look.hours_since(deadline))}.",
        Level.VET_NOW: f"; {left.replace(' is ', ' was ')}, {for_hours(look.hours_since(deadline))} ago.",
    }[level]
    if not done and level >= Level.TODAY:
        says = says[:-1] + "; complete or not?"
    nest = () if look.female.has_lay_box else nest_steps(house)[:1]
    keeper = (*nest, QUIET_STEP, soak_step(house), NEVER_STEP)
    vet = (VET_NOW_STEP,) if level == Level.VET_NOW else (VET_STEP,)
    yield look.matter(
        laying_stopped,
        level,
        says,
        since=last.at,
        entries=entries,
        do=(QUIET_STEP, say_done, NEVER_STEP)
        if level == Level.WATCH
        else (*vet, say_done, *keeper)
        if level >= Level.VET
        else (say_done, "Feel her gently for eggs and weigh her.", *keeper, *vet),
        worsens={
            Level.WATCH: f"no egg more by {day_time(stops)}: today",
            Level.TODAY: f"vet from {day_time(calls)}, vet now from {day_time(deadline)}; any danger sign: vet now",
            Level.VET: f"vet now from {day_time(deadline)}; any danger sign: vet now",
            Level.VET_NOW: "with every hour",
        }[level],
        deadline=deadline,
        acts=("eggs laid", "felt", "egg check", "weigh", "refer", "vet seen"),
    )


def _eggs_left(look: Look, clutch: Clutch, last: EggsLaid) -> tuple[list[str], tuple[Entry, ...]]:
    """What says that eggs are left in her, and the entries behind it. Only what came after the last egg counts."""
    her, house = look.female, look.house
    words: list[str] = []
    behind: list[Entry] = []
    felt = her.felt
    if felt is not None and felt.at >= last.at:
        words.append(f"eggs felt {day_time(felt.at)}")
        behind.append(felt)
    usual = her.usual_count()
    hours = look.hours_since(last.at)
    if clutch.complete is None and usual is not None and hours >= house.number("eggbinding.count_short_hours"):
        short = 1 - clutch.count / usual
        if short >= house.number("eggbinding.count_short_percent") / 100:
            words.append(f"her usual is {usual:.0f}")
            behind.extend(one.complete for one in her.clutches if one.complete and one is not clutch)
    within = house.days("breeding.window_closes")
    before = her.weight_before_carrying() if clutch.complete is None else her.weight_before_last_clutch(within)
    weighed = look.animal.last_weight
    if before is not None and weighed is not None and weighed.at >= last.at:
        over = weighed.grams / before - 1
        if is_over(weighed.grams, before, house.number("eggbinding.heavy_after_percent") / 100):
            words.append(f"{percent(over)} above her own weight before mating")
            behind.append(weighed)
    return words, tuple(behind)


@cites(
    "eggbinding.check_from_days",
    "eggbinding.check_days",
    "eggbinding.near_days",
    "eggbinding.check_near_days",
    "eggbinding.check_laying_a_day",
    "eggbinding.after_laying_first_hours",
    "eggbinding.after_laying_second_hours",
)
def egg_check_overdue(look: Look) -> Iterator[Matter]:
    """Her egg check is late by a whole interval.

    Today. Weekly checks are late by a week, daily ones and those after laying by a day, those of a laying
    female, twice a day, by half a day. While she nests or lays, who cannot check her today calls the vet.
    """
    check = next_check(look.round, look.animal)
    if check is None:
        return
    if check.rung.every_days == 0:
        # Checks on each walk are late by hours: since the last one, or since the first eggs were noted.
        every = 24 / look.house.number("eggbinding.check_laying_a_day")
        laying = look.female.laying
        begun = min((known_at(entry, look.now) for entry in laying.laid), default=look.now) if laying else look.now
        since = max(begun, check.last.at) if check.last is not None else begun
        late = look.hours_since(since) - every
        if late < every:
            return
        since += timedelta(hours=every)
        late_words = many(int(late), "hour")
    else:
        if check.late_days < max(1, check.rung.every_days or 1):
            return
        since, late_words = look.midnight(check.due), many(check.late_days, "day")
    pressing = look.phase in ("nesting", "in lay box", "laying")
    last = f"last done {day(check.last.at)}" if check.last else "never done"
    call = " Cannot check her today? Call the vet." if pressing else ""
    yield look.matter(
        egg_check_overdue,
        Level.TODAY,
        f"{look.name}'s egg check is {late_words} late ({check.rung.why}; {last}).{call}",
        since=since,
        entries=(*check.rung.entries, *((check.last,) if check.last else ())),
        do=(
            "Do the egg check: each sign of the list, and a weight.",
            NEVER_STEP,
            *((f"Not possible today: {CALL_STEP}",) if pressing else ()),
        ),
        worsens="any danger sign found: vet now",
        acts=("egg check", "weigh", "felt"),
        house=check.rung.house,
    )


@cites("eggbinding.heavy_after_percent", "breeding.laid_lasts", "breeding.window_closes", "eggbinding.soak_c")
@needs(EggsLaid)
def heavy_after_laying(look: Look) -> Iterator[Matter]:
    """Her weight after laying is well above her own weight before she was carrying: she may hold eggs.

    Today. Her own weight is the median of the last three before the mating; when no mating was noted,
    of the last three taken longer before the first egg than a mating can lie back.
    """
    her = look.female
    last, laid_at = her.last_complete, her.laid_at
    if last is None or laid_at is None or her.laying:
        return
    after = her.weights_after_laying()
    if not after or days_between(laid_at, after[-1].at) > look.house.days("breeding.laid_lasts"):
        return
    weighed = after[-1]
    before = her.weight_before_last_clutch(look.house.days("breeding.window_closes"))
    seen = look.animal.last_vet
    if before is None or (seen is not None and seen.at >= weighed.at):
        return
    over = weighed.grams / before - 1
    referred = look.animal.with_the_vet
    if not is_over(weighed.grams, before, look.house.number("eggbinding.heavy_after_percent") / 100):
        return
    if referred is not None and referred.at >= weighed.at:
        return
    if look.unfinished is not None:
        return  # laying_stopped says it, with its deadline
    yield look.matter(
        heavy_after_laying,
        Level.TODAY,
        f"{look.name} weighs {weighed.grams:g} g after laying, {percent(over)} above her own {before:g} g before "
        f"she was carrying: she may hold eggs.",
        since=after[0].at,
        entries=(*last.laid[-1:], *after),
        do=(
            "Weigh her once more and feel her gently for eggs; write down what you find.",
            *(() if her.has_lay_box else nest_steps(look.house)[:1]),
            QUIET_STEP,
            NEVER_STEP,
            f"Eggs felt, or still as heavy tomorrow: {CALL_STEP}",
        ),
        worsens="eggs felt: a deadline for the vet, 48 h after the last egg; any danger sign: vet now",
        acts=("felt", "weigh", "egg check", "refer"),
    )


@cites("eggbinding.off_food_times")
@needs(Ate, EggCheckDone)
def off_food_while_carrying(look: Look) -> Iterator[Matter]:
    """A carrying female leaves her food, and is bright and active: expected, and watched.

    As long as she is not dull and shows no danger sign (dvm360, Preovulatory stasis and dystocia in
    oviparous lizards). Then the matter of refused food is not raised for her.
    """
    refusals = expected_refusals(look)
    if not refusals:
        return
    meals = [entry for entry in refusals if not isinstance(entry, EggCheckDone)]
    what = f"left her food {times(len(meals))}" if meals else "is off her food"
    yield look.matter(
        off_food_while_carrying,
        Level.WATCH,
        f"{look.name} {what}; {bright_words(look)}: expected while carrying.",
        since=refusals[0].at,
        entries=(*refusals, *((look.animal.look,) if look.animal.look else ())),
        do=(
            "Offer food as always, water every day, and look at her every day: bright and active?",
            "Weigh her weekly.",
        ),
        worsens="dull, or any danger sign: vet now",
        acts=("egg check", "weigh", "feed"),
    )


def expected_refusals(look: Look) -> tuple[Entry, ...]:
    """The refusals that are expected of her, because she carries and is bright; none of any other animal."""
    her, one = look.female, look.animal
    if not look.may_carry or one.danger or (one.look is not None and one.look.look == "dull"):
        return ()
    carries = look.house.days("breeding.carries_days")
    mated = any(look.days_since(entry.at) <= carries for entry in her.matings)
    if not (mated or her.felt or her.heavy or her.laying or look.digging):
        return ()
    refusals: tuple[Entry, ...] = one.refusals
    if len(refusals) >= look.house.number("eggbinding.off_food_times"):
        return refusals
    check = her.last_egg_check
    ate = one.eating[-1] if one.eating else None
    noted = check is not None and "off food" in check.present and her.counts(check)
    if check is not None and noted and (ate is None or ate.how == "refused" or ate.key < check.key):
        return tuple(sorted((*refusals, check), key=lambda entry: entry.key))
    return ()


def bright_words(look: Look) -> str:
    """How bright she was last seen to be; said to be unknown when nobody wrote it."""
    seen = look.animal.look
    if seen is None or look.days_since(seen.at) > 7:
        return "no danger sign noted"
    return "bright and active" if seen.look == "bright" else f"looked {seen.look} on {day(seen.at)}"


def times(many_times: int) -> str:
    """once, twice, 3 times."""
    return {1: "once", 2: "twice"}.get(many_times, f"{many_times} times")
