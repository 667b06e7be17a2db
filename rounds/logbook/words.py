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

#: What a male and a female show each other when they are put together, in the order in which it is told, and the
#: word for it in a line (Carpenter, Badham & Kimble 1970).
COURTSHIP: Final[dict[str, str]] = {
    "head bobbing": "bobbing",
    "push-ups": "push-ups",
    "beard blackening": "black beard",
    "arm-waving": "arm-waving",
    "nape bite": "nape bite",
    "mounting": "mounting",
    "copulation": "mating",
}

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
    "laboured breathing",
    "discharge at the nose",
    "sore mouth",
    "soft jaw",
    "bent limbs",
    "dark toes or tail tip",
    "burn",
    "bite wound",
]
SIGNS: Final[tuple[Sign, ...]] = get_args(Sign)

#: The signs of the egg check.
EGG_SIGNS: Final[tuple[Sign, ...]] = SIGNS[:10]
#: In a gravid female each of these is `vet now` at once.
DANGER_SIGNS: Final[frozenset[str]] = frozenset(SIGNS[:7])
#: `vet now` in any animal.
URGENT_SIGNS: Final[frozenset[str]] = frozenset({"prolapse", "tremor"})
#: Signs of any animal beside those of the egg check. Each is for the vet: a house rule, no number behind it.
HEALTH_SIGNS: Final[frozenset[str]] = frozenset(SIGNS[10:])
#: What a look shows without touching her.
LOOK_SIGNS: Final[tuple[Sign, ...]] = (*SIGNS[:7], "digging")

Eaten = Literal["well", "some", "refused"]
Food = Literal["insects", "greens", "other"]
CleanExtent = Literal["spot", "full"]
Look = Literal["bright", "quiet", "dull"]
#: Body condition in five steps.
Body = Literal["very thin", "thin", "good", "heavy", "very heavy"]
Droppings = Literal["normal", "runny", "blood or mucus", "undigested", "none found"]
Shed = Literal["begun", "clean", "stuck"]
Leaving = Literal["sold", "given", "returned", "lent"]
Felt = Literal["eggs", "none", "unsure"]
Sample = Literal["faecal test", "virus test"]
Medium = Literal["vermiculite", "perlite", "sphagnum", "other"]
EggSign = Literal["dented", "mould", "sweating", "discoloured", "leaking", "pipped"]
EGG_LOOKS: Final[tuple[EggSign, ...]] = get_args(EggSign)
#: Taken out of the box, or left in it and never hatched.
EggLoss = Literal["removed", "failed"]
#: How sure a sex is.
Certainty = Literal["sure", "likely", "guess"]
#: What became of an appointment.
AppointmentEnd = Literal["kept", "not kept", "cancelled"]
WalkPart = Literal["morning", "evening"]

#: Care that can fall due at a stop; the word stands in `left_out` entries and in due lines.
Care = Literal[
    "feed insects",
    "feed greens",
    "water",
    "dish",
    "mist",
    "spot clean",
    "full clean",
    "weigh",
    "count",
    "egg check",
    "climate",
    "lamp",
    "treatment",
    "part",
    "egg box",
    "hatch watch",
    "candle",
    "other",
]
CARES: Final[tuple[Care, ...]] = get_args(Care)
