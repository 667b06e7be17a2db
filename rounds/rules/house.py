"""House rules: every interval and limit the program judges by, with where it comes from."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, time
from typing import Final, Literal
from zoneinfo import ZoneInfo

import msgspec

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
        return f"{self.says}: {self.shown()} (grade {self.grade}, {self.source}{agree}{own})"

    def shown(self) -> str:
        """The value with its unit."""
        if isinstance(self.value, tuple):
            return f"{self.value[0]:g}–{self.value[1]:g} {self.unit}".rstrip()
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
    ) -> None:
        self.rules = rules
        self.zone = zone
        #: From when on a walk of the room is the evening walk, by the room's clock.
        self.evening_from = evening_from
        #: The vet's name and telephone number, as colony.toml has them; empty when it has none.
        self.vet = vet
        #: When the lights go off, by the room's clock; None when colony.toml does not say.
        self.lights_off = lights_off

    def rule(self, key: str) -> Rule:
        """The rule of this key, to be cited."""
        return self.rules[key]

    def number(self, key: str) -> float:
        """The value of a rule that is one number."""
        value = self.rules[key].value
        if not isinstance(value, int | float):
            raise TypeError(f"{key} is not a number")
        return float(value)

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
