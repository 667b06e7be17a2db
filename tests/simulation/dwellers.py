"""Who lives in the room, and a walk past them."""

from __future__ import annotations

from dataclasses import dataclass, field
from random import Random
from typing import Final

from rounds.logbook.words import Sex, WalkPart
from tests.simulation.courses import DAY, Course

#: Where eggs go.
SHELF: Final = "enclosure/shelf"


@dataclass
class Dweller:
    """One animal of the room, with its truth and what its keepers keep in mind of it."""

    subject: str
    name: str
    sex: Sex
    tub: str
    course: Course
    age_days: int = 900
    #: The male that is let in to her.
    male: str = ""
    mates: tuple[str, ...] = ()
    box_in: bool = False
    dead: bool = False
    #: When digging of hers was last written, in hours; whether a matter of today or worse stood.
    digging_written: float = -1e9
    told: bool = False
    #: By laying: eggs written so far, whether written complete, whether boxed.
    eggs_written: list[int] = field(default_factory=list)
    complete: list[bool] = field(default_factory=list)
    boxed: list[bool] = field(default_factory=list)
    hatched: set[int] = field(default_factory=set)
    #: The hour of the last walk on which somebody stood here.
    looked: float = 0.0


@dataclass(frozen=True)
class Walk:
    """One walk by one keeper: when it began (hours), which it is, and its luck.

    Luck belongs to a walk, an animal and what is done, so that a program that asks for more or less does not
    change what is seen later: two sets of rules are judged by the same season.
    """

    hour: float
    part: WalkPart
    key: str
    luck: Random

    def with_luck(self, of: str) -> Walk:
        """The same walk, with the luck of one animal or one answer."""
        return Walk(self.hour, self.part, self.key, Random(f"{self.key} {of}"))

    @property
    def day(self) -> int:
        return int(self.hour // DAY)
