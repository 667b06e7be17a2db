"""Eggs in their boxes: made up, weighed, candled, looked at."""

from typing import Annotated

import msgspec

from rounds.logbook.entries.base import Clutch, Count, Enclosure, Entry, Text, grams, joined
from rounds.logbook.entries.lives import short
from rounds.logbook.words import EggSign, Medium

_BoxGrams = Annotated[float, msgspec.Meta(ge=0, le=50_000, extra={"unit": "g"})]


class EggBoxMadeUp(Entry, frozen=True, kw_only=True):
    """An egg box was made up: the box empty (tare), dry medium, water; before any egg lies in it.

    `ratio` is water to dry medium by mass. A medium without a published water potential has a `target_grams`
    of box, medium and water instead.
    """

    of = ("enclosure",)
    milestone = True
    keep = 64
    mentions = ("shelf",)
    example = {
        "about": "enclosure/k1",
        "medium": "vermiculite",
        "tare_grams": 95,
        "dry_grams": 120,
        "water_grams": 120,
        "ratio": 1,
        "shelf": "enclosure/s1",
        "lid": "K1",
    }
    medium: Medium
    tare_grams: _BoxGrams | None = None
    dry_grams: _BoxGrams | None = None
    water_grams: _BoxGrams | None = None
    ratio: Annotated[float, msgspec.Meta(gt=0, le=10)] | None = None
    target_grams: _BoxGrams | None = None
    shelf: Enclosure | None = None
    lid: Text = ""

    def phrase(self) -> str:
        return joined(
            f"made up with {self.medium}",
            f"{grams(self.dry_grams)} dry" if self.dry_grams else "",
            f"{grams(self.water_grams)} water" if self.water_grams else "",
            f"target {grams(self.target_grams)}" if self.target_grams else "",
            f"on {short(self.shelf)}" if self.shelf else "",
        )


class EggBoxShelved(Entry, frozen=True, kw_only=True):
    """An egg box was set onto an incubator shelf."""

    of = ("enclosure",)
    milestone = True
    keep = 64
    mentions = ("shelf",)
    example = {"about": "enclosure/k1", "shelf": "enclosure/s2"}
    shelf: Enclosure

    def phrase(self) -> str:
        return f"set onto {short(self.shelf)}"


class EggBoxWeighed(Entry, frozen=True, kw_only=True):
    """An egg box with all that is in it was weighed, before any water was added; then so much water was added.

    Eggs boxed straight onto a shelf lie in a box without a name: then it is about the shelf, and where several
    clutches lie there it names the `clutch`.
    """

    of = ("enclosure",)
    #: A box weighed each day to its end, or ten on one shelf each week: the first says what it should weigh.
    keep = 200
    mentions = ("clutch",)
    example = {"about": "enclosure/k1", "grams": 405, "added_grams": 7}
    grams: _BoxGrams
    added_grams: _BoxGrams = 0
    clutch: Clutch | None = None

    def phrase(self) -> str:
        return joined(
            f"box weighed {grams(self.grams)}",
            f"{grams(self.added_grams)} of water added" if self.added_grams else "",
        )


class Candled(Entry, frozen=True, kw_only=True):
    """Eggs of a clutch were candled: so many fertile, unclear and clear, in one box or in all."""

    of = ("clutch",)
    milestone = True
    keep = 32
    mentions = ("place",)
    example = {"fertile": 18, "unclear": 2, "clear": 1}
    fertile: Count = 0
    unclear: Count = 0
    clear: Count = 0
    place: Enclosure | None = None
    #: Whether the up-side of each egg is marked.
    up_marked: bool = False

    def phrase(self) -> str:
        where = f" in {short(self.place)}" if self.place else ""
        up = "up-side marked" if self.up_marked else ""
        counted = self.fertile + self.unclear + self.clear
        found = f"{self.fertile} fertile, {self.unclear} unclear, {self.clear} clear" if counted or not up else ""
        return f"candled{where}: " + joined(found, up)


class EggsSeen(Entry, frozen=True, kw_only=True):
    """Eggs of a clutch looked so: dented, mouldy, sweating, pipped; `count` of them, where counted."""

    of = ("clutch",)
    milestone = True
    keep = 64
    mentions = ("place",)
    example = {"signs": ["dented"], "count": 2}
    signs: tuple[EggSign, ...] = ()
    count: Count | None = None
    place: Enclosure | None = None

    def phrase(self) -> str:
        where = f" in {short(self.place)}" if self.place else ""
        many = f" ({self.count} egg{'s' * (self.count != 1)})" if self.count is not None else ""
        return f"eggs seen{where}: {', '.join(self.signs) or 'nothing wrong'}{many}"
