"""An animal's year: its brumations, what it weighed over the last one, warm-up, waking and first feed.

A year is no calendar year: it goes from waking to waking, so that both hemispheres, and a brumation across new
year, are reckoned alike. Nothing here judges; the numbers come in `YearDays`.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import msgspec

from rounds.logbook.entries import Ate, BrumationBegan, BrumationEnded, Entry, Fed, Tested, WarmUpBegan
from rounds.logbook.times import days_between
from rounds.standing.animal import Animal
from rounds.standing.fold import Standing
from rounds.standing.page import Page
from rounds.standing.slopes import median
from rounds.standing.weighing import Weighing, WeighingRule
from rounds.standing.weighings import weighings


class YearDays(msgspec.Struct, frozen=True):
    """The house rules that a year is reckoned by, in days. `House.year_days` gives a house's.

    The values are the defaults of rounds/rules/defaults (brumation, matters_weight, breeding), where their sources
    stand.
    """

    #: Brumation noted again, without an end noted in between, is the same one within so many days.
    one_winter: int = 180
    #: Weights so long before brumation are those before it.
    before: int = 30
    #: Without a brumation, a season ends once no clutch came for so many days.
    season_gap: int = 120
    weighing: WeighingRule = WeighingRule()


class Brumation(msgspec.Struct, frozen=True):
    """One brumation: what was noted of it. Without `ended` it goes on, or its end was never noted."""

    began: BrumationBegan | None
    warm_up: WarmUpBegan | None = None
    ended: BrumationEnded | None = None

    @property
    def parts_seasons_at(self) -> datetime:
        """The moment that parts the season before it from the one after: waking, else the best that is known."""
        for entry in (self.ended, self.warm_up, self.began):
            if entry is not None:
                return entry.at
        raise AssertionError("a brumation of which nothing was noted")


def brumations(one: Animal, days: YearDays) -> tuple[Brumation, ...]:
    """Its brumations, oldest first, however they were entered: late, twice, without a beginning or an end."""
    key = ("brumations", one.subject, days.one_winter)
    found: tuple[Brumation, ...] | None = one.standing.views.get(key)
    if found is None:
        noted: list[Entry] = [*one.own(BrumationBegan), *one.own(WarmUpBegan), *one.own(BrumationEnded)]
        noted.sort(key=lambda entry: entry.key)
        found = one.standing.views[key] = _read(noted, days.one_winter)
    return found


def _read(noted: Sequence[Entry], one_winter: int) -> tuple[Brumation, ...]:
    found: list[Brumation] = []
    for entry in noted:
        last = found[-1] if found else None
        near = last is not None and days_between(last.parts_seasons_at, entry.at) <= one_winter
        is_open = last is not None and last.ended is None
        if isinstance(entry, BrumationBegan):
            # Noted again before any end: the first note holds. After an end it is another one, however soon.
            if not (is_open and near):
                found.append(Brumation(entry))
        elif isinstance(entry, WarmUpBegan):
            if last is not None and is_open and (near or last.began is not None):
                if last.warm_up is None:
                    found[-1] = msgspec.structs.replace(last, warm_up=entry)
            elif not near:
                found.append(Brumation(None, entry))
        elif isinstance(entry, BrumationEnded):
            if last is not None and is_open:
                found[-1] = msgspec.structs.replace(last, ended=entry)
            elif not near:
                found.append(Brumation(None, None, entry))
    return tuple(found)


def weighed_before(every: Sequence[Weighing], began: datetime, within_days: int) -> tuple[Weighing, ...]:
    """The last three weighings of the days before brumation began."""
    return tuple([one for one in every if one.at <= began and days_between(one.at, began) <= within_days][-3:])


class Year(msgspec.Struct, frozen=True):
    """An animal's year at a moment: its last brumation and what came of it."""

    #: The last brumation; None when none was noted.
    brumation: Brumation | None
    asleep: bool
    #: The weighings before it, during it, and since waking, oldest first.
    before: tuple[Weighing, ...] = ()
    during: tuple[Weighing, ...] = ()
    after: tuple[Weighing, ...] = ()
    first_feed: Ate | Fed | None = None
    #: Older notes of feeding are on the page no more: the first feed may have been sooner.
    fed_at_latest: bool = False
    #: How many brumations were noted here.
    winters: int = 0

    @property
    def woke(self) -> datetime | None:
        """When the last brumation ended; None while it lasts, or when that was never noted."""
        ended = self.brumation.ended if self.brumation is not None else None
        return ended.at if ended is not None else None

    @property
    def grams_before(self) -> float | None:
        """Its weight in g before brumation: the median of the last three weighings."""
        return median(one.grams for one in self.before) if self.before else None

    @property
    def grams_at_end(self) -> float | None:
        """Its last weight in g in brumation; without one the first after waking."""
        last = self.during[-1] if self.during else self.after[0] if self.after else None
        return last.grams if last is not None else None

    @property
    def loss(self) -> float | None:
        """The part of its weight lost over brumation (0.08: 8 %; below 0 a gain); None when not known."""
        before, end = self.grams_before, self.grams_at_end
        return None if before is None or end is None else 1 - end / before

    def weeks_awake(self, now: datetime) -> int | None:
        """Whole weeks since waking; None while asleep or when not known."""
        return days_between(self.woke, now) // 7 if self.woke is not None else None


def year_of(standing: Standing, one: Animal, days: YearDays) -> Year:
    """The animal's year as it stands; worked out once for a standing."""
    key = ("year", one.subject, days)
    found: Year | None = standing.views.get(key)
    if found is None:
        found = standing.views[key] = _year(one, days)
    return found


def _year(one: Animal, days: YearDays) -> Year:
    every = brumations(one, days)
    if not every:
        return Year(None, False)
    last = every[-1]
    began, ended = last.began, last.ended
    weighed = weighings(one, days.weighing)
    before = weighed_before(weighed, began.at, days.before) if began is not None else ()
    since = [] if began is None else [entry for entry in weighed if entry.at > began.at and entry not in before]
    feed, at_latest = _first_feed(one, last)
    return Year(
        last,
        one.brumating_since is not None,
        before,
        tuple(entry for entry in since if ended is None or entry.at <= ended.at),
        tuple(entry for entry in weighed if ended is not None and entry.at > ended.at),
        feed,
        at_latest,
        len(every),
    )


def _first_feed(one: Animal, last: Brumation) -> tuple[Ate | Fed | None, bool]:
    """The first food since the warm-up, or waking: taken, or given to it where nothing says that it was refused."""
    start = last.warm_up or last.ended
    if start is None:
        return None, False
    fed: list[Ate | Fed] = [entry for entry in one.own(Ate) if entry.how != "refused"]
    fed += one.counting(Fed)
    since = [entry for entry in fed if entry.at >= start.at]
    found = min(since, key=lambda entry: entry.key, default=None)
    pages = [one.page, *(one.standing.page(stay.enclosure) for stay in one.stays)]
    full = any(_begins_later(page, kind, start.at) for page in pages for kind in (Ate, Fed))
    return found, full


def _begins_later(page: Page, kind: type[Entry], start: datetime) -> bool:
    """Whether a page keeps as many entries of a kind as it can, all of them since a moment."""
    kept = page.of(kind)
    many = len({entry.at.date() for entry in kept}) if kind.a_day else len(kept)
    return many >= kind.keep and kept[0].at >= start


def last_faecal_test(one: Animal) -> Tested | None:
    """The last faecal test of an animal, with or without a result."""
    tests = [entry for entry in one.own(Tested) if entry.what == "faecal test"]
    return tests[-1] if tests else None
