"""Weak signs that add up, and a window to lay that ended without eggs."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites
from rounds.due.matters.wording import (
    NEVER_STEP,
    QUIET_STEP,
    day,
    nest_check_steps,
    nest_steps,
    soak_step,
    vet_steps,
)
from rounds.due.signs import Sign
from rounds.logbook.entries import Entry
from rounds.logbook.words import DANGER_SIGNS

_POINTS = (
    "evidence.vet_points",
    "evidence.today_points",
    "evidence.window_open",
    "evidence.window_past",
    "evidence.stored_window_past",
    "evidence.first_window_past",
    "evidence.second_window",
    "evidence.eggs_felt",
    "evidence.vet_found_eggs",
    "eggbinding.again_most_days",
    "evidence.gain",
    "eggbinding.gain_percent",
    "evidence.gravid_long",
    "evidence.gravid_long_days",
    "evidence.off_food",
    "evidence.off_food_days",
    "evidence.off_food_long",
    "evidence.off_food_long_days",
    "health.off_food_gap_days",
    "evidence.dug_and_stopped",
    "evidence.stopped_days",
    "evidence.short_clutch",
    "eggbinding.least_eggs",
    "evidence.heavy_after",
    "evidence.digs_after",
    "evidence.no_look",
    "evidence.no_look_days",
    "evidence.no_look_long",
    "evidence.no_look_long_days",
    "evidence.quiet",
    "evidence.dull",
    "evidence.quiet_days",
    "eggbinding.vet_again_days",
    "eggbinding.call_again_days",
    "weights.shift_hours",
    "weights.drop_percent",
    "walk.turn_gap_hours",
)


_LATE_LOOKS = ("evidence.window_open", "evidence.no_look")


@cites(*_POINTS)
def signs_add_up(look: Look) -> Iterator[Matter]:
    """Signs that she is gravid and it goes wrong: each weak alone, together for the vet while she is still bright.

    Each sign of the list counts so many points by a house rule: her window is open or ended, a second one too; eggs
    felt, or found by a vet; a gain or a heavy body, and for long; off food, and for long; dug and stopped; a short
    clutch, still heavy or digging after it; nobody looked at her for days; quiet or dull. How many points are for
    the vet, and how many for today, are house rules too. It is a list, not a verdict: read it to your vet.

    As vet it stands until enough eggs came, or a vet has seen her or was spoken to. After a visit or a call it
    rests until the day the vet named. No day named: 5 days after a call, 7 after a visit. Then it asks again while
    the signs stand.
    """
    if not look.may_be_gravid:
        return
    found = look.evidence
    today = look.house.number("evidence.today_points")
    if found.raised is None and (found.points < today or len(found.signs) < 2):
        return
    if found.raised is None and found.rests_until is not None and look.now <= found.rests_until:
        return
    level = Level.VET if found.raised is not None else Level.TODAY
    if level < Level.VET and all(sign.house[0] in _LATE_LOOKS for sign in found.signs):
        return  # egg_check_overdue says it
    if _said_already(look, level):
        return
    laid = look.female.last_complete
    fresh = laid is not None and look.female.laid_since_cycle_start is not None
    verdict = f"{look.name} may {'hold eggs' if fresh else 'be egg-bound'}"
    if level < Level.VET:
        verdict = f"Look closely at {look.name}"
    referred = look.animal.with_the_vet
    referral = f" Referred {day(referred.at)}." if referred is not None and level == Level.VET else ""
    entries = {entry.id: entry for sign in found.signs for entry in sign.entries}
    entries.update({entry.id: entry for entry in look.gravid_because or ()} if not entries else {})
    if not entries and look.animal.arrived is not None:
        # Company that was no chance when it was: her mate's sex was settled later.
        entries[look.animal.arrived.id] = look.animal.arrived
    nest = nest_check_steps(look.house) if look.female.has_lay_box else nest_steps(look.house)
    yield look.matter(
        signs_add_up,
        level,
        f"{verdict}: {'; '.join(sign.says for sign in found.signs)}.{referral}",
        since=_begun(look),
        entries=_in_order(entries),
        do=(
            *(vet_steps(look.house) if level == Level.VET else ()),
            *(() if level == Level.VET else ("Look at her now; weigh and feel her if practised.",)),
            *nest,
            QUIET_STEP,
            *((soak_step(look.house),) if level == Level.VET else ()),
            NEVER_STEP,
        ),
        worsens="any danger sign: vet now"
        if level == Level.VET
        else f"one more sign: vet, from {look.house.number('evidence.vet_points'):g} points",
        acts=("vet called", "refer", "vet seen", "eggs laid", "egg check")
        if level == Level.VET
        else ("egg check", "weigh", "felt", "eggs laid", "lay box"),
        house=_cited(found.signs),
        adds=(
            *(f"{sign.points}  {sign.says}" for sign in found.signs),
            f"{found.points}  together; vet from {look.house.number('evidence.vet_points'):g}",
        ),
    )


def _said_already(look: Look, level: Level) -> bool:
    """Whether another matter of her eggs is for the vet, or presses harder: one cause, one matter."""
    if look.unfinished is not None and not look.female.is_short(look.unfinished):
        return True  # enough eggs; laying_stopped says whether they are all
    digs = look.digging
    dug_long = digs is not None and look.female.digs_for_vet(digs, look.now, look.now)
    danger = any(one.sign in DANGER_SIGNS for one in look.animal.danger)
    return danger or dug_long or (level < Level.VET and look.unfinished is not None)


def _begun(look: Look) -> datetime:
    """Since when it is counted: her first chance of this clutch, or the first sign; else the last contact."""
    her, contact = look.female, look.animal.last_contact
    starts = [entry.at for seen in (her.felt_ever, her.dug_ever) for entry in seen[:1]]
    starts += [
        run.entries[0].at
        for run in look.animal.off_food_runs(look.house.days("health.off_food_gap_days"))
        if her.counts(run.entries[-1])
    ][:1]
    least = look.house.number("eggbinding.gain_percent") / 100 - 1e-6
    starts += [weighing.at for weighing in her.weighings() if (her.gain(weighing) or 0) >= least][:1]
    chances = [(look.midnight(one.first), one.closes) for one in look.windows]
    chances += [(her.laid_at, her.laid_at.date())] if her.laid_at is not None else []
    # A chance of a season ago says nothing any more, unless there is nothing else.
    fresh = [begun for begun, ended in chances if look.days_since(ended) <= her.days.gravid_days]
    starts += fresh or ([] if starts else [begun for begun, _ in chances])
    begun = min(starts, default=look.now)
    return max(begun, contact.at) if contact is not None else begun


def _cited(signs: tuple[Sign, ...]) -> tuple[str, ...]:
    keys = ["evidence.vet_points", "evidence.today_points"]
    return tuple(dict.fromkeys((*keys, *(key for sign in signs for key in sign.house))))


def _in_order(entries: dict[str, Entry]) -> tuple[Entry, ...]:
    return tuple(sorted(entries.values(), key=lambda entry: entry.key))


@cites("breeding.window_closes", "breeding.nesting_gap")
def window_past(look: Look) -> Iterator[Matter]:
    """Her window to lay ended, no eggs were seen, and nothing else speaks for eggs in her.

    Watch, for two weeks: she may not be gravid, or has laid unseen. With other signs `signs add up` says it, up to
    the vet. A window for the next clutch, by stored sperm, does not count here.
    """
    today = look.now.date()
    window = look.window
    if window is None or not look.may_be_gravid or look.unfinished or look.digging:
        return
    if window.why == "stored sperm" or today <= window.closes or look.female.laid_since_cycle_start is not None:
        return
    if look.days_since(window.closes) > look.house.days("breeding.nesting_gap"):
        return
    found, contact = look.evidence, look.animal.last_contact
    if found.raised is not None or len(found.signs) > 1:
        return
    closed = look.midnight(window.closes + timedelta(days=1))
    if contact is not None and contact.at >= closed:
        return
    yield look.matter(
        window_past,
        Level.WATCH,
        f"{look.name}: window ended {day(window.closes)}, no eggs, no other sign.",
        since=closed,
        entries=window.entries,
        do=(
            "Look for eggs laid unseen; weigh her, and feel for eggs if practised.",
            "Write down what you find: eggs laid, eggs felt, or none felt.",
        ),
        worsens="with any other sign of eggs: vet",
        acts=("eggs laid", "felt", "weigh", "egg check"),
    )
