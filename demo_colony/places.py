"""What stands in the room, in the order in which it is walked; quarantine comes last."""

from __future__ import annotations

from typing import Final, NamedTuple

from rounds.logbook.plain import slug
from rounds.logbook.words import EnclosureType


class Place(NamedTuple):
    """One enclosure: its id in the logbook, what is written on it, what it is, in which rack and where."""

    subject: str
    name: str
    what: EnclosureType
    rack: str
    where: str

    @property
    def houses(self) -> bool:
        """Whether animals live in it for good."""
        return self.what in ("tub", "open tub", "tank", "bin")


def _place(name: str, what: EnclosureType, rack: str, where: str = "") -> Place:
    return Place("enclosure/" + slug(name), name, what, rack, where)


_LEVELS: Final = {1: "top", 4: "middle", 7: "bottom"}

RACKS: Final = tuple(
    _place(f"{rack}{number}", "tub", rack, f"rack {rack}, {_LEVELS[number]}" if number in _LEVELS else "")
    for rack in "ABCDE"
    for number in range(1, 8)
)
OPEN_TUBS: Final = (
    _place("T1", "open tub", "T", "by the door"),
    _place("T2", "open tub", "T", "under the window"),
    _place("T3", "open tub", "T", "beside the sink"),
    _place("T4", "open tub", "T", "far corner"),
)
LAY_BOXES: Final = tuple(
    _place(f"L{number}", "lay box", "L", "warm side, behind the curtain") for number in range(1, 5)
)
SHELVES: Final = (
    _place("S1", "incubator shelf", "S", "incubator, upper shelf"),
    _place("S2", "incubator shelf", "S", "incubator, lower shelf"),
)
BINS: Final = tuple(_place(f"Y{number}", "bin", "Y", "young, over the lay boxes") for number in range(1, 4))
EGG_BOXES: Final = tuple(_place(f"K{number}", "egg box", "K") for number in range(1, 9))
QUARANTINE: Final = _place("Q1", "open tub", "Q", "the small room; wash hands and change gloves")
#: Stood by the door until its male was lent out; taken down since.
OLD_TANK: Final = _place("Old tank", "tank", "", "by the door")

#: What stands in the room on the day the demo ends.
ROOM: Final = (*RACKS, *OPEN_TUBS, *LAY_BOXES, *SHELVES, *EGG_BOXES, *BINS, QUARANTINE)
EVER: Final = (*ROOM, OLD_TANK)
