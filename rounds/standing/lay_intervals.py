"""How long females took: from mating to laying, and from one laying to the next.

Two sorts, learned apart. The first clutch of a time runs from a mating, or from any day with a male. A later
clutch, whose first egg came within the time between clutches, runs from the day the one before was complete,
whether she was mated again or not. An interval far under the window is no interval: the same clutch under another
name, or a female mated while she was gravid.

Of her own clutches all that is known of her company counts; of the others in the colony what stands on their own
pages, so that a colony's intervals are had without opening the tubs of all of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from functools import lru_cache
from typing import Final, Literal, TypeVar

import msgspec

from rounds.logbook.entries import BehaviourSeen, EggsLaid, MatingSeen, Parted, PutTogether
from rounds.standing.breeding import Days, Window
from rounds.standing.female import Female
from rounds.standing.fold import Standing
from rounds.standing.lognormal import Belief, Seen, exactly, held_to, learned, prior, seen_within
from rounds.standing.page import Page

_T = TypeVar("_T")
#: From a mating to the first egg, or from the last egg of one clutch to the first of the next.
Sort = Literal["first", "later"]

#: Of a long time with a male so many days are reckoned with, evenly apart.
_MOST_DAYS: Final = 24


class Interval(msgspec.Struct, frozen=True):
    """One completed wait: of which clutch, which sort, when it ended, and each number of days it may have been."""

    clutch: str
    sort: Sort
    laid: date
    days: tuple[int, ...]


class Start(msgspec.Struct, frozen=True):
    """A day from which a clutch may run."""

    sort: Sort
    day: date


class _Laying(msgspec.Struct, frozen=True):
    """A clutch: its first egg, and when it was said to be complete."""

    clutch: str
    begun: date
    complete: date | None


def starts(window: Window, now_day: date, chances: Iterable[Window]) -> tuple[Start, ...]:
    """Every day from which the clutch of a window may run, oldest first."""
    chances = [chance for chance in chances if chance.first >= window.first]
    mated = {chance.first for chance in chances if chance.why == "mated"}
    found = {Start("later", chance.first) for chance in chances if chance.why == "stored sperm"}
    found |= {Start("first", day) for day in mated}
    # Each stretch once: of many males in one tub with her, all have the same days.
    for first, last in {(one.first, min(one.last, now_day)) for one in chances if one.why == "with a male"}:
        found |= {Start("first", day) for day in _days_with_him(first, last, mated)}
    return _thinned(sorted(found, key=lambda start: (start.day, start.sort)))


def intervals(her: Female) -> tuple[Interval, ...]:
    """Her own completed waits, oldest first."""
    known = her.standing.views.get(("lay intervals", her.subject, her.days))
    if known is None:
        company = [(one.since.date(), one.until.date() if one.until else date.max) for one in her.company]
        matings = [entry.at.date() for entry in her.matings_ever]
        known = tuple(_intervals(_layings(her.animal.laid), matings, company, her.days))
        her.standing.views["lay intervals", her.subject, her.days] = known
    assert isinstance(known, tuple)
    return known


def intervals_on(page: Page, days: Days) -> tuple[Interval, ...]:
    """The completed waits that a female's page tells of by itself, oldest first."""
    who = page.subject
    laid = [entry for entry in page.of(EggsLaid) if entry.about == who]
    matings = [entry.at.date() for entry in page.of(MatingSeen) if entry.about == who]
    matings += [
        entry.at.date()
        for entry in page.of(BehaviourSeen)
        if entry.about == who and entry.behaviour == "copulation"
    ]
    company: list[tuple[date, date]] = []
    ends = [entry for entry in page.of(Parted) if entry.about == who]
    for put in page.of(PutTogether):
        if put.about == who:
            parted = (one.at.date() for one in ends if one.key > put.key and one.mate in (None, put.mate))
            company.append((put.at.date(), next(parted, date.max)))
    return tuple(_intervals(_layings(laid), sorted(matings), company, days))


class ColonyIntervals(msgspec.Struct, frozen=True):
    """The completed waits of the colony's newest clutches, by dam."""

    by_dam: dict[str, tuple[Interval, ...]]

    def besides(self, dam: str, sort: Sort) -> list[Interval]:
        """Those of the others, of one sort."""
        return [
            one for who, waits in sorted(self.by_dam.items()) if who != dam for one in waits if one.sort == sort
        ]


def colony_intervals(standing: Standing, days: Days) -> ColonyIntervals:
    """What the newest clutches of the colony teach; worked out once for a standing."""
    known = standing.views.get(("lay intervals", days))
    if known is None:
        newest = standing.register.clutches[-days.forecast_clutches :]
        dams = dict.fromkeys(dam for clutch in newest if (dam := _dam_of(standing, clutch)) is not None)
        known = ColonyIntervals({dam: _kept_intervals(standing, dam, days) for dam in dams})
        standing.views["lay intervals", days] = known
    assert isinstance(known, ColonyIntervals)
    return known


def _dam_of(standing: Standing, clutch: str) -> str | None:
    """The mother of a clutch, by its page; looked up once until something is written on that."""
    kept = standing.register.kept.setdefault(clutch, {})
    if "dam" not in kept:
        laid = (entry.about for entry in standing.page(clutch).of(EggsLaid) if entry.clutch == clutch)
        kept["dam"] = next(laid, None)
    dam: str | None = kept["dam"]
    return dam


def _kept_intervals(standing: Standing, dam: str, days: Days) -> tuple[Interval, ...]:
    """What a female's page tells of her waits; looked up once until something is written on that."""
    kept = standing.register.kept.setdefault(dam, {})
    if ("lay intervals", days) not in kept:
        kept["lay intervals", days] = intervals_on(standing.page(dam), days)
    found: tuple[Interval, ...] = kept["lay intervals", days]
    return found


class Learned(msgspec.Struct, frozen=True):
    """What is believed of one female's next wait, and from how many intervals: her own, and those of others.

    `outside`: how many of all these lie outside the house's window, whatever day of company is taken.
    """

    belief: Belief
    own: int
    others: int
    outside: int = 0


def believed(her: Female, sort: Sort) -> Learned:
    """The belief for one female: the house window, then what others took, then her own intervals, which weigh more.

    What others took is held to count for no more than the house rule's own weight when it meets her intervals:
    after some clutches of hers the forecast is hers, and before any it is the colony's.
    """
    days = her.days
    low, high = (days.window_opens, days.window_closes) if sort == "first" else (days.next_opens, days.next_closes)
    house = prior(
        (low * high) ** 0.5, cv=days.forecast_spread, kappa=days.forecast_counts, alpha=days.forecast_counts / 2
    )
    others = colony_intervals(her.standing, days).besides(her.subject, sort)
    own = [one for one in intervals(her) if one.sort == sort]
    colony = _taught(house, others)
    held = held_to(colony, kappa=days.forecast_counts, alpha=days.forecast_held / 2)
    outside = sum(max(one.days) < low or min(one.days) > high for one in (*own, *others))
    return Learned(_taught(held, own), len(own), len(others), outside)


def _taught(belief: Belief, waits: Sequence[Interval]) -> Belief:
    return learned(belief, [_seen(belief, one.days) for one in waits])


@lru_cache(maxsize=4096)
def _seen(belief: Belief, days: tuple[int, ...]) -> Seen:
    """What a wait teaches; asked again for each female of the colony."""
    return exactly(days[0]) if len(days) == 1 else seen_within(belief, days)


def _layings(laid: Sequence[EggsLaid]) -> list[_Laying]:
    """Clutches by their entries, oldest first."""
    found: list[_Laying] = []
    for clutch in dict.fromkeys(entry.clutch for entry in laid):
        entries = [entry for entry in laid if entry.clutch == clutch]
        done = next((entry.at.date() for entry in entries if entry.complete), None)
        found.append(_Laying(clutch, entries[0].at.date(), done))
    return sorted(found, key=lambda one: (one.begun, one.clutch))


def _intervals(
    layings: Sequence[_Laying], matings: Sequence[date], company: Sequence[tuple[date, date]], days: Days
) -> Iterable[Interval]:
    done: date | None = None
    for laying in layings:
        apart = None if done is None else (laying.begun - done).days
        seen = [day for day in matings if (done is None or day > done) and day < laying.begun]
        possible = set(seen)
        for since, until in company:
            first = since if done is None else max(since, done)
            last = min(until, laying.begun)
            if first <= last:
                possible |= set(_days_with_him(first, last, set(seen)))
        sort: Sort = "first"
        if apart is not None and (apart <= days.next_closes or (not possible and apart <= days.stored_days)):
            sort, waits, least, most = "later", [apart], days.next_opens / 2, days.stored_days
        else:
            waits = sorted((laying.begun - day).days for day in possible)
            least, most = days.window_opens / 2, days.gravid_days
        waits = [wait for wait in waits if least <= wait <= most]
        if waits:
            yield Interval(laying.clutch, sort, laying.begun, tuple(_evenly(waits)))
        done = laying.complete or done


def _days_with_him(first: date, last: date, seen: set[date]) -> Iterable[date]:
    """Days on which a mating may have been: each day together; where matings were seen, not those between them."""
    within = sorted(day for day in seen if first <= day <= last)
    # A time of years is not reckoned day by day before it is thinned.
    step = max(1, ((last - first).days + 1) // (4 * _MOST_DAYS))
    for number in range(first.toordinal(), last.toordinal() + 1, step):
        day = date.fromordinal(number)
        if not within or day < within[0] or day > within[-1]:
            yield day


def _thinned(found: Sequence[Start]) -> tuple[Start, ...]:
    later = [start for start in found if start.sort == "later"]
    return (*later, *_evenly([start for start in found if start.sort == "first"]))


def _evenly(found: Sequence[_T]) -> list[_T]:
    """At most so many of them, evenly apart, the first and the last among them."""
    many = len(found)
    if many <= _MOST_DAYS:
        return list(found)
    return [found[place * (many - 1) // (_MOST_DAYS - 1)] for place in range(_MOST_DAYS)]
