"""The entry kinds: one frozen record each, named in the past tense. `KINDS` lists them all."""

from typing import Final, get_args

from rounds.logbook.entries.base import ROOM, Entry, kind_of_name
from rounds.logbook.entries.breeding import (
    BrumationBegan,
    BrumationEnded,
    EggCheckDone,
    EggsBoxed,
    EggsLaid,
    EggsLost,
    FeltForEggs,
    Hatched,
    LayBoxIn,
    LayBoxOut,
    MatingSeen,
    Parted,
    PutTogether,
    Referred,
    Tested,
    TreatmentEnded,
    TreatmentGiven,
    VetCalled,
    VetSeen,
)
from rounds.logbook.entries.care import (
    Ate,
    Cleaned,
    ClimateRead,
    Fed,
    LampChanged,
    LeftOut,
    Measured,
    Misted,
    Watered,
    Weighed,
)
from rounds.logbook.entries.lives import (
    Arrived,
    Died,
    EnclosureSetUp,
    EnclosureTakenDown,
    Left,
    Moved,
    QuarantineEnded,
    SexSettled,
)
from rounds.logbook.entries.seen import BehaviourSeen, ConditionSeen, DroppingsSeen, Noted, ShedSeen
from rounds.logbook.entries.shift import (
    Acknowledged,
    Corrected,
    HandedOver,
    PutOff,
    StopWalked,
    TakenOver,
)

AnyEntry = (
    Acknowledged
    | Arrived
    | Ate
    | BehaviourSeen
    | BrumationBegan
    | BrumationEnded
    | Cleaned
    | ClimateRead
    | ConditionSeen
    | Corrected
    | Died
    | DroppingsSeen
    | EggCheckDone
    | EggsBoxed
    | EggsLaid
    | EggsLost
    | EnclosureSetUp
    | EnclosureTakenDown
    | Fed
    | FeltForEggs
    | HandedOver
    | Hatched
    | LampChanged
    | LayBoxIn
    | LayBoxOut
    | Left
    | LeftOut
    | MatingSeen
    | Measured
    | Misted
    | Moved
    | Noted
    | Parted
    | PutOff
    | PutTogether
    | QuarantineEnded
    | Referred
    | SexSettled
    | ShedSeen
    | StopWalked
    | TakenOver
    | Tested
    | TreatmentEnded
    | TreatmentGiven
    | VetCalled
    | VetSeen
    | Watered
    | Weighed
)

#: Every kind by the word it has on disk.
KINDS: Final[dict[str, type[Entry]]] = {kind_of_name(kind.__name__): kind for kind in get_args(AnyEntry)}

__all__ = [
    "KINDS",
    "ROOM",
    "Acknowledged",
    "AnyEntry",
    "Arrived",
    "Ate",
    "BehaviourSeen",
    "BrumationBegan",
    "BrumationEnded",
    "Cleaned",
    "ClimateRead",
    "ConditionSeen",
    "Corrected",
    "Died",
    "DroppingsSeen",
    "EggCheckDone",
    "EggsBoxed",
    "EggsLaid",
    "EggsLost",
    "EnclosureSetUp",
    "EnclosureTakenDown",
    "Entry",
    "Fed",
    "FeltForEggs",
    "HandedOver",
    "Hatched",
    "LampChanged",
    "LayBoxIn",
    "LayBoxOut",
    "Left",
    "LeftOut",
    "MatingSeen",
    "Measured",
    "Misted",
    "Moved",
    "Noted",
    "Parted",
    "PutOff",
    "PutTogether",
    "QuarantineEnded",
    "Referred",
    "SexSettled",
    "ShedSeen",
    "StopWalked",
    "TakenOver",
    "Tested",
    "TreatmentEnded",
    "TreatmentGiven",
    "VetCalled",
    "VetSeen",
    "Watered",
    "Weighed",
]
