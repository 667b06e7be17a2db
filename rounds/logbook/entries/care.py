"""Daily care: feed, water, cleaning, climate, weights, and what was left out."""

from typing import Annotated

import msgspec

from rounds.logbook.entries.base import Celsius, Count, Entry, Grams, Text, grams, joined
from rounds.logbook.words import Care, CleanExtent, Eaten, Food


class Fed(Entry, frozen=True, kw_only=True):
    """Food was given: to an animal, a group, or an enclosure (then it counts for each who lives there)."""

    of = ("animal", "group", "enclosure")
    keep = 12
    example = {"food": "insects", "what": "roaches", "dusted": "calcium"}
    food: Food = "insects"
    what: Text = ""
    amount: Text = ""
    dusted: Text = ""

    def phrase(self) -> str:
        return joined(
            f"fed {self.what or self.food}", self.amount, f"dusted with {self.dusted}" if self.dusted else ""
        )


class Ate(Entry, frozen=True, kw_only=True):
    """How an animal took its food. It counts for that animal alone."""

    of = ("animal", "group")
    #: A refusal a day for more than four weeks has to be seen as one run.
    keep = 64
    a_day = 48
    example = {"how": "well"}
    how: Eaten
    food: Food = "insects"

    def phrase(self) -> str:
        return "refused " + self.food if self.how == "refused" else f"ate {self.how}"


class Watered(Entry, frozen=True, kw_only=True):
    """Fresh water was given. `scrubbed`: the dish was scrubbed too."""

    of = ("animal", "group", "enclosure")
    #: Fresh water a day must not push the last scrubbing off the page before the next is due.
    keep = 24
    scrubbed: bool = False

    def phrase(self) -> str:
        return "fresh water, dish scrubbed" if self.scrubbed else "fresh water"


class Misted(Entry, frozen=True, kw_only=True):
    """The enclosure was misted."""

    of = ("animal", "group", "enclosure")

    def phrase(self) -> str:
        return "misted"


class Cleaned(Entry, frozen=True, kw_only=True):
    """Spot clean or full clean."""

    of = ("enclosure",)
    #: A spot clean a day must not push the last full clean off the page before the next is due.
    keep = 72
    example = {"extent": "spot"}
    extent: CleanExtent = "spot"

    def phrase(self) -> str:
        return f"{self.extent} clean"


class Weighed(Entry, frozen=True, kw_only=True):
    """A weight in g, of one animal; of a group, the mean of one."""

    of = ("animal", "group")
    #: Weighings a day, as a vet may ask for, must not push those before the mating off the page.
    keep = 64
    a_day = 48
    example = {"grams": 452}
    grams: Grams
    #: Of a group: how many were on the scale; `grams` is the mean of one.
    number: Count | None = None
    #: Of a group: the weight of the lightest of them, where it was weighed alone.
    smallest: Grams | None = None

    def phrase(self) -> str:
        return joined(
            f"weighed {grams(self.grams)}",
            f"the mean of {self.number}" if self.number and self.number > 1 else "",
            f"the smallest {grams(self.smallest)}" if self.smallest is not None else "",
        )


class Measured(Entry, frozen=True, kw_only=True):
    """Snout–vent and total length in mm."""

    of = ("animal", "group")
    example = {"svl_mm": 195, "total_mm": 460}
    svl_mm: Annotated[float, msgspec.Meta(gt=0, le=400, extra={"unit": "mm"})] | None = None
    total_mm: Annotated[float, msgspec.Meta(gt=0, le=900, extra={"unit": "mm"})] | None = None

    def phrase(self) -> str:
        return joined(
            "measured",
            f"snout–vent {self.svl_mm:g} mm" if self.svl_mm else "",
            f"total {self.total_mm:g} mm" if self.total_mm else "",
        )


class ClimateRead(Entry, frozen=True, kw_only=True):
    """Temperatures in °C, relative humidity in %, UV index at the basking spot. Any of them may be missing."""

    of = ("enclosure", "room")
    #: Of a shelf without a logger, read twice a day from laying to hatching: 80 days. A reading a day must not push
    #: the last UV reading off the page either, while it still speaks for the lamp.
    keep = 160
    example = {"basking_c": 40.5, "cool_c": 24, "uv_index": 3.5}
    basking_c: Celsius | None = None
    cool_c: Celsius | None = None
    night_low_c: Celsius | None = None
    air_c: Celsius | None = None
    #: What a thermometer that keeps the lowest and the highest shows of the last day.
    air_low_c: Celsius | None = None
    air_high_c: Celsius | None = None
    humidity: Annotated[float, msgspec.Meta(ge=0, le=100, extra={"unit": "%"})] | None = None
    uv_index: Annotated[float, msgspec.Meta(ge=0, le=30)] | None = None

    def phrase(self) -> str:
        return joined(
            "climate read",
            f"basking {self.basking_c:g} °C" if self.basking_c is not None else "",
            f"cool end {self.cool_c:g} °C" if self.cool_c is not None else "",
            f"night low {self.night_low_c:g} °C" if self.night_low_c is not None else "",
            f"air {self.air_c:g} °C" if self.air_c is not None else "",
            f"lowest {self.air_low_c:g} °C" if self.air_low_c is not None else "",
            f"highest {self.air_high_c:g} °C" if self.air_high_c is not None else "",
            f"{self.humidity:g} % humidity" if self.humidity is not None else "",
            f"UV index {self.uv_index:g}" if self.uv_index is not None else "",
        )


class LampChanged(Entry, frozen=True, kw_only=True):
    """The UV lamp over an enclosure was changed for a new one."""

    of = ("enclosure",)
    milestone = True
    what: Text = ""

    def phrase(self) -> str:
        return joined("UV lamp changed", self.what)


class LeftOut(Entry, frozen=True, kw_only=True):
    """A piece of care that was due was left out on this walk, with the reason."""

    keep = 16
    example = {"about": "enclosure/b3", "care": "feed insects", "reason": "brumation"}
    care: Care
    reason: Annotated[str, msgspec.Meta(min_length=1, max_length=10_000)]

    def phrase(self) -> str:
        return f"left out {self.care}: {self.reason}"
