"""House rules: every interval and limit the program judges by, with where it comes from."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, time
from functools import cached_property
from types import MappingProxyType
from typing import Final, Literal
from zoneinfo import ZoneInfo

import msgspec

from rounds.rules.supply_plan import SupplyPlan
from rounds.standing.breeding import Days
from rounds.standing.egg_mass import EggFigures
from rounds.standing.traits import KNOWN, Trait
from rounds.standing.trend import Limits
from rounds.standing.weighing import WeighingRule
from rounds.standing.year import YearDays

Grade = Literal["A", "B", "C", "house"]
Value = int | float | str | tuple[float, float]

GRADES: Final[dict[Grade, str]] = {
    "A": "primary paper, law text, official body or raw data",
    "B": "veterinary or zoo text, textbook, or a code quoted by another",
    "C": "keepers' pages and trade articles: a wide sanity band only; house rule, agree it with your vet",
    "house": "no publishable number was found: house rule, agree it with your vet",
}


class Rule(msgspec.Struct, frozen=True, kw_only=True):
    """One house rule. `value` is in `unit`; a band is a pair, calendar-fixed care an RFC 5545 RRULE.

    An RRULE counts from `begins`; `calendar` tells the intervals that may be given as one.
    """

    key: str
    value: Value
    unit: str
    grade: Grade
    source: str
    says: str
    changed: bool = False
    least: float | None = None
    most: float | None = None
    calendar: bool = False
    begins: date | None = None

    def cite(self) -> str:
        """The rule as it is shown beside a matter: what it says, its value, its grade and source."""
        agree = "" if self.grade in ("A", "B") else "; house rule, agree it with your vet"
        own = "; changed in colony.toml" if self.changed else ""
        return f"{self.says.rstrip(':,')}: {self.shown()} (grade {self.grade}, {self.source}{agree}{own})"

    def shown(self) -> str:
        """The value with its unit."""
        if isinstance(self.value, tuple):
            between = "–" if self.value[0] >= 0 else " to "
            return f"{self.value[0]:g}{between}{self.value[1]:g} {self.unit}".rstrip()
        if isinstance(self.value, str):
            return self.value
        unit, rest = self.unit.partition(" ")[::2]
        if self.value == 1:
            unit = unit.removesuffix("s")
        return f"{self.value:g} {unit} {rest}".rstrip()


class House:
    """All house rules of one colony, the colony's own changes among them, and its room's zone."""

    def __init__(
        self,
        rules: Mapping[str, Rule],
        zone: ZoneInfo,
        evening_from: time = time(14),
        vet: str = "",
        lights_off: time | None = None,
        traits: tuple[Trait, ...] = KNOWN,
        supplies: Mapping[str, SupplyPlan] = MappingProxyType({}),
        currency: str = "",
    ) -> None:
        self.rules = rules
        self._numbers = {
            key: float(rule.value) for key, rule in rules.items() if isinstance(rule.value, int | float)
        }
        self.zone = zone
        #: From when on a walk of the room is the evening walk, by the room's clock.
        self.evening_from = evening_from
        #: The vet's name and telephone number, as colony.toml has them; empty when it has none.
        self.vet = vet
        #: When the lights go off, by the room's clock; None when colony.toml does not say.
        self.lights_off = lights_off
        #: The colony's list of traits.
        self.traits = traits
        #: What prices are in, three letters of ISO 4217; empty when colony.toml does not say.
        self.currency = currency

        #: The supplies that colony.toml tells of, by id.
        self.supplies = supplies

    def rule(self, key: str) -> Rule:
        """The rule of this key, to be cited."""
        return self.rules[key]

    def number(self, key: str) -> float:
        """The value of a rule that is one number."""
        value = self._numbers.get(key)
        if value is None:
            raise TypeError(f"{key} is not a number") if key in self.rules else KeyError(key)
        return value

    def days(self, key: str) -> int:
        """The value of a rule in whole days."""
        return int(self.number(key))

    def band(self, key: str) -> tuple[float, float]:
        """Both ends of a rule that is a band."""
        value = self.rules[key].value
        if not isinstance(value, tuple):
            raise TypeError(f"{key} is not a band")
        return value

    def text(self, key: str) -> str:
        """The value of a rule that is text (an RRULE)."""
        value = self.rules[key].value
        if not isinstance(value, str):
            raise TypeError(f"{key} is not text")
        return value

    # What the standing is reckoned by: made here once, so that no two readers of it can differ.

    @cached_property
    def breeding_days(self) -> Days:
        """The numbers that a female's year is reckoned by."""
        low, high = self.band("breeding.next_clutch_days")
        return Days(
            window_opens=self.days("breeding.window_opens"),
            window_closes=self.days("breeding.window_closes"),
            next_opens=int(low),
            next_closes=int(high),
            laid_lasts=self.days("breeding.laid_lasts"),
            nesting_gap=self.days("breeding.nesting_gap"),
            dig_vet_day=self.days("eggbinding.dig_vet_day"),
            closing_hours=int(self.number("eggbinding.closing_hours")),
            call_hours=self.number("eggbinding.stopped_call_hours"),
            vet_hours=self.number("eggbinding.stopped_vet_hours"),
            gravid_days=self.days("breeding.carries_days"),
            stored_days=self.days("breeding.stored_sperm_days"),
            together_days=self.days("pairing.together_days"),
            gravid_from_months=int(self.number("eggbinding.can_carry_from_months")),
            grown_months=int(self.number("breeding.grown_months")),
            grown_grams=int(self.number("breeding.grown_grams")),
            least_eggs=int(self.number("eggbinding.least_eggs")),
            short_percent=int(self.number("eggbinding.count_short_percent")),
            forecast_counts=self.number("forecast.counts"),
            forecast_spread=self.number("forecast.spread_percent") / 100,
            forecast_held=self.number("forecast.held"),
            forecast_clutches=int(self.number("forecast.clutches")),
            forecast_due=self.number("forecast.due_percent") / 100,
            forecast_overdue=self.number("forecast.overdue_percent") / 100,
            weighing=self.weighing_rule,
            turn_hours=self.number("walk.turn_gap_hours"),
        )

    @cached_property
    def egg_figures(self) -> EggFigures:
        """The numbers that an egg box is reckoned by."""
        least, most = self.band("eggs.egg_between_g")
        return EggFigures(
            egg_grams=self.number("eggs.egg_g"),
            least_grams=least,
            most_grams=most,
            top_up_grams=self.number("eggs.top_up_g"),
            top_up_part=self.number("eggs.top_up_percent") / 100,
            fast_times=self.number("eggs.fast_times"),
            habit_least=self.days("eggs.habit_stretches"),
        )

    @cached_property
    def weight_limits(self) -> Limits:
        """The numbers of the weight rule."""
        return Limits(
            least=int(self.number("weights.least_weighings")),
            trend_least=int(self.number("weights.trend_least_weighings")),
            trend_over=int(self.number("weights.trend_weighings")),
            earlier_over=int(self.number("weights.earlier_weighings")),
            drop=self.number("weights.drop_percent") / 100,
            drop_in_a_row=int(self.number("weights.drop_weighings")),
            chance=self.number("weights.trend_p"),
            fall=self.number("weights.trend_loss_percent") / 100,
            steady=self.number("weights.steady_percent") / 100,
            weighing=self.weighing_rule,
        )

    @cached_property
    def year_days(self) -> YearDays:
        """The numbers that an animal's year, and a female's seasons, are reckoned by."""
        return YearDays(
            one_winter=self.days("brumation.one_winter_days"),
            before=self.days("weights.brumation_before_days"),
            season_gap=self.days("breeding.season_gap_days"),
            weighing=self.weighing_rule,
        )

    @cached_property
    def weighing_rule(self) -> WeighingRule:
        """Which readings of the scale are one weighing, and which agree."""
        return WeighingRule(
            shift_hours=self.number("weights.shift_hours"),
            day_turns_hour=self.number("walk.day_turns_hour"),
            apart=self.number("weights.drop_percent") / 100,
            zone=self.zone,
        )
