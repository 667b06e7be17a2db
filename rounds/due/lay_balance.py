"""What a female weighs once she has laid, held against her own weight and the mass of her eggs.

She was her own weight and her eggs. So what she weighs above her own weight once eggs are out is eggs left in her,
as far as scales can tell: `LayBalance.left`. Weighed after the last egg, that weight counts; until then what she
weighed before it less the mass of the eggs. The mass is what the scale said; where they were not weighed, her own
mean egg from clutches that were; without one, the published mean.

What she lost from before to after says something else: more than the eggs weigh, and eggs may lie unfound.

Each figure has its uncertainty, and a balance that does not say how far it may be off says nothing. Her body
without eggs is not quite her own weight of weeks ago: any part of the house's band is as likely. Between the weight
before and the first egg the eggs may have grown on, from not at all to evenly over the days of the house. All is
shown as twice the standard deviation.
"""

from __future__ import annotations

from math import sqrt
from typing import Final, Literal

import msgspec

from rounds.due.dates import day
from rounds.logbook.entries import Entry, Weighed
from rounds.logbook.times import days_between
from rounds.rules.house import House
from rounds.standing.clutch import Clutch
from rounds.standing.egg_mass import weighed_eggs
from rounds.standing.female import Female
from rounds.standing.weighing import Weighing

#: What the mass of the eggs is taken from.
From = Literal["weighed", "her mean egg", "the published mean egg"]
#: Whether her weight fits the eggs; `heavier`: eggs may be left in her; `eggs felt`: what the scale says of them
#: counts for nothing.
Verdict = Literal["fits", "heavier", "eggs felt"]

#: The house rules a balance rests on.
BALANCE_RULES: Final = (
    "eggs.egg_g",
    "laying.egg_spread_grams",
    "laying.own_spread_percent",
    "laying.scale_percent",
    "laying.before_days",
    "laying.after_days",
    "laying.growth_days",
    "laying.empty_percent",
)


class EggMass(msgspec.Struct, frozen=True):
    """The mass of the eggs of a clutch in g, its standard deviation, the mass of one, and what it is taken from."""

    grams: float
    spread: float
    each: float
    by: From


class LayBalance(msgspec.Struct, frozen=True, kw_only=True):
    """One clutch on the scale, in g.

    `own` is her own weight before she was gravid; `now` what she weighs without the eggs that are out: `after`, or,
    not weighed since, `before` less their mass. `over` is what that lies above her body without eggs, `spread` its
    standard deviation. `unfound` is what she lost more than the eggs weigh, and its deviation. `complete`: the
    clutch is. `felt` is the newest entry since its last egg that says that eggs are in her.
    """

    clutch: str
    eggs: int
    own: float
    before: Weighing | None
    after: Weighing | None
    mass: EggMass
    now: float
    over: float
    spread: float
    unfound: tuple[float, float] | None
    complete: bool
    felt: Entry | None

    @property
    def lost(self) -> float | None:
        """What she lost from before to after, in g."""
        return self.before.grams - self.after.grams if self.before is not None and self.after is not None else None

    @property
    def behind(self) -> tuple[Weighed, ...]:
        """The readings of the weighing that it rests on, after the last egg or before the first."""
        weighing = self.after or self.before
        return weighing.middle if weighing is not None else ()

    @property
    def left(self) -> tuple[int, int]:
        """How many eggs the difference comes to, from and to; under 0 where she is lighter than without any."""
        return self._in_eggs(self.over, self.spread)

    @property
    def not_found(self) -> tuple[int, int]:
        """How many eggs the loss comes to that the eggs do not explain, from and to."""
        return (0, 0) if self.unfound is None else self._in_eggs(*self.unfound)

    def _in_eggs(self, grams: float, spread: float) -> tuple[int, int]:
        each = max(self.mass.each, 0.5)  # a slip of the scale is no egg
        return round((grams - 2 * spread) / each), round((grams + 2 * spread) / each)

    @property
    def verdict(self) -> Verdict:
        """Whether her weight fits the eggs, as far as the scale can tell."""
        if self.left[0] >= 1:
            return "heavier"
        return "fits" if self.felt is None else "eggs felt"

    @property
    def words(self) -> str:
        """The verdict in plain words: `about 5 to 9 eggs heavier than the eggs say`.

        How many eggs in her the scale would not show stands in it: a weight that fits is no all-clear.
        """
        if self.verdict == "heavier":
            return f"about {_eggs(*self.left)} heavier than the eggs say"
        if self.felt is not None:
            return f"eggs felt {day(self.felt.at)}, the scale does not answer that"
        if not self.complete:
            return "not complete yet"
        hidden = self.left[1]
        many = f", give or take {hidden}" if hidden >= 1 else ""
        return f"her weight {'may account' if self.over > self.spread else 'accounts'} for the eggs{many}"

    @property
    def says(self) -> str:
        """The verdict with its figures, and how far it may be off."""
        many = _eggs(self.eggs, self.eggs)
        if self.after is not None:
            weight = f"{self.now:.0f} g"
        else:
            weight = f"{self.now:.0f} g, reckoned from {self.mass.grams:.0f} g of eggs by {_BY[self.mass.by]}"
        found = f"{self.words}: {weight}, her own weight {self.own:.0f} g, {many} out, ± {2 * self.spread:.0f} g"
        if self.unfound is not None and self.not_found[0] >= 1:
            found += f"; lost {self.unfound[0]:.0f} g more than they weigh: water, or eggs not found"
        if self.over + 2 * self.spread < 0:
            found += f"; {-self.over:.0f} g lighter than laying explains"
        return found


_BY: Final = {
    "weighed": "the scale",
    "her mean egg": "her mean egg",
    "the published mean egg": "the published mean egg",
}


def _eggs(low: int, high: int) -> str:
    return f"{low} egg{'s' * (low != 1)}" if low == high else f"{low} to {high} eggs"


def egg_mass(her: Female, house: House, eggs: Clutch) -> EggMass:
    """The mass of the eggs of a clutch, with those of its laying before it, and how far it may be off."""
    parts, count = her.laying_with(eggs), her.laid_in_all(eggs)
    own = _own_mean(her, house, parts)
    scale = house.number("laying.scale_percent") / 100
    on_scale = [weighed_eggs(one) for one in parts]
    weighed, many = sum(grams for grams, _ in on_scale), sum(many for _, many in on_scale)
    if many:
        each, rest = weighed / many, max(0, count - many)
        off = house.number("laying.own_spread_percent") / 100 * each * rest
        return EggMass(weighed + rest * each, sqrt((scale * weighed) ** 2 + off**2), each, "weighed")
    each, spread, by = own
    return EggMass(count * each, count * spread, each, by)


def _own_mean(her: Female, house: House, besides: tuple[Clutch, ...]) -> tuple[float, float, From]:
    """Her mean egg in g from clutches that were weighed, else the published one; and its standard deviation."""
    means = [
        grams / many for one in her.clutches if one not in besides for grams, many in (weighed_eggs(one),) if many
    ]
    if not means:
        return house.number("eggs.egg_g"), house.number("laying.egg_spread_grams"), "the published mean egg"
    mean = sum(means) / len(means)
    spread = house.number("laying.own_spread_percent") / 100 * mean * sqrt(1 + 1 / len(means))
    return mean, spread, "her mean egg"


def lay_balance(her: Female, house: House, eggs: Clutch) -> LayBalance | None:
    """A clutch on the scale; None without her own weight, or if weighed neither shortly before nor after."""
    parts = her.laying_with(eggs)
    begun, done, own = parts[0].begun_at, eggs.complete or eggs.last_egg, her.weight_before(eggs)
    if begun is None or done is None or not eggs.count or not own:
        return None
    end = max(done.at, eggs.laid[-1].at)
    soonest, latest = house.days("laying.before_days"), house.days("laying.after_days")
    known = [one for one in her.weighings() if not one.unsure]
    before = [one for one in known if one.ended <= begun and days_between(one.at, begun) <= soonest][-1:]
    after = [one for one in known if one.at > end and days_between(end, one.at) <= latest][-1:]
    if not before and not after:
        return None
    mass = egg_mass(her, house, eggs)
    scale = house.number("laying.scale_percent") / 100
    low, high = (part / 100 for part in house.band("laying.empty_percent"))
    # Her own weight is the median of three.
    body = sqrt((scale * own) ** 2 / 3 + (own * (high - low)) ** 2 / 12)
    empty = own * (1 + (low + high) / 2)
    reckoned, off, unfound = 0.0, 0.0, None
    if before:
        days = max(0, days_between(before[0].at, begun))
        grown = mass.grams * min(1.0, days / house.number("laying.growth_days"))
        reckoned = before[0].grams + grown / 2 - mass.grams
        off = sqrt((scale * before[0].grams) ** 2 + mass.spread**2 + grown**2 / 12)
        if after:
            unfound = (reckoned - after[0].grams, sqrt(off**2 + (scale * after[0].grams) ** 2))
    now, off = (after[0].grams, scale * after[0].grams) if after else (reckoned, off)
    return LayBalance(
        clutch=eggs.subject,
        eggs=her.laid_in_all(eggs),
        own=own,
        before=before[0] if before else None,
        after=after[0] if after else None,
        mass=mass,
        now=now,
        over=now - empty,
        spread=sqrt(off**2 + body**2),
        unfound=unfound,
        complete=eggs.complete is not None,
        felt=next(iter(her.felt_since(eggs.last_egg or done)[-1:]), None),
    )


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
    every = [parts for parts in her.layings if besides not in parts]
    counts = [sum(one.count for one in parts if one.complete) for parts in every]
    counts = [count for count in counts if count >= her.days.least_eggs]
    if usual is None or not counts:
        return Expected(0, usual, her.days.least_eggs, her.days.least_eggs)
    return Expected(len(counts), usual, min(counts), max(counts))
