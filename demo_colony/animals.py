"""Who lives in the room: names, ages, weights, where from. All counted back from the day the demo ends."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple

from rounds.logbook.plain import slug
from rounds.logbook.words import Sex

#: The day this logbook was opened; what is older was copied from the paper book on that day.
OPENED: Final = -120
#: Months after which an animal spends the winter in brumation.
BRUMATES_FROM_MONTHS: Final = 15

#: The days on which the brumations of last year and of this year began.
BRUMATED: Final = (-525, -160)


class Dweller(NamedTuple):
    """An animal as the keepers know it.

    `age` in days and `grams` (its own weight, not gravid) are those at the end; `came` is how many days
    before the end it arrived. Without `origin` it was bred here.
    """

    name: str
    sex: Sex
    home: str
    age: int
    grams: float
    came: int
    origin: str = ""
    dam: str = ""
    sire: str = ""
    traits: tuple[str, ...] = ()
    #: Where it is not known which of two males it is by.
    sires: tuple[str, ...] = ()
    #: The clutch it came out of, where it was singled out of a group of this logbook.
    clutch: str = ""
    #: The day it died or left, where that was before the logbook was opened.
    until: int = 1

    @property
    def subject(self) -> str:
        """Its id in the logbook."""
        return "animal/" + slug(self.name)

    @property
    def place(self) -> str:
        """The id of the enclosure it lived in when the logbook was opened."""
        return "enclosure/" + slug(self.home)

    def winters(self) -> Iterator[int]:
        """The days before the end on which the brumations began that it was here and old enough for."""
        for began in BRUMATED:
            if self.until > began and self.came > -began and self.age + began > BRUMATES_FROM_MONTHS * 30:
                yield began

    @property
    def brumates(self) -> bool:
        """Whether it was here and old enough for the last brumation."""
        return self.until > OPENED and self.came > -OPENED and self.age - BRUMATES_FROM_MONTHS * 30 > -OPENED


HOBBY: Final = "a private keeper"
FARM: Final = "a breeder two valleys on"

DWELLERS: Final = (
    # Breeding females. What befalls each of them is told in story/.
    Dweller("Wattle", "F", "T1", 1120, 418, 1040, FARM),
    Dweller("Correa", "F", "T2", 1290, 432, 1200, FARM),
    Dweller("Hakea", "F", "T2", 1010, 405, 1010, dam="zamia", sire="coolibah"),
    Dweller("Boronia", "F", "T2", 860, 388, 800, HOBBY),
    Dweller("Banksia", "F", "A2", 1180, 440, 1100, FARM, traits=("hypo",)),
    Dweller("Grevillea", "F", "A3", 1240, 425, 1100, HOBBY),
    Dweller("Hovea", "F", "A4", 990, 402, 900, FARM),
    Dweller("Lomandra", "F", "A5", 1330, 436, 1250, HOBBY),
    Dweller("Kunzea", "F", "A6", 1060, 398, 1060, dam="zamia", sire="coolibah"),
    Dweller("Myrtle", "F", "B2", 940, 412, 940, dam="zamia", sire="coolibah"),
    Dweller("Dianella", "F", "B3", 1410, 447, 1300, FARM),
    Dweller("Melaleuca", "F", "B4", 1480, 455, 1400, FARM),
    Dweller("Pimelea", "F", "B5", 1370, 421, 1290, HOBBY),
    Dweller("Saltbush", "F", "B6", 1150, 408, 1060, HOBBY),
    Dweller("Sedge", "F", "C2", 850, 386, 850, dam="zamia", sire="jarrah"),
    Dweller("Mulga", "F", "C3", 1270, 429, 1190, HOBBY, traits=("leatherback",)),
    Dweller("Hibbertia", "F", "C4", 1100, 411, 1010, FARM),
    Dweller("Clematis", "F", "C5", 1390, 433, 1310, HOBBY),
    Dweller("Kurrajong", "F", "C6", 1220, 442, 1130, FARM),
    Dweller("Emubush", "F", "D4", 1440, 438, 1360, HOBBY),
    Dweller("Waratah", "F", "E2", 1310, 427, 1230, FARM),
    # Females at rest, one of them retired, one too young and light to be bred.
    Dweller("Bracken", "F", "T1", 2610, 409, 2100, HOBBY),
    Dweller("Zamia", "F", "D2", 1890, 446, 1890, dam="old-quandong", sire="bloodwood"),
    Dweller("Senna", "F", "D6", 1170, 417, 1080, HOBBY),
    Dweller("Tussock", "F", "D6", 1200, 424, 1110, FARM),
    Dweller("Fern", "F", "E6", 610, 312, 600, dam="zamia", sire="brigalow"),
    Dweller("Old Quandong", "F", "D2", 3350, 398, 2200, HOBBY),
    # Two that came while this logbook ran; they went into quarantine.
    Dweller("Cassia", "F", "Q1", 980, 402, 110, HOBBY),
    Dweller("Samphire", "F", "Q1", 700, 352, 17, HOBBY),
    # Males.
    Dweller("Jarrah", "M", "A1", 1500, 492, 1420, FARM),
    Dweller("Marri", "M", "B1", 1260, 478, 1170, HOBBY),
    Dweller("Karri", "M", "C1", 1350, 512, 1280, FARM),
    Dweller("Belah", "M", "D1", 1600, 471, 1520, HOBBY),
    Dweller("Coolibah", "M", "D3", 2210, 486, 2000, HOBBY, traits=("leatherback",)),
    Dweller("Gidgee", "M", "D5", 1190, 467, 1090, FARM),
    Dweller("Brigalow", "M", "E1", 1710, 501, 1710, dam="bracken", sire="bloodwood"),
    Dweller("Bunya", "?", "E3", 425, 296, 420, dam="bracken", sire="coolibah"),
    Dweller("Mallee", "M", "E4", 1040, 459, 1040, dam="bracken", sire="brigalow"),
    Dweller("Sassafras", "M", "E5", 1310, 483, 1210, HOBBY),
    Dweller("Ironbark", "M", "T4", 1130, 474, 1130, dam="bracken", sire="coolibah"),
    Dweller("Wandoo", "M", "Old tank", 1420, 469, 1330, HOBBY),
    # Last season's young, counted one by one since they were moved out of their groups.
    Dweller("Pandan", "?", "T3", 286, 164, 286, dam="waratah", sire="marri", clutch="waratah-1"),
    Dweller("Cress", "?", "T3", 286, 158, 286, dam="waratah", sire="marri", clutch="waratah-1"),
    Dweller("Rush", "?", "T3", 286, 171, 286, dam="waratah", sire="marri", clutch="waratah-1"),
    Dweller("Nardoo", "?", "D7", 272, 148, 272, dam="emubush", sire="jarrah", clutch="emubush-1"),
    Dweller("Dodder", "?", "D7", 272, 152, 272, dam="emubush", sire="jarrah", clutch="emubush-1"),
    Dweller("Bindii", "?", "D7", 272, 145, 272, dam="emubush", sires=("jarrah", "karri"), clutch="emubush-1"),
    Dweller("Rosella", "?", "E7", 331, 188, 331, dam="senna", sire="gidgee", clutch="senna-1"),
    Dweller("Nettle", "?", "E7", 331, 193, 331, dam="senna", sire="gidgee", clutch="senna-1"),
    Dweller("Thyme", "?", "E7", 331, 181, 331, dam="senna", sire="gidgee", clutch="senna-1"),
    # Died before this logbook was opened; half of the shed goes back to him.
    Dweller("Bloodwood", "M", "D3", 3450, 505, 2280, FARM, until=-700),
)
