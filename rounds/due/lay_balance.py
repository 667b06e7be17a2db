"""What a female weighed before and after laying, held against the mass of her eggs; and what she regained since.

The mass of the eggs is what the scale said; where they were not weighed, her own mean egg from clutches that were;
without one, the published mean. Each has its uncertainty, and so have the two weights: a balance that does not say
how far it may be off says nothing. Between the weight before and the first egg the eggs may have grown on: any
growth is as likely, from none to that of eggs which grow evenly over the days of the house. All of it is shown as
twice the standard deviation.
"""

from __future__ import annotations

from datetime import timedelta
from math import sqrt
from typing import Final, Literal

import msgspec

from rounds.logbook.entries import EggsBoxed
from rounds.logbook.times import days_between
from rounds.rules.house import House
from rounds.standing.clutch import Clutch
from rounds.standing.female import Female
from rounds.standing.weighing import Weighing

#: What the mass of the eggs is taken from.
From = Literal["weighed", "her mean egg", "the published mean egg"]
#: Whether the loss fits the eggs; `heavier`: eggs may be left in her.
Verdict = Literal["fits", "heavier", "lighter"]

#: The house rules a balance rests on.
BALANCE_RULES: Final = (
    "laying.egg_grams",
    "laying.egg_spread_grams",
    "laying.own_spread_percent",
    "laying.scale_percent",
    "laying.before_days",
    "laying.after_days",
    "laying.growth_days",
)


class EggMass(msgspec.Struct, frozen=True):
    """The mass of the eggs of a clutch in g, its standard deviation, the mass of one, and what it is taken from."""

    grams: float
    spread: float
    each: float
    by: From


class LayBalance(msgspec.Struct, frozen=True, kw_only=True):
    """One clutch on the scale, in g: `over` is what the eggs do not explain, `spread` its standard deviation."""

    clutch: str
    eggs: int
    before: Weighing
    after: Weighing
    mass: EggMass
    #: Days from the weight before to the first egg, and what the eggs may have grown in them, the middle of it.
    days_before: int
    grown: float
    over: float
    spread: float

    @property
    def lost(self) -> float:
        """What she lost from before to after, in g."""
        return self.before.grams - self.after.grams

    @property
    def left(self) -> tuple[int, int]:
        """How many eggs the difference comes to, from and to; under 0 where she lost more than the eggs weigh."""
        each = max(self.mass.each, 0.5)  # a slip of the scale is no egg
        return round((self.over - 2 * self.spread) / each), round((self.over + 2 * self.spread) / each)

    @property
    def verdict(self) -> Verdict:
        """Whether the loss fits the eggs, as far as the scale can tell."""
        low, high = self.left
        return "heavier" if low >= 1 else "lighter" if high <= -1 else "fits"

    @property
    def words(self) -> str:
        """The verdict in plain words: `about 5 to 9 eggs heavier than the eggs say`."""
        low, high = self.left
        if self.verdict == "heavier":
            return f"about {low} to {high} eggs heavier than the eggs say" if low != high else _one_more(low)
        if self.verdict == "lighter":
            return f"lost {-self.over:.0f} g more than the eggs weigh"
        return "the loss accounts for the eggs"

    @property
    def says(self) -> str:
        """The verdict with its figures, and how far it may be off."""
        many = f"{self.eggs} egg{'s' * (self.eggs != 1)}"
        return (
            f"{self.words}: lost {self.lost:.0f} g, {many} weigh {self.mass.grams:.0f} g by {_BY[self.mass.by]}, "
            f"± {2 * self.spread:.0f} g in all{self._weighed}"
        )

    @property
    def _weighed(self) -> str:
        if not self.days_before:
            return ""
        return f", weighed {self.days_before} day{'s' * (self.days_before != 1)} before"


_BY: Final = {
    "weighed": "the scale",
    "her mean egg": "her mean egg",
    "the published mean egg": "the published mean egg",
}


def _one_more(eggs: int) -> str:
    return f"about {eggs} egg{'s' * (eggs != 1)} heavier than the eggs say"


def egg_mass(her: Female, house: House, eggs: Clutch) -> EggMass:
    """The mass of the eggs of a clutch, with how far it may be off."""
    own = _own_mean(her, house, eggs)
    scale = house.number("laying.scale_percent") / 100
    weighed, many = weighed_eggs(eggs)
    if many:
        each, rest = weighed / many, max(0, eggs.count - many)
        off = house.number("laying.own_spread_percent") / 100 * each * rest
        return EggMass(weighed + rest * each, sqrt((scale * weighed) ** 2 + off**2), each, "weighed")
    each, spread, by = own
    return EggMass(eggs.count * each, eggs.count * spread, each, by)


def weighed_eggs(eggs: Clutch) -> tuple[float, int]:
    """The mass of those eggs of a clutch that were weighed, in g, and how many: when laid, else when boxed."""
    laid = [entry for entry in eggs.laid if entry.eggs_grams is not None and entry.count > 0]
    if laid:
        return laid[-1].eggs_grams or 0.0, laid[-1].count
    boxed = [entry for entry in eggs.page.of(EggsBoxed) if entry.eggs_grams is not None and entry.count > 0]
    last = [entry for entry in boxed if boxed[-1].at - entry.at <= timedelta(days=1)]
    many = sum(entry.count for entry in last)
    if not last or many > eggs.count:
        return 0.0, 0
    return sum(entry.eggs_grams or 0.0 for entry in last), many


def _own_mean(her: Female, house: House, besides: Clutch) -> tuple[float, float, From]:
    """Her mean egg in g from clutches that were weighed, else the published one; and its standard deviation."""
    means = [
        grams / many for one in her.clutches if one is not besides for grams, many in (weighed_eggs(one),) if many
    ]
    if not means:
        return house.number("laying.egg_grams"), house.number("laying.egg_spread_grams"), "the published mean egg"
    mean = sum(means) / len(means)
    spread = house.number("laying.own_spread_percent") / 100 * mean * sqrt(1 + 1 / len(means))
    return mean, spread, "her mean egg"


def lay_balance(her: Female, house: House, eggs: Clutch) -> LayBalance | None:
    """A clutch on the scale; None where she was not weighed shortly before, or not shortly after its last egg."""
    begun, done = eggs.begun_at, eggs.complete or eggs.last_egg
    if begun is None or done is None or not eggs.count:
        return None
    soonest, latest = house.days("laying.before_days"), house.days("laying.after_days")
    end = max(done.at, eggs.laid[-1].at)
    known = [one for one in her.weighings() if not one.unsure]
    before = [one for one in known if one.ended <= begun and days_between(one.at, begun) <= soonest]
    after = [one for one in known if one.at > end and days_between(end, one.at) <= latest]
    if not before or not after:
        return None
    first, last = before[-1], after[0]
    mass = egg_mass(her, house, eggs)
    scale = house.number("laying.scale_percent") / 100
    days = max(0, days_between(first.at, begun))
    most = mass.grams * min(1.0, days / house.number("laying.growth_days"))
    return LayBalance(
        clutch=eggs.subject,
        eggs=eggs.count,
        before=first,
        after=last,
        mass=mass,
        days_before=days,
        grown=most / 2,
        over=last.grams - (first.grams + most / 2 - mass.grams),
        spread=sqrt((scale * first.grams) ** 2 + (scale * last.grams) ** 2 + mass.spread**2 + most**2 / 12),
    )


class Regained(msgspec.Struct, frozen=True):
    """What she weighs now beside her own weight before her last clutch, both in g."""

    own: float
    now: float

    @property
    def part(self) -> float:
        """Her weight now as a part of her own (1.0: all of it is back)."""
        return self.now / self.own

    @property
    def says(self) -> str:
        """`96 % of her own weight before the clutch (430 g)`."""
        return f"{int(self.part * 100 + 1e-9)} % of her own weight before the clutch ({self.own:g} g)"


def regained(her: Female) -> Regained | None:
    """How far she has recovered from her last complete clutch; None without a weight before it, or since."""
    own, laid = her.weight_before_last_clutch(), her.laid_at
    since = [one for one in her.weighings() if not one.unsure and laid is not None and one.at > laid]
    return Regained(own, since[-1].grams) if own and since else None


class Expected(msgspec.Struct, frozen=True):
    """How many eggs are expected of her: the mean of her clutches, the least and the most; None without any."""

    clutches: int
    mean: float | None
    least: int
    most: int

    @property
    def says(self) -> str:
        """`about 21 eggs: her 3 clutches had 18 to 24`."""
        if self.mean is None:
            return f"{self.least} or more eggs are usual"
        of = "her one clutch had" if self.clutches == 1 else f"her {self.clutches} clutches had"
        return f"about {self.mean:.0f} eggs: {of} {_range(self.least, self.most)}"


def _range(least: int, most: int) -> str:
    return f"{least}" if least == most else f"{least} to {most}"


def expected_eggs(her: Female, besides: Clutch | None = None) -> Expected:
    """How many eggs are expected, from her own complete clutches; without one, the least that is usual."""
    usual = her.usual_count(besides)
    counts = [
        one.count
        for one in her.clutches
        if one.complete and one is not besides and one.count >= her.days.least_eggs
    ]
    if usual is None or not counts:
        return Expected(0, usual, her.days.least_eggs, her.days.least_eggs)
    return Expected(len(counts), usual, min(counts), max(counts))
