"""Kinship of two animals, exact, from who is whose sire and dam.

`k(a, a) = (1 + F_a) / 2` and `k(a, b) = (k(sire_a, b) + k(dam_a, b)) / 2` with a the younger in pedigree order,
never an ancestor of b; an unknown parent is a founder, kin to no one. The inbreeding coefficient F of an animal is
the kinship of its parents (Wright 1922; Mrode, Linear Models, 3rd ed., chapter 2). A kinship is a whole number of
halves of halves: everything here is reckoned in whole numbers, and a `Fraction` is made of them at the end.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from fractions import Fraction
from heapq import heappop, heappush
from struct import unpack
from typing import Final, NamedTuple, TypeAlias

#: An animal's sire and dam; None where not known.
Parents: TypeAlias = "tuple[str | None, str | None]"
#: With more generations than this a table is reckoned pair by pair: its fields would grow too wide.
_MOST_LEVELS: Final = 48
#: Bits of a word, which is read fastest.
_WORD: Final = 64
#: With more ancestors than this, one pair too is reckoned as a table of one.
_MANY: Final = 160
#: So many pairs at most are gone through for what is no table: no pedigree that was lived needs more.
_MOST_PAIRS: Final = 400_000
#: So many steps are gone to find paths; what lies further back is told in one figure.
PATH_STEPS: Final = 20_000


class OwnAncestor(ValueError):
    """An animal would be its own ancestor. `loop` names each once, every one a young of the next."""

    def __init__(self, loop: tuple[str, ...]) -> None:
        super().__init__(" is a young of ".join((*loop, loop[0])))
        self.loop = loop


class TooFar(ValueError):
    """A pedigree too deep and too wide to be reckoned."""


class Share(NamedTuple):
    """What one common ancestor brings to the kinship of two, by the paths of one length.

    `first` and `second` are the generations from the one and from the other up to it, `paths` how many such paths
    there are, `inbreeding` the ancestor's own F, `share` all that they bring: paths × (1 + F) / 2^(first + second
    + 1). Both are kept as whole numbers over a power of two, and made fractions of where they are asked for: in a
    line of thousands of generations that takes long, and few are shown.
    """

    ancestor: str
    first: int
    second: int
    paths: int
    #: F × 2^bits.
    inbred: int
    bits: int

    @property
    def inbreeding(self) -> Fraction:
        """The ancestor's own inbreeding coefficient."""
        return Fraction(self.inbred, 1 << self.bits)

    @property
    def share(self) -> Fraction:
        """What it brings by these paths."""
        return Fraction(self.whole, 1 << self.depth)

    @property
    def whole(self) -> int:
        """The share × 2^depth."""
        return self.paths * ((1 << self.bits) + self.inbred)

    @property
    def depth(self) -> int:
        """The power of two that the share is kept over."""
        return self.bits + self.first + self.second + 1


class Table:
    """The kinship of every row with every column, each worked out when it is looked at."""

    def __init__(
        self,
        columns: Sequence[str],
        packed: dict[str, int] | None,
        bits: int,
        of: Callable[[str, str], Fraction],
    ) -> None:
        self._places = {one: place for place, one in enumerate(columns)}
        self._packed = packed
        self._bits = bits
        self._of = of
        self._known: dict[int, Fraction] = {}

    def value(self, row: str, column: str) -> Fraction:
        """The kinship of these two."""
        if self._packed is None:
            return self._of(row, column)
        size = field_bits(self._bits)
        figure = self._packed[row] >> (size * self._places[column]) & ((1 << size) - 1)
        return Fraction(figure, 2 << self._bits)

    def row(self, row: str) -> list[Fraction]:
        """The kinship of one row with each column, in their order."""
        if self._packed is None:
            return [self._of(row, column) for column in self._places]
        each, known = field_bits(self._bits) // 8, self._known
        raw = self._packed[row].to_bytes(each * len(self._places), "little")
        if each == _WORD // 8:
            fields: Sequence[int] = unpack(f"<{len(self._places)}Q", raw)
        else:
            fields = [int.from_bytes(raw[at : at + each], "little") for at in range(0, len(raw), each)]
        for field in set(fields).difference(known):
            known[field] = Fraction(field, 2 << self._bits)
        return [known[field] for field in fields]


class Kinship:
    """Kinship by one pedigree. `parents` gives an animal's sire and dam; it is asked once for each animal.

    Raises `OwnAncestor` wherever an animal asked for, or an ancestor of it, would be its own ancestor, and `TooFar`
    for a pedigree that only a program can have made up.
    """

    def __init__(self, parents: Callable[[str], Parents]) -> None:
        self._ask = parents
        self._parents: dict[str, Parents] = {}
        #: Generations above an animal as far as known: 0 for a founder. No animal is above one of its own level.
        self._levels: dict[str, int] = {}
        #: k(a, b) × 2^(level a + level b + 1), a the younger.
        self._pairs: dict[tuple[str, str], int] = {}
        self._inbreeding: dict[str, Fraction] = {}

    def level(self, who: str) -> int:
        """Generations known above an animal, along the longest line."""
        if who not in self._levels:
            self._climb(who)
        return self._levels[who]

    def parents(self, who: str) -> Parents:
        """An animal's sire and dam by this pedigree."""
        self.level(who)
        return self._parents[who]

    def _climb(self, who: str) -> None:
        levels = self._levels
        path: dict[str, None] = {}
        ahead: list[tuple[str, bool]] = [(who, False)]
        while ahead:
            one, seen = ahead.pop()
            if seen:
                del path[one]
                known = [levels[parent] for parent in self._parents[one] if parent is not None]
                levels[one] = 1 + max(known) if known else 0
                continue
            if one in levels:
                continue
            if one in path:
                line = list(path)
                raise OwnAncestor(tuple(line[line.index(one) :]))
            path[one] = None
            ahead.append((one, True))
            if one not in self._parents:
                self._parents[one] = self._ask(one)
            ahead += [(parent, False) for parent in self._parents[one] if parent is not None]

    def ancestors(self, of: Iterable[str]) -> list[str]:
        """These animals and all above them, oldest first in pedigree order."""
        found: dict[str, None] = {}
        ahead = list(of)
        for one in ahead:
            self.level(one)
        while ahead:
            one = ahead.pop()
            if one not in found:
                found[one] = None
                ahead += [parent for parent in self._parents[one] if parent is not None]
        return sorted(found, key=lambda one: (self._levels[one], one))

    # Two animals

    def of(self, one: str, other: str) -> Fraction:
        """The kinship of two animals: the inbreeding coefficient that young of theirs would have."""
        top = max(self.level(one), self.level(other))
        if self._pair(one, other) not in self._pairs and top <= _MOST_LEVELS:
            above = self.ancestors((one, other))
            if len(above) > _MANY:
                return self.table([one], [other]).value(one, other)
        figure = self._by_halves(one, other)
        return Fraction(figure, 2 << (self._levels[one] + self._levels[other]))

    def inbreeding(self, who: str) -> Fraction:
        """An animal's own inbreeding coefficient."""
        if who not in self._inbreeding:
            self.level(who)
            sire, dam = self._parents[who]
            self._inbreeding[who] = Fraction(0) if sire is None or dam is None else self.of(sire, dam)
        return self._inbreeding[who]

    def _pair(self, one: str, other: str) -> tuple[str, str]:
        """The two, the younger in pedigree order first."""
        return (one, other) if (self.level(one), one) >= (self.level(other), other) else (other, one)

    def _by_halves(self, one: str, other: str) -> int:
        """The kinship of two in whole numbers, by the recursion; without one of Python's own, however deep it
        goes."""
        known, levels, parents = self._pairs, self._levels, self._parents
        wanted = self._pair(one, other)
        ahead = [wanted]
        while ahead:
            young, old = pair = ahead[-1]
            if pair in known:
                ahead.pop()
                continue
            sire, dam = parents[young]
            if young == old:
                needs = [(sire, dam)] if sire is not None and dam is not None else []
            else:
                needs = [(parent, old) for parent in (sire, dam) if parent is not None]
            pairs = [self._pair(first, second) for first, second in needs]
            missing = [need for need in pairs if need not in known]
            if missing:
                ahead += missing
                continue
            level = levels[young]
            if young == old:
                figure = 1 << 2 * level
                for first, second in pairs:
                    figure += known[first, second] << (2 * level - levels[first] - levels[second] - 1)
            else:
                figure = 0
                for (parent, _), need in zip(needs, pairs, strict=True):
                    figure += known[need] << (level - levels[parent] - 1)
            known[pair] = figure
            ahead.pop()
            if len(known) > _MOST_PAIRS:
                raise TooFar("the pedigree is too deep and too wide to be reckoned")
        return known[wanted]

    # Many at once

    def table(self, rows: Collection[str], columns: Sequence[str]) -> Table:
        """The kinship of each of `rows` with each of `columns`.

        The kinships are those of `A = T D T'` (Henderson 1976), reckoned column by column from the ancestors alone
        (Colleau 2002, Genetics Selection Evolution 34:409), all columns at once: one whole number holds a field for
        each, so that one addition adds them all.
        """
        columns = list(dict.fromkeys(columns))
        above = self.ancestors((*rows, *columns))
        top = max((self._levels[one] for one in above), default=0)
        if top > _MOST_LEVELS:
            return Table(columns, None, 0, self.of)
        inbreeding = self._inbred(above, top)
        packed = self._packed(above, columns, inbreeding, top)
        return Table(columns, {one: packed[one] for one in rows}, 4 * top, self.of)

    def _inbred(self, above: Sequence[str], top: int) -> dict[str, int]:
        """F × 2^(2 top) of each, level by level: those of one level need only the ones above."""
        found: dict[str, int] = {}
        at = 0
        bits = 4 * top
        size = field_bits(bits)
        for level in range(top + 1):
            first = at
            while at < len(above) and self._levels[above[at]] == level:
                at += 1
            inbred = [one for one in above[first:at] if None not in self._parents[one]]
            sires = list(dict.fromkeys(self._parents[one][0] or "" for one in inbred))
            places = {sire: size * place for place, sire in enumerate(sires)}
            packed = self._packed(above[:first], sires, found, top) if inbred else {}
            found.update(dict.fromkeys(above[first:at], 0))
            for one in inbred:
                sire, dam = self._parents[one]
                figure = packed[dam or ""] >> places[sire or ""] & ((1 << size) - 1)
                found[one] = figure >> (2 * top + 1)
        return found

    def _packed(
        self, above: Sequence[str], columns: Sequence[str], inbreeding: dict[str, int], top: int
    ) -> dict[str, int]:
        """Of each animal twice its kinship with each column, × 2^(4 top), a field of bits for each."""
        size = field_bits(4 * top)
        parents = self._parents
        given = dict.fromkeys(above, 0)
        for place, column in enumerate(columns):
            given[column] |= 1 << (size * place + top)
        for one in reversed(above):
            if mine := given[one]:
                half = mine >> 1
                for parent in parents[one]:
                    if parent is not None:
                        given[parent] += half
        whole = 1 << 2 * top
        found: dict[str, int] = {}
        for one in above:
            sire, dam = parents[one]
            own, figure = whole, 0
            if sire is not None:
                own -= (whole + inbreeding[sire]) >> 2
                figure = found[sire]
            if dam is not None:
                own -= (whole + inbreeding[dam]) >> 2
                figure += found[dam]
            figure >>= 1
            if mine := given[one]:
                figure += (mine * own) << top
            found[one] = figure
        return found

    # Why

    def shares(self, one: str, other: str, most: int = PATH_STEPS) -> tuple[list[Share], Fraction]:
        """The paths that make the kinship of two, grouped by ancestor and length, the largest share first.

        Beside them what lies further back than `most` steps went: with it they add up to the kinship exactly.
        """
        whole = self.of(one, other)
        found: dict[tuple[str, int, int], int] = {}
        waiting: dict[tuple[str, str], dict[tuple[int, int], int]] = {(one, other): {(0, 0): 1}}
        levels = self._levels
        ahead: list[tuple[int, str, str]] = [(-levels[one] - levels[other], one, other)]
        steps = 0
        while ahead and steps < most:
            _, mine, theirs = heappop(ahead)
            lines = waiting.pop((mine, theirs))
            steps += len(lines)
            if mine == theirs:
                for (first, second), paths in lines.items():
                    found[mine, first, second] = paths
                continue
            first_up = (levels[mine], mine) >= (levels[theirs], theirs)
            for parent in self._parents[mine if first_up else theirs]:
                if parent is None:
                    continue
                pair = (parent, theirs) if first_up else (mine, parent)
                if pair not in waiting:
                    waiting[pair] = {}
                    heappush(ahead, (-levels[pair[0]] - levels[pair[1]], *pair))
                onto = waiting[pair]
                for (first, second), paths in lines.items():
                    length = (first + 1, second) if first_up else (first, second + 1)
                    onto[length] = onto.get(length, 0) + paths
        shares = [
            Share(ancestor, first, second, paths, *self._inbreeding_in_halves(ancestor))
            for (ancestor, first, second), paths in found.items()
        ]
        deepest = max((share.depth for share in shares), default=0)
        large = {share: share.whole << (deepest - share.depth) for share in shares}
        shares.sort(key=lambda share: (-large[share], share.first + share.second, share.ancestor, share.first))
        return shares, whole - Fraction(sum(large.values()), 1 << deepest)

    def _inbreeding_in_halves(self, who: str) -> tuple[int, int]:
        """An animal's F as a whole number over a power of two, and that power."""
        sire, dam = self.parents(who)
        if sire is None or dam is None:
            return 0, 0
        found = self._pairs.get(self._pair(sire, dam))
        if found is not None:
            return found, self._levels[sire] + self._levels[dam] + 1
        inbreeding = self.inbreeding(who)
        return inbreeding.numerator, inbreeding.denominator.bit_length() - 1


def field_bits(bits: int) -> int:
    """Bits of a field of a packed number, which holds up to four times 1: a word of the machine, or whole bytes."""
    return max(_WORD, (bits + 3 + 7) // 8 * 8)
