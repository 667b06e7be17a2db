"""The pedigree of a colony and the kinship that follows from it, with the range that open sires leave."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction
from itertools import islice, product
from math import prod
from typing import Final, NamedTuple

from rounds.standing.breeding import Days
from rounds.standing.fold import Standing
from rounds.standing.kinship import Kinship, OwnAncestor, Table, TooFar
from rounds.standing.parents import Couple, Parents, parents_of

#: So many ways in which unsettled sires may fall out are reckoned each; of more, the widest range.
_MOST_WAYS: Final = 32


class Kin(NamedTuple):
    """The kinship of two: the most and the least it can be, or why it is not known.

    `open` are the ancestors with several possible sires or dams, `worst` the pedigree that gives the most.
    """

    most: Fraction = Fraction(0)
    least: Fraction = Fraction(0)
    not_known: str = ""
    open: tuple[str, ...] = ()
    worst: Kinship | None = None
    #: Whether most and least are bounds that no single way need reach.
    bounds: bool = False


class Pedigree:
    """Every animal's parents, each read when it is asked for. Get it with `pedigree(standing, days)`."""

    def __init__(self, standing: Standing, days: Days) -> None:
        self.standing = standing
        self.days = days
        self._parents: dict[str, Parents] = {}
        #: With the first of the possible sires, and dams, in each place.
        self.first = Kinship(lambda who: self.parents(who).ways[0])
        self._not_known: dict[str, str] = {}
        self._open: dict[str, frozenset[str]] = {}
        self._kin: dict[tuple[str, str], Kin] = {}

    def parents(self, who: str) -> Parents:
        """An animal's parents."""
        found = self._parents.get(who)
        if found is None:
            found = self._parents[who] = parents_of(self.standing, who, self.days)
        return found

    # What stands in the way

    def not_known(self, who: str) -> str:
        """Why the kinship of an animal cannot be reckoned, in a sentence; empty when it can."""
        if who not in self._not_known:
            self._go_up(who)
        return self._not_known[who]

    def open_parents(self, who: str) -> frozenset[str]:
        """Those among an animal and its ancestors that have several possible sires, or dams."""
        if who not in self._open:
            self._go_up(who)
        return self._open[who]

    def above(self, whom: Iterable[str]) -> list[str]:
        """These animals and all their ancestors, possible sires among them, the nearest first."""
        found = dict.fromkeys(whom)
        for one in (ahead := list(found)):
            for parent in self.parents(one).named:
                if parent not in found:
                    found[parent] = None
                    ahead.append(parent)
        return list(found)

    def _go_up(self, who: str) -> None:
        """Find loops and open sires above an animal; every possible sire counts as one."""
        path: dict[str, None] = {}
        troubled: dict[str, str] = {}
        ahead: list[tuple[str, bool]] = [(who, False)]
        while ahead:
            one, seen = ahead.pop()
            parents = self.parents(one)
            if seen:
                del path[one]
                above = [parent for parent in parents.named if parent in self._not_known]
                why = troubled.get(one, "") or next(
                    (self._not_known[up] for up in above if self._not_known[up]), ""
                )
                self._not_known[one] = why
                own = {one} if len(parents.ways) > 1 else set()
                self._open[one] = frozenset(own.union(*(self._open[parent] for parent in above)))
                continue
            if one in self._not_known:
                continue
            if one in path:
                line = list(path)
                loop = line[line.index(one) :]
                said = loop_words(loop, self.standing.name)
                troubled.update(dict.fromkeys(loop, said))
                continue
            path[one] = None
            ahead.append((one, True))
            ahead += [(parent, False) for parent in parents.named]

    # Kinship

    def kin(self, one: str, other: str) -> Kin:
        """The kinship of two animals, which is the inbreeding coefficient of young of theirs."""
        pair = (one, other) if one <= other else (other, one)
        found = self._kin.get(pair)
        if found is None:
            try:
                found = self._reckoned(*pair)
            except (OwnAncestor, TooFar) as error:
                found = Kin(not_known=str(error))
            self._kin[pair] = found
        return found

    def _reckoned(self, one: str, other: str) -> Kin:
        why = self.not_known(one) or self.not_known(other)
        if why:
            return Kin(not_known=why)
        unsettled = sorted(self.open_parents(one) | self.open_parents(other))
        if not unsettled:
            figure = self.first.of(one, other)
            return Kin(figure, figure, worst=self.first)
        choices = [self.parents(who).ways for who in unsettled]
        ways = prod(len(couples) for couples in choices)
        figures: list[tuple[Fraction, Kinship]] = []
        for way in islice(product(*choices), _MOST_WAYS):
            pedigree = self._way(dict(zip(unsettled, way, strict=True)))
            figures.append((pedigree.of(one, other), pedigree))
        most, worst = max(figures, key=lambda figure: figure[0])
        least = min(figure for figure, _ in figures)
        if ways > _MOST_WAYS:
            low, high = _widest(self, one, other)
            return Kin(max(most, high), min(least, low), "", tuple(unsettled), worst, True)
        return Kin(most, least, "", tuple(unsettled), worst)

    def _way(self, couples: dict[str, Couple]) -> Kinship:
        """Kinship with these sires and dams where several are possible."""
        return Kinship(lambda who: couples.get(who) or self.parents(who).ways[0])

    def table(self, dams: Sequence[str], sires: Sequence[str]) -> KinTable:
        """The kinship of every one of `dams` with every one of `sires`."""
        return KinTable(self, dams, sires)


class KinTable:
    """The kinship of many with many: what is settled is reckoned at once, the rest as it is looked at."""

    def __init__(self, pedigree: Pedigree, dams: Sequence[str], sires: Sequence[str]) -> None:
        self.pedigree = pedigree
        self._settled = {
            one: not pedigree.not_known(one) and not pedigree.open_parents(one) for one in (*dams, *sires)
        }
        rows = [one for one in dams if self._settled[one]]
        self._columns = columns = list(dict.fromkeys(one for one in sires if self._settled[one]))
        self._kins: dict[int, Kin] = {}
        self._table: Table | None = pedigree.first.table(rows, columns) if rows and columns else None

    def row(self, dam: str, sires: Sequence[str]) -> list[Kin]:
        """The kinship of one with many of the table's columns, in the order in which they are given."""
        if self._table is None or not self._settled[dam]:
            return [self.kin(dam, sire) for sire in sires]
        figures = dict(zip(self._columns, self._table.row(dam), strict=True))
        return [self._as_kin(figures[sire]) if sire in figures else self.kin(dam, sire) for sire in sires]

    def _as_kin(self, figure: Fraction) -> Kin:
        """One `Kin` for each figure of a row, of which the table keeps one object for all pairs that have it."""
        found = self._kins.get(id(figure))
        if found is None:
            found = self._kins[id(figure)] = Kin(figure, figure, worst=self.pedigree.first)
        return found

    def kin(self, dam: str, sire: str) -> Kin:
        """The kinship of one with one."""
        if self._table is None or not (self._settled[dam] and self._settled[sire]):
            return self.pedigree.kin(dam, sire)
        try:
            figure = self._table.value(dam, sire)
        except TooFar as error:
            return Kin(not_known=str(error))
        return Kin(figure, figure, worst=self.pedigree.first)


def _widest(pedigree: Pedigree, one: str, other: str) -> tuple[Fraction, Fraction]:
    """Bounds of a kinship whatever the sires: the least and the most at each step, which may not go together."""
    level = _levels(pedigree, (one, other))
    known: dict[tuple[str, str], tuple[Fraction, Fraction]] = {}

    def pair(mine: str, theirs: str) -> tuple[str, str]:
        return (mine, theirs) if (level[mine], mine) >= (level[theirs], theirs) else (theirs, mine)

    def needs(young: str, old: str) -> list[list[tuple[str, str] | None]]:
        """For each parent the pairs of whom one counts: of several the best and the worst."""
        couples = pedigree.parents(young).ways
        if young == old:
            return [[pair(sire, dam) if sire is not None and dam is not None else None for sire, dam in couples]]
        sires, dams = (dict.fromkeys(both) for both in zip(*couples, strict=True))
        return [[pair(one, old) if one is not None else None for one in several] for several in (sires, dams)]

    wanted = pair(one, other)
    ahead = [wanted]
    nothing = (Fraction(0), Fraction(0))
    while ahead:
        young, old = asked = ahead[-1]
        groups = needs(young, old)
        missing = [need for group in groups for need in group if need is not None and need not in known]
        if asked not in known and missing:
            ahead += missing
            continue
        ahead.pop()
        if asked in known:
            continue
        found = [[known[need] if need is not None else nothing for need in group] for group in groups]
        low = sum((min(figure[0] for figure in group) for group in found), Fraction(0))
        high = sum((max(figure[1] for figure in group) for group in found), Fraction(0))
        own = Fraction(young == old)
        known[asked] = ((own + low) / 2, (own + high) / 2)
        if len(known) > 100_000:
            raise TooFar("the pedigree is too deep and too wide to be reckoned")
    return known[wanted]


def _levels(pedigree: Pedigree, of: Iterable[str]) -> dict[str, int]:
    """Generations known above each, every possible sire among them."""
    levels: dict[str, int] = {}
    ahead: list[tuple[str, bool]] = [(one, False) for one in of]
    while ahead:
        one, seen = ahead.pop()
        if one in levels:
            continue
        named = pedigree.parents(one).named
        if seen:
            levels[one] = max((levels[parent] + 1 for parent in named), default=0)
            continue
        ahead.append((one, True))
        ahead += [(parent, False) for parent in named]
    return levels


def pedigree(standing: Standing, days: Days) -> Pedigree:
    """The pedigree of a standing; what was read of it is kept with it."""
    found = standing.views.get(("pedigree", days))
    if found is None:
        found = standing.views[("pedigree", days)] = Pedigree(standing, days)
    assert isinstance(found, Pedigree)
    return found


def loop_words(loop: Sequence[str], name: Callable[[str], str]) -> str:
    """A loop in words: `Wattle is a young of Karri, Karri a young of Wattle`."""
    names = [name(one) for one in loop]
    if len(names) == 1:
        return f"{names[0]} stands as its own parent"
    pairs = list(zip(names, [*names[1:], names[0]], strict=True))
    told = ", ".join(f"{young} is a young of {old}" for young, old in (pairs if len(pairs) < 7 else pairs[:4]))
    return told if len(pairs) < 7 else f"{told}, and so on through {len(pairs) - 5} more, back to {names[0]}"
