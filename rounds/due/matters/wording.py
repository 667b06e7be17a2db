"""How the matters say days, counts and names, and the steps that many of them share."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from rounds.due.dates import day, day_time, span
from rounds.rules.house import House

__all__ = [
    "AGREE_STEP",
    "CALL_STEP",
    "NEVER_STEP",
    "QUIET_STEP",
    "UNTIL_THEN_STEP",
    "capital",
    "day",
    "day_time",
    "is_over",
    "listed",
    "many",
    "nest_check_steps",
    "nest_steps",
    "quoted",
    "soak_step",
    "span",
    "times",
    "vet_now_steps",
    "vet_steps",
]

#: Where the vet is the next step, behind a colon; it begins a sentence with a capital.
CALL_STEP: Final = "phone a reptile vet, and agree it with your vet."
#: What a keeper must not do, whatever the matter.
NEVER_STEP: Final = "Do not press, massage or inject. Keep the vet's deadline."
UNTIL_THEN_STEP: Final = "Until then: warmth, quiet, water."
QUIET_STEP: Final = "Warmth, water, quiet; look without touching."
AGREE_STEP: Final = "Anything more: agree it with your vet."


def vet_now_steps(house: House) -> tuple[str, ...]:
    """The steps of a matter that is for the vet now."""
    return (f"Phone {house.vet or 'a reptile vet'} now, day or night. Do not wait.", AGREE_STEP)


def vet_steps(house: House) -> tuple[str, ...]:
    """The steps of a matter that is for the vet."""
    return (f"Phone {house.vet or 'a reptile vet'} today. Say what you saw, and when.", AGREE_STEP)


def many(count: float, one: str, more: str = "") -> str:
    """`1 egg`, `3 eggs`."""
    return f"{count:g} {one if count == 1 else more or one + 's'}"


def capital(text: str) -> str:
    """`dug 1 Apr` → `Dug 1 Apr`: the first letter only, so that months keep theirs."""
    return text[:1].upper() + text[1:]


def listed(parts: Iterable[str]) -> str:
    """`a, b and c`."""
    words = list(parts)
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + (" and " if words else "") + "".join(words[-1:])


def is_over(value: float, base: float, fraction: float) -> bool:
    """Whether a weight is above another by a fraction or more, to the gram whatever the last binary digit says."""
    return value >= base * (1 + fraction) - 1e-6


def quoted(text: str, most: int = 160) -> str:
    """A keeper's or vet's own words on one line, cut when long, in marks that tell them from ours."""
    line = " ".join(text.split()).replace("“", "'").replace("”", "'")
    return "“" + (line if len(line) <= most else line[: most - 1].rstrip() + "…") + "”"


def nest_steps(house: House) -> tuple[str, ...]:
    """A nest in time: how deep, damp and warm, from the house rules."""
    low, high = house.band("eggbinding.nest_c")
    return (
        f"Give her a lay box: {house.number('eggbinding.nest_depth_cm'):g} cm or more of damp sand and soil, "
        f"{low:g}–{high:g} °C.",
        "Leave her alone in it (common practice, no source).",
    )


def nest_check_steps(house: House) -> tuple[str, ...]:
    """The nest she has, looked over: the same numbers as a question."""
    low, high = house.band("eggbinding.nest_c")
    return (
        f"Is the nest deep ({house.number('eggbinding.nest_depth_cm'):g} cm), damp, warm ({low:g}–{high:g} °C) "
        "and quiet?",
        "Offer a second one, of another medium or in another place.",
    )


def soak_step(house: House) -> str:
    """The soak a keeper may give, from the house rules."""
    low, high = house.band("eggbinding.soak_minutes")
    warm = f"{house.number('eggbinding.soak_c'):g} °C, {low:g}–{high:g} min"
    return (
        f"Look first. Bright and not digging? Then you may soak her once a day, about {warm}. "
        "Stay with her; water below her chin."
    )


def times(count: int) -> str:
    """once, twice, 3 times."""
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def beside_name(says: str, name: str) -> str:
    """What is said of one whose name stands beside it: a sentence that begins with the name leaves it away."""
    return says.removeprefix(name).lstrip(": ") if says.startswith((f"{name}:", f"{name} ")) else says
