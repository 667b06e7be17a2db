"""The words a keeper may choose from. One word for one thing; the behaviour words are the ethology's.

Behaviour: Carpenter, Badham & Kimble 1970, Behavior patterns of three species of Amphibolurus
(Copeia); stacking of young: Khan et al. 2010, Physiol Behav 100:180; pacing as a sign of stress:
Crisante et al. 2025. Gaping is (memory). Danger signs: dvm360, "Preovulatory stasis and dystocia
in oviparous lizards"; Exotic Animal Formulary, 5th ed., Table 4-16.
"""

from __future__ import annotations

from typing import Final, Literal, get_args

Sex = Literal["F", "M", "?"]

EnclosureType = Literal[
    "tub", "open tub", "tank", "bin", "vivarium", "lay box", "incubator shelf", "egg box", "other"
]

Behaviour = Literal[
    "head bobbing",
    "push-ups",
    "arm-waving",
    "beard blackening",
    "nape bite",
    "mounting",
    "copulation",
    "nest digging",
    "trial nest",
    "gaping",
    "glass pacing",
    "stacking",
    "chasing",
    "biting",
    "basking",
    "hiding",
]
BEHAVIOURS: Final[tuple[Behaviour, ...]] = get_args(Behaviour)

#: Behaviour that says she is looking for a place to lay.
NESTING_BEHAVIOURS: Final[frozenset[str]] = frozenset({"nest digging", "trial nest"})

Sign = Literal[
    "lethargy",
    "tremor",
    "weak hind limbs",
    "straining",
    "discharge at the vent",
    "swelling at the vent",
    "prolapse",
    "off food",
    "digging",
    "eggs felt",
]
SIGNS: Final[tuple[Sign, ...]] = get_args(Sign)

#: In a carrying female each of these is `vet now` at once.
DANGER_SIGNS: Final[frozenset[str]] = frozenset(SIGNS[:7])

Eaten = Literal["well", "some", "refused"]
Food = Literal["insects", "greens", "other"]
CleanExtent = Literal["spot", "full"]
Look = Literal["bright", "quiet", "dull"]
Body = Literal["thin", "good", "heavy"]
Droppings = Literal["normal", "runny", "blood or mucus", "undigested", "none found"]
Shed = Literal["begun", "clean", "stuck"]
Leaving = Literal["sold", "given", "returned", "lent"]
Felt = Literal["eggs", "none", "unsure"]
WalkPart = Literal["morning", "evening"]

#: Care that can fall due at a stop; the word stands in `left_out` entries and in due lines.
Care = Literal[
    "feed insects",
    "feed greens",
    "water",
    "mist",
    "spot clean",
    "full clean",
    "weigh",
    "egg check",
    "climate",
    "lamp",
    "treatment",
    "egg box",
    "other",
]
CARES: Final[tuple[Care, ...]] = get_args(Care)
