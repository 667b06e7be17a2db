"""How long something takes, learned from how long it took: the log of a positive quantity, believed and updated.

The quantity is any positive one: days from mating to laying, days of incubation, a sum of degree days. Its natural
logarithm is taken as normal with unknown mean and variance, and what is known of the two is a normal–inverse-gamma
belief. Seen values update it in closed form, and the next value, in logs, follows Student's t (Gelman et al. 2013,
Bayesian Data Analysis, 3rd ed., 3.3). No dependency: scipy takes longer to import than the whole program, so the t
distribution stands here and the tests hold it to scipy.

What was not seen exactly:

* The start lies somewhere in a time (company of a male, no mating seen): each moment of it is as likely. Forward,
  the forecast is the mean over them (`quantile` with several `starts`, or `quantile_of` a mixture). Backward, a
  completed interval is learned from as the mean of its possible logs, each weighed by how likely the belief holds
  it; the further they lie apart the less it counts (`seen_within`).
* It has not happened yet: the forecast is of what is left (`after`).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import lru_cache

import msgspec

#: Logs are held within these: quantities from 1e-130 to 1e130, so that no sheet can make a number overflow.
_LEAST, _MOST = -300.0, 300.0


class Seen(msgspec.Struct, frozen=True):
    """One completed value: its natural log, and for how much of one it counts (1: seen exactly; 0: not at all)."""

    log: float
    counts: float = 1.0


class Belief(msgspec.Struct, frozen=True):
    """What is known of log(quantity): normal–inverse-gamma.

    `centre` is the log of the typical value, `kappa` for how many seen values the centre counts, `alpha` half the
    degrees of freedom, `beta` / `alpha` the variance of one log.
    """

    centre: float
    kappa: float
    alpha: float
    beta: float

    @property
    def degrees(self) -> float:
        """Degrees of freedom of the next value's t distribution."""
        return 2 * self.alpha

    @property
    def scale(self) -> float:
        """Scale of the next value's t distribution, in logs."""
        return math.sqrt(self.beta * (self.kappa + 1) / (self.alpha * self.kappa))

    def chance_after(self, value: float) -> float:
        """The chance that the next value is larger than this one."""
        if value <= 0:
            return 1.0
        return t_above((_log(value) - self.centre) / self.scale, self.degrees)

    def density(self, log: float) -> float:
        """How likely the next value's log is, up to a factor: enough to weigh one against another."""
        t = (log - self.centre) / self.scale
        return float((1 + t * t / self.degrees) ** (-(self.degrees + 1) / 2))


def prior(centre: float, *, cv: float, kappa: float = 4.0, alpha: float = 2.0) -> Belief:
    """The belief before anything was seen: a typical value, and its spread as a part of it (.2 for 20 %).

    κ0 = 4 and α0 = 2 let the centre count for four seen values and leave four degrees of freedom: house rules, no
    publishable number found. Raises ValueError unless all four are positive.
    """
    if not all(0 < figure < math.inf for figure in (centre, cv, kappa, alpha)):
        raise ValueError("centre, cv, kappa and alpha are positive numbers")
    return Belief(_log(centre), kappa, alpha, alpha * cv * cv)


def exactly(value: float) -> Seen:
    """A value that was seen."""
    return Seen(_log(value))


def seen_within(belief: Belief, values: Sequence[float]) -> Seen:
    """A value of which only is known that it is one of these, as likely before as one another.

    The mean of their logs, each weighed by the belief; it counts for variance / (variance + variance over the
    values): one possible value counts for 1, values as far apart as any two clutches for about a half.
    """
    logs = [_log(value) for value in values if value > 0]
    if not logs:
        return Seen(belief.centre, 0.0)
    weights = [belief.density(log) for log in logs]
    total = sum(weights)
    if not total > 0:
        weights, total = [1.0] * len(logs), float(len(logs))
    mean = sum(weight * log for weight, log in zip(weights, logs, strict=True)) / total
    over = sum(weight * (log - mean) ** 2 for weight, log in zip(weights, logs, strict=True)) / total
    variance = belief.beta / belief.alpha
    return Seen(mean, variance / (variance + over))


def learned(belief: Belief, seen: Sequence[Seen]) -> Belief:
    """The belief once these values were seen too: the conjugate update. The order makes no difference."""
    n = math.fsum(one.counts for one in seen)
    if not n > 0:
        return belief
    mean = math.fsum(one.counts * one.log for one in seen) / n
    squares = math.fsum(one.counts * (one.log - mean) ** 2 for one in seen)
    kappa = belief.kappa + n
    return Belief(
        (belief.kappa * belief.centre + n * mean) / kappa,
        kappa,
        belief.alpha + n / 2,
        belief.beta + squares / 2 + belief.kappa * n * (mean - belief.centre) ** 2 / (2 * kappa),
    )


def held_to(belief: Belief, *, kappa: float, alpha: float) -> Belief:
    """The belief with the same next value, counting for no more than so many seen values.

    What others taught, for one of whom little is known: the forecast stays theirs, and her own values soon weigh
    more than theirs. With κ she and they differ by 1 / (κ + 1) of the variance of a value.
    """
    kappa, alpha = min(belief.kappa, kappa), min(belief.alpha, alpha)
    return Belief(belief.centre, kappa, alpha, belief.scale**2 * alpha * kappa / (kappa + 1))


class Part(msgspec.Struct, frozen=True):
    """One way in which it may go: the belief, from which moment on, and how likely it is beside the others."""

    belief: Belief
    start: float = 0.0
    weight: float = 1.0


def quantile(belief: Belief, p: float, *, starts: Sequence[float] = (0.0,), after: float | None = None) -> float:
    """The value that the next one stays under with chance `p`, counted from where `starts` are counted from.

    `starts`: the moments, each as likely as another, from which it may run; one of 0 for a start that was seen.
    `after`: it is known not to have happened up to then, so this is the quantile of what is left; never under it.
    Raises ValueError for a `p` that is not between 0 and 1, and without a start.
    """
    return quantile_of(tuple(Part(belief, start) for start in starts), p, after)


@lru_cache(maxsize=1024)
def quantile_of(parts: tuple[Part, ...], p: float, after: float | None = None) -> float:
    """The same of a mixture of several ways. Raises ValueError as `quantile` does."""
    if not 0 < p < 1 or not parts:
        raise ValueError("p lies between 0 and 1, and there is a start")
    aim = (1 - p) * (1.0 if after is None else chance_after(parts, after))
    # Each way alone has such a quantile; that of the mixture lies between the first and the last of them.
    tail = max(aim, 1e-290)
    alone = [
        part.start + _exp(part.belief.centre + part.belief.scale * _above(tail, part.belief.degrees))
        for part in set(parts)
    ]
    low, high = min(alone), max(alone)
    if after is not None:
        low, high = max(low, after), max(high, after)
    if len(alone) == 1:
        return low
    return _solved(lambda value: chance_after(parts, value) - aim, low, high, close=1e-10 * aim)


def chance_after(parts: Sequence[Part], value: float) -> float:
    """The chance that it has not happened by a value."""
    left = math.fsum(part.weight * part.belief.chance_after(value - part.start) for part in parts)
    return left / math.fsum(part.weight for part in parts)


# Student's t


def t_quantile(p: float, dof: float) -> float:
    """The value that Student's t with `dof` (real, 2 or more) degrees of freedom stays under with chance `p`.

    Raises ValueError for a `p` that is not between 0 and 1, and for fewer than 2 degrees.
    """
    if not 0 < p < 1 or not 2 <= dof < math.inf:
        raise ValueError("p lies between 0 and 1, and there are 2 degrees of freedom or more")
    return -_above(p, dof) if p < 0.5 else _above(1 - p, dof)


def t_above(t: float, dof: float) -> float:
    """The chance that Student's t with `dof` degrees of freedom is larger than `t`."""
    tail = _incomplete_beta(dof / 2, 0.5, dof / (dof + t * t)) / 2
    return tail if t >= 0 else 1 - tail


@lru_cache(maxsize=4096)
def _above(chance: float, dof: float) -> float:
    """The value that t is larger than with this chance."""
    if chance > 0.5:
        return -_above(1 - chance, dof)
    if chance == 0.5:
        return 0.0
    t = _nearly_above(chance, dof)
    front = math.lgamma((dof + 1) / 2) - math.lgamma(dof / 2) - math.log(dof * math.pi) / 2
    for _ in range(12):
        # Newton's method on the log of the tail over asinh t, which is nearly straight far out too.
        tail = t_above(t, dof)
        density = math.exp(front - (dof + 1) / 2 * math.log1p(t * t / dof))
        if not tail > 0 or not density > 0:
            break
        off = math.log(tail / chance) * tail / (density * math.hypot(1, t))
        u = math.asinh(t) + off
        if not 0 <= u < 700:
            break
        t = math.sinh(u)
        if abs(off) <= 1e-9:  # the next step would be of some 1e-18
            return t
    low, high = 0.0, 2.0
    while t_above(high, dof) > chance:
        low, high = high, high * 2
    aim = math.log(chance)
    return _solved(lambda t: math.log(max(t_above(t, dof), 5e-324)) - aim, low, high)


def _nearly_above(chance: float, dof: float) -> float:
    """The same nearly, for a chance under a half (Abramowitz & Stegun 1964, 26.2.23 and 26.7.5)."""
    root = math.sqrt(-2 * math.log(chance))
    z = root - (2.515517 + root * (0.802853 + root * 0.010328)) / (
        1 + root * (1.432788 + root * (0.189269 + root * 0.001308))
    )
    return max(0.0, z + (z**3 + z) / (4 * dof) + (5 * z**5 + 16 * z**3 + 3 * z) / (96 * dof * dof))


def _solved(falls: Callable[[float], float], low: float, high: float, *, close: float = 0.0) -> float:
    """Where a falling function passes through zero: the Illinois method (Dowell & Jarratt 1971, BIT).

    A value as near to zero as `close` is near enough.
    """
    at_low, at_high = falls(low), falls(high)
    if at_low <= 0:
        return low
    if at_high >= 0:
        return high
    side = 0
    for _ in range(100):
        value = (low * at_high - high * at_low) / (at_high - at_low)
        if not low < value < high:
            value = (low + high) / 2
        at = falls(value)
        if abs(at) <= close or high - low <= 1e-12 * max(1.0, abs(high)):
            return value
        if at > 0:
            low, at_low = value, at
            at_high = at_high / 2 if side == 1 else at_high
            side = 1
        else:
            high, at_high = value, at
            at_low = at_low / 2 if side == -1 else at_low
            side = -1
    return (low + high) / 2


def _incomplete_beta(a: float, b: float, x: float) -> float:
    """The regularised incomplete beta function by its continued fraction (modified Lentz; DLMF 8.17.22)."""
    if x <= 0:
        return 0.0
    if x >= 1:
        return 1.0
    if x > (a + 1) / (a + b + 2):
        return 1 - _incomplete_beta(b, a, 1 - x)
    front = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    tiny = 1e-300
    c, d = 1.0, 1 - (a + b) * x / (a + 1)
    d = 1 / (d if abs(d) > tiny else tiny)
    fraction = d
    for m in range(1, 300):
        # The two numerators of one turn, written out: a start waits for some thousand turns.
        last = a + 2 * m
        numerator = m * (b - m) * x / ((last - 1) * last)
        d, c = 1 + numerator * d, 1 + numerator / c
        d, c = 1 / (d or tiny), c or tiny
        fraction *= c * d
        numerator = -(a + m) * (a + b + m) * x / (last * (last + 1))
        d, c = 1 + numerator * d, 1 + numerator / c
        d, c = 1 / (d or tiny), c or tiny
        step = c * d
        fraction *= step
        if -1e-15 < step - 1 < 1e-15:
            break
    return math.exp(front) * fraction / a if front > -700 else 0.0


def _log(value: float) -> float:
    """The natural log, held within what can be reckoned with."""
    return min(_MOST, max(_LEAST, math.log(value))) if value > 0 else _LEAST


def _exp(log: float) -> float:
    return math.exp(min(_MOST, max(_LEAST, log)))
