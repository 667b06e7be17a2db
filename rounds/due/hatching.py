"""When a clutch will hatch: the warmth it has had, and what is still missing.

Development is the sum of r(T)·Δt over the readings of the shelf where the eggs lay, or of a probe inside their egg
box while one was read; r grows with each degree above the base of the house, is level
above its top (never extrapolated) and 0 below the base. A clutch hatches when the sum reaches K °C days. K is
believed from the published days (docs/decisions/0030-hatching.md) and from each completed clutch of the colony, in
logs (`rounds.standing.lognormal`).

A forecast may make an alarm earlier, never later: its window ends at the house's longest incubation at the latest.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from typing import Final, Literal

import msgspec

from rounds.due.incubation import limits_of
from rounds.logbook.entries import EggsBoxed, EggsSeen, Hatched
from rounds.logbook.times import days_between, fixed
from rounds.rules.house import House
from rounds.standing.as_of import as_of
from rounds.standing.clutch import Clutch
from rounds.standing.clutch import clutch as clutch_of
from rounds.standing.fold import Standing
from rounds.standing.incubator import DAY, HOUR, Limits, Series, Sums
from rounds.standing.lognormal import Belief, exactly, learned, prior, quantile
from rounds.standing.shelf_readings import has_own, in_the_box, series
from rounds.standing.shelves import Stay, stays

#: The dates of a window: where 10, 50 and 95 of 100 such clutches have begun to hatch.
EARLY, LIKELY, LATE = 0.10, 0.50, 0.95
#: So many clutches each are looked through for completed ones: of those last written of, and of those that no one
#: wrote of for weeks, and for longer than eggs lie: in a large colony these are the ones that have hatched.
_EACH: Final = 20
_QUIET_FOR: Final = (timedelta(0), timedelta(days=28), timedelta(days=110))
#: A completed clutch this many times off the belief is a slip of the pen, not a clutch: it is left out.
_OFF: Final = 1.6
#: A completed clutch counts if the log covers so much of its time; without, the warmth it had is not known.
_KNOWN: Final = 0.5
#: Published days at a steady temperature (husbandry.md): °C, earliest and latest.
BANDS: Final = ((26.0, 89, 96), (260 / 9, 55, 75), (29.0, 50, 80), (30.0, 60, 70))

Basis = Literal["log", "partly", "no log"]


class Own(msgspec.Struct, frozen=True):
    """A completed clutch of the colony: how much warmth it had from laying to its first hatch, in °C days."""

    clutch: str
    development: float
    days: float


class Learned(msgspec.Struct, frozen=True):
    """What is believed of K, and the own clutches it was learned from."""

    belief: Belief
    own: tuple[Own, ...]


class Forecast(msgspec.Struct, frozen=True, kw_only=True):
    """When a clutch will hatch, by the room's days, and what this rests on.

    `day` counts from the date of laying (0), as the lid has it. `part` is how much of the development is done, 1 at
    the likely date. `says` is the plain sentence. `cut`: the window ends at the house's longest incubation.
    """

    clutch: str
    begun: datetime
    day: int
    early: date
    likely: date
    late: date
    part: float
    basis: Basis
    mean_c: float | None
    sums: Sums
    own: int
    cut: bool
    first_out: datetime | None
    #: One has come out; else `first_out` is when one pipped.
    is_out: bool
    says: str

    @property
    def window_begins(self) -> date:
        """The day from which hatching is looked for: the early date, or the day on which one pipped or hatched."""
        return min(self.early, self.first_out.date()) if self.first_out is not None else self.early


def hatch_forecast(
    standing: Standing, house: House, now: datetime, clutch: str, place: str | None = None
) -> Forecast | None:
    """The window in which a clutch will hatch; None where nothing was laid, or nothing is left.

    Of eggs in several boxes the warmest gives the early and the likely date, the coolest the late one; with a
    `place` only the eggs there count. It raises nothing.
    """
    standing = as_of(standing, now)
    eggs = clutch_of(standing, clutch)
    begun = eggs.begun_at
    if begun is None or not _still_in(eggs):
        return None
    limits, at, laid = limits_of(house), now.timestamp(), begun.timestamp()
    if laid > at:
        return None
    known = learned_k(standing, house)
    percentiles = [quantile(known.belief, part) for part in (EARLY, LIKELY, LATE)]
    paths = [_path(standing, limits, found) for found in _places(standing, eggs, place)] or [
        _path(standing, limits, [])
    ]
    dates = [[path.when(laid, wanted) for wanted in percentiles] for path in paths]
    wall = laid + house.days("breeding.longest_incubation_days") * DAY
    early, likely, late = _window(dates, laid, wall, floor(house, len(known.own)))
    warmest = paths[min(range(len(paths)), key=lambda place: dates[place][1] or math.inf)]
    sums = warmest.sums(laid, at)
    basis = _basis(sums, at - laid)
    if basis == "no log":
        early, likely, late = _banded(
            limits.usual_c if warmest.mean_c is None else warmest.mean_c, laid, early, likely, late
        )
    cut = late > wall
    early, likely, late = min(early, wall), min(likely, wall), min(late, wall)
    first = first_out(eggs)
    days = [_day(moment, house) for moment in (early, likely, late)]
    return Forecast(
        clutch=clutch,
        begun=begun,
        day=max(0, days_between(begun, now)),
        early=days[0],
        likely=days[1],
        late=days[2],
        part=min(9.99, max(0.0, sums.development / percentiles[1])),
        basis=basis,
        mean_c=warmest.mean_over(laid, at),
        sums=sums,
        own=len(known.own),
        cut=cut,
        first_out=first,
        is_out=is_out(eggs),
        says=_says(days, basis, sums, len(known.own), boxed=warmest.boxed),
    )


def floor(house: House, own: int) -> float:
    """The least width of a window to each side, as a part of the days to the likely date: ± 12 % and narrower.

    12 % × √(4 / (4 + own completed clutches)), never under 5 %.
    """
    widest = house.number("incubation.window_percent") / 100
    return max(house.number("incubation.window_least_percent") / 100, widest * math.sqrt(4 / (4 + max(0, own))))


def learned_k(standing: Standing, house: House) -> Learned:
    """What is believed of K, in °C days from laying to the first hatch; worked out once for a standing."""
    limits = limits_of(house)
    centre, cv = house.number("incubation.degree_days"), house.number("incubation.spread_percent") / 100
    key = ("learned k", limits, centre, cv)
    known = standing.views.get(key)
    if known is None:
        own = tuple(
            one
            for subject in _last_written(standing)
            if (one := _completed(standing, limits, clutch_of(standing, subject))) is not None
            and centre / _OFF < one.development < centre * _OFF
        )
        belief = learned(prior(centre, cv=cv), [exactly(one.development) for one in own])
        known = standing.views[key] = Learned(belief, own)
    assert isinstance(known, Learned)
    return known


def first_out(eggs: Clutch) -> datetime | None:
    """When the first of a clutch pipped or hatched; None before."""
    out: list[datetime] = [one.at for one in eggs.page.of(Hatched) if one.about == eggs.subject and one.count]
    out += [one.at for one in eggs.page.of(EggsSeen) if "pipped" in one.signs]
    return min(out, default=None)


def is_out(eggs: Clutch) -> bool:
    """Whether one of a clutch has come out: one that pipped is not out yet."""
    return any(one.about == eggs.subject and one.count for one in eggs.page.of(Hatched))


def _last_written(standing: Standing) -> list[str]:
    newest = standing.register.newest
    every = standing.subjects("clutch")
    if len(every) <= _EACH * len(_QUIET_FOR):
        return list(every)
    known = sorted((subject for subject in every if subject in newest), key=lambda one: (newest[one], one))
    latest = standing.latest
    if latest is None:
        return []
    found: set[str] = set()
    for quiet in _QUIET_FOR:
        found.update([one for one in known if latest - newest[one] >= quiet][-_EACH:])
    return sorted(found)


def _still_in(eggs: Clutch) -> bool:
    """Whether some of its eggs may still hatch."""
    return eggs.may_be_left if eggs.boxed is not None else eggs.unboxed > 0


def _completed(standing: Standing, limits: Limits, eggs: Clutch) -> Own | None:
    """A clutch that has hatched, with the warmth it had; None where the readings do not say how warm it lay."""
    begun = eggs.begun_at
    out = [one for one in eggs.page.of(Hatched) if one.about == eggs.subject and one.count]
    if begun is None or not out:
        return None
    first = min(out, key=lambda one: one.key)
    span = (first.at - begun).total_seconds()
    if span < DAY:
        return None
    boxes: Sequence[EggsBoxed | None] = eggs.in_boxes.boxes or (None,)
    # The box it came out of; where that was not noted, the warmest is taken to have hatched first.
    named = [box for box in boxes if box is not None and box.place == first.place and first.place is not None]
    paths = [_path(standing, limits, stays(standing, eggs, box)) for box in named[:1] or boxes]
    sums = [path.sums(begun.timestamp(), first.at.timestamp()) for path in paths]
    known = [one.development for one in sums if one.bridged_hours <= (1 - _KNOWN) * span / HOUR]
    return Own(eggs.subject, max(known), span / DAY) if known else None


def _places(standing: Standing, eggs: Clutch, place: str | None) -> list[list[Stay]]:
    """Where the eggs of each box lay, or of those in one place; boxes from which all have gone are left out."""
    boxes = [box for box in eggs.in_boxes.boxes if box.place is None or eggs.may_lie_in(box.place)]
    if place is not None:
        boxes = [box for box in boxes if box.place == place]
    return [found for box in boxes if (found := stays(standing, eggs, box))]


class _Path:
    """The shelves on which eggs lay, one after the other, as one sum."""

    def __init__(self, legs: Sequence[tuple[float, Series]], *, boxed: bool = False) -> None:
        self.legs = legs
        #: Whether readings inside the egg box count in it.
        self.boxed = boxed

    @property
    def mean_c(self) -> float | None:
        """The mean of the last shelf, where anything was read there."""
        last = self.legs[-1][1]
        return last.mean_c if last.points else None

    def _spans(self, begun: float, ended: float) -> list[tuple[float, float, Series]]:
        found = []
        for place, (since, one) in enumerate(self.legs):
            until = self.legs[place + 1][0] if place + 1 < len(self.legs) else math.inf
            low = begun if place == 0 else max(begun, since)
            if low < min(ended, until):
                found.append((low, min(ended, until), one))
        return found

    def sums(self, begun: float, ended: float) -> Sums:
        """What adds up from one moment to another, over all its shelves."""
        every = [one.sums(low, high) for low, high, one in self._spans(begun, ended)]
        return Sums(
            sum(one.development for one in every),
            sum(one.hot_hours for one in every),
            sum(one.cold_hours for one in every),
            sum(one.bridged_hours for one in every),
        )

    def mean_over(self, begun: float, ended: float) -> float | None:
        """The mean temperature of a time, by the readings; None without any."""
        warmth = time = 0.0
        for low, high, one in self._spans(begun, ended):
            more, seconds = one.read_over(low, high)
            warmth, time = warmth + more, time + seconds
        return warmth / time if time else None

    def when(self, laid: float, wanted: float) -> float | None:
        """The moment at which so much development is reached, from laying on; None if it never is."""
        left = wanted
        for low, high, one in self._spans(laid, math.inf):
            grown = one.grown(low)
            if high < math.inf:
                here = one.grown(high) - grown
                if here < left:
                    left -= here
                    continue
            return one.when_grown(grown + left)
        return None


def _path(standing: Standing, limits: Limits, found: Sequence[Stay]) -> _Path:
    """The path of these stays; where no place is known, a shelf as the house means it.

    While a probe inside the egg box was read it counts, and not the shelf's.
    """
    legs: list[tuple[float, Series]] = []
    boxed = False
    for place, one in enumerate(found):
        since, shelf = one.since.timestamp(), series(standing, one.shelf, limits)
        until = found[place + 1].since.timestamp() if place + 1 < len(found) else math.inf
        legs.append((since, shelf))
        if one.box in ("", one.shelf) or not has_own(standing, one.box):
            continue
        own = series(standing, one.box, limits)
        for begun, ended in in_the_box(own, shelf):
            low, high = max(since, begun), min(until, ended)
            if low < high:
                boxed = True
                legs.append((low, own))
                legs += [(high, shelf)] if high < until else []
    return _Path(legs or [(-math.inf, series(standing, "", limits))], boxed=boxed)


def _window(
    dates: Sequence[Sequence[float | None]], laid: float, wall: float, least: float
) -> tuple[float, float, float]:
    """The window as three moments: never narrower than the least to each side of the likely one."""
    early = min((one[0] for one in dates if one[0] is not None), default=wall)
    likely = min((one[1] for one in dates if one[1] is not None), default=wall)
    late = max(wall if one[2] is None else one[2] for one in dates)
    latest = min(wall, max(wall if one[1] is None else one[1] for one in dates))
    early, likely = min(early, wall), min(likely, wall)
    early = min(early, laid + (likely - laid) * (1 - least))
    late = max(late, laid + (latest - laid) * (1 + least))
    return early, max(early, likely), max(late, likely)


def _banded(celsius: float, laid: float, early: float, likely: float, late: float) -> tuple[float, float, float]:
    """Without a log the published days at about this temperature belong to the window too."""
    near = min(BANDS, key=lambda band: abs(band[0] - celsius))
    if abs(near[0] - celsius) > 1:
        return early, likely, late
    return min(early, laid + near[1] * DAY), likely, max(late, laid + near[2] * DAY)


def _basis(sums: Sums, span: float) -> Basis:
    hours = span / HOUR
    if hours <= 0 or sums.bridged_hours >= 0.9 * hours:
        return "no log"
    return "partly" if sums.bridged_hours > 0.1 * hours else "log"


def _day(moment: float, house: House) -> date:
    """The room's day of a moment, as far as the calendar goes."""
    try:
        return fixed(datetime.fromtimestamp(moment, UTC), house.zone).date()
    except (OverflowError, ValueError, OSError):
        return date.max if moment > 0 else date.min


def _says(days: Sequence[date], basis: Basis, sums: Sums, own: int, *, boxed: bool) -> str:
    """What the window rests on, in a sentence."""
    where = " in its box" if boxed else ""
    rests = {
        "log": f"by the temperatures read{where}",
        "partly": f"by the temperatures read{where}, {sums.bridged_hours:.0f} h without readings bridged",
        "no log": "by the published days, no temperatures read",
    }[basis]
    learnt = f"{own} own clutch{'es' if own != 1 else ''}" if own else "no own clutch yet"
    return f"likely {days[1].day} {days[1]:%b}, {rests}; {learnt}"
