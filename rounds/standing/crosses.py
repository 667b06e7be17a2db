"""What the young of a pairing may show, as exact fractions, from all that is noted of the two and their kin.

Each young gets one copy or none from each parent, at even chances (Mendel). Founders of whom nothing is noted have
no copy; one that "may carry" a trait has even chances, unless its parents say otherwise. Young that were seen
change what is believed of their parents: by Bayes, over the ancestors of the two and the noted young of these.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import cache
from typing import Final, NamedTuple

from rounds.logbook.entries import Arrived
from rounds.standing.elimination import Factor, TooWide, every, joint
from rounds.standing.fold import Standing
from rounds.standing.pedigree import Pedigree
from rounds.standing.traits import Note, Trait, counted, notes

#: Generations above the two that are looked at, and how many animals at the most; fewer where they hang together
#: much.
_UP: Final = 3
_MOST_ANIMALS: Final = 60
_MOST_WAYS: Final = 3
_HALF: Final = Fraction(1, 2)


class Parent(NamedTuple):
    """What is believed of a parent and a trait: the chance of each number of copies, and the note there is."""

    copies: dict[int, Fraction]
    note: Note | None

    @property
    def carries(self) -> Fraction:
        """The chance that it has a copy."""
        return 1 - self.copies.get(0, Fraction(0))


class Cross(NamedTuple):
    """One trait in a planned pairing: what is believed of her and of him, and the chance of each number of copies
    in their young. Empty chances: what is noted cannot all be true."""

    trait: Trait
    hers: Parent
    his: Parent
    young: dict[int, Fraction]

    @property
    def burdened(self) -> Fraction:
        """The chance of a young with a burden: scaleless."""
        return self.young.get(2, Fraction(0)) if self.trait.burden else Fraction(0)


class Crosses:
    """What is believed of every animal of a standing and every trait of the colony's list.

    `by_young` false leaves out what seen young tell of their parents: then no page but those of kin is opened.
    """

    def __init__(
        self, standing: Standing, pedigree: Pedigree, traits: Sequence[Trait], *, by_young: bool = True
    ) -> None:
        self.standing = standing
        self.pedigree = pedigree
        self.traits = tuple(traits)
        self._by_young = by_young
        self._noted: dict[str, dict[str, Note]] = {}
        self._young: dict[str, list[str]] | None = None

    def note(self, who: str, trait: Trait) -> Note | None:
        """What is noted of an animal itself."""
        if who not in self._noted:
            self._noted[who] = dict(notes(self.standing, who, self.traits))
        return self._noted[who].get(trait.name)

    def of(self, dam: str, sire: str) -> list[Cross]:
        """Each trait that the two may give to their young, or of which something is noted in one of them."""
        found = [self.cross(dam, sire, trait) for trait in self.traits]
        return [one for one in found if one.hers.note or one.his.note or one.hers.carries or one.his.carries]

    def cross(self, dam: str, sire: str, trait: Trait) -> Cross:
        """One trait in one pairing."""
        both = self.believed((dam, sire) if dam != sire else (dam,), trait)
        hers: dict[int, Fraction] = {}
        his: dict[int, Fraction] = {}
        young: dict[int, Fraction] = {}
        for values, chance in both.items():
            mother, father = values[0], values[-1]
            hers[mother] = hers.get(mother, Fraction(0)) + chance
            his[father] = his.get(father, Fraction(0)) + chance
            for copies, given in enumerate(_young_of(mother, father)):
                if given:
                    young[copies] = young.get(copies, Fraction(0)) + chance * given
        return Cross(trait, Parent(hers, self.note(dam, trait)), Parent(his, self.note(sire, trait)), young)

    def copies(self, who: str, trait: Trait) -> dict[int, Fraction]:
        """The chance of each number of copies in one animal; empty where what is noted cannot all be true."""
        return {values[0]: chance for values, chance in self.believed((who,), trait).items()}

    def believed(self, whom: Sequence[str], trait: Trait) -> dict[tuple[int, ...], Fraction]:
        """The joint chances of some animals' numbers of copies."""
        settled = [self._allowed(who, trait) for who in whom]
        if all(len(one) == 1 for one in settled):
            return {tuple(min(one) for one in settled): Fraction(1)}
        for up in range(_UP, -1, -1):
            try:
                for doubted in (False, True):
                    found = joint(self._factors(whom, trait, up, doubted), tuple(whom))
                    if found:
                        return found
            except TooWide:
                continue
            return {}
        return {}

    # The net of kin

    def _factors(self, whom: Sequence[str], trait: Trait, up: int, doubted: bool) -> list[Factor]:
        """The animals that tell of these, each with its parents, or with what a founder is believed to have."""
        inside = self._above(whom, up)
        leaves: list[tuple[str, str]] = []
        if self._by_young:
            for parent in list(inside):
                for young in self._noted_young(parent):
                    if young not in inside and len(inside) < _MOST_ANIMALS:
                        leaves.append((young, parent))
                        for one in self._parents(young):
                            inside.setdefault(one, False)
                        if young.startswith("animal/"):
                            inside[young] = True
        factors: list[Factor] = []
        groups = dict.fromkeys(young for young, _ in leaves if young.startswith("group/"))
        carriers = self._shown_by_young(inside, trait) if self._by_young else frozenset[str]()
        in_doubt = self._above_carriers(inside, trait, carriers) if doubted else frozenset[str]()
        for who, reaches_up in inside.items():
            parents = self._parents(who)
            inherits = reaches_up and parents and all(parent in inside for parent in parents)
            if inherits and not self._says_it_alone(who, trait):
                factors.append(self._inherited(who))
                allowed = self._allowed(who, trait)
                factors.append(Factor((who,), {(copies,): Fraction(1) for copies in allowed}))
            else:
                factors.append(Factor((who,), self._founder(who, trait, who in in_doubt, who in carriers)))
        factors += [factor for one in groups for factor in self._seen_in(one, trait)]
        return factors

    def _above(self, whom: Sequence[str], up: int) -> dict[str, bool]:
        """These and their ancestors; whether an animal's own parents are among them."""
        found: dict[str, bool] = {}
        row = list(dict.fromkeys(whom))
        for step in range(up + 1):
            above: dict[str, None] = {}
            for who in row:
                found[who] = step < up and len(found) < _MOST_ANIMALS
                if found[who]:
                    above.update(dict.fromkeys(self._parents(who)))
            row = [who for who in above if who not in found]
        return found

    def _parents(self, who: str) -> tuple[str, ...]:
        """An animal's parents as far as they count here: of too many possible sires, or in a loop, none."""
        if self.pedigree.not_known(who):
            return ()
        parents = self.pedigree.parents(who)
        return parents.named if len(parents.ways) <= _MOST_WAYS else tuple(filter(None, (parents.dam,)))

    def _inherited(self, who: str) -> Factor:
        """The chances of an animal's copies by those of its parents; an unknown parent gives none."""
        parents = self.pedigree.parents(who)
        named = self._parents(who)
        couples = parents.ways if len(parents.ways) <= _MOST_WAYS else ((None, parents.dam),)
        table: dict[tuple[int, ...], Fraction] = {}
        for values in every(len(named)):
            by: dict[str | None, int] = {None: 0, **dict(zip(named, values, strict=True))}
            for sire, dam in couples:
                for copies, chance in enumerate(_young_of(by[dam], by[sire])):
                    if chance:
                        key = (copies, *values)
                        table[key] = table.get(key, Fraction(0)) + chance / len(couples)
        return Factor((who, *named), table)

    def _allowed(self, who: str, trait: Trait) -> frozenset[int]:
        """How many copies an animal may have by its own look; one of whom nothing is noted does not show it."""
        note = self.note(who, trait)
        if note is not None:
            return trait.copies(note.status)
        return frozenset(copies for copies in (0, 1, 2) if not trait.look(copies))

    def _founder(self, who: str, trait: Trait, doubted: bool, shown: bool) -> dict[tuple[int, ...], Fraction]:
        """What is believed of an animal whose parents tell nothing."""
        note = self.note(who, trait)
        allowed = self._allowed(who, trait)
        if len(allowed) == 1 and (note is None or note.status != "normal" or not shown):
            return {(copies,): Fraction(1) for copies in allowed}
        if shown and 1 in allowed:
            return {(1,): Fraction(1)}
        if note is not None and note.status == "may show":
            likely, shows = _as_fraction(note.percent), 2 if trait.way == "recessive" else 1
            return {(0,): 1 - likely, (shows,): likely}
        if note is not None and note.status == "possible":
            likely = _as_fraction(note.percent)
            return dict(zip([(copies,) for copies in sorted(allowed)[:2]], (1 - likely, likely), strict=True))
        if doubted:
            return {(copies,): _HALF for copies in sorted(allowed)[:2]}
        return {(min(allowed),): Fraction(1)}

    def _says_it_alone(self, who: str, trait: Trait) -> bool:
        """Whether a chance is noted of it (`66 % het`) and of no one above it anything: those do not tell else."""
        note = self.note(who, trait)
        if note is None or note.status not in ("possible", "may show"):
            return False
        above = [one for one in self._above((who,), _UP) if one != who]
        return not any(self.note(one, trait) is not None for one in above)

    # Young that were seen

    def _noted_young(self, parent: str) -> list[str]:
        """Animals and groups of whom a trait is noted, by their parents."""
        if self._young is None:
            self._young = {}
            for sort in ("animal", "group"):
                for who in self.standing.subjects(sort):
                    if notes(self.standing, who, self.traits):
                        for one in self._parents(who):
                            self._young.setdefault(one, []).append(who)
        return self._young.get(parent, [])

    def _shown_by_young(self, inside: Iterable[str], trait: Trait) -> frozenset[str]:
        """Those with a young that shows they have a copy: it has two, one from each parent."""
        found: set[str] = set()
        for parent in inside:
            for young in self._noted_young(parent):
                told = [note for one in [self.note(young, trait)] if (note := one) is not None]
                if young.startswith("group/"):
                    told = counted(self.standing, young, trait)
                parents = self.pedigree.parents(young)
                both = len(parents.ways) <= 1 or parents.dam == parent
                if both and any(trait.copies(note.status) == {2} for note in told):
                    found.add(parent)
        return frozenset(found)

    def _above_carriers(self, inside: dict[str, bool], trait: Trait, carriers: frozenset[str]) -> frozenset[str]:
        """All above those that have a copy for certain: one of these had it, though nothing is noted of them."""
        ahead = [who for who in inside if who in carriers or 0 not in self._allowed(who, trait)]
        found: set[str] = set()
        while ahead:
            for parent in self._parents(ahead.pop()):
                if parent in inside and parent not in found:
                    found.add(parent)
                    ahead.append(parent)
        return frozenset(found)

    def _seen_in(self, group: str, trait: Trait) -> list[Factor]:
        """What the looks counted in a group tell of its parents, beside the young of it that have a page of their
        own."""
        seen = counted(self.standing, group, trait)
        named = self._parents(group)
        parents = self.pedigree.parents(group)
        if not seen or not named or len(parents.ways) > 1:
            return []
        sire = parents.sires[0] if parents.sires else None
        alone: dict[str, int] = {}
        for young in self._noted_young(named[0]) if self._clutch(group) is not None else ():
            note = self.note(young, trait)
            if note is not None and young.startswith("animal/") and self._clutch(young) == self._clutch(group):
                alone[note.status] = alone.get(note.status, 0) + 1
        table: dict[tuple[int, ...], Fraction] = {}
        for values in every(len(named)):
            by = dict(zip(named, values, strict=True))
            chances = _young_of(by.get(parents.dam or "", 0), by.get(sire or "", 0))
            weight = Fraction(1)
            for note in seen:
                likely = sum((chances[copies] for copies in trait.copies(note.status)), Fraction(0))
                weight *= likely ** max(0, min(note.many or 0, 1_000) - alone.get(note.status, 0))
            table[values] = weight
        return [Factor(named, table)]

    def _clutch(self, who: str) -> str | None:
        """The clutch that an animal or a group came of."""
        named = [
            entry.clutch for entry in self.standing.page(who).of(Arrived) if entry.about == who and entry.clutch
        ]
        return named[-1] if named else None


def _as_fraction(percent: int) -> Fraction:
    """66 and 67 % are 2/3 and 33 % is 1/3, as breeders round them; others as they are."""
    return {33: Fraction(1, 3), 34: Fraction(1, 3), 66: Fraction(2, 3), 67: Fraction(2, 3)}.get(
        percent, Fraction(percent, 100)
    )


@cache
def _young_of(mother: int, father: int) -> tuple[Fraction, Fraction, Fraction]:
    """The chances of no, one and two copies in a young of parents with so many."""
    hers, his = Fraction(mother, 2), Fraction(father, 2)
    return (1 - hers) * (1 - his), hers * (1 - his) + his * (1 - hers), hers * his


def looks(crosses: Sequence[Cross]) -> list[tuple[tuple[str, ...], Fraction]]:
    """How the young may look, all traits together, the likeliest first; no traits at all is an empty tuple.

    The traits are taken to be passed on independently of each other.
    """
    found: dict[tuple[str, ...], Fraction] = {(): Fraction(1)}
    for cross in crosses:
        by_look: dict[str, Fraction] = {}
        for copies, chance in cross.young.items():
            look = cross.trait.look(copies)
            by_look[look] = by_look.get(look, Fraction(0)) + chance
        if not by_look:
            continue
        found = {
            (*known, look) if look else known: chance * share
            for known, chance in found.items()
            for look, share in by_look.items()
        }
        if len(found) > 4_096:
            break
    return sorted(found.items(), key=lambda one: (-one[1], len(one[0]), one[0]))
