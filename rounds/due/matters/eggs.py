"""Looks that are late, laying that stops, and what comes after: eggs left in her."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta

from rounds.due.checks import next_check
from rounds.due.figures import percent
from rounds.due.lay_balance import BALANCE_RULES, lay_balance
from rounds.due.matter import Level, Matter
from rounds.due.matters.adding_up import signs_add_up
from rounds.due.matters.danger import danger_sign
from rounds.due.matters.heavy_after import heavy_after_laying
from rounds.due.matters.laying import digging_without_eggs
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.waits import unanswered_waits
from rounds.due.matters.wording import (
    CALL_STEP,
    NEVER_STEP,
    QUIET_STEP,
    day,
    day_time,
    is_over,
    many,
    nest_steps,
    soak_step,
    vet_now_steps,
    vet_steps,
)
from rounds.due.round import known_at
from rounds.logbook.entries import EggCheckDone, EggsLaid, Entry, FeltForEggs, VetSeen
from rounds.logbook.times import fixed
from rounds.standing.clutch import Clutch
from rounds.standing.weighing import last_word


@cites(
    "eggbinding.stopped_vet_hours",
    "eggbinding.stopped_hours",
    "eggbinding.stopped_call_hours",
    "eggbinding.vet_again_days",
    "eggbinding.count_short_percent",
    "eggbinding.least_eggs",
    "eggbinding.count_short_hours",
    "eggbinding.heavy_after_percent",
    "eggbinding.soak_c",
    "eggbinding.soak_minutes",
    "eggbinding.after_laying_second_hours",
    "breeding.laid_lasts",
    *BALANCE_RULES,
)
@needs(EggsLaid)
def laying_stopped(look: Look) -> Iterator[Matter]:
    """Laying began and is not known to be complete, or what was seen after it does not fit a complete clutch.

    Watch while eggs may still come. Today at once when eggs were felt after the last egg, when the count is well
    short of her usual (without one: under the least that is usual), when her weight says that eggs are left, or
    when nothing more was noted for some hours. The vet has a deadline 48 h after the last egg (WikiVet, Lizard and
    Snake Dystocia), counted down in elapsed hours: vet from half of it on, vet now past it.

    Once vet, it comes down by enough eggs, or by a vet's visit or call. One egg more is not enough, nor is the word
    "complete" over a short clutch, or after eggs were felt since the last egg. After a visit or a call it rests
    until the day the vet named, else for those 48 h; not finished by then it is vet again.

    Eggs that came after she was done, when none had come until past the looks after laying, are today too: more may
    be left. It ends with a vet's word, with no eggs felt, or with the days she counts as freshly laid.

    Eggs under another clutch while she counts as freshly laid are the same laying: counted together. A few more
    begin no new clock once it is for the vet, and do not answer eggs felt before them.
    """
    clutch = _clutch(look)
    last = clutch.last_egg if clutch is not None else None
    if clutch is None or last is None:
        return
    # So few eggs that "complete" does not stop the clock: one egg, then days without, is how it begins.
    few = look.female.laid_in_all(clutch) < look.female.least_count(clutch) / 2
    said_done = clutch.complete is not None and look.unfinished is not clutch and not few
    ended = clutch.complete.known if said_done and clutch.complete is not None else look.now
    # So many eggs ended the waiting; that some came late is for today.
    waits = [] if said_done and not look.female.is_short(clutch) else unanswered_waits(look, clutch, until=ended)
    level = max((wait.level for wait in waits), default=Level.WATCH)
    hours = look.hours_since(last.at)
    # One egg more begins no new clock while no vet has heard of the wait before it.
    raised = [wait.since for wait in waits if wait.level >= Level.VET and not wait.heard]
    counts_from = min([last.at, *raised])
    words, behind = _eggs_left(look, clutch, last, counts_from)
    contact = look.animal.last_contact
    heard = contact if contact is not None and contact.at >= max(e.at for e in (last, *behind)) else None
    # By the room's clock of that hour: between the eggs and the deadline the clocks may change.
    calls, deadline = (
        fixed(counts_from + timedelta(hours=look.house.number(f"eggbinding.{key}")), look.house.zone)
        for key in ("stopped_call_hours", "stopped_vet_hours")
    )
    stops = fixed(last.at + timedelta(hours=look.house.number("eggbinding.stopped_hours")), look.house.zone)
    if said_done and level < Level.VET:
        if contact is not None and clutch.complete is not None and contact.at >= clutch.complete.at:
            return
        if look.days_since(last.at) > look.house.days("breeding.laid_lasts"):
            return
        level = Level.TODAY
    elif heard is None and level < Level.VET and (words or look.now >= stops):
        level = max(level, Level.TODAY)
    if contact is not None and any(entry.at > contact.at >= last.at for entry in look.female.felt_since(last)):
        level = max(level, Level.VET)  # felt since the vet heard of her
    open_deadline = heard is None and not said_done
    # With the clock running on, how long is left is said; once it has run out, how long ago.
    late = look.now >= deadline
    if heard is None and raised and ended >= deadline:
        level = Level.VET_NOW
    clock = ""
    if open_deadline:
        left = look.hours_since(deadline)
        over = f" Vet {_hours(left)} overdue." if _hours(left) != "0 min" else " Vet due now."
        clock = over if late else f" Vet by {day_time(deadline)}."
    total = look.female.laid_in_all(clutch)
    eggs = [entry for one in look.female.laying_with(clutch) for entry in one.laid]
    in_all = f" ({total} in all)" if total != clutch.count else ""
    what = f"{look.name}: {'said to be done at' if said_done else 'laid'} {many(clutch.count, 'egg')}{in_all}"
    if level >= Level.TODAY and not said_done:
        what = f"{look.name}: stopped laying {_hours(hours)} ago at {clutch.count}{in_all}"
    elif not said_done:
        what = f"{look.name}: laying, {many(clutch.count, 'egg')} so far{in_all}, the last {_hours(hours)} ago"
    says = what + "".join(f", {word}" for word in words) + "." + clock
    if heard is not None:
        verb = "saw her" if isinstance(heard, VetSeen) else "was phoned"
        again = f" Not finished by the vet's {day(heard.again)}." if level >= Level.VET and heard.again else ""
        says += f" A vet {verb} {day_time(heard.at)}.{again}"
    say_done = "Complete or not? Write the eggs as complete, or the count so far."
    nest = () if look.female.has_lay_box else nest_steps(look.house)[:1]
    keeper = (*nest, QUIET_STEP, soak_step(look.house), NEVER_STEP)
    vet = vet_now_steps(look.house) if level == Level.VET_NOW else vet_steps(look.house)
    yield look.matter(
        laying_stopped,
        level,
        says,
        since=last.at if level < Level.VET else eggs[0].at,
        entries=tuple({e.id: e for e in (*eggs, *behind, *((heard,) if heard else ()))}.values()),
        do=(QUIET_STEP, say_done, NEVER_STEP)
        if level == Level.WATCH
        else (*vet, say_done, *keeper)
        if level >= Level.VET
        else (say_done, "Weigh her, and feel for eggs if practised.", *keeper),
        worsens={
            Level.WATCH: f"no egg more by {day_time(stops)}: today"
            if heard is None
            else "not finished by then: vet",
            Level.TODAY: f"vet from {day_time(calls)}, vet now from {day_time(deadline)}; any danger sign: vet now"
            if open_deadline
            else "any other sign of eggs: vet",
            Level.VET: f"vet now from {day_time(deadline)}; any danger sign: vet now"
            if open_deadline and not late
            else "any danger sign: vet now",
            Level.VET_NOW: "with every hour",
        }[level],
        deadline=deadline if open_deadline else None,
        acts=("eggs laid", "felt", "egg check", "weigh", "refer", "vet called", "vet seen"),
    )


def _clutch(look: Look) -> Clutch | None:
    """The clutch in question: not finished, or said to be complete with too few eggs and no vet's word on it."""
    if look.unfinished is not None:
        return look.unfinished
    her = look.female
    last = her.last_complete
    if last is None or last.complete is None or her.was_long_over(last):
        return None
    if _came_late(look, last):
        return last
    if not her.is_short(last):
        return None
    return last if her.cycle_start is None or her.cycle_start < last.complete.at else None


def _came_late(look: Look, clutch: Clutch) -> bool:
    """Whether eggs came once the looks after laying were over, and neither a vet nor feeling for eggs answered."""
    her = look.female
    late = her.came_late(clutch, look.house.number("eggbinding.after_laying_second_hours"))
    if late is None or look.days_since(late.at) > her.days.laid_lasts:
        return False
    answers: list[Entry] = [entry for entry in look.animal.own(FeltForEggs) if entry.found == "none"]
    answers += [entry for entry in look.animal.own(EggCheckDone) if "eggs felt" in entry.absent]
    answers += [contact] if (contact := look.animal.last_contact) is not None else []
    return not any(entry.at >= late.at for entry in answers)


def _hours(hours: float) -> str:
    """`63 h`, `40 min`; cut down to whole ones."""
    return f"{int(abs(hours))} h" if abs(hours) >= 1 else f"{int(abs(hours) * 60)} min"


def _eggs_left(look: Look, clutch: Clutch, last: EggsLaid, since: datetime) -> tuple[list[str], tuple[Entry, ...]]:
    """What says that eggs are left in her, and the entries behind it.

    Only what came after the last egg counts; eggs felt in a wait before it, since `since`, while no vet has heard.
    """
    her, house = look.female, look.house
    words: list[str] = []
    behind: list[Entry] = []
    felt = her.felt_since(last)
    if felt:
        words.append("eggs felt")
        behind.append(felt[-1])
    elif before := [entry for entry in her.felt_at_all if since < entry.at < last.at]:
        words.append(f"eggs felt {day(before[-1].at)}")
        behind.append(before[-1])
    if clutch.complete is not None and _came_late(look, clutch):
        words.append("the last came days after she was done")
    usual = her.usual_count(clutch)
    if her.is_short(clutch) and look.hours_since(last.at) >= house.number("eggbinding.count_short_hours"):
        words.append(
            f"her usual is {usual:.0f}" if usual is not None else f"usual is {her.days.least_eggs} or more"
        )
        behind.extend(one.complete for one in her.clutches if one.complete and one is not clutch)
    own = her.weight_before_last_clutch() if clutch.complete is not None else her.own_weight(look.now)
    # Readings that differ are no all-clear: what was weighed before them stands.
    after = last_word([one for one in look.weighings if one.at >= last.at])
    weighed = max(after, key=lambda one: one.grams, default=None)
    over = house.number("eggbinding.heavy_after_percent") / 100
    if own is not None and weighed is not None and is_over(weighed.grams, own, over):
        words.append(f"{percent(weighed.grams / own - 1)} above her own weight")
        behind.extend(weighed.middle)
    elif look.hours_since(last.at) >= house.number("eggbinding.stopped_hours"):
        balance = lay_balance(her, house, clutch)
        if balance is not None and balance.verdict == "heavier":
            words.append(balance.words)
            behind.extend(balance.behind)
    return words, tuple(behind)


@cites(
    "eggbinding.near_days",
    "eggbinding.check_near_days",
    "eggbinding.check_days",
    "eggbinding.check_laying_a_day",
    "eggbinding.after_laying_first_hours",
    "eggbinding.after_laying_second_hours",
    "weights.shift_hours",
    "weights.drop_percent",
)
def egg_check_overdue(look: Look) -> Iterator[Matter]:
    """A look at her is late by a whole interval, and nothing else speaks for her.

    Today. Weekly looks are late by a week, daily ones and those after laying by a day, those at a laying female,
    twice a day, by half a day. Where another matter of her eggs is open it is not said a second time.
    """
    check = next_check(look.round, look.animal)
    if check is None:
        return
    if check.rung.every_days == 0:
        # Looks on each walk are late by hours: since the last one, or since the first eggs were noted.
        every = 24 / look.house.number("eggbinding.check_laying_a_day")
        laying = look.female.laying
        begun = min((known_at(entry, look.now) for entry in laying.laid), default=look.now) if laying else look.now
        since = max(begun, check.last.at) if check.last is not None else begun
        late = look.hours_since(since) - every
        if late < every:
            return
        since += timedelta(hours=every)
        late_words = _hours(late)
    else:
        if check.late_days < max(1, check.rung.every_days or 1):
            return
        since, late_words = look.midnight(check.due), many(check.late_days, "day")
    if any(matter.level >= Level.TODAY for rule in _SAYS_IT for matter in rule(look)):
        return
    pressing = look.phase in ("nesting", "in lay box", "laying")
    last = f"last {day(check.last.at)}" if check.last else "no look noted"
    behind = (*check.rung.entries, *((check.last,) if check.last else ()))
    if not behind and look.animal.arrived is not None:
        behind = (look.animal.arrived,)
    yield look.matter(
        egg_check_overdue,
        Level.TODAY,
        f"{look.name}: look {late_words} late, {last} ({check.rung.why}).",
        since=since,
        entries=behind,
        do=(
            "Look at her: bright or not, digging, straining, vent, discharge.",
            *((f"Not possible today: {CALL_STEP}",) if pressing else ()),
        ),
        worsens="any danger sign: vet now; missed looks count among the signs that add up",
        acts=("egg check", "weigh"),
        house=check.rung.house,
    )


_SAYS_IT: tuple[Callable[[Look], Iterator[Matter]], ...] = (
    danger_sign,
    laying_stopped,
    digging_without_eggs,
    signs_add_up,
    heavy_after_laying,
)
