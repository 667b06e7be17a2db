"""What a rule looks at: one subject as it stands, under the house rules, at a moment."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, date, datetime, time
from typing import TYPE_CHECKING, Any, Final, TypeAlias, TypeVar

from rounds.due.evidence import Sum, evidence
from rounds.due.matter import Act, Level, Matter
from rounds.due.round import Round, part_of
from rounds.logbook.entries import Entry
from rounds.logbook.times import days_between, hours_between, on_wall
from rounds.logbook.turns import turns
from rounds.rules.house import House
from rounds.standing.animal import Animal, animal
from rounds.standing.breeding import Digging, Phase, Window
from rounds.standing.clutch import Clutch, clutch
from rounds.standing.digging import may_be_gravid
from rounds.standing.enclosure import Enclosure, enclosure
from rounds.standing.female import Female, female
from rounds.standing.fold import Standing
from rounds.standing.group import Group, group
from rounds.standing.kept import cached_property
from rounds.standing.trend import Trend, trend
from rounds.standing.weighing import Weighing
from rounds.standing.weighings import last_weighing, weighings

if TYPE_CHECKING:
    from rounds.standing.crosses import Crosses

#: A rule: what it finds in a look. Its name is the matter's, its docstring is its help text.
Rule: TypeAlias = "Callable[[Look], Iterator[Matter]]"
_Rule = TypeVar("_Rule", bound=Rule)
_Entry = TypeVar("_Entry", bound=Entry)

#: The house rules each matter rests on, by the rule's name.
CITED: Final[dict[str, tuple[str, ...]]] = {}
#: Kinds of entry of which a subject's page has to have one for a rule to find anything.
NEEDED: Final[dict[str, frozenset[type[Entry]]]] = {}
#: What can always be done about a matter that is for the vet.
_VET_ACTS: Final[tuple[Act, ...]] = ("vet called", "refer", "vet seen")


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

    def __init__(self, standing: Standing, house: House, now: datetime, whole: bool = False) -> None:
        """`whole`: the room itself is among the subjects, and comes last."""
        self.standing = standing
        self.house = house
        self.now = now
        self.whole = whole
        #: What a rule of the room says of each enclosure: worked out while the pages of that are at hand.
        self.of_enclosures: dict[str, Any] = {}
        self._mates: dict[str, Look] = {}

    def mate(self, subject: str) -> Look:
        """A look at a male for all the females he is with: what is said of him is worked out once."""
        found = self._mates.get(subject)
        if found is None:
            found = self._mates[subject] = Look(self.standing, self.house, self.now, subject, self)
        return found

    @cached_property
    def burdens(self) -> Crosses:
        """What is believed of every animal and the traits that some young suffer from, by what is noted of kin."""
        from rounds.standing.crosses import Crosses  # late: no start has to wait for it
        from rounds.standing.pedigree import pedigree

        kin = pedigree(self.standing, self.house.breeding_days)
        traits = [trait for trait in self.house.traits if trait.burden]
        return Crosses(self.standing, kin, traits, by_young=False)

    @cached_property
    def round(self) -> Round:
        """The walk of the room that due lines are reckoned for at this moment."""
        return Round(self.standing, self.house, self.now, part_of(self.now, self.house))

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
        return female(self.standing, self.subject, self.house.breeding_days)

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
    def age_months(self) -> int | None:
        """Age in whole months by the calendar; None when not known."""
        return self.animal.age_months(self.now)

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
        return trend(self.animal, self.house.weight_limits, self.now)

    def turns(self, entries: Sequence[Entry]) -> int:
        """How many turns entries (oldest first) were noted on: over and over within one they count once."""
        return len(turns(entries, self.house.number("walk.turn_gap_hours")))

    @property
    def weighings(self) -> tuple[Weighing, ...]:
        """Its weighings, oldest first."""
        return weighings(self.animal, self.house.weighing_rule)

    @property
    def last_weighing(self) -> Weighing | None:
        """The last of them."""
        return last_weighing(self.animal, self.house.weighing_rule)

    @property
    def round(self) -> Round:
        """The walk of the room that due lines are reckoned for at this moment."""
        return self.reckoning.round

    @cached_property
    def phase(self) -> Phase:
        """Her place in the breeding year."""
        return self.female.phase(self.now)

    @cached_property
    def may_be_gravid(self) -> bool:
        """Whether she might hold eggs, decided on the safe side: by sex and age, or by what was seen of her."""
        if not self.subject.startswith("animal/"):
            return False
        her = self.female
        if may_be_gravid(self.animal, self.now, self.house.breeding_days):
            return True
        return bool(her.felt or (self.animal.sex != "M" and her.matings))

    @cached_property
    def gravid_because(self) -> tuple[Entry, ...] | None:
        """Why she can be gravid, from what was noted; None when nothing says so."""
        return self.female.gravid_because(self.now) if self.may_be_gravid else None

    @cached_property
    def digging(self) -> Digging | None:
        """Her run of nest digging of which no vet has heard."""
        return self.female.digging(self.now)

    @cached_property
    def unfinished(self) -> Clutch | None:
        """The clutch she has begun and not completed.

        Or the one that was said to be complete, when eggs were felt in her after the last egg while she counts as
        freshly laid, and no vet has heard of her since: a word does not take away what was felt.
        """
        her = self.female
        if her.laying is not None:
            return her.laying
        last = her.last_complete
        if last is None or last.complete is None or last.last_egg is None:
            return None
        # Of eggs under several names what was felt since the first was said to be complete, to days after the last.
        parts, lasts = her.laying_with(last), self.house.breeding_days.laid_lasts
        first = next(one for one in parts if one.complete)
        done = max(
            end.at for one in parts if one.complete for end in (one.complete, one.last_egg) if end is not None
        )
        since = min(first.complete or last.complete, first.last_egg or last.last_egg, key=lambda egg: egg.at)
        felt = [
            entry
            for entry in her.felt_since(since)
            if entry.at > since.at
            and days_between(done, entry.at) <= lasts
            and not her.laid_after(last, entry)
            and self.animal.after_contact(entry)
            and not any(entry.at < again.at for again in her.said_again)
        ]
        return last if felt else None

    @cached_property
    def windows(self) -> tuple[Window, ...]:
        """The times in which she may lay since her last clutch, oldest first."""
        return self.female.windows(self.now)

    @property
    def window(self) -> Window | None:
        """The one that counts now: the last that has begun to be reckoned."""
        return self.windows[-1] if self.windows else None

    @cached_property
    def evidence(self) -> Sum:
        """The weak signs that she is gravid and it goes wrong, and what they add up to."""
        return evidence(self.female, self.house, self.now)

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
        adds: tuple[str, ...] = (),
        asks_again: datetime | None = None,
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
            acts=(*(one for one in _VET_ACTS if one not in acts), *acts) if level >= Level.VET else acts,
            adds=adds,
            asks_again=asks_again,
        )

    @property
    def place(self) -> str | None:
        """The enclosure to go to."""
        sort = self.subject.partition("/")[0]
        if sort == "enclosure":
            return self.subject
        if sort == "clutch":
            # Eggs in no box yet are where they were laid.
            return self.clutch.place or (
                self.standing.places.get(self.clutch.dam or "") if self.clutch.boxed is None else None
            )
        return self.standing.places.get(self.subject)
