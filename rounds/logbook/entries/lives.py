"""Who exists: arrivals, departures, deaths, sexes, enclosures and moves."""

from datetime import date
from typing import Annotated

import msgspec

from rounds.logbook.entries.base import (
    Animal,
    Clutch,
    Count,
    Currency,
    Enclosure,
    Entry,
    Money,
    Subject,
    Text,
    joined,
)
from rounds.logbook.money import money
from rounds.logbook.words import Certainty, EnclosureType, Leaving, Sex


class Arrived(Entry, frozen=True, kw_only=True):
    """An animal, or a group counted together, is in the colony from here on. It opens the subject.

    `hatched` may be known only as a year or month: then the first day of it, with `hatched_about` true.
    `count` is for groups; `traits` are free words, "leatherback" being one the pairing caution reads.
    `bred_here` tells home-bred young from acquired ones, which go into quarantine unless the entry says otherwise.
    """

    of = ("animal", "group")
    afterwards = True
    milestone = True
    keep = 64
    mentions = ("place", "clutch")
    example = {
        "name": "Wattle",
        "place": "enclosure/b3",
        "sex": "F",
        "hatched": "2023-03-01",
    }
    name: Annotated[str, msgspec.Meta(min_length=1, max_length=200)]
    place: Enclosure | None = None
    sex: Sex = "?"
    hatched: date | None = None
    hatched_about: bool = False
    sire: Animal | None = None
    dam: Animal | None = None
    clutch: Clutch | None = None
    count: Count | None = None
    origin: Text = ""
    bred_here: bool = False
    quarantine: bool = False
    traits: tuple[str, ...] = ()
    tag: Text = ""
    #: Males any of whom may be the sire, where it is not known which.
    possible_sires: tuple[Animal, ...] = ()

    def phrase(self) -> str:
        return joined(
            "arrived",
            f"{self.count} young" if self.count else "",
            f"from {self.origin}" if self.origin else "",
            "into quarantine" if self.quarantine else "",
        )


class PedigreeNoted(Entry, frozen=True, kw_only=True):
    """What is known of an animal's descent beside its arrival: papers that came with it, or a breeder's word.

    Of an ancestor that never lived here it says who it was; it is in no enclosure, needs no care and counts in no
    stock. The newest entry that names a parent counts. `hatched`, `hatched_about` and `traits` as in `arrived`.
    """

    of = ("animal",)
    afterwards = True
    milestone = True
    keep = 16
    example = {"about": "animal/rex", "name": "Rex", "sex": "M", "sire": "animal/old-rex", "origin": "a breeder"}
    name: Annotated[str, msgspec.Meta(max_length=200)] = ""
    sex: Sex = "?"
    hatched: date | None = None
    hatched_about: bool = False
    sire: Animal | None = None
    dam: Animal | None = None
    origin: Text = ""
    traits: tuple[str, ...] = ()
    #: Males any of whom may be the sire, where it is not known which.
    possible_sires: tuple[Animal, ...] = ()

    def phrase(self) -> str:
        sires = " or ".join(map(short, (self.sire,) if self.sire else self.possible_sires))
        return joined(
            "pedigree noted",
            f"sire {sires}" if sires else "",
            f"dam {short(self.dam)}" if self.dam else "",
            ", ".join(self.traits),
            f"from {self.origin}" if self.origin else "",
        )


class Left(Entry, frozen=True, kw_only=True):
    """An animal, or some of a group, left the colony (sold, given, returned, or lent for a while).

    `price` is that of all that left on this entry together.
    """

    of = ("animal", "group")
    milestone = True
    keep = 200
    example = {"how": "sold", "to": "a keeper in the next valley"}
    how: Leaving
    to: Text = ""
    count: Count | None = None
    price: Money | None = None
    currency: Currency = ""

    def phrase(self) -> str:
        many = f"{self.count} " if self.count is not None else ""
        price = money(self.price, self.currency) if self.price is not None else ""
        each = " in all" if price and self.count is not None and self.count > 1 else ""
        return joined(f"{many}{self.how}" + (f" to {self.to}" if self.to else ""), price + each)


class Died(Entry, frozen=True, kw_only=True):
    """An animal, or some of a group, was found dead."""

    of = ("animal", "group")
    milestone = True
    keep = 200
    example = {"cause": "found in the morning"}
    cause: Text = ""
    count: Count | None = None

    def phrase(self) -> str:
        many = f"{self.count} " if self.count is not None else ""
        return f"{many}died" + (f", {self.cause}" if self.cause else "")


class SexSettled(Entry, frozen=True, kw_only=True):
    """Its sex is known from here on (or no longer believed: `?`)."""

    of = ("animal",)
    milestone = True
    example = {"sex": "F", "how": "by the vet"}
    sex: Sex
    how: Text = ""
    certainty: Certainty = "sure"

    def phrase(self) -> str:
        sure = self.certainty if self.certainty != "sure" else ""
        return joined(f"sex settled: {self.sex}", sure, self.how)


class EnclosureSetUp(Entry, frozen=True, kw_only=True):
    """A tub, tank, lay box, incubator shelf or egg box stands in the room. It opens the subject.

    `order` is its place in the walking order (lower first); without one it follows rack and name.
    """

    of = ("enclosure",)
    afterwards = True
    milestone = True
    example = {"name": "B3", "what": "open tub", "rack": "B", "order": 12}
    name: Annotated[str, msgspec.Meta(min_length=1, max_length=200)]
    what: EnclosureType = "tub"
    rack: Text = ""
    where: Text = ""
    order: float | None = None
    tag: Text = ""

    def phrase(self) -> str:
        return joined(f"{self.what} set up", self.where)


class EnclosureTakenDown(Entry, frozen=True, kw_only=True):
    """The enclosure is no longer in use and drops out of the walk."""

    of = ("enclosure",)
    milestone = True

    def phrase(self) -> str:
        return "taken down"


class Moved(Entry, frozen=True, kw_only=True):
    """An animal or group went to another enclosure."""

    of = ("animal", "group")
    milestone = True
    keep = 24
    mentions = ("to",)
    example = {"to": "enclosure/b4", "why": "calmer there"}
    to: Enclosure
    why: Text = ""

    def phrase(self) -> str:
        return f"moved to {short(self.to)}" + (f", {self.why}" if self.why else "")


class QuarantineEnded(Entry, frozen=True, kw_only=True):
    """An arrival was let out of quarantine."""

    of = ("animal", "group")
    milestone = True

    def phrase(self) -> str:
        return "quarantine ended"


def short(subject: Subject | None) -> str:
    """The part of a subject's id behind the slash, for phrases that have no standing at hand."""
    return (subject or "?").rpartition("/")[2]
