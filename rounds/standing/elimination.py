"""Exact chances of a few unknowns that hang together: sum-product over small tables, in fractions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from itertools import product
from typing import Final, NamedTuple

#: No table grows larger than this, in entries.
MOST_ENTRIES: Final = 3**7


class TooWide(ValueError):
    """So many unknowns hang together that they are not reckoned exactly."""


class Factor(NamedTuple):
    """How likely each joint value of some unknowns is, up to a constant; what is not there has no chance."""

    of: tuple[str, ...]
    table: Mapping[tuple[int, ...], Fraction]


def joint(factors: Iterable[Factor], wanted: Sequence[str]) -> dict[tuple[int, ...], Fraction]:
    """The chances of each joint value of `wanted`, adding up to 1; empty where nothing fits. Raises `TooWide`."""
    left = list(factors)
    unknowns = {name for factor in left for name in factor.of} - set(wanted)
    while unknowns:
        name = min(sorted(unknowns), key=lambda one: len(_with(left, one)))
        touching = [factor for factor in left if name in factor.of]
        left = [factor for factor in left if name not in factor.of]
        left.append(_without(_times(touching), name))
        unknowns.discard(name)
    whole = _times(left)
    found: dict[tuple[int, ...], Fraction] = {}
    places = [whole.of.index(name) for name in wanted]
    for values, weight in whole.table.items():
        key = tuple(values[place] for place in places)
        found[key] = found.get(key, Fraction(0)) + weight
    total = sum(found.values(), Fraction(0))
    return {key: weight / total for key, weight in found.items() if weight} if total else {}


def _with(factors: Iterable[Factor], name: str) -> set[str]:
    return {one for factor in factors if name in factor.of for one in factor.of}


def _times(factors: Sequence[Factor]) -> Factor:
    """The product of some factors: of two at a time, by what they have in common."""
    made = Factor((), {(): Fraction(1)})
    for factor in sorted(factors, key=lambda one: len(one.of)):
        new = [name for name in factor.of if name not in made.of]
        shared = [name for name in factor.of if name in made.of]
        mine, theirs = [made.of.index(name) for name in shared], [factor.of.index(name) for name in shared]
        adds = [factor.of.index(name) for name in new]
        by_shared: dict[tuple[int, ...], list[tuple[tuple[int, ...], Fraction]]] = {}
        for values, weight in factor.table.items():
            key = tuple(values[place] for place in theirs)
            by_shared.setdefault(key, []).append((tuple(values[place] for place in adds), weight))
        table: dict[tuple[int, ...], Fraction] = {}
        for values, weight in made.table.items():
            for more, other in by_shared.get(tuple(values[place] for place in mine), ()):
                table[values + more] = weight * other
            if len(table) > MOST_ENTRIES:
                raise TooWide
        made = Factor((*made.of, *new), table)
    return made


def _without(factor: Factor, name: str) -> Factor:
    place = factor.of.index(name)
    table: dict[tuple[int, ...], Fraction] = {}
    for values, weight in factor.table.items():
        key = values[:place] + values[place + 1 :]
        table[key] = table.get(key, Fraction(0)) + weight
    return Factor(factor.of[:place] + factor.of[place + 1 :], table)


def every(unknowns: int, values: Sequence[int] = (0, 1, 2)) -> Iterable[tuple[int, ...]]:
    """Every joint value of so many unknowns."""
    return product(values, repeat=unknowns)
