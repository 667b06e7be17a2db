"""Weights: a loss, a loss over brumation, and weighings that are missing."""

from __future__ import annotations

from collections.abc import Iterator
from statistics import median

from rounds.due.matter import Level, Matter
from rounds.due.matters.eggs import expected_refusals
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import CALL_STEP, VET_STEP, day, many, percent
from rounds.due.weighing import weigh_lines
from rounds.logbook.entries import BrumationBegan, Weighed
from rounds.logbook.times import days_between


@cites(
    "weights.least_weighings",
    "weights.drop_percent",
    "weights.drop_weighings",
    "weights.earlier_weighings",
    "weights.trend_least_weighings",
    "weights.trend_weighings",
    "weights.trend_p",
    "weights.trend_loss_percent",
    "weights.vet_percent",
)
@needs(Weighed)
def weight_loss(look: Look) -> Iterator[Matter]:
    """The weight rule finds a loss.

    Either two weighings in a row are at least 7 % under the median of the earlier ones, or the last six
    fall more than chance would have it (Theil–Sen slope, exact one-sided Mann–Kendall test) by a fitted 5 %
    or more. Today; vet when the loss is large, or when the animal also leaves its food or looks dull. The
    weights are judged anew after laying, after brumation, when a vet found her empty, and when it came
    back, and the matter says so: the loss at laying is no sickness. Loss over brumation has a rule of its
    own. Judged by simulation with assumed 2 % noise: it flags 6 to 8 % of healthy animals in ten weeks.
    """
    one, trend = look.animal, look.trend
    if not trend.lost:
        return
    first = trend.lost_since
    assert first is not None
    last = trend.weighings[-1]
    refuses = one.refusals if not expected_refusals(look) else ()
    dull = one.look is not None and one.look.look == "dull" and one.look.at >= first.at
    vet = one.last_vet
    grave = trend.loss >= look.house.number("weights.vet_percent") / 100 or dull
    grave = grave or len(refuses) >= look.house.number("health.refused_young_times")
    since_vet = vet is not None and vet.at >= first.at
    level = Level.VET if grave and not since_vet else Level.TODAY
    words = f"{look.name} is down {percent(trend.loss)} in {many(trend.loss_days, 'day')}, {last.grams:g} g now"
    if refuses and level == Level.VET:
        words += f", and left {look.her} food"
    if dull:
        words += ", and looked dull"
    if trend.restart is not None:
        words += f" (judged anew since {trend.restart[0]} on {day(trend.restart[1])})"
    vet_from = look.house.number("weights.vet_percent")
    carrying = look.may_carry and look.carrying_because is not None
    yield look.matter(
        weight_loss,
        level,
        words + ".",
        since=first.at,
        entries=(*trend.behind, *refuses),
        do=(
            "Weigh again, on the same scale and before food.",
            *(("Look for eggs laid unseen: were there any, write them down.",) if carrying else ()),
            "Look at food, droppings, the warmth of the basking spot, and who shares the enclosure.",
            VET_STEP if level == Level.VET else f"Still falling at the next weighing: {CALL_STEP}",
        ),
        worsens="still falling, or any danger sign"
        if level == Level.VET
        else f"vet from a loss of {vet_from:g} %, or when food is left, or dull",
        acts=("weigh", "feed", "droppings", "refer"),
    )


@cites("weights.brumation_loss_percent", "weights.brumation_before_days", "weights.brumation_after_days")
@needs(BrumationBegan)
def brumation_loss(look: Look) -> Iterator[Matter]:
    """An animal has lost more over brumation than the house rule allows.

    Today. Its weight before is the median of the last three weighings of the month before brumation began;
    the last weighing since is held against it, during brumation and for some weeks after waking. Other loss
    in brumation is no matter of sickness.
    """
    found = _over_brumation(look)
    if found is None:
        return
    before, after = found
    limit = look.house.number("weights.brumation_loss_percent") / 100
    own = median(entry.grams for entry in before)
    low: list[Weighed] = []
    for entry in reversed(after):
        if entry.grams > own * (1 - limit) + 1e-6:
            break
        low.append(entry)
    if not low:
        return
    asleep = look.animal.brumating_since is not None
    yield look.matter(
        brumation_loss,
        Level.TODAY,
        f"{look.name} has lost {percent(1 - after[-1].grams / own)} over brumation: {own:g} g before, "
        f"{after[-1].grams:g} g on {day(after[-1].at)}.",
        since=low[-1].at,
        entries=(*before, *after),
        do=(
            "Weigh again.",
            f"{'Waking it early, or letting it sleep on' if asleep else 'How to feed it up'}: {CALL_STEP}",
        ),
        worsens="any danger sign, or dull when awake: vet",
        acts=("weigh", "refer"),
    )


def _over_brumation(look: Look) -> tuple[tuple[Weighed, ...], tuple[Weighed, ...]] | None:
    """Weighings before the last brumation began, and those since; None when it is no question (any more)."""
    one = look.animal
    span = one.last_brumation
    if span is None:
        return None
    began, ended = span
    if ended is not None and look.days_since(ended) > look.house.days("weights.brumation_after_days"):
        return None
    within = look.house.days("weights.brumation_before_days")
    before = [entry for entry in one.weights if entry.at <= began and days_between(entry.at, began) <= within][-3:]
    after = [entry for entry in one.weights if entry.at > began]
    if one.laid and one.laid[-1].at > began:
        after = [entry for entry in after if entry.at < one.laid[-1].at]
    return (tuple(before), tuple(after)) if before and after else None


@cites("weighing.badly_times", "weighing.young_days", "weighing.adult_days", "weighing.gravid_days")
def weighing_overdue(look: Look) -> Iterator[Matter]:
    """An animal has not been weighed for long: its weighing is late by twice its interval.

    Watch. Without weights nothing can be said about a loss. Not asked for in brumation.
    """
    one = look.animal
    if one.brumating_since is not None:
        return
    last = one.last_weight
    start = last or one.arrived
    if last is not None and look.days_since(last.at) < look.reckoning.soonest_overdue:
        return
    for line in weigh_lines(look.round, look.place, one):
        value = look.house.rule(line.house[0]).value
        every = value if line.house[0].endswith("_days") and isinstance(value, int | float) else 7
        # What was never weighed is due every day and late on none: it is counted from its arrival.
        if start is None:
            return
        due = line.due if last is not None else look.in_days(start.at, int(every))
        late = line.late_days if last is not None else look.days_since(due)
        if late < every * look.house.number("weighing.badly_times"):
            continue
        done = f"last weighed {day(last.at)}" if last else "never weighed here"
        yield look.matter(
            weighing_overdue,
            Level.WATCH,
            f"{look.name}'s weighing is {many(late, 'day')} late; {done}.",
            since=start.at,
            entries=(start,),
            do=(f"Weigh {look.it}.",),
            worsens="a loss cannot be found without weights",
            acts=("weigh",),
            house=("weighing.badly_times", *line.house),
        )
