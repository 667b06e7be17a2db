"""What a rule looks at: one subject as it stands, under the house rules, at a moment."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, date, datetime, time
from functools import cached_property
from typing import Final, TypeAlias, TypeVar

from rounds.due.matter import Act, Level, Matter
from rounds.due.round import Round
from rounds.logbook.entries import Entry
from rounds.logbook.times import days_between, hours_between, on_wall
from rounds.rules.house import House
from rounds.standing.animal import Animal, animal
from rounds.standing.breeding import Days, Digging, Phase
from rounds.standing.clutch import Clutch, clutch
from rounds.standing.enclosure import Enclosure, enclosure
from rounds.standing.female import Female, female
from rounds.standing.fold import Standing
from rounds.standing.group import Group, group
from rounds.standing.trend import Limits, Trend, limits_of, trend

#: A rule: what it finds in a look. Its name is the matter's, its docstring is its help text.
Rule: TypeAlias = "Callable[[Look], Iterator[Matter]]"
_Rule = TypeVar("_Rule", bound=Rule)
_Entry = TypeVar("_Entry", bound=Entry)

#: The house rules each matter rests on, by the rule's name.
CITED: Final[dict[str, tuple[str, ...]]] = {}
#: Kinds of entry of which a subject's page has to have one for a rule to find anything.
NEEDED: Final[dict[str, frozenset[type[Entry]]]] = {}
_MONTH_DAYS: Final = 30.4375


def cites(*keys: str) -> Callable[[_Rule], _Rule]:
    """Say which house rules a matter rests on; they are shown with it and in docs/matters.md."""

    def keep(rule: _Rule) -> _Rule:
        CITED[rule.__name__] = keys
        return rule

    return keep


def needs(*kinds: type[Entry]) -> Callable[[_Rule], _Rule]:
    """Say that a rule finds nothing on a page with no entry of these kinds, so that it need not look."""

    def keep(rule: _Rule) -> _Rule:
        NEEDED[rule.__name__] = frozenset(kinds)
        return rule

    return keep


def run_of(entries: Sequence[_Entry], gap_days: int) -> list[_Entry]:
    """The last run of entries (oldest first) without a pause longer than `gap_days`: one episode, one matter."""
    run: list[_Entry] = []
    for entry in reversed(entries):
        if run and days_between(entry.at, run[-1].at) > gap_days:
            break
        run.append(entry)
    run.reverse()
    return run


def title(rule: Rule) -> str:
    """The name of a rule's matter: `no_lay_box` → `no lay box`."""
    return rule.__name__.replace("_", " ")


class Reckoning:
    """What is the same for every subject at one reckoning: worked out once for all of them."""

    def __init__(self, standing: Standing, house: House, now: datetime) -> None:
        self.standing = standing
        self.house = house
        self.now = now

    @cached_property
    def round(self) -> Round:
        """The walk of the room that due lines are reckoned for at this moment."""
        evening = self.now.astimezone(self.house.zone).time() >= self.house.evening_from
        return Round(self.standing, self.house, self.now, "evening" if evening else "morning")

    @cached_property
    def breeding_days(self) -> Days:
        """The house rules a phase depends on."""
        return Days(
            window_closes=self.house.days("breeding.window_closes"),
            laid_lasts=self.house.days("breeding.laid_lasts"),
            nesting_gap=self.house.days("breeding.nesting_gap"),
            closing_hours=self.house.days("eggbinding.closing_hours"),
        )

    @cached_property
    def weight_limits(self) -> Limits:
        """The numbers of the weight rule."""
        return limits_of(self.house)

    @cached_property
    def soonest_overdue(self) -> float:
        """Days after a weighing before which none can be badly overdue; 0 where the calendar says when to weigh."""
        rules = [self.house.rule(f"weighing.{who}_days").value for who in ("young", "adult", "gravid")]
        days = [value if isinstance(value, int | float) else 0 for value in rules]
        return min(days) * (1 + self.house.number("weighing.badly_times"))


class Look:
    """One subject under the house rules at `now`, with shortcuts that are worked out once."""

    def __init__(
        self,
        standing: Standing,
        house: House,
        now: datetime,
        subject: str,
        reckoning: Reckoning | None = None,
    ) -> None:
        self.standing = standing
        self.house = house
        self.now = now
        self.subject = subject
        self.reckoning = reckoning or Reckoning(standing, house, now)

    def at(self, subject: str) -> Look:
        """The same look at another subject."""
        return Look(self.standing, self.house, self.now, subject, self.reckoning)

    # What is looked at.

    @cached_property
    def animal(self) -> Animal:
        """The animal; a group too, when it is one."""
        return self.group if self.subject.startswith("group/") else animal(self.standing, self.subject)

    @cached_property
    def group(self) -> Group:
        """The group."""
        return group(self.standing, self.subject)

    @cached_property
    def female(self) -> Female:
        """The animal as a female."""
        return female(self.standing, self.subject)

    @cached_property
    def enclosure(self) -> Enclosure:
        """The enclosure."""
        return enclosure(self.standing, self.subject)

    @cached_property
    def clutch(self) -> Clutch:
        """The clutch."""
        return clutch(self.standing, self.subject)

    @cached_property
    def name(self) -> str:
        """What keepers call it."""
        return self.standing.name(self.subject)

    @property
    def she(self) -> str:
        """she, he, they or it."""
        if self.subject.startswith("group/"):
            return "they"
        return {"F": "she", "M": "he"}.get(self.animal.sex, "it")

    @property
    def her(self) -> str:
        """her, his, their or its."""
        return {"she": "her", "he": "his", "they": "their"}.get(self.she, "its")

    @property
    def it(self) -> str:
        """her, him, them or it."""
        return {"she": "her", "he": "him", "they": "them"}.get(self.she, "it")

    # Time.

    def days_since(self, moment: datetime | date) -> int:
        """Calendar days from a moment to now."""
        return days_between(moment, self.now)

    def hours_since(self, moment: datetime) -> float:
        """Elapsed hours from a moment to now."""
        return hours_between(moment, self.now)

    def midnight(self, day: date) -> datetime:
        """The moment at which a day begins in the room."""
        try:
            return on_wall(day, time(), self.house.zone)
        except OverflowError:
            # The first and the last day of the calendar, as only a broken clock writes them.
            return datetime.combine(day, time(), tzinfo=UTC)

    def in_days(self, moment: datetime, days: int) -> date:
        """The date so many days after a moment, as far as the calendar goes."""
        return date.fromordinal(min(moment.toordinal() + days, date.max.toordinal()))

    # What often matters.

    @cached_property
    def age_months(self) -> float | None:
        """Age in months of 30.44 days; None when not known."""
        days = self.animal.age_days(self.now)
        return None if days is None else days / _MONTH_DAYS

    def younger_than(self, months: float) -> bool:
        """Whether it is known to be younger."""
        return self.age_months is not None and self.age_months < months

    @property
    def is_young(self) -> bool:
        """Whether it counts as young for food and weights; groups do, unless their age says otherwise."""
        until = self.house.number("feeding.young_until_months")
        if self.age_months is None:
            return self.subject.startswith("group/")
        return self.age_months < until

    @cached_property
    def trend(self) -> Trend:
        """How its weight goes, by the numbers of the house."""
        return trend(self.animal, self.house, self.now, self.reckoning.weight_limits)

    @property
    def round(self) -> Round:
        """The walk of the room that due lines are reckoned for at this moment."""
        return self.reckoning.round

    @property
    def breeding_days(self) -> Days:
        """The house rules a phase depends on."""
        return self.reckoning.breeding_days

    @cached_property
    def phase(self) -> Phase:
        """Her place in the breeding year."""
        return self.female.phase(self.now, self.breeding_days)

    @cached_property
    def may_carry(self) -> bool:
        """Whether she might hold eggs, decided on the safe side.

        Any female that is old enough, mated or not (unmated females can lay infertile clutches: common
        practice, no source), any animal of unknown sex that is, and any animal of which eggs were seen.
        """
        if not self.subject.startswith("animal/"):
            return False
        if self.animal.sex == "M":
            return bool(self.animal.laid or self.female.felt)
        if not self.younger_than(self.house.number("eggbinding.can_carry_from_months")):
            return True
        return bool(self.animal.laid or self.female.matings or self.female.felt)

    @cached_property
    def carrying_because(self) -> tuple[Entry, ...] | None:
        """Why she can be carrying, from what was noted; None when nothing says so."""
        if not self.may_carry:
            return None
        return self.female.can_carry(
            self.now,
            self.house.days("breeding.carries_days"),
            self.house.days("breeding.stored_sperm_days"),
        )

    @cached_property
    def digging(self) -> Digging | None:
        """Her present run of nest digging."""
        days = self.breeding_days
        return self.female.digging(days.nesting_gap, self.now, days.closing_hours)

    @cached_property
    def unfinished(self) -> Clutch | None:
        """The clutch she has begun and not completed.

        Or the one that was said to be complete, when eggs were felt in her after it while she counts as
        freshly laid, and no vet has seen her since.
        """
        her, seen = self.female, self.animal.last_vet
        if her.laying is not None:
            return her.laying
        last, felt = her.last_complete, her.felt
        if last is None or last.complete is None or felt is None or (seen is not None and seen.at >= felt.at):
            return None
        fresh = days_between(last.complete.at, felt.at) <= self.house.days("breeding.laid_lasts")
        return last if fresh else None

    @cached_property
    def window(self) -> Window | None:
        """The days on which she may lay, from her matings, or after a clutch by stored sperm."""
        return window(self)

    # Saying it.

    def matter(
        self,
        rule: Rule,
        level: Level,
        says: str,
        *,
        since: datetime,
        entries: Sequence[Entry],
        do: Sequence[str],
        worsens: str,
        deadline: datetime | None = None,
        danger: bool = False,
        acts: tuple[Act, ...] = (),
        house: tuple[str, ...] | None = None,
    ) -> Matter:
        """The matter a rule has found here; it cites the rule's house rules, or those of them given."""
        return Matter(
            rule=title(rule),
            about=self.subject,
            place=self.place,
            level=level,
            says=says,
            since=since,
            entries=tuple(entries),
            house=CITED[rule.__name__] if house is None else house,
            do=tuple(do),
            worsens=worsens,
            deadline=deadline,
            danger=danger,
            acts=acts,
        )

    @property
    def place(self) -> str | None:
        """The enclosure to go to."""
        sort = self.subject.partition("/")[0]
        if sort == "enclosure":
            return self.subject
        if sort == "clutch":
            return self.clutch.place
        return self.standing.places.get(self.subject)


class Window:
    """The days on which a female may lay, both ends among them, and the entries it is reckoned from."""

    def __init__(
        self, opens: date, closes: date, entries: tuple[Entry, ...], stored_sperm: bool, first_closes: date
    ) -> None:
        self.opens = opens
        self.closes = closes
        #: When it closes by her first mating; the same as `closes` when she was mated once.
        self.first_closes = first_closes
        self.entries = entries
        self.stored_sperm = stored_sperm


def window(look: Look) -> Window | None:
    """First mating + soonest to last mating + latest; after a clutch, the time to the next by stored sperm."""
    her, house = look.female, look.house
    if her.matings:
        return Window(
            look.in_days(her.matings[0].at, house.days("breeding.window_opens")),
            look.in_days(her.matings[-1].at, house.days("breeding.window_closes")),
            tuple({entry.id: entry for entry in (her.matings[0], her.matings[-1])}.values()),
            stored_sperm=False,
            first_closes=look.in_days(her.matings[0].at, house.days("breeding.window_closes")),
        )
    last = her.last_complete
    if last is None or last.complete is None or last.complete.at != her.cycle_start:
        return None
    low, high = house.band("breeding.next_clutch_days")
    at = last.complete.at
    closes = look.in_days(at, int(high))
    return Window(look.in_days(at, int(low)), closes, (last.complete,), stored_sperm=True, first_closes=closes)
