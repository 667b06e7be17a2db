"""What breeders call the kin of a female and a male, where one word says it."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Final

from rounds.standing.kinship import Parents

#: The kinship that each word stands for where no one is inbred (textbook values).
PLAIN: Final[dict[str, Fraction]] = {
    "full sibs": Fraction(1, 4),
    "dam × son": Fraction(1, 4),
    "sire × daughter": Fraction(1, 4),
    "half sibs": Fraction(1, 8),
    "granddam × grandson": Fraction(1, 8),
    "grandsire × granddaughter": Fraction(1, 8),
    "uncle × niece": Fraction(1, 8),
    "aunt × nephew": Fraction(1, 8),
    "double first cousins": Fraction(1, 8),
    "half uncle × niece": Fraction(1, 16),
    "half aunt × nephew": Fraction(1, 16),
    "great-granddam × great-grandson": Fraction(1, 16),
    "great-grandsire × great-granddaughter": Fraction(1, 16),
    "first cousins": Fraction(1, 16),
    "half first cousins": Fraction(1, 32),
}
_STEPS_UP: Final = (
    ("dam × son", "sire × daughter"),
    ("granddam × grandson", "grandsire × granddaughter"),
    ("great-granddam × great-grandson", "great-grandsire × great-granddaughter"),
)


def kin_words(dam: str, sire: str, parents: Callable[[str], Parents], kinship: Fraction) -> str:
    """The kin of a female and a male in words: the closest that holds, `and more` where they are closer still.

    `unrelated` is said of the pedigree known so far; `kin` where no word fits.
    """
    if not kinship:
        return "unrelated"
    word = _word(dam, sire, parents)
    if not word:
        return "kin"
    return word if kinship <= PLAIN[word] else f"{word}, and more"


def _word(dam: str, sire: str, parents: Callable[[str], Parents]) -> str:
    hers, his = parents(dam), parents(sire)
    found = [_sibs(hers, his)]
    for up, (of_him, of_her) in enumerate(_STEPS_UP, 1):
        if dam in _above(sire, up, parents):
            found.append(of_him)
        if sire in _above(dam, up, parents):
            found.append(of_her)
    for parent in hers:
        if parent is not None and parent != sire:
            found.append(
                {"full sibs": "uncle × niece", "half sibs": "half uncle × niece"}.get(
                    _sibs(parents(parent), his), ""
                )
            )
    for parent in his:
        if parent is not None and parent != dam:
            found.append(
                {"full sibs": "aunt × nephew", "half sibs": "half aunt × nephew"}.get(
                    _sibs(parents(parent), hers), ""
                )
            )
    cousins = [
        _sibs(parents(her_parent), parents(his_parent))
        for her_parent in hers
        for his_parent in his
        if her_parent is not None and his_parent is not None and her_parent != his_parent
    ]
    if cousins.count("full sibs") > 1:
        found.append("double first cousins")
    found += ["first cousins"] * ("full sibs" in cousins) + ["half first cousins"] * ("half sibs" in cousins)
    words = [word for word in found if word]
    return max(words, key=lambda word: PLAIN[word], default="")


def _sibs(one: Parents, other: Parents) -> str:
    shared = [mine for mine, theirs in zip(one, other, strict=True) if mine is not None and mine == theirs]
    return ("", "half sibs", "full sibs")[len(shared)]


def _above(who: str, up: int, parents: Callable[[str], Parents]) -> set[str]:
    found = {who}
    for _ in range(up):
        found = {parent for one in found for parent in parents(one) if parent is not None}
    return found
