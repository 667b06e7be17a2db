"""Young: growth, and deaths in a group."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta
from math import expm1, log

from rounds.due.figures import tenths
from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs, run_of
from rounds.due.matters.wording import CALL_STEP, many
from rounds.logbook.entries import Died, Weighed
from rounds.logbook.times import days_between
from rounds.standing.slopes import theil_sen
from rounds.standing.weighing import Weighing


@cites(
    "young.growth_percent_a_week",
    "young.growth_over_days",
    "young.growth_until_months",
    "weights.shift_hours",
    "weights.drop_percent",
)
@needs(Weighed)
def not_growing(look: Look) -> Iterator[Matter]:
    """Young do not grow as young do.

    Watch when they gain less a week than the house rule asks, today when they do not gain at all. Judged to
    the age of 3 months, over the weighings of the last weeks, at least 14 days apart; of a group, over the
    mean weight of one. The floor is a house rule: the means of one colony are 9 to 12 % a week (Wild et al.
    2023).
    """
    if look.age_months is None or not look.younger_than(look.house.number("young.growth_until_months")):
        return
    if look.animal.brumating_since is not None or (look.subject.startswith("animal/") and look.trend.lost):
        return
    weights = look.weighings
    least = look.house.number("young.growth_percent_a_week")
    growth = _growth(look, weights)
    if growth is None or growth * 100 >= least - 1e-9:
        return
    first = weights[-1]
    for many_weights in range(len(weights) - 1, 1, -1):
        earlier = _growth(look, weights[:many_weights])
        if earlier is None or earlier * 100 >= least - 1e-9:
            break
        first = weights[many_weights - 1]
    rate = "no weight gained" if growth <= 0 else f"{tenths(growth * 100)} % a week"
    yield look.matter(
        not_growing,
        Level.TODAY if growth <= 0 else Level.WATCH,
        f"{look.name}: growing too slowly, {rate} ({least:g} % or more).",
        since=first.at,
        entries=tuple(entry for weighing in _span(look, weights) for entry in weighing.middle),
        do=(
            "Look at food, warmth and UV; more than one basking spot; part the small from the large.",
            f"Not gaining at the next weighing either: {CALL_STEP}",
        ),
        worsens="dull or thin: vet" if growth <= 0 else "no gain at all: today",
        acts=("weigh", "feed", "climate", "measure"),
    )


def _span(look: Look, weights: Sequence[Weighing]) -> tuple[Weighing, ...]:
    """The weighings growth is judged over: the newest, back to twice the least span.

    Where some of a group died between two readings of a day, the mean of one before it is left out.
    """
    over = 2 * look.house.days("young.growth_over_days")
    rule = look.house.weighing_rule
    found: list[Weighing] = []
    for weighing in weights:
        if days_between(weighing.at, weights[-1].at) <= over:
            if found and rule.together(found[-1].at, weighing.at):
                found.pop()
            found.append(weighing)
    return tuple(found)


def _growth(look: Look, weights: Sequence[Weighing]) -> float | None:
    """Growth a week as a fraction; None when the weighings lie too close together."""
    if len(weights) < 2:
        return None
    span = _span(look, weights)
    if days_between(span[0].at, span[-1].at) < look.house.days("young.growth_over_days"):
        return None
    weeks = [(entry.at - span[0].at) / timedelta(weeks=1) for entry in span]
    # Slips of the scale half a day apart give a growth a week that no number holds.
    return expm1(min(5.0, theil_sen(weeks, [log(entry.grams) for entry in span])))


@cites("young.deaths", "young.deaths_within_days")
@needs(Died)
def deaths_in_group(look: Look) -> Iterator[Matter]:
    """Several young of one group died within two weeks.

    Today.
    """
    young = look.group
    within = look.house.days("young.deaths_within_days")
    deaths = young.own(Died)
    lately = [entry for entry in deaths if look.days_since(entry.at) <= within]
    count = sum(entry.count or 0 for entry in lately)
    if count < look.house.number("young.deaths"):
        return
    yield look.matter(
        deaths_in_group,
        Level.TODAY,
        f"{look.name}: {count} young died within {many(within, 'day')}; {young.count} left.",
        since=run_of(deaths, within)[0].at,
        entries=tuple(lately),
        do=(
            "Look at those that are left, warmth and UV first. Part the small from the large.",
            f"Keep the dead cool for the vet: {CALL_STEP}",
            "Clean this enclosure last, and wash hands after.",
        ),
        worsens="one more",
        acts=("climate", "weigh", "refer", "note"),
    )
