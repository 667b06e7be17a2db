"""From pairing to hatching."""

from datetime import date
from typing import Annotated, ClassVar

import msgspec

from rounds.logbook.entries.base import Animal, Clutch, Count, Enclosure, Entry, Group, Text, joined
from rounds.logbook.entries.lives import short
from rounds.logbook.words import Felt, Sample, Sign


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
    keep: ClassVar[int] = 48
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
    """The egg check: a look at her. Signs that were there, and signs looked for and not there.

    A sign in neither list was not looked for. A weight and feeling for eggs are entries of their own.
    """

    of: ClassVar[tuple[str, ...]] = ("animal",)
    #: What was seen stays until it is answered, however many checks came after it.
    keep: ClassVar[int] = 160
    present: tuple[Sign, ...] = ()
    absent: tuple[Sign, ...] = ()

    def phrase(self) -> str:
        if self.present:
            return "egg check: " + ", ".join(self.present)
        return "egg check: no sign seen" if self.absent else "egg check: looked at, nothing marked"


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
    """Eggs of a clutch were put into an egg box on a shelf, in medium with water.

    Boxed again on a later day, `count` is how many are in the box from then on.
    """

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

    `under_treatment_until` marks an animal that is not paired, sold or brumated before that day; a treatment
    without that day lasts until it is said to have ended. `carrying` is whether the vet found her gravid, if it
    was looked for. `again` is the day by which the vet wants to see or hear of it again; `weigh_days` says that
    the vet wants it weighed every so many days, until `weigh_until` if that is given.
    """

    of: ClassVar[tuple[str, ...]] = ("animal", "group")
    keep: ClassVar[int] = 16
    outcome: Text = ""
    instructions: Text = ""
    treatment: Text = ""
    under_treatment_until: date | None = None
    carrying: bool | None = None
    vet: Text = ""
    again: date | None = None
    weigh_days: Annotated[int, msgspec.Meta(ge=1, le=60)] | None = None
    weigh_until: date | None = None

    def phrase(self) -> str:
        return joined("vet seen", self.outcome, self.instructions)


class VetCalled(Entry, frozen=True, kw_only=True):
    """A vet was spoken to by telephone: who, and what was said, in the vet's own words.

    `again` is the day by which the vet wants to see or hear of the animal.
    """

    of: ClassVar[tuple[str, ...]] = ("animal", "group")
    keep: ClassVar[int] = 16
    vet: Text = ""
    said: Text = ""
    again: date | None = None

    def phrase(self) -> str:
        return joined("vet phoned" + (f" ({self.vet})" if self.vet else ""), self.said)


class TreatmentGiven(Entry, frozen=True, kw_only=True):
    """A treatment was given as the vet prescribed it; `what` in the vet's words."""

    of: ClassVar[tuple[str, ...]] = ("animal", "group")
    what: Text = ""

    def phrase(self) -> str:
        return joined("treatment given as prescribed", self.what)


class TreatmentEnded(Entry, frozen=True, kw_only=True):
    """A treatment is over, as the vet said."""

    of: ClassVar[tuple[str, ...]] = ("animal", "group")

    def phrase(self) -> str:
        return "treatment ended"


class Tested(Entry, frozen=True, kw_only=True):
    """A sample was tested: droppings for parasites, or a swab for viruses. `clear` once the result is known."""

    of: ClassVar[tuple[str, ...]] = ("animal", "group")
    what: Sample
    clear: bool | None = None
    result: Text = ""

    def phrase(self) -> str:
        found = {None: "sent, no result yet", True: "clear", False: "not clear"}[self.clear]
        return joined(f"{self.what} {found}", self.result)
