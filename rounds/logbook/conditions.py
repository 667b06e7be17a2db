"""What to look for among all entries: kinds, subjects, days, figures, words; and what of an entry each looks at.

A line of words is read into them elsewhere (`rounds.logbook.find_words`), and a query made of them
(`rounds.sheets.find`).
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Mapping
from datetime import date
from functools import cache
from typing import Final, Literal, NamedTuple

from rounds.logbook.entries import KINDS, Entry
from rounds.logbook.members import members
from rounds.logbook.times import with_year
from rounds.logbook.words import BEHAVIOURS, SIGNS

Sign = Literal["<", "<=", ">", ">=", "="]

_IN_WORDS: Final[Mapping[Sign, str]] = {
    "<": "below",
    "<=": "at most",
    ">": "above",
    ">=": "at least",
    "=": "exactly",
}


#: Kinds whose count is of eggs.
_OF_EGGS: Final = frozenset({"eggs_laid", "eggs_boxed", "eggs_lost"})


class Figure(NamedTuple):
    """A member of an entry above or below a number: `grams` below 300. Of several members one is enough."""

    name: str
    members: tuple[str, ...]
    sign: Sign
    value: float

    def members_of(self, kind: str) -> tuple[str, ...]:
        """Which of them a kind may have. `eggs` are no animals; young that hatched were as many, twins aside."""
        if self.name != "eggs" or kind in _OF_EGGS:
            return self.members
        return ("count", "eggs") if kind == "hatched" else ()

    def holds(self, number: float) -> bool:
        """Whether a number fulfils it."""
        if self.sign == "=":
            return number == self.value
        if self.sign in ("<", "<="):
            return number < self.value or (self.sign == "<=" and number == self.value)
        return number > self.value or (self.sign == ">=" and number == self.value)


class Conditions(NamedTuple):
    """All that an entry has to fulfil. What is empty asks nothing; of several kinds one is enough."""

    kinds: tuple[str, ...] = ()
    #: The subjects on whose pages it stands, all of them.
    subjects: tuple[str, ...] = ()
    by: str = ""
    #: The days on which it was seen, by the clock of its entry, both included.
    first: date | None = None
    last: date | None = None
    #: What its note, or another text in it, holds; in any case.
    words: tuple[str, ...] = ()
    figures: tuple[Figure, ...] = ()
    #: Signs and behaviours that were seen, all of them.
    seen: tuple[str, ...] = ()


def folded(text: str) -> str:
    """Text as it is compared: letters composed and in one case."""
    return unicodedata.normalize("NFC", text).casefold()


#: Texts in an entry that name something and say nothing.
_NO_WORDS: Final = frozenset(
    {"id", "by", "name", "tag", "matter", "level", "desk", "hand_over", "replaces", "instead"}
)


@cache
def usual_figures(kind: type[Entry]) -> Mapping[str, float | None]:
    """The members of a kind that hold a number, each with what it is when a line leaves it out."""
    return {name: one.default for name, one in members(kind).items() if one.sort in ("whole", "figure")}


@cache
def seen_members(kind: type[Entry]) -> frozenset[str]:
    """The members of a kind that hold signs or behaviours that were seen; not those looked for and not seen."""
    words = {*SIGNS, *BEHAVIOURS}
    return frozenset(name for name, one in members(kind).items() if words & set(one.words)) - {"absent"}


@cache
def texts(kind: type[Entry]) -> frozenset[str]:
    """The members of a kind that hold a keeper's own words: the note, a reason, what a vet said."""
    return frozenset(name for name, one in members(kind).items() if one.sort == "text" and not one.many) - _NO_WORDS


def figure_names() -> Mapping[str, tuple[str, ...]]:
    """What can be above or below a number, each with the members it stands for: `grams`, `degrees`, `eggs` …"""
    every = sorted({name for kind in KINDS.values() for name in usual_figures(kind)})
    degrees = tuple(name for name in every if name.endswith("_c"))
    return {**{name: (name,) for name in every}, "degrees": degrees, "weight": ("grams",), "eggs": ("count",)}


def in_words(found: Conditions, name: Callable[[str], str]) -> str:
    """The conditions said back, `name` telling what a subject is called: `weighed, Wattle, grams below 300`."""
    told = [kind.replace("_", " ") for kind in found.kinds]
    told += [f"{seen} seen" for seen in found.seen]
    told += [name(subject) for subject in found.subjects]
    told += [f"{one.name} {_IN_WORDS[one.sign]} {one.value:g}" for one in found.figures]
    if found.first is not None and found.first == found.last:
        told.append(f"on {with_year(found.first)}")
    else:
        told += [f"since {with_year(found.first)}"] if found.first is not None else []
        told += [f"until {with_year(found.last)}"] if found.last is not None else []
    told += [f"by {found.by}"] if found.by else []
    told += [f"note “{words}”" for words in found.words]
    return ", ".join(told)
