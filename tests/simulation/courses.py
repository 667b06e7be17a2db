"""The courses: what is true of a female over a season, whoever looks. From a seed and assumptions alone."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass, field
from math import exp, log
from random import Random
from typing import Final, Literal, NamedTuple

from rounds.logbook.words import Sign
from tests.simulation.assumed import Biology, Span, Spread

DAY: Final = 24.0
#: How a male in her company stands in the logbook; "" when it was not written down.
Noted = Literal["put together", "moved", ""]

#: The danger signs, and in how many of the days that show any each is among them.
DANGER: Final[tuple[tuple[Sign, float], ...]] = (
    ("lethargy", 0.75),
    ("straining", 0.3),
    ("weak hind limbs", 0.2),
    ("swelling at the vent", 0.15),
    ("discharge at the vent", 0.1),
    ("tremor", 0.08),
    ("prolapse", 0.04),
)


class Laying(NamedTuple):
    """Eggs that came between two hours: how many of how many there were, and how many slugs among them."""

    began: float
    ended: float
    eggs: int
    whole: int
    slugs: int

    def so_far(self, hour: float) -> int:
        """Eggs in the nest at an hour."""
        if hour < self.began:
            return 0
        part = 1.0 if hour >= self.ended else (hour - self.began) / (self.ended - self.began)
        return max(1, round(self.eggs * part))


class Company(NamedTuple):
    """A male was with her from one hour to another, and how that was written down."""

    began: float
    ended: float
    noted: Noted


@dataclass
class Course:
    """The truth of one animal. Hours count from midnight before the season's first day, days from 0."""

    name: str
    days: int
    #: Turning points of her true weight: hour, g. Straight between them.
    weights: list[tuple[float, float]]
    dig_days: set[int] = field(default_factory=set)
    off_food: list[tuple[float, float]] = field(default_factory=list)
    felt: list[tuple[float, float]] = field(default_factory=list)
    quiet_days: set[int] = field(default_factory=set)
    danger: dict[int, tuple[Sign, ...]] = field(default_factory=dict)
    layings: list[Laying] = field(default_factory=list)
    companies: list[Company] = field(default_factory=list)
    #: Hours of the matings that a keeper saw, and of all of them.
    matings_seen: list[float] = field(default_factory=list)
    matings: list[float] = field(default_factory=list)
    #: From here on a vet would find her ill: eggs that should have come, or follicles that no longer grow.
    trouble: float | None = None
    #: The hour of no return.
    no_return: float | None = None
    death: float | None = None

    def grams(self, hour: float) -> float:
        """Her true weight, g."""
        place = bisect_right(self.weights, (hour, float("inf")))
        if place == 0:
            return self.weights[0][1]
        if place == len(self.weights):
            return self.weights[-1][1]
        (before, low), (after, high) = self.weights[place - 1], self.weights[place]
        return low + (high - low) * (hour - before) / (after - before)

    def leaves_food(self, hour: float) -> bool:
        """Whether she is off her food."""
        return any(began <= hour < ended for began, ended in self.off_food)

    def eggs_can_be_felt(self, hour: float) -> bool:
        """Whether practised hands would feel eggs."""
        return any(began <= hour < ended for began, ended in self.felt)


class Grower:
    """Grows one course from its seed."""

    def __init__(self, name: str, seed: str, biology: Biology, noted: Callable[[Random], Noted]) -> None:
        self.rng = Random(seed)
        self.biology = biology
        self._noted = noted
        self.own = self.span(biology.grams)
        self.course = Course(name, biology.season_days, [(0.0, self.own)])
        self.end = biology.season_days * DAY
        self.whole = 0
        for day in range(biology.season_days):
            if self.chance(biology.idle_digging):
                self.course.dig_days.add(day)
            if self.chance(biology.quiet):
                self.course.quiet_days.add(day)

    def chance(self, probability: float) -> bool:
        return self.rng.random() < probability

    def span(self, span: Span) -> float:
        return self.rng.uniform(span.least, span.most)

    def spread(self, spread: Spread) -> float:
        drawn = exp(self.rng.gauss(log(spread.median), spread.sigma))
        return min(max(drawn, spread.least), spread.most)

    def turn(self, hour: float, grams: float) -> None:
        """Her weight turns here; a turn before the last one is left out."""
        if hour > self.course.weights[-1][0]:
            self.course.weights.append((hour, grams))

    def pair(self, first: float, seen: bool) -> float:
        """Let a male in, once or more; the hour of the mating that takes, if any of them does."""
        biology, hour = self.biology, first
        times = self.rng.randint(int(biology.pairings.least), int(biology.pairings.most))
        noted = "put together" if seen else self._noted(self.rng)
        takes = 0.0
        for number in range(times):
            ends = hour + self.span(biology.together_days) * DAY
            self.course.companies.append(Company(hour, ends, noted))
            mated = self.rng.uniform(hour + 1, ends - 1)
            self.course.matings.append(mated)
            # One that is seen is enough for this to count as a mating seen.
            if seen and (number == 0 or self.chance(0.4)):
                self.course.matings_seen.append(mated)
            takes = takes or mated
            hour = ends + self.span(biology.apart_days) * DAY
        return takes

    def carry(self, due: float) -> float:
        """Eggs grow until the hour at which they are due: their weight, g. `whole` is then how many they are."""
        least, usual, most = self.biology.eggs
        self.whole = round(self.rng.triangular(least, most, usual))
        eggs = self.whole * self.span(self.biology.egg_grams)
        self._alone_from(due - self.biology.alone_days * DAY)
        self.turn(due - self.span(self.biology.growth_days) * DAY, self.own)
        self.turn(due, self.own + eggs)
        return eggs

    def _alone_from(self, hour: float) -> None:
        """No male is let in any more: keepers see that she is gravid."""
        course = self.course
        course.companies = [one for one in course.companies if one.began < hour]
        last = course.companies[-1].ended if course.companies else hour
        course.matings = [mated for mated in course.matings if mated <= last]
        course.matings_seen = [mated for mated in course.matings_seen if mated <= last]

    def dig(self, first: int, last: int) -> None:
        """Days of digging with pauses between."""
        for day in range(first, last + 1):
            if day in (first, last) or not self.chance(self.biology.dig_pause):
                self.course.dig_days.add(max(0, day))

    def lay(self, due: float) -> float:
        """A whole healthy clutch at its time; the hour of its last egg."""
        biology, course = self.biology, self.course
        self.carry(due)
        day = int(due // DAY)
        if not self.chance(biology.no_digging):
            self.dig(day - round(self.span(biology.dig_days)), day)
        ended = due + self.span(biology.laying_hours)
        if self.chance(biology.off_food):
            course.off_food.append((due - self.span(biology.off_food_days) * DAY, ended))
        course.felt.append((due - self.span(biology.felt_days) * DAY, ended))
        slugs = self.rng.randint(0, 3) if course.matings else self.whole
        course.layings.append(Laying(due, ended, self.whole, self.whole, slugs))
        self.turn(ended, self.own * (1 - self.span(biology.spent)))
        self.turn(ended + self.span(biology.recovery_days) * DAY, self.own)
        return ended

    def off_food_until_the_end(self, hour: float) -> None:
        if self.chance(self.biology.sick_off_food):
            self.course.off_food.append((hour + self.rng.uniform(-7, 4) * DAY, float("inf")))

    def go_wrong(self, trouble: float, wait: Spread, grams: float) -> None:
        """From trouble to the hour of no return, the danger signs before it, and death."""
        biology, course = self.biology, self.course
        course.trouble = trouble
        course.no_return = trouble + self.spread(wait) * DAY
        course.death = course.no_return + self.span(biology.death_hours)
        course.days = int(course.death // DAY) + 5
        self.turn(course.no_return, grams * (1 - self.span(biology.sick_loses)))
        begin = course.no_return - self.span(biology.danger_days) * DAY
        for day in range(int(begin // DAY), int(course.death // DAY) + 1):
            if day * DAY > course.no_return or self.chance(biology.danger_shows):
                signs = tuple(sign for sign, share in DANGER if self.chance(share))
                course.danger[day] = signs or ("lethargy",)

    def retain(self, due: float) -> None:
        """The whole clutch stays in: it was due at this hour."""
        eggs = self.carry(due)
        day = int(due // DAY)
        if self.chance(self.biology.sick_digs):
            began = day - round(self.span(self.biology.dig_days))
            stopped = min(day + 1, began + self.rng.randint(1, 4))
            self.dig(began, stopped)
            if self.chance(self.biology.sick_digs_again):
                again = stopped + self.rng.randint(2, 4)
                self.dig(again, again + self.rng.randint(0, 2))
        self.off_food_until_the_end(due)
        self.course.felt.append((due - self.span(self.biology.felt_days) * DAY, float("inf")))
        self.go_wrong(due, self.biology.retained_days, self.own + eggs)

    def lay_part(self, due: float) -> None:
        """Part of the clutch comes at this hour, the rest stays in."""
        biology, course = self.biology, self.course
        eggs = self.carry(due)
        day = int(due // DAY)
        self.dig(day - round(self.span(biology.dig_days)), day)
        laid = max(1, min(self.whole - 3, round(self.whole * self.span(biology.part_laid))))
        ended = due + self.span(biology.laying_hours)
        course.layings.append(Laying(due, ended, laid, self.whole, self.rng.randint(0, min(2, laid))))
        left = self.own * (1 - self.span(biology.spent)) + eggs * (1 - laid / self.whole)
        self.turn(ended, left)
        if self.chance(biology.part_digs):
            began = day + self.rng.randint(1, 2)
            self.dig(began, began + self.rng.randint(0, 3))
        self.off_food_until_the_end(due)
        course.felt.append((due - self.span(biology.felt_days) * DAY, float("inf")))
        self.go_wrong(ended, biology.part_days, left)

    def grow_follicles(self, hour: float) -> tuple[float, float]:
        """Follicles grow from this hour; when they stop, and what she weighs then."""
        ripe = hour + self.rng.uniform(21, 35) * DAY
        grams = self.own * (1 + self.span(self.biology.follicle_gain))
        self.turn(hour, self.own)
        self.turn(ripe, grams)
        self.course.felt.append((ripe - 7 * DAY, float("inf")))
        return ripe, grams


def healthy(grow: Grower) -> None:
    """A healthy season with a male: mating seen or not, one clutch or more, or none when no mating takes."""
    biology = grow.biology
    seen = grow.course.name != "mating not seen"
    hour = grow.span(biology.pairing_day) * DAY
    if grow.course.name == "mating did not take":
        grow.pair(hour, seen)
        if grow.chance(0.5):
            return
        hour += grow.rng.uniform(42, 63) * DAY
    due = grow.pair(hour, seen) + grow.spread(biology.gravid_days) * DAY
    while due < grow.end - 2 * DAY:
        ended = grow.lay(due)
        if grow.chance(biology.second_clutch):
            due = ended + grow.spread(biology.interval_days) * DAY
        elif grow.chance(biology.new_mating):
            due = (
                grow.pair(ended + grow.span(biology.new_mating_days) * DAY, seen)
                + grow.spread(biology.gravid_days) * DAY
            )
        else:
            break


def never_with_a_male(grow: Grower) -> None:
    """A healthy season without a male: no eggs, or slugs once, or follicles that shrink again."""
    biology, hour = grow.biology, grow.rng.uniform(28, 90) * DAY
    kind = grow.rng.random()
    if kind < biology.infertile_clutch:
        grow.lay(hour + 28 * DAY)
    elif kind < biology.infertile_clutch + biology.follicles_shrink:
        ripe, grams = grow.grow_follicles(hour)
        grow.course.felt[-1] = (grow.course.felt[-1][0], ripe + 10 * DAY)
        grow.turn(ripe + 7 * DAY, (grams + grow.own) / 2)
        grow.turn(ripe + grow.rng.uniform(18, 28) * DAY, grow.own)
        if grow.chance(biology.off_food):
            grow.course.off_food.append((ripe - grow.span(biology.off_food_days) * DAY, ripe + 2 * DAY))
        if grow.chance(biology.follicles_dig):
            first = int(ripe // DAY) - 3
            grow.dig(first, first + grow.rng.randint(0, 2))


def no_eggs(grow: Grower) -> None:
    """Mated, maybe seen; the eggs never come."""
    seen = grow.course.name == "no eggs"
    mated = grow.pair(grow.span(grow.biology.pairing_day) * DAY, seen)
    grow.retain(mated + grow.spread(grow.biology.gravid_days) * DAY)


def part_of_a_clutch(grow: Grower) -> None:
    """Mated and seen; part of the clutch comes, the rest stays in."""
    mated = grow.pair(grow.span(grow.biology.pairing_day) * DAY, True)
    grow.lay_part(mated + grow.spread(grow.biology.gravid_days) * DAY)


def second_retained(grow: Grower) -> None:
    """A first clutch without fault; the second, from stored sperm, stays in."""
    mated = grow.pair(grow.span(grow.biology.pairing_day) * DAY, True)
    ended = grow.lay(mated + grow.spread(grow.biology.gravid_days) * DAY)
    grow.retain(ended + grow.spread(grow.biology.interval_days) * DAY)


def follicles(grow: Grower) -> None:
    """Never with a male: follicles grow, and neither shrink nor become eggs."""
    biology = grow.biology
    ripe, grams = grow.grow_follicles(grow.rng.uniform(28, 80) * DAY)
    if grow.chance(biology.follicles_dig):
        first = int(ripe // DAY) - 1
        grow.dig(first, first + grow.rng.randint(0, 3))
    grow.off_food_until_the_end(ripe)
    grow.go_wrong(ripe, biology.stasis_days, grams)


#: Those that go wrong, alike in number.
SICK: Final[dict[str, Callable[[Grower], None]]] = {
    "no eggs": no_eggs,
    "part of a clutch": part_of_a_clutch,
    "second clutch retained": second_retained,
    "unseen mating": no_eggs,
    "follicles, no mate": follicles,
}
#: Those that do not, and in which part of the healthy.
HEALTHY: Final[dict[str, tuple[Callable[[Grower], None], float]]] = {
    "mating seen": (healthy, 0.5),
    "mating not seen": (healthy, 0.2),
    "mating did not take": (healthy, 0.1),
    "never with a male": (never_with_a_male, 0.2),
}


def grown(name: str, seed: str, biology: Biology, noted: Callable[[Random], Noted]) -> Course:
    """The course of this name and seed. `noted` says how the company of a male is written down."""
    grow = Grower(name, seed, biology, noted)
    (SICK[name] if name in SICK else HEALTHY[name][0])(grow)
    return grow.course
