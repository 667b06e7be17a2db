"""From mating to the first egg: a place to lay, digging, and a window that passes."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, Window, cites, needs
from rounds.due.matters.wording import (
    CALL_STEP,
    NEVER_STEP,
    QUIET_STEP,
    VET_STEP,
    day,
    is_over,
    listed,
    many,
    nest_check_steps,
    nest_steps,
    percent,
    soak_step,
)
from rounds.logbook.entries import (
    BehaviourSeen,
    EggCheckDone,
    EggsLaid,
    Entry,
    FeltForEggs,
    MatingSeen,
)
from rounds.logbook.times import days_between
from rounds.standing.breeding import Digging


@cites(
    "breeding.carries_days",
    "breeding.stored_sperm_days",
    "eggbinding.dig_today_day",
    "eggbinding.nest_depth_cm",
    "eggbinding.nest_c",
)
@needs(BehaviourSeen, EggCheckDone)
def no_lay_box(look: Look) -> Iterator[Matter]:
    """A female digs and has no lay box.

    Today when she can be carrying: mated or with a male in the last months, or by stored sperm after a
    clutch, or eggs were felt. Otherwise watch, and today from day 5 of digging on, because unmated females
    can lay infertile clutches (common practice, no source). No nest site is the commonest cause of
    egg-binding in lizards (WikiVet).
    """
    digs = look.digging
    if digs is None or not look.may_carry or look.female.has_lay_box or look.unfinished:
        return
    stopped, empty = _stopped(look, digs)
    if stopped and empty:
        return
    because = look.carrying_because
    long = digs.day(look.now) >= look.house.days("eggbinding.dig_today_day")
    tail = "" if because is not None else "; no mating of hers is known"
    yield look.matter(
        no_lay_box,
        Level.TODAY if because is not None or long else Level.WATCH,
        f"{look.name} digs since {day(digs.since)} and has no lay box{tail}.",
        since=digs.since,
        entries=(*digs.entries, *(because or ())),
        do=(*nest_steps(look.house), QUIET_STEP),
        worsens=_digging_worsens(look, digs, today=because is not None),
        acts=("lay box", "egg check", "felt"),
    )


@cites("breeding.window_opens", "breeding.window_closes", "breeding.next_clutch_days", "eggbinding.box_before_days")
@needs(MatingSeen, BehaviourSeen, EggsLaid, FeltForEggs, EggCheckDone)
def lay_box_not_ready(look: Look) -> Iterator[Matter]:
    """Her window to lay opens within a week, or is open, and no lay box is prepared.

    Watch; today when eggs were felt in her and the window is open or not known. After a clutch the window is
    the time to the next clutch, by stored sperm.
    """
    her = look.female
    window = look.window
    if not look.may_carry or her.has_lay_box or look.unfinished or look.digging:
        return
    if window is None:
        if her.felt is None:
            return
        yield look.matter(
            lay_box_not_ready,
            Level.TODAY,
            f"Eggs were felt in {look.name} on {day(her.felt.at)} and she has no lay box.",
            since=her.felt.at,
            entries=(her.felt,),
            do=nest_steps(look.house),
            worsens="as soon as she digs: today",
            acts=("lay box", "egg check"),
        )
        return
    ready = window.opens - timedelta(days=look.house.days("eggbinding.box_before_days"))
    today = look.now.date()
    if not ready <= today <= window.closes:
        return
    is_open = today >= window.opens
    says = (
        f"{look.name}'s window to lay {'opened' if is_open else 'opens'} on {day(window.opens)}"
        f"{' (next clutch, by stored sperm)' if window.stored_sperm else ''} and no lay box is prepared."
    )
    yield look.matter(
        lay_box_not_ready,
        Level.TODAY if is_open and her.felt else Level.WATCH,
        says,
        since=look.midnight(ready),
        entries=(*window.entries, *((her.felt,) if her.felt else ())),
        do=nest_steps(look.house),
        worsens="as soon as she digs: today",
        acts=("lay box", "egg check", "felt"),
    )


@cites("eggbinding.nest_depth_cm")
def nest_too_shallow(look: Look) -> Iterator[Matter]:
    """The lay box she has is not as deep as the house rule wants.

    Watch; today once she digs in it.
    """
    box = look.female.lay_box
    least = look.house.number("eggbinding.nest_depth_cm")
    if box is None or box.depth_cm is None or box.depth_cm >= least or not look.may_carry:
        return
    if look.digging is None and look.carrying_because is None:
        return
    yield look.matter(
        nest_too_shallow,
        Level.TODAY if look.digging else Level.WATCH,
        f"{look.name}'s lay box is {box.depth_cm:g} cm deep; {least:g} cm or more is wanted.",
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
)
@needs(BehaviourSeen, EggCheckDone)
def digging_without_eggs(look: Look) -> Iterator[Matter]:
    """She digs and no eggs come.

    The day on which digging was first seen is day 1. Day 3 watch; day 5 today (is the nest deep, damp, warm
    and quiet enough? offer another); after day 7 vet. About a week of scratching before eggs is common
    practice, no source. Days run on until eggs, a vet, or a look that found neither digging nor eggs; when
    an egg check finds that she stopped, the day of her last digging stands, and she is felt for eggs.
    """
    days = look.breeding_days
    digs = look.female.digging_ever(days.nesting_gap, days.closing_hours)
    if digs is None or not look.may_carry or look.unfinished:
        return
    if look.days_since(digs.last) > look.house.days("breeding.carries_days"):
        return
    stopped, empty = _stopped(look, digs)
    dug = digs.day(digs.last if stopped else look.now)
    vet_day = look.house.days("eggbinding.dig_vet_day")
    over = look.digging is None
    if dug > vet_day:
        level = Level.VET
        vet_since = look.midnight(look.in_days(digs.since, vet_day))
        referred = look.animal.with_the_vet
        if referred is not None and referred.at >= vet_since:
            return
    elif stopped:
        if empty or over:
            return
        level = Level.TODAY if look.carrying_because is not None else Level.WATCH
    elif dug >= look.house.days("eggbinding.dig_today_day"):
        level = Level.TODAY
    elif dug >= look.house.days("eggbinding.dig_watch_day"):
        level = Level.WATCH
    else:
        return
    if level < Level.VET and not look.female.has_lay_box:
        return  # no_lay_box says it, and more
    if stopped:
        says = f"{look.name} dug for {many(dug, 'day')} until {day(digs.last)} and stopped; no eggs were seen."
    else:
        says = f"{look.name} digs since {day(digs.since)}, day {dug}, and no eggs were seen."
    box = look.female.lay_box
    nest = nest_check_steps(look.house) if look.female.has_lay_box else nest_steps(look.house)
    vet = (VET_STEP, NEVER_STEP) if level == Level.VET else (NEVER_STEP,)
    yield look.matter(
        digging_without_eggs,
        level,
        says,
        since=digs.since,
        entries=(*digs.entries, *((box,) if box else ()), *((stopped,) if stopped else ())),
        do=(
            *(vet if level == Level.VET else ()),
            *(("Feel her gently for eggs, and look for eggs in the nest.",) if stopped else nest),
            QUIET_STEP,
            *((soak_step(look.house),) if level >= Level.TODAY else ()),
            *(vet if level < Level.VET else ()),
        ),
        worsens="any danger sign: vet now" if level == Level.VET else _digging_worsens(look, digs),
        acts=("refer", "egg check", "lay box") if level == Level.VET else ("egg check", "lay box", "felt"),
    )


@cites(
    "breeding.window_closes",
    "breeding.next_clutch_days",
    "eggbinding.gain_percent",
    "eggbinding.off_food_times",
    "eggbinding.vet_again_days",
    "eggbinding.soak_c",
    "eggbinding.soak_minutes",
)
@needs(MatingSeen, BehaviourSeen, EggsLaid)
def window_past(look: Look) -> Iterator[Matter]:
    """Her window to lay has passed and no eggs were seen.

    With signs that she carries (eggs felt, heavy, digging, off her food, a gain over her own weight before
    mating): vet. Without any: watch, she may not have taken, or has laid unseen. The window closes 42 days
    after the last mating seen, or, by stored sperm, after the time to the next clutch. When she was mated
    several times and carries past the window of the first: today.
    """
    window, today = look.window, look.now.date()
    if window is None or not look.may_carry or look.unfinished or today <= window.first_closes:
        return
    if today <= window.closes:
        yield from _first_window_past(look, window)
        return
    if look.days_since(window.closes) > look.house.days("breeding.carries_days"):
        return
    closed = look.midnight(window.closes + timedelta(days=1))
    since = look.midnight(window.first_closes + timedelta(days=1))
    signs, behind = _carrying_signs(look)
    if not signs:
        if window.stored_sperm or look.days_since(window.closes) > look.house.days("breeding.nesting_gap"):
            return
        yield look.matter(
            window_past,
            Level.WATCH,
            f"{look.name}'s window to lay closed on {day(window.closes)}; no eggs and no sign of carrying seen.",
            since=since,
            entries=window.entries,
            do=(
                "Weigh her and feel her gently for eggs; look for eggs laid unseen in her enclosure.",
                "Write down what you find: eggs felt, none felt, or eggs laid.",
            ),
            worsens="with any sign that she carries: vet",
            acts=("felt", "weigh", "egg check", "eggs laid"),
            house=("breeding.window_closes",),
        )
        return
    seen, referred = look.animal.last_vet, look.animal.with_the_vet
    if referred is not None and referred.at >= closed:
        return
    if seen is not None and seen.at >= closed:
        if look.days_since(seen.at) <= look.house.days("eggbinding.vet_again_days"):
            return
        behind = (*behind, seen)
    nest = nest_check_steps(look.house) if look.female.has_lay_box else nest_steps(look.house)
    after = f", not since a vet saw her on {day(seen.at)} either" if seen is not None and seen.at >= closed else ""
    yield look.matter(
        window_past,
        Level.VET,
        f"{look.name}'s window to lay closed on {day(window.closes)}, she carries ({listed(signs)}), "
        f"and no eggs were seen{after}.",
        since=since,
        entries=(*window.entries, *behind),
        do=(VET_STEP, NEVER_STEP, *nest, QUIET_STEP, soak_step(look.house)),
        worsens="any danger sign: vet now",
        acts=("refer", "egg check", "felt", "vet seen"),
    )


def _first_window_past(look: Look, window: Window) -> Iterator[Matter]:
    """She carries past the window of her first mating, and was mated again since: which one it was nobody knows."""
    signs, behind = _carrying_signs(look)
    if not signs:
        return
    first, last = window.entries[0], window.entries[-1]
    yield look.matter(
        window_past,
        Level.TODAY,
        f"{look.name} carries ({listed(signs)}); by her mating of {day(first.at)} the window to lay closed on "
        f"{day(window.first_closes)}, by that of {day(last.at)} it is open until {day(window.closes)}.",
        since=look.midnight(window.first_closes + timedelta(days=1)),
        entries=(*window.entries, *behind),
        do=(
            "Do an egg check and weigh her; is her nest deep, damp, warm and quiet enough?",
            QUIET_STEP,
            f"In doubt: {CALL_STEP}",
        ),
        worsens=f"vet from {day(look.in_days(look.midnight(window.closes), 1))}; any danger sign: vet now",
        acts=("egg check", "felt", "weigh", "refer"),
        house=("breeding.window_closes", "eggbinding.gain_percent"),
    )


def _carrying_signs(look: Look) -> tuple[list[str], tuple[Entry, ...]]:
    """What says that she carries now, in words, and the entries behind it."""
    her = look.female
    signs: list[str] = []
    behind: list[Entry] = []
    if her.felt is not None:
        signs.append(f"eggs felt on {day(her.felt.at)}")
        behind.append(her.felt)
    if her.heavy is not None:
        signs.append(f"heavy on {day(her.heavy.at)}")
        behind.append(her.heavy)
    digs = look.digging
    if digs is not None and not _stopped(look, digs)[1]:
        signs.append(f"digging since {day(digs.since)}")
        behind.extend(digs.entries)
    before, last = her.weight_before_carrying(), look.animal.last_weight
    gain = look.house.number("eggbinding.gain_percent") / 100
    if before and last is not None and her.counts(last) and is_over(last.grams, before, gain):
        signs.append(f"{percent(last.grams / before - 1)} above her own weight before mating")
        behind.append(last)
    refusals = look.animal.refusals
    many_times = look.house.number("eggbinding.off_food_times")
    if len(refusals) >= many_times and her.counts(refusals[-1]):
        signs.append("off her food")
        behind.extend(refusals)
    if len(signs) == 1 and signs[0] == "off her food" and _found_empty(look):
        return [], ()
    return signs, tuple(behind)


def _found_empty(look: Look) -> bool:
    felt = [entry for entry in look.animal.own(FeltForEggs) if look.female.counts(entry)]
    return bool(felt) and felt[-1].found == "none"


def _stopped(look: Look, digs: Digging) -> tuple[Entry | None, bool]:
    """The first look after her last digging that found none, and whether no eggs were felt either since."""
    stopped: Entry | None = None
    empty = False
    looks: list[EggCheckDone | FeltForEggs] = [*look.animal.own(EggCheckDone), *look.animal.own(FeltForEggs)]
    for entry in sorted(looks, key=lambda entry: entry.key):
        if entry.at <= digs.last:
            continue
        if isinstance(entry, FeltForEggs):
            empty = entry.found == "none" or (empty and entry.found == "unsure")
            if empty and days_between(digs.last, entry.at) >= 1:
                stopped = stopped or entry
            continue
        if "digging" in entry.absent:
            stopped = stopped or entry
        if "eggs felt" in entry.absent:
            empty = True
        elif "eggs felt" in entry.present:
            empty = False
    return stopped, empty


def _digging_worsens(look: Look, digs: Digging, today: bool = False) -> str:
    """When digging turns worse; `today` when it is for today already."""
    house = look.house
    today_day, vet = house.days("eggbinding.dig_today_day"), house.days("eggbinding.dig_vet_day")
    steps = []
    if digs.day(look.now) < today_day and not today:
        steps.append(f"today from {day(look.in_days(digs.since, today_day - 1))} (day {today_day} of digging)")
    if digs.day(look.now) <= vet:
        steps.append(f"vet from {day(look.in_days(digs.since, vet))} (after day {vet})")
    return ", ".join([*steps, "any danger sign: vet now"])
