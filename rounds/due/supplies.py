"""What a supply will be needed for, how long it lasts, and what to order.

Planned: heads × ration × feedings, by age class and by the days that the house feeds on. Needed: planned, times
(really used ÷ planned) of the last weeks, held between two limits. Where nothing is planned (dust, medium, a supply
that colony.toml does not tell of) it is what the counts say is used a day.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from math import ceil
from typing import Final

from rounds.due.age import AgeClass
from rounds.due.dates import days_after, days_before
from rounds.due.feeding import INSECTS, greens_key
from rounds.due.heads import Heads, heads
from rounds.due.matter import Level
from rounds.due.round import walk_day
from rounds.due.stock import Stock
from rounds.logbook.entries import Fed, StockCounted, StockIn
from rounds.logbook.plain import folded
from rounds.rules.house import House
from rounds.rules.supply_plan import CLASSES, RATION_UNITS, SupplyPlan
from rounds.standing.as_of import as_of
from rounds.standing.fold import Standing
from rounds.standing.supply import Supply, supply

#: So many days ahead it is looked when a supply runs out.
_FAR: Final = 365
_INSECT_RATIONS: Final[Mapping[AgeClass, str]] = {
    "hatchling": "supplies.insects_hatchling",
    "young": "supplies.insects_young",
    "adult": "supplies.insects_adult",
    "older": "supplies.insects_older",
}
_AGES: Final[tuple[AgeClass, ...]] = ("hatchling", "young", "adult", "older")


class Supplies:
    """All supplies of a colony at a moment. Get them with `supplies(standing, house, now)`."""

    def __init__(self, standing: Standing, house: House, now: datetime) -> None:
        self.standing = standing
        self.house = house
        self.today = walk_day(now, house)
        self._now = now
        self._heads: Heads | None = None
        self._fed: dict[str, int] | None = None
        self._schedules: dict[tuple[str, AgeClass], Sequence[float]] = {}
        self._plans: dict[str, Sequence[float] | None] = {}

    def subjects(self) -> list[str]:
        """Each supply that was ever counted or came in, or that colony.toml tells of, by id."""
        opened = [one for one in self.standing.subjects("supply") if self.standing.card(one).opened]
        return sorted({*opened, *self.house.supplies})

    def every(self) -> tuple[Stock, ...]:
        """How each of them stands, those that run out first before the others."""
        far = date.max
        found = [self.stock(subject) for subject in self.subjects()]
        return tuple(sorted(found, key=lambda one: (one.runs_out or far, folded(one.name), one.subject)))

    def name(self, subject: str) -> str:
        """What keepers call it: as last written, else as colony.toml has it."""
        plan = self.house.supplies.get(subject)
        if plan is not None and not any(one.name for one in _written(supply(self.standing, subject))):
            return plan.name
        return self.standing.name(subject)

    def count_on(self, subject: str) -> date | None:
        """The day by which it is counted again; None for one let go by counting 0, and for one not begun."""
        one = supply(self.standing, subject)
        begins, last = one.begins, one.counted
        gone = last is not None and not last.amount and not one.in_since and subject not in self.house.supplies
        if begins is None or gone:
            return None
        return days_after(walk_day(begins.at, self.house), self.house.days("supplies.count_days"))

    def stock(self, subject: str) -> Stock:
        """How one supply stands."""
        one, plan = supply(self.standing, subject), self.house.supplies.get(subject)
        planned = self._planned(plan, one) if plan is not None else None
        really, factor, learned = self._learned(one, planned)
        a_day = self._a_day(planned, really, factor)
        left = self._left(one, a_day)
        at = self._at(self.today)
        ahead = a_day[at:] if a_day is not None else ()
        need_week, need_fortnight = (sum(ahead[:7]), sum(ahead[:14])) if a_day is not None else (None, None)
        days = self._runs_out(left, ahead)
        runs_out = self._later(days) if days is not None else None
        order_days = self._order_days(plan)
        order = 0.0
        if days is not None and left is not None and days <= order_days:
            wanted = sum(ahead[: max(self.house.days("supplies.order_for_days"), order_days)])
            order = self._rounded(wanted - left, one.unit or (plan.unit if plan else ""))
        return Stock(
            subject=subject,
            name=self.name(subject),
            unit=one.unit or (plan.unit if plan is not None else "pieces"),
            use=plan.use if plan is not None else "",
            counted=one.counted,
            came_in=sum(entry.amount for entry in one.in_since),
            left=left,
            planned=sum(planned[at : at + 14]) / 14 if planned is not None else None,
            planned_in=self._planned_in(plan, one) if plan is not None and planned is None else "",
            really=really,
            factor=factor,
            learned=learned,
            need_week=need_week,
            need_fortnight=need_fortnight,
            runs_out=runs_out,
            order_on=self._later(max(0, days - order_days)) if days is not None else None,
            order=order,
            level=self._level(days) if order and days is not None else None,
            house=self._cited(plan, planned is not None),
        )

    # Days

    def _at(self, day: date) -> int:
        """The place of a day in what is reckoned day by day; the first where it lies before that."""
        return max(0, day.toordinal() - self._first)

    @property
    def _first(self) -> int:
        return self.heads.first

    @property
    def heads(self) -> Heads:
        """Who eats; reckoned when it is first asked for."""
        if self._heads is None:
            self._heads = heads(self.standing, self.house, self._now)
        return self._heads

    def _later(self, days: int) -> date:
        return days_after(self.today, days)

    # What is planned

    def _planned(self, plan: SupplyPlan, one: Supply) -> Sequence[float] | None:
        """What the plan gives on each day; None where nothing is planned: a supply that is not eaten."""
        if plan.subject not in self._plans:
            self._plans[plan.subject] = self._plan(plan, one)
        return self._plans[plan.subject]

    def _plan(self, plan: SupplyPlan, one: Supply) -> Sequence[float] | None:
        rations = self._rations(plan)
        if rations is None or (one.unit and folded(one.unit) != folded(plan.unit)):
            return None
        share = self._share(plan)
        days = [0.0] * (self.heads.end - self.heads.first)
        for age, counts in self.heads.of(plan.use).items():
            feedings = self._feedings(plan.use, age)
            ration = rations[age] * share
            if ration:
                for place in range(len(days)):
                    if counts[place]:
                        days[place] += counts[place] * ration * feedings[place]
        return days

    @staticmethod
    def _planned_in(plan: SupplyPlan, one: Supply) -> str:
        """The unit in which one that is not planned could be: that of colony.toml, or that of the house rules."""
        other = one.unit and folded(one.unit) != folded(plan.unit)
        return plan.unit if other and plan.use in RATION_UNITS else RATION_UNITS.get(plan.use, "")

    def _rations(self, plan: SupplyPlan) -> Mapping[AgeClass, float] | None:
        """What a head gets at one feeding, by age class; None where no one can say."""
        if plan.use not in RATION_UNITS:
            return None
        given = dict(plan.rations)
        if folded(plan.unit) != RATION_UNITS[plan.use] and set(given) != set(CLASSES):
            # The house rules are in pieces and in g.
            return None
        return {age: given.get(age, self.house.number(_ration_key(plan.use, age))) for age in _AGES}

    def _share(self, plan: SupplyPlan) -> float:
        """Which part of the feedings is of this supply, where there are several for one use.

        By what was fed by name in the last weeks; each is taken to have been fed once more, so that while nothing
        is known all have the same part.
        """
        rivals = [one for one in self.house.supplies.values() if one.use == plan.use and self._rations(one)]
        if len(rivals) < 2:
            return 1.0
        fed = {one.subject: 1 + self._fed_by_name.get(folded(self.name(one.subject)), 0) for one in rivals}
        return fed[plan.subject] / sum(fed.values())

    @property
    def _fed_by_name(self) -> Mapping[str, int]:
        """How often each food was fed by name in the last weeks, as far as pages keep it."""
        if self._fed is None:
            self._fed = {}
            since = days_before(self.today, self.house.days("supplies.learn_days"))
            for sort in ("animal", "group", "enclosure"):
                for subject in self.standing.subjects(sort):
                    if not self.standing.card(subject).here:
                        continue
                    for entry in self.standing.page(subject).of(Fed):
                        if entry.what and walk_day(entry.at, self.house) >= since:
                            self._fed[folded(entry.what)] = self._fed.get(folded(entry.what), 0) + 1
        return self._fed

    def _feedings(self, use: str, age: AgeClass) -> Sequence[float]:
        """How often one of an age class is fed on each day: on average, or on the days that a calendar has."""
        known = self._schedules.get((use, age))
        if known is None:
            days_key, a_day_key = (greens_key(age), None) if use == "greens" else INSECTS[age][:2]
            meals = self.house.number(a_day_key) if a_day_key is not None else 1.0
            known = self._schedules[(use, age)] = [share * meals for share in self._turns(days_key)]
        return known

    def _turns(self, key: str) -> Iterator[float]:
        rule = self.house.rule(key)
        first, end = self.heads.first, self.heads.end
        if isinstance(rule.value, str):
            # Only a colony that sets recurrence rules reads that module.
            from rounds.rules.recurrence import BEGINS, between

            on = {
                day.toordinal()
                for day in between(
                    rule.value, rule.begins or BEGINS, date.fromordinal(first), date.fromordinal(end - 1)
                )
            }
            yield from (float(day in on) for day in range(first, end))
        else:
            yield from (1 / self.house.number(key) for _ in range(first, end))

    # What was really used

    def _learned(self, one: Supply, planned: Sequence[float] | None) -> tuple[float | None, float, bool]:
        """Really used a day; really used ÷ planned, within its limits; and whether that was learned."""
        since = self.today.toordinal() - self.house.days("supplies.learn_days")
        used = planned_for = 0.0
        days = 0
        for part in one.used:
            begins, ends = (walk_day(at, self.house).toordinal() for at in (part.since, part.until))
            kept = ends - max(begins, since)
            if part.amount < 0 or kept <= 0:
                continue
            used += part.amount * kept / (ends - begins)
            days += kept
            if planned is not None:
                planned_for += sum(
                    planned[self._at(date.fromordinal(ends - kept)) : self._at(date.fromordinal(ends))]
                )
        least, most = self.house.band("supplies.factor")
        really = used / days if days else None
        if not days or planned_for <= 0:
            return really, 1.0, False
        return really, min(most, max(least, used / planned_for)), True

    def _a_day(
        self, planned: Sequence[float] | None, really: float | None, factor: float
    ) -> Sequence[float] | None:
        """What is used on each day; None when no one can say."""
        if planned is not None:
            return [factor * one for one in planned]
        return [really] * (self.heads.end - self.heads.first) if really is not None else None

    # What is left

    def _left(self, one: Supply, a_day: Sequence[float] | None) -> float | None:
        """What is left this morning: the last count, with what came in since, less what was used."""
        begins = one.begins
        if begins is None:
            return None
        left = begins.amount if isinstance(begins, StockCounted) else 0.0
        came: dict[int, float] = {}
        for entry in one.in_since:
            day = walk_day(entry.at, self.house).toordinal()
            came[day] = came.get(day, 0.0) + entry.amount
        day, now = walk_day(begins.at, self.house).toordinal(), self.today.toordinal()
        if a_day is not None:
            # What was counted before all that is reckoned is left as it was counted up to there.
            left += sum(amount for at, amount in came.items() if at < self._first)
            for at in range(max(day, self._first), now):
                left = max(0.0, left + came.get(at, 0.0) - a_day[at - self._first])
            return left + sum(amount for at, amount in came.items() if at >= now)
        return left + sum(came.values())

    @staticmethod
    def _runs_out(left: float | None, ahead: Sequence[float]) -> int | None:
        """How many days what is left covers whole; None when it lasts a year, or no one can say."""
        if left is None:
            return None
        total = 0.0
        for days, amount in enumerate(ahead[:_FAR]):
            total += amount
            if total > left + 1e-9:
                return days
        return None

    # Ordering

    def _level(self, days: int) -> Level:
        return Level.TODAY if days <= self.house.days("supplies.out_days") else Level.WATCH

    def _order_days(self, plan: SupplyPlan | None) -> int:
        own = plan.order_days if plan is not None else None
        return own if own is not None else self.house.days("supplies.order_days")

    @staticmethod
    def _rounded(amount: float, unit: str) -> float:
        """What to order: whole pieces; of less than ten of another unit, tenths."""
        if amount <= 0:
            return 0.0
        return float(ceil(amount - 1e-9)) if amount >= 10 or folded(unit) == "pieces" else ceil(amount * 10) / 10

    def _cited(self, plan: SupplyPlan | None, planned: bool) -> tuple[str, ...]:
        """The house rules behind it."""
        keys = ["supplies.order_days", "supplies.order_for_days", "supplies.learn_days"]
        if plan is not None and planned:
            keys += ["supplies.factor"]
            own = set(plan.rations)
            keys += [_ration_key(plan.use, age) for age in _AGES if age not in own]
            keys += [greens_key(age) if plan.use == "greens" else INSECTS[age][0] for age in _AGES]
        return tuple(dict.fromkeys(keys))


def _written(one: Supply) -> tuple[StockCounted | StockIn, ...]:
    return (*one.counts, *one.came_in)


def _ration_key(use: str, age: AgeClass) -> str:
    if use == "greens":
        return "supplies.greens_young" if age in ("hatchling", "young") else "supplies.greens_adult"
    return _INSECT_RATIONS[age]


def supplies(standing: Standing, house: House, now: datetime) -> Supplies:
    """The supplies of the room's day, without what is dated later; worked out once for a standing and a day."""
    standing = as_of(standing, now)
    key = ("supplies", house, walk_day(now, house))
    found = standing.views.get(key)
    if found is None:
        found = standing.views[key] = Supplies(standing, house, now)
    assert isinstance(found, Supplies)
    return found
