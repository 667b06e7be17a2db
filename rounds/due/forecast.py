"""When a female will lay: three dates, what she is reckoned from, and how it is said.

The dates are quantiles of the forecast (rounds.standing.lognormal), of what her own and the colony's intervals
taught (rounds.standing.lay_intervals), cut at the house's window, which is the outer wall: `early` (due from then
on), `likely`, `late` (overdue after it). They stand while she waits. What is left for one who is due is said beside
them: the same forecast, knowing that no eggs came yet.

A forecast never lowers anything: the ladder's days are those of the house's window, and signs overrule it.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import Final, Literal

import msgspec

from rounds.due.dates import day, days_after, span
from rounds.logbook.entries import Entry
from rounds.rules.house import House
from rounds.standing.breeding import Chance, Window
from rounds.standing.female import Female, female
from rounds.standing.fold import Standing
from rounds.standing.lay_intervals import Learned, Sort, Start, believed, starts
from rounds.standing.lognormal import Part, chance_after, quantile_of

#: Where she stands in her forecast; `over`: the house's window has ended.
State = Literal["not yet", "due", "overdue", "over"]

#: The house rules a forecast rests on.
FORECAST_RULES: Final = (
    "breeding.window_opens",
    "breeding.window_closes",
    "breeding.next_clutch_days",
    "forecast.counts",
    "forecast.spread_percent",
    "forecast.held",
    "forecast.clutches",
    "forecast.due_percent",
    "forecast.overdue_percent",
)


class LayForecast(msgspec.Struct, frozen=True, kw_only=True):
    """When a female may lay, as known at one moment.

    `early`, `likely`, `late` lie within `opens` and `closes`, the house's window, in this order. `left` are the
    same three for one who is due and has laid nothing yet, from today on; None otherwise. `why` says what opened
    the window, `first` and `last` the days it is reckoned from. `own` and `others` count what was learned from,
    `outside` those of them that the house's window does not hold. `ways` and `chances` are what the dates were
    worked out from.
    """

    female: str
    name: str
    why: Chance
    first: date
    last: date
    opens: date
    closes: date
    early: date
    likely: date
    late: date
    today: date
    own: int
    others: int
    outside: int
    entries: tuple[Entry, ...]
    ways: tuple[Part, ...]
    chances: tuple[float, float, float]
    #: Of a next clutch: whether the one before was slugs only. The days are the same: no male is needed to lay.
    after_slugs: bool = False

    @property
    def left(self) -> tuple[date, date, date] | None:
        """The three dates of what is left; worked out when asked for, since most lists do not."""
        if not self.early <= self.today <= self.closes:
            return None
        # Until this morning no eggs were seen: half a day less than the days between two dates.
        waited = (self.today - self.first).days - 0.5
        return _dates(self.ways, self.chances, waited, self.first, (self.today, self.closes))

    @property
    def state(self) -> State:
        """Where she stands in it today."""
        if self.today > self.closes:
            return "over"
        if self.today > self.late:
            return "overdue"
        return "due" if self.today >= self.early else "not yet"

    @property
    def waited_days(self) -> int:
        """Days since the last chance it is reckoned from."""
        return max(0, (self.today - self.last).days)

    @property
    def says(self) -> str:
        """The forecast in plain words, the verdict first: `due 30 Mar to 20 Apr, likely 5 Apr`."""
        waits = f"waiting {self.waited_days} {'day' if self.waited_days == 1 else 'days'}"
        if self.state == "over":
            return self.short if self.why == "stored sperm" else f"{self.short}, no eggs, {waits}"
        if self.state == "overdue":
            return f"{self.short}, {waits}, window ends {self._day(self.closes)}"
        lays = f"{self.short}, likely {self._day(self.likely)}"
        if self.state == "due" and self.left is not None:
            lays = f"due since {self._day(self.early)}, likely by {self._day(self.left[1])}, {waits}"
        slugs = ", after slugs only" if self.after_slugs else ""
        return f"next clutch {lays}{slugs}" if self.why == "stored sperm" else lays

    @property
    def short(self) -> str:
        """The same for a stop: `due 30 Mar to 20 Apr`, `overdue since 21 Apr`."""
        if self.state == "over":
            ended = "no next clutch by" if self.why == "stored sperm" else "window ended"
            return f"{ended} {self._day(self.closes)}"
        if self.state == "overdue":
            return f"overdue since {self._day(days_after(self.late, 1))}"
        if self.late.year != self.today.year:
            return f"due {self._day(self.early)} to {self._day(self.late)}"
        return f"due {span(self.early, self.late)}"

    def _day(self, one: date) -> str:
        """A day, with the year when it is not this one."""
        return day(one) + (f" {one.year}" if one.year != self.today.year else "")

    @property
    def from_what(self) -> str:
        """What it is learned from: `from 2 intervals of her own and 5 of the colony`."""
        own = f"{self.own} of her own" if self.own else ""
        others = f"{self.others} of the colony" if self.others else ""
        many = self.own + self.others
        if not many:
            return "from the house's window: no interval of the colony yet"
        beyond = f"; {self.outside} outside the house's window" if self.outside else ""
        return f"from {many} interval{'s' * (many != 1)}: {' and '.join(filter(None, (own, others)))}{beyond}"


def lay_forecast(standing: Standing, house: House, now: datetime, subject: str) -> LayForecast | None:
    """When this female may lay, at `now`; None for one of whom nothing says that she may, or who lays now."""
    if not subject.startswith("animal/"):
        return None
    return forecast_of(female(standing, subject, house.breeding_days), now)


def forecast_of(her: Female, now: datetime) -> LayForecast | None:
    """The same for a female as she stands, by the days of the house she is reckoned by.

    The last one is kept, and is right until her window or the day is another: a desk left on reckons each minute,
    and nothing may pile up.
    """
    windows = her.windows(now)
    if not windows or her.laying is not None or (her.animal.sex == "M" and not her.matings):
        return None
    window, today = windows[-1], now.date()
    if (today - window.closes).days > her.days.gravid_days:
        return None
    from_days = starts(window, today, her.chances(now))
    if not from_days:
        return None
    slugs = window.why == "stored sperm" and her.slugs_only(window.entries[0])
    key, of = ("lay forecast", her.subject, her.days), (window, today, from_days, slugs)
    known: tuple[object, LayForecast] | None = her.standing.views.get(key)
    if known is None or known[0] != of:
        known = her.standing.views[key] = (of, _forecast_of(her, window, today, from_days, slugs))
    return known[1]


def _forecast_of(
    her: Female, window: Window, today: date, from_days: tuple[Start, ...], after_slugs: bool
) -> LayForecast:
    taught = {sort: believed(her, sort) for sort in dict.fromkeys(start.sort for start in from_days)}
    ways = _ways(from_days, taught, window.first)
    chances = (her.days.forecast_due, 0.5, her.days.forecast_overdue)
    early, likely, late = _dates(ways, chances, None, window.first, (window.opens, window.closes))
    return LayForecast(
        female=her.subject,
        name=her.animal.name,
        why=window.why,
        first=window.first,
        last=window.last,
        opens=window.opens,
        closes=window.closes,
        early=early,
        likely=likely,
        late=late,
        today=today,
        own=sum(one.own for one in taught.values()),
        others=sum(one.others for one in taught.values()),
        outside=sum(one.outside for one in taught.values()),
        entries=window.entries,
        ways=ways,
        chances=chances,
        after_slugs=after_slugs,
    )


def _ways(from_days: tuple[Start, ...], taught: dict[Sort, Learned], zero: date) -> tuple[Part, ...]:
    """The ways it may go: a later clutch is as likely as one of a mating, and any day of a sort as another."""
    many = {sort: sum(start.sort == sort for start in from_days) for sort in taught}
    return tuple(
        Part(taught[start.sort].belief, float((start.day - zero).days), 1 / many[start.sort]) for start in from_days
    )


def _dates(
    ways: tuple[Part, ...],
    chances: tuple[float, float, float],
    after: float | None,
    zero: date,
    within: tuple[date, date],
) -> tuple[date, date, date]:
    """The days of the quantiles, counted from `zero` and held within the first and the last day they may be."""
    soonest, latest = within
    if after is not None and chance_after(ways, after) < 1e-12:
        return soonest, soonest, latest
    early, likely, late = (quantile_of(ways, p, after) for p in chances)
    found = sorted(min(max(days_after(zero, round(days)), soonest), latest) for days in (early, likely, late))
    return found[0], found[1], found[2]
