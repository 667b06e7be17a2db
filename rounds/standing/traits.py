"""The traits a colony breeds for: how each is inherited, and what is noted of an animal.

A trait is one place in the genome with two forms, and an animal has none, one or two copies of the form that is
named. A recessive trait shows with two copies and is carried unseen with one. An incomplete dominant one shows
with one copy, and otherwise with two: `leatherback` with two copies is scaleless (Di-Poï & Milinkovitch 2016, Sci
Adv 2:e1600708).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Final, Literal, NamedTuple, TypeAlias

from rounds.logbook.entries import Arrived, Entry, TraitsSettled
from rounds.standing.fold import Standing

Way: TypeAlias = Literal["recessive", "incomplete dominant"]
#: What is noted of an animal and a trait.
Status: TypeAlias = Literal["two copies", "shows", "carries", "possible", "normal", "without"]
WAYS: Final[tuple[Way, ...]] = ("recessive", "incomplete dominant")
#: Members of `traits_settled`, with what each says.
_MEMBERS: Final[tuple[tuple[str, Status], ...]] = (
    ("shows", "shows"),
    ("carries", "carries"),
    ("possible", "possible"),
    ("normal", "normal"),
    ("without", "without"),
)
#: Words that stand before or behind a trait in the free words of an arrival, and what they make of it.
_POSSIBLY: Final = ("possible", "possibly", "poss", "may carry", "may be", "maybe")
_CARRIES: Final = ("het", "carries", "carrier")
_WITHOUT: Final = ("no", "not", "non", "without")

#: What is noted of some of a group, and what it makes of one of them.
_MAY: Final[Mapping[Status, str]] = {
    "two copies": "may show",
    "shows": "may show",
    "carries": "may carry",
    "possible": "may carry",
}


class Trait(NamedTuple):
    """One trait of the colony's list. `two` is what an animal with two copies is called, if it looks otherwise."""

    name: str
    way: Way
    two: str = ""

    def copies(self, status: Status) -> frozenset[int]:
        """How many copies an animal may have of which this is noted."""
        if status == "without":
            return frozenset({0})
        if status == "two copies":
            return frozenset({2})
        if self.way == "recessive":
            return {"shows": frozenset({2}), "carries": frozenset({1})}.get(status, frozenset({0, 1}))
        if status == "shows":
            return frozenset({1}) if self.two else frozenset({1, 2})
        return {"carries": frozenset({1}), "possible": frozenset({0, 1})}.get(status, frozenset({0}))

    def look(self, copies: int) -> str:
        """How an animal with so many copies looks; empty where it looks as others do."""
        if self.way == "recessive":
            return self.name if copies == 2 else ""
        return ("", self.name, self.two or f"two copies of {self.name}")[copies]

    def outcome(self, copies: int) -> str:
        """A young with so many copies, in words."""
        if self.way == "recessive" and copies == 1:
            return f"carries {self.name}"
        return self.look(copies) or f"without {self.name}"

    @property
    def burden(self) -> bool:
        """Whether two copies are a burden on the animal: one without scales."""
        return self.way == "incomplete dominant" and any(word in self.two.casefold() for word in _SCALELESS)


#: So many names have a key of their own in a form.
MOST_TICKS: Final = 35
_SCALELESS: Final = ("scaleless", "silkback", "silkie")
#: Known without a list of the colony's own.
LEATHERBACK: Final = Trait("leatherback", "incomplete dominant", "scaleless")
KNOWN: Final = (LEATHERBACK,)


class Note(NamedTuple):
    """What is noted of an animal and a trait, and the entry that says so. `many` is for groups."""

    status: Status
    entry: Entry
    many: int | None = None


def notes(standing: Standing, who: str, traits: Iterable[Trait]) -> Mapping[str, Note]:
    """What is noted of an animal, by the name of each trait of which something is; the newest note counts."""
    found: dict[str, Note] = {}
    wanted = tuple(traits)
    for entry in _entries(standing, who):
        for trait in wanted:
            status = said_of(trait, entry)
            if status is not None:
                found[trait.name] = Note(status, entry)
    return found


def counted(standing: Standing, group: str, trait: Trait) -> list[Note]:
    """What is noted of the young of a group, each look with how many it was seen in; the newest count of each."""
    found: dict[Status, Note] = {}
    for entry in _entries(standing, group):
        status = said_of(trait, entry)
        if status is not None:
            many = entry.count if isinstance(entry, TraitsSettled | Arrived) else None
            found[status] = Note(status, entry, many)
    return [note for note in found.values() if note.many]


def may_show(standing: Standing, groups: Iterable[str], traits: Iterable[Trait]) -> str:
    """`may show leatherback (noted of 3 young)`: what was noted of some young of groups; empty when nothing was.

    Of one of them that is named nothing is known for sure: it may be one of those or not.
    """
    told: dict[str, str] = {}
    named = tuple(groups)
    for trait in traits:
        for who in named:
            for note in counted(standing, who, trait):
                if note.status in _MAY:
                    name = trait.two if note.status == "two copies" and trait.two else trait.name
                    told.setdefault(f"{_MAY[note.status]} {name}", f" (noted of {note.many} young)")
    return ", ".join(f"{words}{many}" for words, many in told.items())


def _entries(standing: Standing, who: str) -> list[TraitsSettled | Arrived]:
    page = standing.page(who)
    entries: list[TraitsSettled | Arrived] = [entry for entry in page.of(Arrived) if entry.traits]
    entries += page.of(TraitsSettled)
    return sorted((entry for entry in entries if entry.about == who), key=lambda entry: entry.key)


def said_of(trait: Trait, entry: TraitsSettled | Arrived) -> Status | None:
    """What an entry says of a trait; None when nothing."""
    if isinstance(entry, TraitsSettled):
        for member, status in _MEMBERS:
            for name in getattr(entry, member):
                if _is_two(trait, name):
                    return "two copies" if status == "shows" else None
                if _same(name, trait.name):
                    return status
        return None
    return next((found for word in entry.traits if (found := _in_words(trait, word)) is not None), None)


def is_listed(name: str, traits: Iterable[Trait]) -> bool:
    """Whether a name is one of the list, or what two copies of one are called."""
    return any(_same(name, trait.name) or _is_two(trait, name) for trait in traits)


def is_told_of(trait: Trait, word: str) -> bool:
    """Whether the free words of an arrival say something of a trait."""
    return _in_words(trait, word) is not None


def trait_names(traits: Iterable[Trait], shown: bool) -> tuple[str, ...]:
    """The names that a keeper ticks; among what is `shown` also what an animal with two copies is called."""
    listed = tuple(traits)
    twos = [trait.two for trait in listed if trait.two] if shown else []
    return tuple(dict.fromkeys((*(trait.name for trait in listed), *twos)))[:MOST_TICKS]


def _is_two(trait: Trait, name: str) -> bool:
    if not trait.two:
        return False
    return _same(name, trait.two) or (trait.burden and name.casefold().strip() in _SCALELESS)


def _same(one: str, other: str) -> bool:
    return " ".join(one.casefold().split()) == " ".join(other.casefold().split())


def _in_words(trait: Trait, text: str) -> Status | None:
    """What free words at an arrival say: `leatherback`, `het albino`, `possible het albino`, `not albino`."""
    words = " ".join(text.casefold().replace(":", " ").split())
    if _is_two(trait, words):
        return "two copies"
    name = " ".join(trait.name.casefold().split())
    # A short name stands in many words (red, in bred); one that burdens the young is believed from any of them.
    if name not in words or not (trait.burden or re.search(rf"(?<!\w){re.escape(name)}(?:e?s)?(?!\w)", words)):
        return None
    rest = words.replace(name, " ").replace("%", " ").split()
    told = " ".join(rest)
    if any(one in told for one in _POSSIBLY) or ("het" in rest and any(one.isdigit() for one in rest)):
        return "possible"
    if any(one in rest for one in _CARRIES):
        return "carries"
    return "without" if any(one in rest for one in _WITHOUT) else "shows"
