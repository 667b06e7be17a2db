"""What each animal weighs on each day: its own weight, what it carries, what it loses, and the scales' noise."""

from __future__ import annotations

from collections.abc import Iterable
from random import Random
from typing import Final, NamedTuple

from demo_colony.animals import BRUMATED, DWELLERS, Dweller
from demo_colony.story import Told

#: Spread of repeated weighings; full stomach, empty stomach and the scales together.
NOISE: Final = 0.013
#: A hatchling at hatching, g: mean of 13, computed from Wild et al. 2023.
HATCHLING: Final = 2.4
#: Young grow so much a week, compounding (4.3–11.1 % were seen: Wild et al. 2023).
GROWTH: Final = {"group": 1.105, "young": 1.062, "half-grown": 1.012}
#: On this day Hatch 2 stopped growing.
STUNTED: Final = {"group/hatch-2": -33}
#: Days before a clutch without a mating from which its eggs are felt on the scales.
UNSEEN: Final = 26
#: Who loses weight: since when, and what part of its weight a day.
LOSING: Final = {"animal/belah": (-52, 0.0026)}


class Season(NamedTuple):
    """One clutch of a female: the first mating, eggs laid so far by day, and the day she was done."""

    mated: int
    laid: tuple[tuple[int, int], ...]
    done: int | None


class Weights:
    """Weights in g, made up as they are asked for.

    The noise hangs on the animal and the day alone, so that a line more in the story changes no weight.
    """

    def __init__(self, lines: list[Told], seed: int) -> None:
        self._seed = seed
        self._dwellers = {one.subject: one for one in DWELLERS}
        self._seasons = _seasons(lines)
        self._hatched = hatched(lines)

    def grams(self, subject: str, day: int) -> float:
        """What the scales show."""
        drawn = Random(f"{self._seed} {subject} {day}").gauss(0, NOISE)
        noise = max(-2 * NOISE, min(2 * NOISE, drawn))
        if subject in self._hatched:
            return round(self._of_group(subject, day) * (1 + noise / 2), 2)
        one = self._dwellers[subject]
        if one.age < 700:
            return round(_growing(one, day) * (1 + noise / 2), 1 if one.age < 365 else 0)
        return round(
            one.grams * (1 + noise) * _winter(one, day) * self._carried(subject, day) * _lost(subject, day)
        )

    def _of_group(self, subject: str, day: int) -> float:
        until = min(day, STUNTED.get(subject, 0))
        weight = HATCHLING * GROWTH["group"] ** ((until - self._hatched[subject]) / 7)
        return float(weight * 1.002 ** max(0, day - until))

    def _carried(self, subject: str, day: int) -> float:
        """Eggs she carries make up to a fifth of her own weight; laying leaves her under it for some weeks."""
        factor = 1.0
        for season in self._seasons.get(subject, ()):
            if day < season.mated:
                continue
            if season.done is not None and day >= season.done:
                factor = 0.95 + min(0.05, 0.002 * (day - season.done))
                continue
            laid = max((count for since, count in season.laid if since <= day), default=0)
            factor = 1 + min(0.20, 0.0062 * (day - season.mated)) * (1 - min(laid, 20) / 20)
        return factor


def hatched(lines: Iterable[Told]) -> dict[str, int]:
    """The day on which the first of each group came out."""
    found: dict[str, int] = {}
    for line in lines:
        if line.kind == "arrived" and line.about.startswith("group/"):
            found.setdefault(line.about, int(line.members["hatched"].removeprefix("D")))
    return found


def _winter(one: Dweller, day: int) -> float:
    """A twentieth is lost over brumation and made good in a month."""
    if not one.brumates:
        return 1.0
    if day < -220:
        day += BRUMATED[-1] - BRUMATED[0]
    if day >= -104:
        return 0.95 + 0.05 * min(1.0, (day + 104) / 28)
    return 1 - 0.05 * max(0, day + 160) / 56


def _growing(one: Dweller, day: int) -> float:
    growth = GROWTH["young"] if one.age < 365 else GROWTH["half-grown"]
    return float(one.grams * growth ** (day / 7))


def _lost(subject: str, day: int) -> float:
    since, part = LOSING.get(subject, (0, 0.0))
    return 1 - part * max(0, day - since)


def _seasons(lines: Iterable[Told]) -> dict[str, list[Season]]:
    found: dict[str, list[Season]] = {}
    for line in lines:
        seasons = found.setdefault(line.about, [])
        if line.kind == "mating_seen" and (not seasons or seasons[-1].done is not None):
            seasons.append(Season(line.day, (), None))
        elif line.kind == "eggs_laid":
            if not seasons or seasons[-1].done is not None:
                # By stored sperm: nobody saw a mating before it.
                seasons.append(Season(line.day - UNSEEN, (), None))
            laid = (*seasons[-1].laid, (line.day, int(line.members["count"])))
            done = line.day if line.members.get("complete") else None
            seasons[-1] = seasons[-1]._replace(laid=laid, done=done)
    return found
