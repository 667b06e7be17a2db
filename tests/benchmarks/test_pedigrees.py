"""The pedigree that kinship is measured on: the same each time, and both methods come to the same on it."""

from __future__ import annotations

from tests.benchmarks.pedigrees import agree, invented


def test_both_methods_come_to_the_same_on_the_pedigree_that_is_measured() -> None:
    parents = invented(200, 10)
    assert parents == invented(200, 10)
    assert len(parents) == 200
    agree(parents, list(parents)[0::2], list(parents)[1::2])
