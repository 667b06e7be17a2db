"""The traits a colony breeds for: how each is inherited, and what is noted of an animal.

A trait is one place in the genome with two forms, and an animal has none, one or two copies of the form that is
named. A recessive trait shows with two copies and is carried unseen with one. An incomplete dominant one shows
with one copy, and otherwise with two: `leatherback` with two copies is scaleless (Di-Poï & Milinkovitch 2016, Sci
Adv 2:e1600708).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from itertools import pairwise
from typing import Final, Literal, NamedTuple, TypeAlias

from rounds.logbook.descent import Descent
from rounds.logbook.entries import Arrived, Entry, PedigreeNoted, SingledOut, TraitsSettled
from rounds.logbook.group_census import GroupCensus
from rounds.standing.clutch_young import came_from
from rounds.standing.fold import Standing
from rounds.standing.group import group

Way: TypeAlias = Literal["recessive", "incomplete dominant"]
#: What is noted of an animal and a trait.
Status: TypeAlias = Literal["two copies", "shows", "may show", "carries", "possible", "normal", "without"]
WAYS: Final[tuple[Way, ...]] = ("recessive", "incomplete dominant")
#: Members of `traits_settled`, with what each says.
_MEMBERS: Final[tuple[tuple[str, Status], ...]] = (
    ("shows", "shows"),
    ("carries", "carries"),
    ("possible", "possible"),
    ("normal", "normal"),
    ("without", "without"),
)
#: Words that stand before a trait, or last behind it, in the free words of an arrival, and what they make of it.
_POSSIBLY: Final = frozenset({"possible", "possibly", "poss", "ph", "may", "maybe"})
_CARRIES: Final = frozenset({"het", "carries", "carrier", "carry", "dh", "th"})
_WITHOUT: Final = frozenset({"no", "not", "non", "without"})
_BESIDE: Final = frozenset({*_POSSIBLY, *_CARRIES, *_WITHOUT, "be", "for", "double", "triple"})
_PERCENT: Final = re.compile(r"(\d{1,3})(?:\.\d+)?\s*%")

#: What is noted of some of a group, and what it makes of one of them.
_MAY: Final[Mapping[Status, str]] = {
    "two copies": "may show",
    "shows": "may show",
    "carries": "may carry",
    "possible": "may carry",
}
#: How likely one that may carry a trait does so, in percent, where no one wrote it.
EVEN: Final = 50


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
        if status == "may show":
            return frozenset({0, 1, 2})
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


#: What an entry says a trait of.
_Told: TypeAlias = TraitsSettled | Descent


class Note(NamedTuple):
    """What is noted of an animal and a trait, and the entry that says so. `many` is for groups.

    `percent` is how likely one that may carry it, or may show it, does: 66 in `66 % het albino`.
    """

    status: Status
    entry: Entry
    many: int | None = None
    percent: int = EVEN


def notes(standing: Standing, who: str, traits: Iterable[Trait]) -> Mapping[str, Note]:
    """What is noted of an animal, by the name of each trait of which something is; the newest note counts.

    Of one that came out of a group and of which nothing is noted, what was noted there: of all of them it holds for
    each; of some of them it may.
    """
    found: dict[str, Note] = {}
    wanted = tuple(traits)
    for entry in _entries(standing, who):
        for trait in wanted:
            told = said_of(trait, entry)
            if told is not None:
                found[trait.name] = Note(told[0], entry, percent=told[1])
    if SingledOut in standing.page(who).strands and who.startswith("animal/"):
        for trait in wanted:
            if trait.name not in found and (note := _of_its_group(standing, who, trait)) is not None:
                found[trait.name] = note
    return found


def _of_its_group(standing: Standing, who: str, trait: Trait) -> Note | None:
    """What the looks counted in the groups it came from tell of one of them."""
    some: list[Note] = []
    sources = [(where, came) for where, came in came_from(standing, who) if came is not None]
    # Of a group that others went into too no one can say who came from where.
    one_line = len(sources) == 1 or (len(sources) == 2 and not group(standing, sources[0][0]).census.arrived)
    for where, came in sources:
        for note in counted(standing, where, trait, before=came):
            named = _named_of(standing, where, trait, note)
            many = (note.many or 0) - named
            if many <= 0:
                continue
            among = _among(group(standing, where).census, note.entry, came)
            among = max(many, among - named) if among is not None else None
            if one_line and among is not None and many >= among:
                return Note(note.status, note.entry, None, note.percent)
            if note.status in _MAY:
                percent = EVEN if among is None else max(1, 100 * many // max(many, among))
                if note.status == "possible":
                    percent = max(1, percent * note.percent // 100)
                status: Status = "may show" if _MAY[note.status] == "may show" else "possible"
                some.append(Note(status, note.entry, None, percent))
    return max(some, key=lambda note: (note.status == "may show", note.percent), default=None)


def _among(census: GroupCensus, noted: Entry, until: Entry) -> int | None:
    """How many were there when something was noted of some, and came in since; None where no one knows."""
    there = [step.count for step in census.steps if step.at <= noted.at]
    since = [step.count for step in census.steps if noted.at < step.at <= until.at]
    if not census.known or not there:
        return None
    return there[-1] + sum(max(0, after - before) for before, after in pairwise((there[-1], *since)))


def _named_of(standing: Standing, where: str, trait: Trait, noted: Note) -> int:
    """How many of those counted with a look were named out of the group since, and it is noted of each of them.

    None once others came into the group: no one can say whether it is one of those counted.
    """
    steps = group(standing, where).census.steps
    if any(after.count > before.count and after.at > noted.entry.at for before, after in pairwise(steps)):
        return 0
    named = 0
    for entry in standing.page(where).of(SingledOut):
        if entry.about == where and entry.key > noted.entry.key:
            told = [said for one in _entries(standing, entry.animal) if (said := said_of(trait, one)) is not None]
            named += bool(told) and told[-1][0] == noted.status
    return named


def counted(standing: Standing, group: str, trait: Trait, before: Entry | None = None) -> list[Note]:
    """What is noted of the young of a group, each look with how many it was seen in; the newest count of each.

    With `before` only what was noted before that entry.
    """
    found: dict[Status, Note] = {}
    for entry in _entries(standing, group):
        told = said_of(trait, entry) if before is None or entry.key < before.key else None
        if told is not None:
            many = entry.count if isinstance(entry, TraitsSettled | Arrived) else None
            found[told[0]] = Note(told[0], entry, many, told[1])
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
                many = (note.many or 0) - _named_of(standing, who, trait, note)
                if note.status in _MAY and many > 0:
                    name = trait.two if note.status == "two copies" and trait.two else trait.name
                    told.setdefault(f"{_MAY[note.status]} {name}", f" (noted of {many} young)")
    return ", ".join(f"{words}{behind}" for words, behind in told.items())


def _entries(standing: Standing, who: str) -> list[_Told]:
    page = standing.page(who)
    entries: list[_Told] = [entry for entry in page.of(Arrived) if entry.traits]
    entries += [entry for entry in page.of(PedigreeNoted) if entry.traits]
    entries += page.of(TraitsSettled)
    return sorted((entry for entry in entries if entry.about == who), key=lambda entry: entry.key)


def said_of(trait: Trait, entry: _Told) -> tuple[Status, int] | None:
    """What an entry says of a trait, and how likely it is in percent where it only may be; None when nothing."""
    if isinstance(entry, TraitsSettled):
        for member, status in _MEMBERS:
            for name in getattr(entry, member):
                if _is_two(trait, name):
                    return ("two copies", EVEN) if status == "shows" else None
                if _same(name, trait.name):
                    return status, EVEN
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


def _in_words(trait: Trait, text: str) -> tuple[Status, int] | None:
    """What free words at an arrival say: `leatherback`, `het albino`, `66 % het albino`, `not albino`."""
    words = " ".join(text.casefold().replace(":", " ").replace("?", " possible ").split())
    if _is_two(trait, words):
        return "two copies", EVEN
    name = " ".join(trait.name.casefold().split())
    # A short name stands in many words (red, in bred); one that burdens the young is believed from any of them.
    found = re.search(rf"(?<!\w){re.escape(name)}(?:e?s)?(?!\w)", words)
    if found is None and trait.burden:
        found = re.search(re.escape(name), words)
    if found is None:
        return None
    before, behind = words[: found.start()], words[found.end() :]
    # What stands behind it belongs to another trait once another word follows: `albino het hypo`.
    told = before + (f" {behind}" if _of_this_one(behind) else "")
    rest, percent = set(_plain(told)), _PERCENT.search(told)
    likely = int(percent[1]) if percent is not None else EVEN
    if percent is None and rest & _CARRIES:
        likely = next((int(one) for one in rest if one.isdigit()), 100)
    if likely == 0:
        return "without", EVEN
    if (percent is not None or rest & _CARRIES) and likely < 100:
        return "possible", likely
    if rest & _POSSIBLY:
        return "possible", EVEN
    if rest & _CARRIES:
        return "carries", EVEN
    return ("without" if rest & _WITHOUT else "shows"), EVEN


def _plain(words: str) -> list[str]:
    return [word for one in words.split() if (word := one.strip("()[],;.%"))]


def _of_this_one(words: str) -> bool:
    return all(word in _BESIDE or word.isdigit() for word in _plain(words))
