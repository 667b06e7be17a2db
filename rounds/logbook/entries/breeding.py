"""From pairing to hatching."""

from typing import Annotated

import msgspec

from rounds.logbook.entries.base import Animal, Clutch, Count, Enclosure, Entry, Grams, Group, Text, grams, joined
from rounds.logbook.entries.lives import short
from rounds.logbook.words import EggLoss, Felt, Sign


class PutTogether(Entry, frozen=True, kw_only=True):
    """A female (what it is about) and a male were put together."""

    of = ("animal",)
    milestone = True
    #: All pairings of a life: of young with no sire written down he is reckoned from these.
    keep = 64
    mentions = ("mate",)
    example = {"mate": "animal/karri"}
    mate: Animal

    def phrase(self) -> str:
        return f"put together with {short(self.mate)}"


class Parted(Entry, frozen=True, kw_only=True):
    """A female (what it is about) and a male were parted; without a mate, from any male."""

    of = ("animal",)
    milestone = True
    keep = 64
    mentions = ("mate",)
    example = {"mate": "animal/karri"}
    mate: Animal | None = None

    def phrase(self) -> str:
        return f"parted from {short(self.mate)}" if self.mate else "parted"


class MatingSeen(Entry, frozen=True, kw_only=True):
    """A copulation was seen. About the female; the sire may not be known."""

    of = ("animal",)
    milestone = True
    keep = 96
    mentions = ("sire",)
    example = {"sire": "animal/karri"}
    sire: Animal | None = None

    def phrase(self) -> str:
        return "mating seen" + (f" with {short(self.sire)}" if self.sire else "")


class FeltForEggs(Entry, frozen=True, kw_only=True):
    """She was felt for eggs, gently and never pressed."""

    of = ("animal",)
    of_females = "feeling for eggs"
    milestone = True
    keep = 48
    example = {"found": "eggs"}
    found: Felt
    count: Count | None = None

    def phrase(self) -> str:
        many = f", about {self.count}" if self.count else ""
        return {"eggs": "eggs felt", "none": "no eggs felt", "unsure": "felt, not sure"}[self.found] + many


class LayBoxIn(Entry, frozen=True, kw_only=True):
    """She has a lay box: in her enclosure, or she was set into `box`. About an enclosure: for all in it."""

    of = ("animal", "enclosure")
    of_females = "a lay box"
    milestone = True
    mentions = ("box",)
    example = {"box": "enclosure/l1", "depth_cm": 20, "medium": "damp sand and soil"}
    box: Enclosure | None = None
    depth_cm: Annotated[float, msgspec.Meta(gt=0, le=200, extra={"unit": "cm"})] | None = None
    medium: Text = ""

    def phrase(self) -> str:
        return joined("lay box in", f"{self.depth_cm:g} cm deep" if self.depth_cm is not None else "", self.medium)


class LayBoxOut(Entry, frozen=True, kw_only=True):
    """The lay box was taken out, or she out of it."""

    of = ("animal", "enclosure")
    of_females = "a lay box"
    milestone = True

    def phrase(self) -> str:
        return "lay box out"


class EggCheckDone(Entry, frozen=True, kw_only=True):
    """The egg check: a look at her. Signs that were there, and signs looked for and not there.

    A sign in neither list was not looked for. A weight and feeling for eggs are entries of their own.
    """

    of = ("animal",)
    of_females = "an egg check"
    #: What was seen stays until it is answered, however many checks came after it.
    keep = 160
    example = {"present": ["eggs felt"], "absent": ["lethargy", "straining"]}
    present: tuple[Sign, ...] = ()
    absent: tuple[Sign, ...] = ()

    def phrase(self) -> str:
        if self.present:
            return "egg check: " + ", ".join(self.present)
        return "egg check: no sign seen" if self.absent else "egg check: looked at, nothing marked"


class EggsLaid(Entry, frozen=True, kw_only=True):
    """Eggs of one clutch, so far or complete: `count` is all of the clutch up to now, slugs among them."""

    of = ("animal",)
    of_females = "eggs"
    milestone = True
    #: Seasons of clutches, each written down as it was counted: what she took teaches what she will take.
    keep = 160
    mentions = ("clutch", "sire")
    example = {
        "clutch": "clutch/wattle-2026-1",
        "count": 22,
        "slugs": 1,
        "complete": True,
    }
    clutch: Clutch
    count: Count
    slugs: Count = 0
    complete: bool = False
    sire: Animal | None = None
    #: The mass of all eggs of the clutch so far, where they were weighed.
    eggs_grams: Grams | None = None

    def phrase(self) -> str:
        return joined(
            f"{self.count} egg{'s' * (self.count != 1)} laid{' in all' if self.complete else ' so far'}",
            f"{self.slugs} slug{'s' * (self.slugs != 1)}" if self.slugs else "",
            f"they weigh {grams(self.eggs_grams)}" if self.eggs_grams is not None else "",
        )


class EggsBoxed(Entry, frozen=True, kw_only=True):
    """Eggs of a clutch were put into an egg box on a shelf, in medium with water: `count` of them in this box.

    A second box adds to the first within 24 hours, while it holds no more than the sound eggs that are in no box
    and no boxed egg was lost in between; also once more eggs were counted. Otherwise the same eggs are boxed
    again: `count` is how many are in boxes from then on. More than a day late with a box? Write each box again.
    Eggs that were put from one box into another name the one they came `out_of`.
    """

    of = ("clutch",)
    milestone = True
    keep = 64
    mentions = ("place", "out_of")
    example = {
        "count": 21,
        "place": "enclosure/s1",
        "medium": "vermiculite 1 : 1 by weight",
        "box_grams": 812,
    }
    count: Count
    place: Enclosure | None = None
    medium: Text = ""
    box_grams: Annotated[float, msgspec.Meta(gt=0, le=50_000, extra={"unit": "g"})] | None = None
    #: The mass of the eggs put into it, where they were weighed.
    eggs_grams: Grams | None = None
    #: Whether the up-side of each egg is marked.
    up_marked: bool = False
    #: The box they were in before.
    out_of: Enclosure | None = None

    def phrase(self) -> str:
        before = f" out of {short(self.out_of)}" if self.out_of else ""
        where = f" in {short(self.place)}" if self.place else ""
        up = "up-side marked" if self.up_marked else ""
        return joined(f"{self.count} egg{'s' * (self.count != 1)} boxed{before}{where}", self.medium, up)


class EggsLost(Entry, frozen=True, kw_only=True):
    """Eggs of a clutch spoiled, or were taken out.

    Before the clutch is boxed, and for 24 hours after, a loss is of its slugs first; later it is of boxed eggs,
    unless `in_box` says that they were in none.
    """

    of = ("clutch",)
    milestone = True
    keep = 64
    mentions = ("place",)
    example = {"count": 1, "why": "moulded"}
    count: Count
    why: Text = ""
    #: Taken out, or failed: left in the box and never hatched.
    how: EggLoss = "removed"
    #: The box it was in, where several hold the clutch.
    place: Enclosure | None = None
    #: Whether they were in a box; not said: as the days since the boxing have it.
    in_box: bool | None = None
    #: The mass of the eggs taken out, where weighed.
    grams: Grams | None = None

    def phrase(self) -> str:
        how = " failed" if self.how == "failed" else " lost"
        where = f" in {short(self.place)}" if self.place else " in no box" if self.in_box is False else ""
        return joined(f"{self.count} egg{'s' * (self.count != 1)}{how}{where}", self.why)


class Hatched(Entry, frozen=True, kw_only=True):
    """Young came out of a clutch: `count` of them on this entry. `into` is the group they go to.

    Of twins `eggs` says out of how many eggs they came; of a twin written after its egg, 0.
    """

    of = ("clutch",)
    milestone = True
    keep = 64
    mentions = ("into", "place")
    example = {"count": 20, "into": "group/hatch-1"}
    count: Count
    into: Group | None = None
    #: The box they came out in, where several hold the clutch.
    place: Enclosure | None = None
    eggs: Count | None = None

    @property
    def eggs_out(self) -> int:
        """The eggs they came out of: as many as young, unless there were twins."""
        return self.count if self.eggs is None else min(self.eggs, self.count)

    def phrase(self) -> str:
        many = self.eggs_out
        twins = f" of {many} egg{'' if many == 1 else 's'}, twins" if many < self.count else ""
        return f"{self.count} hatched{twins}"


class BrumationBegan(Entry, frozen=True, kw_only=True):
    """Brumation began."""

    of = ("animal",)
    milestone = True

    def phrase(self) -> str:
        return "brumation began"


class BrumationEnded(Entry, frozen=True, kw_only=True):
    """Brumation ended: awake, fed and warm again."""

    of = ("animal",)
    milestone = True

    def phrase(self) -> str:
        return "brumation ended"
