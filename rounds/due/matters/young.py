"""Young: growth, who falls behind, deaths in a group, and counts that do not fit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta
from math import expm1, log
from typing import TYPE_CHECKING

from rounds.due.figures import tenths
from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs, run_of
from rounds.due.matters.wording import CALL_STEP, many
from rounds.logbook.entries import Counted, CountSettled, Died, Entry, Weighed
from rounds.logbook.entries.base import grams as shown_grams
from rounds.logbook.group_census import COUNTING, read_census
from rounds.logbook.times import days_between
from rounds.standing.growth import since_sorted, sorted_at
from rounds.standing.slopes import theil_sen
from rounds.standing.weighing import Weighing

if TYPE_CHECKING:
    from rounds.due.survival import Deaths


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
    mean weight of one since it was last sorted. The floor is a house rule: the means of one colony are 9 to
    12 % a week (Wild et al. 2023).
    """
    if look.age_months is None or not look.younger_than(look.house.number("young.growth_until_months")):
        return
    if look.animal.brumating_since is not None or (look.subject.startswith("animal/") and look.trend.lost):
        return
    weights = since_sorted(look.animal, look.weighings)
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


@cites(
    "young.deaths",
    "young.deaths_within_days",
    "young.survival_percent",
    "young.survival_days",
    "young.deaths_p",
    "young.deaths_rate_days",
)
@needs(Died, CountSettled)
def deaths_in_group(look: Look) -> Iterator[Matter]:
    """Young of one group die faster than published, or several within two weeks.

    Today. So many within two weeks are enough in any group. Fewer, spread over more days, are held against the
    published survival (Wild et al. 2023) over the days that all of them lived: over the last weeks, and over the
    whole time of the group, while the last death is less than two weeks ago. Young not found count as dead.
    """
    census, house = look.group.census, look.house
    within = house.days("young.deaths_within_days")
    lost = [one for one in census.lost if one.entry.at <= look.now]
    lately = [one for one in lost if look.days_since(one.entry.at) <= within]
    count = sum(one.count for one in lately)
    if not count:
        return
    what = "died or were not found" if any(isinstance(one.entry, CountSettled) for one in lost) else "died"
    if count >= house.number("young.deaths"):
        says = f"{look.name}: {count} young {what} within {many(within, 'day')}; {look.group.count} left."
        since = run_of([one.entry for one in lost], within)[0].at
    else:
        worse = _too_many(look)
        if worse is None:
            return
        lately = list(worse.entries)
        days = max(1, look.days_since(worse.since))
        says = (
            f"{look.name}: {worse.count} young {what} in {many(days, 'day')}, {_expected(worse)} expected; "
            f"{look.group.count} left."
        )
        since = run_of([one.entry for one in lost], house.days("young.deaths_rate_days"))[0].at
    yield look.matter(
        deaths_in_group,
        Level.TODAY,
        says,
        since=since,
        entries=tuple(one.entry for one in lately),
        do=(
            "Look at those that are left, warmth and UV first. Part the small from the large.",
            f"Keep the dead cool for the vet: {CALL_STEP}",
            "Clean this enclosure last, and wash hands after.",
        ),
        worsens="one more",
        acts=("climate", "weigh", "count", "refer", "note"),
    )


def _expected(deaths: Deaths) -> str:
    return tenths(deaths.expected) if deaths.expected >= 0.1 else "under 0.1"


def _too_many(look: Look) -> Deaths | None:
    """The time over which more died than the published rate explains, the shorter first; None while it does."""
    from rounds.due.survival import deaths_over  # late: no start has to wait for it

    census, house = look.group.census, look.house
    begun = census.steps[0].at
    lately = look.midnight(look.in_days(look.now, -house.days("young.deaths_rate_days")))
    for since in dict.fromkeys((max(begun, lately), begun)):
        found = deaths_over(census, house, since, look.now)
        if found.count >= 2 and found.chance <= house.number("young.deaths_p"):
            return found
    return None


@cites("young.behind_percent", "young.siblings_days", "feeding.young_until_months")
@needs(Weighed)
def falls_behind(look: Look) -> Iterator[Matter]:
    """The smallest of a group, or a young animal beside its siblings, falls behind.

    Watch: sort by size. Of a group it is the smallest that was weighed alone, against the mean of the group in
    the same weighing; of an animal its last weight, against the median of siblings of its clutch that were
    weighed in the same days. How far behind is a house rule.
    """
    if not look.is_young or (look.age_months is None and look.subject.startswith("animal/")):
        return
    part = look.house.number("young.behind_percent") / 100
    if look.subject.startswith("group/"):
        weighed = _smallest_weighed(look)
        parted = sorted_at(look.animal)
        if not weighed or (parted is not None and parted >= weighed[-1].at):
            return
        last = weighed[-1]
        behind = [one for one in weighed if one.smallest is not None and one.smallest <= one.grams * part + 1e-9]
        if last not in behind or last.smallest is None:
            return
        since, entries = behind[0].at, weighed[-1:]
        says = (
            f"{look.name}: the smallest weighs {shown_grams(last.smallest)}, the mean is {shown_grams(last.grams)}."
        )
    else:
        if look.animal.arrived is None or look.animal.arrived.clutch is None:
            return
        from rounds.rules.siblings import sibling_median  # late: no start has to wait for it

        found = sibling_median(look.standing, look.house, look.animal)
        weighing = look.last_weighing
        if found is None or weighing is None or weighing.grams > found.grams * part + 1e-9:
            return
        since, entries = weighing.at, weighing.middle
        says = (
            f"{look.name}: {shown_grams(weighing.grams)}, its siblings {shown_grams(found.grams)} "
            f"(median of {found.many})."
        )
    yield look.matter(
        falls_behind,
        Level.WATCH,
        says,
        since=since,
        entries=entries,
        do=(
            "Part the small from the large; more than one basking spot, and food for each.",
            "Look at it: bright, eating, toes and tail whole?",
        ),
        worsens="no gain at all: today",
        acts=("split", "weigh", "feed", "move"),
    )


def _smallest_weighed(look: Look) -> tuple[Weighed, ...]:
    """The readings of the last weighing of a group in which its smallest was weighed alone, oldest first."""
    for weighing in reversed(look.weighings):
        if found := weighing.only(lambda entry: entry.smallest is not None):
            return found.readings
    return ()


@cites()
@needs(Counted)
def count_does_not_fit(look: Look) -> Iterator[Matter]:
    """A group was counted, and as many as there should be were not there.

    Today when young are missing: look for them, then write what became of them. Watch when there are more than
    should be. It ends with a count that fits, or one that is settled.
    """
    last = look.animal.last(Counted)
    if last is None or look.group.gone is not None:
        return
    settled = look.animal.last(CountSettled)
    reckoned = look.group.count
    if (settled is not None and settled.key > last.key) or last.count == reckoned or not look.group.census.known:
        return
    after = [entry for kind in COUNTING for entry in look.animal.page.of(kind) if entry.key > last.key]
    if after and last.count == read_census(look.subject, _until(look, last)).alive:
        return  # it fitted when they were counted
    fewer = last.count < reckoned
    says = f"{abs(reckoned - last.count)} missing" if fewer else f"{last.count - reckoned} more than reckoned"
    yield look.matter(
        count_does_not_fit,
        Level.TODAY if fewer else Level.WATCH,
        f"{look.name}: {says}. Counted {last.count}, reckoned {reckoned}.",
        since=_first_counted_so(look, last).at,
        entries=(last,),
        do=(
            f"By the sheets: {look.group.census.says}.",
            "Look for them: under bark, behind dishes, in the drain, in other enclosures.",
            "Then count again, and write what became of them: died, left, or not found.",
        ),
        worsens="the sum does not hold",
        acts=("count", "note"),
    )


def _first_counted_so(look: Look, last: Counted) -> Counted:
    """The first count that said what the last one says, with none between that says otherwise, and no change."""
    changes = [entry.key for kind in COUNTING for entry in look.animal.page.of(kind) if entry.key < last.key]
    changed = max(changes, default=None)
    first = last
    for one in reversed(look.animal.page.of(Counted)):
        if one.count != last.count or (changed is not None and one.key < changed):
            break
        first = one
    return first


def _until(look: Look, last: Counted) -> list[Entry]:
    return [entry for kind in COUNTING for entry in look.animal.page.of(kind) if entry.key <= last.key]
