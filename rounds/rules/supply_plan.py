"""What a colony says of a supply in colony.toml: what it is for, in which unit, how much a head gets."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, Literal, get_args

import msgspec

#: What a supply is for: eaten as insects or as greens, dusted with, egg-box medium, or anything else.
SupplyUse = Literal["insects", "greens", "dust", "medium", "other"]
USES: Final[tuple[SupplyUse, ...]] = get_args(SupplyUse)
#: The age classes that rations are given by.
CLASSES: Final = ("hatchling", "young", "adult", "older")
#: The unit that the house rules give rations in, by what is eaten.
RATION_UNITS: Final[Mapping[str, str]] = {"insects": "pieces", "greens": "g"}


class SupplyPlan(msgspec.Struct, frozen=True, kw_only=True):
    """One supply as colony.toml has it."""

    subject: str
    name: str
    unit: str = "pieces"
    use: SupplyUse = "other"
    #: In its unit, a head and feeding, by age class; of a class that is missing the house rule counts.
    rations: Mapping[str, float] = {}
    #: It is ordered when so many days are left; None: as the house rule has it.
    order_days: int | None = None
