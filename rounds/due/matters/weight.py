"""Weights: a loss, a loss over brumation, and weighings that are missing."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

import msgspec

from rounds.due.figures import percent
from rounds.due.matter import Level, Matter
from rounds.due.matters.feeding import is_expected
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import CALL_STEP, day, many, times, vet_steps
from rounds.due.weighing import weigh_lines
from rounds.logbook.entries import BrumationBegan, Entry, Weighed
from rounds.standing.slopes import median
from rounds.standing.trend import Trend
from rounds.standing.weighing import Weighing, as_known
from rounds.standing.weighings import windows_upto
from rounds.standing.year import weighed_before


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
    "weights.shift_hours",
)
@needs(Weighed)
def weight_loss(look: Look) -> Iterator[Matter]:
    """The weight rule finds a loss.

    Either two weighings in a row are at least 7 % under the median of the earlier ones, or the last six
    fall more than chance would have it (Theil–Sen slope, exact one-sided Mann–Kendall test) by a fitted 5 %
    or more. Today. Weights read on one day are one weighing, their median. Where they differ the one just below the
    middle counts, and what was found before stays.

    Vet at any one of these: (a) a loss of 15 % or more; (b) the animal also refuses food; (c) it also looks dull;
    (d) she may be gravid by what was noted. As vet it stands until a vet has seen the animal or was spoken to, or
    enough eggs came.

    The weights are judged from laying, from brumation, from the visit at which a vet found her empty, and from
    coming back, and the matter says so: the loss at laying is no sickness. Loss over brumation has a rule of its
    own. Judged by simulation with assumed 2 % noise: it flags 6 to 8 % of healthy animals in ten weeks.
    """
    trend = look.trend
    raised = _raised(look)
    found = raised.trend if raised is not None else trend if trend.lost else _before_they_differed(look)
    if found is None:
        return
    first = found.lost_since
    assert first is not None
    last = found.weighings[-1]
    level = Level.VET if raised is not None else Level.TODAY
    says = f"{look.name}: {percent(found.loss)} lost in {many(found.loss_days, 'day')}, {last.grams:g} g"
    # Where it is not the last weighing as it stands any more, of which day; where it was read again, what it is.
    says += f" on {day(last.at)}" if last != look.last_weighing else ""
    says += f", {last.words}." if last.times > 1 else "."
    if raised is not None and raised.why:
        says += f" {raised.why}"
    if found.restart is not None:
        says += f" Judged since {found.restart.why} {day(found.restart.at)}."
    yield look.matter(
        weight_loss,
        level,
        says,
        since=first.at,
        entries=(*found.behind, *(raised.behind if raised is not None else ())),
        do=(
            *(vet_steps(look.house) if level == Level.VET else ()),
            *_read_since(look, last),
            "Weigh again, on the same scale and before food.",
            *(("Look for eggs laid unseen; were there any, write them down.",) if look.gravid_because else ()),
            "Look at food, droppings, the basking spot, and who shares the enclosure.",
            *(() if level == Level.VET else (f"Still falling at the next weighing: {CALL_STEP}",)),
        ),
        worsens="still falling, or any danger sign"
        if level == Level.VET
        else f"vet from a loss of {look.house.number('weights.vet_percent'):g} %, or with food refused, or dull",
        acts=("vet called", "refer", "vet seen", "weigh", "feed")
        if level == Level.VET
        else ("weigh", "feed", "droppings", "refer"),
    )


def _read_since(look: Look, last: Weighing) -> Iterator[str]:
    """The step where a weighing that came to the vet's was read again, and far higher."""
    counted = {entry.id for entry in last.readings}
    for weighing in look.weighings:
        since = [entry.grams for entry in weighing.readings if entry.id not in counted]
        higher = [grams for grams in since if not weighing.rule.agree(last.grams, grams)]
        if higher and len(since) < weighing.times:
            yield f"Read again since: {higher[-1]:g} g. A slip? Correct it."


def _before_they_differed(look: Look) -> Trend | None:
    """The loss that stood before the readings of the last weighing differed; None when none did."""
    trend, limits = look.trend, look.house.weight_limits
    if trend.brumating or not trend.weighings or not trend.weighings[-1].unsure:
        return None
    last = {entry.id for entry in trend.weighings[-1].readings}
    readings = [entry for weighing in trend.weighings for entry in weighing.readings]
    for then in reversed(list(as_known(readings, limits.weighing))):
        stood = Trend(then.weighings, limits, trend.restart)
        if stood.lost:
            return stood
        if not stood.weighings[-1].unsure or not last & {entry.id for entry in stood.weighings[-1].readings}:
            return None
    return None


class _Raised(msgspec.Struct, frozen=True):
    """A loss that came to the vet's: the weights as they stood then, why, and what else is behind it."""

    trend: Trend
    why: str
    behind: tuple[Entry, ...]


def _raised(look: Look) -> _Raised | None:
    """The first moment at which a loss came to the vet's, since a vet last heard of the animal."""
    one, limits = look.animal, look.house.weight_limits
    start = look.female.cycle_start if look.may_be_gravid else None
    for window in windows_upto(one, look.now):
        highest = 0.0
        fell = False
        for entry in window.readings:
            # Healthy weights are passed over quickly: no rule finds a loss where none is this far under another.
            fell = fell or entry.grams < highest * (1 - limits.fall / 2)
            highest = max(highest, entry.grams)
        if not fell:
            continue
        # As it was known then: what was written down late says nothing about the time before.
        stood = list(as_known(window.readings, limits.weighing))
        for then, ends in zip(stood, [*(later.moment for later in stood[1:]), look.now], strict=True):
            last = then.weighings[-1].only(one.after_contact)
            if last is None or (start is not None and then.last.at <= start):
                continue
            if one.brumated_at(then.last.at, then.last.known):
                continue
            stood_then = (*then.weighings[:-1], last)
            if not Trend(stood_then[-limits.judged :], limits).lost:
                continue  # no other weighings change that
            found = _for_vet(look, Trend(stood_then, limits, window.restart), ends)
            if found is not None:
                return found
    return None


def _for_vet(look: Look, trend: Trend, ends: datetime) -> _Raised | None:
    """Why this loss, found at its last weighing, came to the vet's before the next one; None when it did not."""
    one, first = look.animal, trend.lost_since
    assert first is not None
    if trend.loss >= look.house.number("weights.vet_percent") / 100 - 1e-9:
        return _Raised(trend, "", ())
    last = trend.weighings[-1].ended
    dull = [
        entry
        for run in one.dull_runs
        for entry in run
        if first.at <= entry.at <= ends and not one.brumated_at(entry.at, entry.known)
    ]
    if dull:
        return _Raised(trend, f"Dull {day(dull[-1].at)}.", tuple(dull))
    gravid = look.female.gravid_because(last) if look.may_be_gravid else None
    if gravid is not None and not _laid_enough(look) and _gravid_then(look, last):
        return _Raised(trend, "She may be gravid.", gravid)
    for run in one.off_food_runs(look.house.days("health.off_food_gap_days")):
        refused = tuple(entry for entry in run.entries if one.after_contact(entry) and entry.at <= ends)
        open_then = refused and (run.ended is None or run.ended.known > last)
        many_times = look.turns(refused) >= look.house.number("health.refused_young_times")
        if open_then and many_times and not is_expected(look, last):
            return _Raised(trend, f"Refused food {times(look.turns(refused))}.", refused)
    return None


def _laid_enough(look: Look) -> bool:
    """Whether enough eggs came since her last clutch."""
    her = look.female
    return any((enough := her.believed_eggs(eggs)) is not None and her.counts(enough) for eggs in her.clutches)


def _gravid_then(look: Look, moment: datetime) -> bool:
    """Whether she stood within a window to lay, or eggs had been felt, or she had dug or was heavy."""
    her = look.female
    in_window = any(window.first <= moment.date() <= window.closes for window in her.windows(moment))
    seen = [*her.felt_ever, *her.dug_ever]
    return in_window or any(entry.at <= moment for entry in seen)


@cites(
    "weights.brumation_loss_percent",
    "weights.brumation_before_days",
    "weights.brumation_after_days",
    "weights.shift_hours",
    "weights.drop_percent",
)
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
    low: list[Weighing] = []
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
        f"{look.name}: {percent(1 - after[-1].grams / own)} lost over brumation, {own:g} g before, "
        f"{after[-1].grams:g} g {day(after[-1].at)}.",
        since=low[-1].at,
        entries=tuple(entry for weighing in (*before, *after) for entry in weighing.middle),
        do=(
            "Weigh again.",
            f"{'Waking it early, or letting it sleep on' if asleep else 'How to feed it up'}: {CALL_STEP}",
        ),
        worsens="any danger sign, or dull when awake: vet",
        acts=("weigh", "refer"),
    )


def _over_brumation(look: Look) -> tuple[tuple[Weighing, ...], tuple[Weighing, ...]] | None:
    """Weighings before the last brumation began, and those since; None when it is no question (any more)."""
    one = look.animal
    span = one.last_brumation
    if span is None:
        return None
    began, ended = span
    if ended is not None and look.days_since(ended) > look.house.days("weights.brumation_after_days"):
        return None
    within = look.house.days("weights.brumation_before_days")
    every = look.weighings
    before = weighed_before(every, began, within)
    after = [entry for entry in every if entry.ended > began and entry not in before]
    if one.laid and one.laid[-1].at > began:
        after = [entry for entry in after if entry.at < one.laid[-1].at]
    return (before, tuple(after)) if before and after else None


@cites("weighing.badly_times", "weighing.young_days", "weighing.adult_days", "weighing.gravid_days")
def weighing_overdue(look: Look) -> Iterator[Matter]:
    """An animal has not been weighed for long: its weighing is late by twice its interval.

    Watch. Without weights nothing can be said about a loss. Not asked for in brumation.
    """
    one = look.animal
    if one.brumating_since is not None:
        return
    last = look.last_weighing.readings[0] if look.last_weighing is not None else None
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
            f"{look.name}: weighing {many(late, 'day')} late, {done}.",
            since=start.at,
            entries=(start,),
            do=(f"Weigh {look.it}.",),
            worsens="a loss cannot be found without weights",
            acts=("weigh",),
            house=("weighing.badly_times", *line.house),
        )
