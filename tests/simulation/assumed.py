# ruff: noqa: RUF009 (each default is a frozen number with what it says and where it comes from)
"""What the seasons assume: about the animals and about the keepers. Assumptions, each with where it comes from.

No figure here was taken from the rules' code or chosen by what the rules find. Where a source is named, it is that
of the number; all else is assumed, and `--vary` shows how much hangs on it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, fields
from typing import Any, Final, NamedTuple, TypeVar, cast

Value = TypeVar("Value")
ASSUMED: Final = "assumed"


def assumed(value: Value, says: str, source: str = ASSUMED) -> Value:
    """A field of an assumption: its value, what it says, and the source of the number if there is one."""
    told: Any = field(default=value, metadata={"says": says, "source": source})
    return cast("Value", told)


class Spread(NamedTuple):
    """A log-normal spread: its median, the standard deviation of its logarithm, and where it is cut off."""

    median: float
    sigma: float
    least: float
    most: float

    def __str__(self) -> str:
        return f"median {self.median:g} (σ of the log {self.sigma:g}), {self.least:g} to {self.most:g}"


class Span(NamedTuple):
    """Anything between two values, all alike."""

    least: float
    most: float

    def __str__(self) -> str:
        return f"{self.least:g} to {self.most:g}"


class Chance(float):
    """A probability."""

    def __str__(self) -> str:
        return f"{100 * float(self):.3g} %"


@dataclass(frozen=True)
class Biology:
    """What a season is like, healthy or not. Hours, days, grams."""

    season_days: int = assumed(182, "days of a season")
    grams: Span = assumed(Span(375, 560), "weight of a breeding female, g", "350–600 g, Boyer (B)")
    scale_noise: float = assumed(0.02, "noise of a weighing (gut, scale), as part of the weight")
    pairing_day: Span = assumed(Span(21, 56), "day of the season on which a male is first let in")
    together_days: Span = assumed(Span(2, 3), "days together", "2–3 days, then apart a week, Dessen 2018 (B/C)")
    apart_days: Span = assumed(Span(6, 8), "days apart until he is let in again", "Dessen 2018 (B/C)")
    pairings: Span = assumed(Span(1, 2), "times he is let in")
    gravid_days: Spread = assumed(
        Spread(27, 0.22, 12, 58), "days from mating to laying", "14–42 days (B/C); the shape assumed"
    )
    interval_days: Spread = assumed(
        Spread(30, 0.22, 16, 60), "days from one clutch to the next", "3–6 weeks (C); the shape assumed"
    )
    eggs: tuple[int, int, int] = assumed(
        (11, 20, 40), "eggs of a clutch: least, usual, most", "Dörnath 2014; Allen et al. 2017"
    )
    egg_grams: Span = assumed(
        Span(2.9, 4.9), "weight of an egg, g, alike in one clutch", "Laven et al. (A): 3.81 ± 0.61"
    )
    growth_days: Span = assumed(Span(21, 28), "days before laying over which her weight rises by that of the eggs")
    second_clutch: Chance = assumed(Chance(0.65), "a clutch is followed by another from stored sperm")
    new_mating: Chance = assumed(Chance(0.3), "a clutch that no other followed is followed by a new mating")
    new_mating_days: Span = assumed(Span(28, 49), "… so many days after its last egg")
    alone_days: float = assumed(10, "days before laying from which no male is let in any more")
    dig_days: Span = assumed(Span(2, 6), "days of digging before eggs", "3–5 days, up to 7 (C); trial nests")
    dig_pause: Chance = assumed(Chance(0.25), "a day between the first and the last of them has no digging")
    no_digging: Chance = assumed(Chance(0.05), "she lays with no digging before")
    off_food: Chance = assumed(Chance(0.6), "she leaves her food before laying, bright and active", "dvm360 (B)")
    off_food_days: Span = assumed(Span(2, 10), "days before laying on which that begins")
    felt_days: Span = assumed(Span(8, 16), "days before laying from which eggs can be felt")
    laying_hours: Span = assumed(Span(1, 9), "hours from the first egg to the last")
    spent: Span = assumed(Span(0.02, 0.08), "after laying she is that much below her own weight")
    recovery_days: Span = assumed(Span(10, 24), "days until that is made good")
    idle_digging: Chance = assumed(Chance(0.002), "any animal digs on a day for no reason")
    quiet: Chance = assumed(Chance(0.004), "a healthy animal looks quiet on a day")
    leaves_food: Chance = assumed(Chance(0.03), "a healthy animal leaves a meal for no reason")
    infertile_clutch: Chance = assumed(Chance(0.25), "a healthy female with no male lays slugs once in the season")
    follicles_shrink: Chance = assumed(Chance(0.25), "… or grows follicles that shrink again")
    #: Of those that go wrong.
    retained_days: Spread = assumed(
        Spread(10, 0.4, 4, 28),
        "whole clutch retained: days from the day it should have come to the hour of no return",
        "assumed; a case that was saved: 14 eggs retained for 4 days, Efendić et al. 2019",
    )
    part_days: Spread = assumed(
        Spread(7, 0.4, 3, 20),
        "part of a clutch retained: days from the last egg to the hour of no return",
        "assumed; vet within 48 h of the last egg, WikiVet (B)",
    )
    part_laid: Span = assumed(Span(0.1, 0.7), "part of the clutch that was laid")
    stasis_days: Spread = assumed(
        Spread(20, 0.4, 8, 50), "follicles: days from the end of their growth to the hour of no return"
    )
    follicle_gain: Span = assumed(Span(0.06, 0.25), "follicles: gain of weight")
    danger_days: Span = assumed(Span(1, 3), "days before the hour of no return on which danger signs begin")
    danger_shows: Chance = assumed(Chance(0.6), "on such a day danger signs show at all")
    sick_digs: Chance = assumed(Chance(0.65), "she digs before the day the eggs should have come")
    sick_digs_again: Chance = assumed(Chance(0.5), "… stops for 1 to 3 days and digs again")
    part_digs: Chance = assumed(Chance(0.5), "she digs on after part of a clutch")
    follicles_dig: Chance = assumed(Chance(0.35), "with follicles she digs for 1 to 4 days")
    sick_off_food: Chance = assumed(
        Chance(0.85), "she leaves her food, from a week before to 4 days after that day"
    )
    sick_loses: Span = assumed(Span(0.0, 0.08), "weight lost from that day to the hour of no return")
    death_hours: Span = assumed(Span(12, 72), "hours from the hour of no return to death")


@dataclass(frozen=True)
class Habits:
    """What keepers do and leave out."""

    misses_day: Chance = assumed(Chance(0.06), "nobody comes for a whole day")
    misses_morning: Chance = assumed(Chance(0.02), "a morning walk is missed")
    misses_evening: Chance = assumed(Chance(0.15), "an evening walk is missed")
    #: The part of signs that is seen; `--vary` halves it.
    sees: float = assumed(1.0, "factor on every probability of seeing a sign")
    digging_seen: Chance = assumed(Chance(0.35), "digging of that day is seen and written on a walk")
    danger_seen: Chance = assumed(Chance(0.45), "a danger sign that shows is seen in passing and written")
    danger_at_check: Chance = assumed(Chance(0.8), "… is seen at an egg check")
    refusal_noted: Chance = assumed(Chance(0.3), "food refused is written down")
    eating_noted: Chance = assumed(Chance(0.06), "food taken is written down")
    quiet_noted: Chance = assumed(Chance(0.3), "a quiet animal is written down as quiet")
    slip: Chance = assumed(Chance(0.0003), "a danger sign is ticked at an egg check by a slip of the finger")
    checks: Chance = assumed(Chance(0.85), "an egg check that is asked for is made")
    enters_through: Chance = assumed(Chance(0.25), "… by Enter alone, without a look")
    all_absent: Chance = assumed(Chance(0.15), "… with every sign not seen marked as absent, looked for or not")
    off_food_ticked: Chance = assumed(Chance(0.3), "off food is ticked at an egg check, when it is so")
    weighs: Chance = assumed(Chance(0.75), "a weighing that is asked for is made")
    feels: Chance = assumed(Chance(0.2), "a female with a male or digging in her season is felt at a weighing")
    feels_when_asked: Chance = assumed(Chance(0.6), "… when a due line asks for it")
    feels_right: Chance = assumed(Chance(0.7), "… and eggs that are there are felt", "other masses: dvm360 (B)")
    feels_wrong: Chance = assumed(Chance(0.02), "… and eggs that are not there")
    cares: Chance = assumed(Chance(0.9), "other care that is due is done and written")
    late: Chance = assumed(Chance(0.08), "what was seen is written only one to four walks later")
    shared: Chance = assumed(Chance(0.25), "a female shares her tub with another")
    wrong_mate: Chance = assumed(Chance(0.05), "in a shared tub an entry is written for the wrong one")
    unknown_digger: Chance = assumed(Chance(0.35), "in a shared tub digging is written about the tub")
    company_noted: Chance = assumed(Chance(0.6), "an unseen mating: that a male was with her is written")
    by_moving: Chance = assumed(Chance(0.35), "… as a move of the male, not as put together")
    lay_box_for_digging: Chance = assumed(Chance(0.6), "she gets a lay box on a walk on which digging was seen")
    lay_box_in_time: Chance = assumed(Chance(0.05), "… on any walk from two weeks after a mating that was seen")
    lay_box_when_told: Chance = assumed(
        Chance(0.4), "… on a walk after a matter of *today* or worse, when she may be gravid"
    )
    shallow: Chance = assumed(Chance(0.05), "the nest is only 12 cm deep")
    says_complete: Chance = assumed(Chance(0.7), "a clutch that is done is written as complete, each walk")
    says_when_asked: Chance = assumed(Chance(0.9), "… while a matter of *today* or worse stands about her")
    wrongly_complete: Chance = assumed(Chance(0.35), "part of a clutch is taken for all of it, within 36 hours")
    miscounts: Chance = assumed(Chance(0.15), "one to three eggs are overlooked")
    vet_again: Chance = assumed(Chance(0.3), "a vet phoned in vain wants to hear again in 3 to 7 days")


def listed(of: Biology | Habits) -> Iterator[tuple[str, str, str, str]]:
    """Each assumption: its name, its value, what it says, and its source."""
    for one in fields(of):
        yield one.name, _shown(getattr(of, one.name)), one.metadata["says"], one.metadata["source"]


def _shown(value: Any) -> str:
    if isinstance(value, float) and not isinstance(value, Chance):
        return f"{value:g}"
    if isinstance(value, tuple) and not isinstance(value, Span | Spread):
        return ", ".join(f"{part:g}" for part in value)
    return str(value)
