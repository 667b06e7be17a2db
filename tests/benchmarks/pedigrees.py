"""The kinship of a colony's pairing table, beside the tabular method on the same pedigree in the same run."""

from __future__ import annotations

import time
from collections.abc import Iterator
from random import Random
from typing import Final

from rounds.standing.kinship import Kinship
from tests.benchmarks.measures import Figure
from tests.benchmarks.medians import medians

SEED: Final = 20260412
Parents = dict[str, tuple[str | None, str | None]]


def invented(animals: int, generations: int) -> Parents:
    """A pedigree of so many animals: each generation's parents are any of the one before, half of it males."""
    rng = Random(SEED)
    found: Parents = {}
    before: list[str] = []
    each = animals // generations
    for generation in range(generations):
        now = [f"g{generation}-{number}" for number in range(each)]
        for one in now:
            found[one] = (rng.choice(before[0::2]), rng.choice(before[1::2])) if before else (None, None)
        before = now
    return found


def tabular(parents: Parents) -> list[list[float]]:
    """The tabular method in plain floating point, row by row (Emik & Terrill 1949): the least work it can be."""
    places = {who: place for place, who in enumerate(parents)}
    rows: list[list[float]] = []
    for young, (sire, dam) in parents.items():
        at = places[young]
        up = [rows[places[parent]] for parent in (sire, dam) if parent is not None]
        if len(up) == 2:
            row = [(first + second) / 2 for first, second in zip(*up, strict=True)]
            own = 1 + up[0][places[dam or ""]] / 2
        else:
            row, own = [0.0] * at, 1.0
        for old, figure in zip(rows, row, strict=True):
            old.append(figure)
        row.append(own)
        rows.append(row)
    return rows


def kinship(animals: int = 2_000, generations: int = 10) -> Iterator[Figure]:
    """Every male with every female, then each pair read as a fraction, against the tabular method's matrix. ms."""
    parents = invented(animals, generations)
    males, females = list(parents)[0::2], list(parents)[1::2]

    def table() -> float:
        begun = time.perf_counter()
        Kinship(parents.__getitem__).table(females, males)
        return (time.perf_counter() - begun) * 1e3

    def read() -> float:
        begun = time.perf_counter()
        found = Kinship(parents.__getitem__).table(females, males)
        for dam in females:
            found.row(dam)
        return (time.perf_counter() - begun) * 1e3

    def theirs() -> float:
        begun = time.perf_counter()
        tabular(parents)
        return (time.perf_counter() - begun) * 1e3

    agree(parents, males, females)
    what = f"kinship of {len(males):,} × {len(females):,}, {generations} generations"
    for name, ours in ((what, table), ("the same, each pair read as a fraction", read)):
        value, floor = medians(3, ours, theirs)
        yield Figure(name, value, floor, "ms", 1)


def agree(parents: Parents, males: list[str], females: list[str]) -> None:
    """Both have to come to the same, or neither figure says anything."""
    table = Kinship(parents.__getitem__).table(females, males)
    matrix = tabular(parents)
    places = {who: place for place, who in enumerate(parents)}
    for dam in females[:: max(1, len(females) // 20)]:
        for sire in males[:: max(1, len(males) // 20)]:
            assert abs(float(2 * table.value(dam, sire)) - matrix[places[dam]][places[sire]]) < 1e-12
