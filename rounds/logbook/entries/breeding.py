"""From pairing to hatching."""

from datetime import date
from typing import Annotated, ClassVar

import msgspec

from rounds.logbook.entries.base import Animal, Clutch, Count, Enclosure, Entry, Group, Text, joined
from rounds.logbook.entries.lives import short
from rounds.logbook.words import Felt, Sign


class PutTogether(Entry, frozen=True, kw_only=True):
    """A female (what it is about) and a male were put together."""

    of: ClassVar[tuple[str, ...]] = ("animal",)
    keep: ClassVar[int] = 16
    mentions: ClassVar[tuple[str, ...]] = ("mate",)
    mate: Animal

    def phrase(self) -> str:
        return f"put together with {short(self.mate)}"


class Parted(Entry, frozen=True, kw_only=True):
    """A female (what it is about) and a male were parted; without a mate, from any male."""

    of: ClassVar[tuple[str, ...]] = ("animal",)
    keep: ClassVar[int] = 16
    mentions: ClassVar[tuple[str, ...]] = ("mate",)
    mate: Animal | None = None

    def phrase(self) -> str:
        return f"parted from {short(self.mate)}" if self.mate else "parted"


class MatingSeen(Entry, frozen=True, kw_only=True):
    """A copulation was seen. About the female; the sire may not be known."""

    of: ClassVar[tuple[str, ...]] = ("animal",)
    keep: ClassVar[int] = 24
    mentions: ClassVar[tuple[str, ...]] = ("sire",)
    sire: Animal | None = None

    def phrase(self) -> str:
        return "mating seen" + (f" with {short(self.sire)}" if self.sire else "")


class FeltForEggs(Entry, frozen=True, kw_only=True):
    """She was felt for eggs, gently and never pressed."""

    of: ClassVar[tuple[str, ...]] = ("animal",)
    found: Felt
    count: Count | None = None

    def phrase(self) -> str:
        many = f", about {self.count}" if self.count else ""
        return {"eggs": "eggs felt", "none": "no eggs felt", "unsure": "felt, not sure"}[self.found] + many


class LayBoxIn(Entry, frozen=True, kw_only=True):
    """She has a lay box: in her enclosure, or she was set into `box`. About an enclosure: for all in it."""

    of: ClassVar[tuple[str, ...]] = ("animal", "enclosure")
    mentions: ClassVar[tuple[str, ...]] = ("box",)
    box: Enclosure | None = None
    depth_cm: Annotated[float, msgspec.Meta(gt=0, le=200)] | None = None
    medium: Text = ""

    def phrase(self) -> str:
        return joined("lay box in", f"{self.depth_cm:g} cm deep" if self.depth_cm is not None else "", self.medium)


class LayBoxOut(Entry, frozen=True, kw_only=True):
    """The lay box was taken out, or she out of it."""

    of: ClassVar[tuple[str, ...]] = ("animal", "enclosure")

    def phrase(self) -> str:
        return "lay box out"


class EggCheckDone(Entry, frozen=True, kw_only=True):
    """The egg check: each sign looked for, and whether it was there. A weight is an entry of its own."""

    of: ClassVar[tuple[str, ...]] = ("animal",)
    keep: ClassVar[int] = 16
    present: tuple[Sign, ...] = ()
    absent: tuple[Sign, ...] = ()

    def phrase(self) -> str:
        return "egg check: " + (", ".join(self.present) if self.present else "nothing found")


class EggsLaid(Entry, frozen=True, kw_only=True):
    """Eggs of one clutch, so far or complete: `count` is all of the clutch up to now, slugs among them."""

    of: ClassVar[tuple[str, ...]] = ("animal",)
    keep: ClassVar[int] = 32
    mentions: ClassVar[tuple[str, ...]] = ("clutch", "sire")
    clutch: Clutch
    count: Count
    slugs: Count = 0
    complete: bool = False
    sire: Animal | None = None

    def phrase(self) -> str:
        slugs = f", {self.slugs} slug{'s' * (self.slugs != 1)}" if self.slugs else ""
        return f"{self.count} egg{'s' * (self.count != 1)} laid{' in all' if self.complete else ' so far'}{slugs}"


class EggsBoxed(Entry, frozen=True, kw_only=True):
    """Eggs of a clutch were put into an egg box on a shelf, in medium with water."""

    of: ClassVar[tuple[str, ...]] = ("clutch",)
    keep: ClassVar[int] = 64
    mentions: ClassVar[tuple[str, ...]] = ("place",)
    count: Count
    place: Enclosure | None = None
    medium: Text = ""
    box_grams: Annotated[float, msgspec.Meta(gt=0, le=50_000)] | None = None

    def phrase(self) -> str:
        return joined(f"{self.count} eggs boxed", self.medium)


class EggsLost(Entry, frozen=True, kw_only=True):
    """Eggs of a clutch spoiled, or were taken out."""

    of: ClassVar[tuple[str, ...]] = ("clutch",)
    keep: ClassVar[int] = 64
    count: Count
    why: Text = ""

    def phrase(self) -> str:
        return joined(f"{self.count} egg{'s' * (self.count != 1)} lost", self.why)


class Hatched(Entry, frozen=True, kw_only=True):
    """Young came out of a clutch: `count` of them on this entry. `into` is the group they go to."""

    of: ClassVar[tuple[str, ...]] = ("clutch",)
    keep: ClassVar[int] = 64
    mentions: ClassVar[tuple[str, ...]] = ("into",)
    count: Count
    into: Group | None = None

    def phrase(self) -> str:
        return f"{self.count} hatched"


class BrumationBegan(Entry, frozen=True, kw_only=True):
    """Brumation began."""

    of: ClassVar[tuple[str, ...]] = ("animal",)

    def phrase(self) -> str:
        return "brumation began"


class BrumationEnded(Entry, frozen=True, kw_only=True):
    """Brumation ended: awake, fed and warm again."""

    of: ClassVar[tuple[str, ...]] = ("animal",)

    def phrase(self) -> str:
        return "brumation ended"


class Referred(Entry, frozen=True, kw_only=True):
    """She was referred to a vet: until seen she stays visible as "with the vet"."""

    of: ClassVar[tuple[str, ...]] = ("animal", "group")
    to: Text = ""
    why: Text = ""
    appointment: date | None = None

    def phrase(self) -> str:
        return joined("referred to " + (self.to or "a vet"), self.why)


class VetSeen(Entry, frozen=True, kw_only=True):
    """A vet has seen the animal. Instructions stand as the vet gave them.

    `under_treatment_until` marks an animal that is not paired, sold or brumated before that day.
    `carrying` is what the vet found, if it was looked for.
    """

    of: ClassVar[tuple[str, ...]] = ("animal", "group")
    outcome: Text = ""
    instructions: Text = ""
    treatment: Text = ""
    under_treatment_until: date | None = None
    carrying: bool | None = None
    vet: Text = ""

    def phrase(self) -> str:
        return joined("vet seen", self.outcome, self.instructions)


class TreatmentGiven(Entry, frozen=True, kw_only=True):
    """A treatment was given as the vet prescribed it; `what` in the vet's words."""

    of: ClassVar[tuple[str, ...]] = ("animal", "group")
    what: Text = ""

    def phrase(self) -> str:
        return joined("treatment given as prescribed", self.what)
