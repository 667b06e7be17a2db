"""Kinship: against worked examples of textbooks, and what holds for any pedigree."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.standing import kinship as kinship_module
from rounds.standing.kinship import Kinship, OwnAncestor, TooFar

Parents = dict[str, tuple[str | None, str | None]]


def pedigree(text: str) -> Parents:
    """`young sire dam`, a line each; `?` where a parent is not known. Whoever has no line is a founder."""
    found: Parents = {}
    for line in text.split("\n"):
        words = line.split()
        if words:
            young, *parents = words
            sire, dam = (None if parent == "?" else parent for parent in parents)
            found[young] = (sire, dam)
            for parent in (sire, dam):
                if parent is not None:
                    found.setdefault(parent, (None, None))
    return found


def kinship(parents: Parents) -> Kinship:
    return Kinship(lambda who: parents.get(who, (None, None)))


# Mrode, Linear Models for the Prediction of Animal Breeding Values, 3rd ed., Table 2.1 and the matrix beside it.
MRODE = pedigree("3 1 2\n4 1 ?\n5 4 3\n6 5 2")
MRODE_MATRIX = """
1 0 1/2 1/2 1/2 1/4
0 1 1/2 0 1/4 5/8
1/2 1/2 1 1/4 5/8 9/16
1/2 0 1/4 1 5/8 5/16
1/2 1/4 5/8 5/8 9/8 11/16
1/4 5/8 9/16 5/16 11/16 9/8
"""


def test_the_matrix_of_mrodes_example_comes_out_whole() -> None:
    expected = [[Fraction(cell) for cell in row.split()] for row in MRODE_MATRIX.strip().split("\n")]
    kin = kinship(MRODE)
    assert [[2 * kin.of(one, other) for other in "123456"] for one in "123456"] == expected
    table = kin.table("123456", "123456")
    assert [[2 * table.value(one, other) for other in "123456"] for one in "123456"] == expected
    assert [kin.inbreeding(one) for one in "123456"] == [0, 0, 0, 0, Fraction(1, 8), Fraction(1, 8)]


# Wright 1922, Coefficients of inbreeding and relationship, American Naturalist 56:330–338: the bull Roan Gauntlet.
ROAN_GAUNTLET = pedigree(
    """
    Champion LordRaglan ?
    GrandDuke Champion ?
    Mimulus Champion ?
    RoyalDuke GrandDuke Mimulus
    X LordRaglan ?
    Carmine X ?
    PrincessRoyal Champion Carmine
    RoanGauntlet RoyalDuke PrincessRoyal
    """
)


def test_roan_gauntlet_is_inbred_by_nine_sixty_fourths() -> None:
    kin = kinship(ROAN_GAUNTLET)
    assert kin.inbreeding("RoanGauntlet") == Fraction(9, 64)
    shares, rest = kin.shares("RoyalDuke", "PrincessRoyal")
    assert rest == 0
    assert [(one.ancestor, one.first, one.second, one.paths, one.share) for one in shares] == [
        ("Champion", 2, 1, 2, Fraction(1, 8)),
        ("LordRaglan", 3, 3, 2, Fraction(1, 64)),
    ]


# Textbook values of the inbreeding coefficient of the young.
@pytest.mark.parametrize(
    ("page", "expected"),
    [
        pytest.param("a pa ma\nb pa ma", "1/4", id="full sibs"),
        pytest.param("b a ma", "1/4", id="parent × young"),
        pytest.param("a pa ma\nb pa other", "1/8", id="half sibs"),
        pytest.param("a gp gm\npa gp gm\nb pa ma", "1/8", id="uncle × niece"),
        pytest.param("f1 g1 g2\nf2 g1 g2\nm1 h1 h2\nm2 h1 h2\na f1 m1\nb f2 m2", "1/8", id="double first cousins"),
        pytest.param("pa a gm\nb pa ma", "1/8", id="grandparent × grandchild"),
        pytest.param("f1 g1 g2\nf2 g1 g2\na f1 x\nb f2 y", "1/16", id="first cousins"),
        pytest.param("f1 g1 g2\nf2 g1 g3\na f1 x\nb f2 y", "1/32", id="half first cousins"),
        pytest.param("a ? ?\nb ? ?", "0", id="founders"),
        pytest.param("a pa ?\nb pa ?", "1/8", id="one unknown parent"),
    ],
)
def test_the_young_of_kin_are_inbred_as_the_textbooks_say(page: str, expected: str) -> None:
    assert kinship(pedigree(page)).of("a", "b") == Fraction(expected)


def test_sibs_mated_again_and_again() -> None:
    # 1/4, 3/8, 1/2: textbook.
    line = pedigree("\n".join(f"a{n + 1} a{n} b{n}\nb{n + 1} a{n} b{n}" for n in range(3)))
    kin = kinship(line)
    assert [kin.of(f"a{n}", f"b{n}") for n in (1, 2, 3)] == [Fraction(1, 4), Fraction(3, 8), Fraction(1, 2)]


# What holds for any pedigree


@st.composite
def pedigrees(draw: st.DrawFn) -> Parents:
    """Up to twelve animals, parents before young, some not known; sire and dam may be one (a worm's pedigree)."""
    found: Parents = {}
    for number in range(draw(st.integers(1, 12))):
        parents = st.sampled_from([None, *found])
        found[f"n{number:02}"] = (draw(parents), draw(parents))
    return found


def tabular(parents: Parents) -> dict[tuple[str, str], Fraction]:
    """The tabular method (Emik & Terrill 1949, as every textbook has it), twice the kinship of each two."""
    found: dict[tuple[str, str], Fraction] = {}
    order = list(parents)
    for place, young in enumerate(order):
        for old in order[:place]:
            halves = [found[parent, old] for parent in parents[young] if parent is not None]
            found[young, old] = found[old, young] = sum(halves, Fraction(0)) / 2
        sire, dam = parents[young]
        found[young, young] = 1 + (found[sire, dam] / 2 if sire is not None and dam is not None else Fraction(0))
    return found


def counted_paths(parents: Parents, one: str, other: str) -> Fraction:
    """Wright's sum over every pair of paths that meet in one ancestor and in no one else, each path walked."""

    def up(who: str) -> list[tuple[str, ...]]:
        return [(who,), *((who, *rest) for parent in parents[who] if parent is not None for rest in up(parent))]

    @cache
    def inbred(who: str) -> Fraction:
        sire, dam = parents[who]
        return counted_paths(parents, sire, dam) if sire is not None and dam is not None else Fraction(0)

    total = Fraction(0)
    for mine in up(one):
        for theirs in up(other):
            if mine[-1] == theirs[-1] and not set(mine[:-1]) & set(theirs[:-1]):
                total += (1 + inbred(mine[-1])) / 2 ** (len(mine) + len(theirs) - 1)
    return total


def every_pair(parents: Parents) -> list[tuple[str, str]]:
    return [(one, other) for one in parents for other in parents]


@given(pedigrees())
@settings(max_examples=60)
def test_the_recursion_the_table_and_the_tabular_method_agree(parents: Parents) -> None:
    expected = tabular(parents)
    kin = kinship(parents)
    table = kin.table(list(parents), list(parents))
    for one, other in every_pair(parents):
        assert 2 * kin.of(one, other) == 2 * table.value(one, other) == expected[one, other]
    for one in parents:
        assert table.row(one) == [kin.of(one, other) for other in parents]


@given(pedigrees(), st.data())
@settings(max_examples=60)
def test_walking_every_path_comes_to_the_same(parents: Parents, data: st.DataObject) -> None:
    few = dict(list(parents.items())[:8])
    one, other = data.draw(st.sampled_from(every_pair(few)))
    assert kinship(few).of(one, other) == counted_paths(few, one, other)


@given(pedigrees(), st.data())
@settings(max_examples=60)
def test_the_shares_of_the_ancestors_add_up_exactly(parents: Parents, data: st.DataObject) -> None:
    one, other = data.draw(st.sampled_from(every_pair(parents)))
    kin = kinship(parents)
    for most in (kinship_module.PATH_STEPS, 3):
        shares, rest = kin.shares(one, other, most)
        assert rest >= 0
        assert sum((share.share for share in shares), rest) == kin.of(one, other)
    assert kin.shares(one, other)[1] == 0


@given(pedigrees(), st.randoms(use_true_random=False))
@settings(max_examples=40)
def test_neither_names_nor_the_order_of_asking_make_a_difference(parents: Parents, random: object) -> None:
    names = list(parents)
    random.shuffle(names)  # type: ignore[attr-defined]
    called: dict[str | None, str | None] = {**dict(zip(parents, names, strict=True)), None: None}
    renamed = {called[who]: (called[sire], called[dam]) for who, (sire, dam) in parents.items()}
    asked = every_pair(parents)
    random.shuffle(asked)  # type: ignore[attr-defined]
    mine, theirs = kinship(parents), kinship(renamed)  # type: ignore[arg-type]
    for one, other in asked:
        assert mine.of(one, other) == theirs.of(called[one] or "", called[other] or "")


@given(pedigrees())
@settings(max_examples=40)
def test_kinship_is_symmetric_and_within_its_bounds(parents: Parents) -> None:
    kin = kinship(parents)
    for one, other in every_pair(parents):
        assert kin.of(one, other) == kin.of(other, one)
        assert 0 <= kin.of(one, other) <= 1
    for one in parents:
        assert kin.of(one, one) == (1 + kin.inbreeding(one)) / 2


# Deep, wide and looped


def test_three_thousand_generations_are_no_trouble() -> None:
    line = pedigree("\n".join(f"a{n + 1} a{n} b{n}\nb{n + 1} a{n} b{n}" for n in range(3_000)))
    kin = kinship(line)
    assert Fraction(999_999, 1_000_000) < kin.of("a3000", "b3000") < 1
    shares, rest = kin.shares("a3000", "b3000")
    assert sum((share.share for share in shares), rest) == kin.of("a3000", "b3000")
    assert kin.table(["a3000"], ["b3000"]).value("a3000", "b3000") == kin.of("a3000", "b3000")


def test_a_pedigree_that_no_one_lived_is_given_up_plainly(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kinship_module, "_MOST_PAIRS", 200)
    line = pedigree("\n".join(f"n{n + 1} n{n} n{n // 2}" for n in range(100)))
    with pytest.raises(TooFar, match="too deep and too wide"):
        kinship(line).of("n100", "n99")


@pytest.mark.parametrize(
    ("page", "loop"),
    [
        ("a a ?", ("a",)),
        ("a b ?\nb ? a", ("a", "b")),
        ("a b ?\nb c ?\nc ? a", ("a", "b", "c")),
        ("a b ?\nb b ?", ("b",)),
    ],
)
def test_whoever_is_its_own_ancestor_is_named_with_the_loop(page: str, loop: Sequence[str]) -> None:
    with pytest.raises(OwnAncestor) as raised:
        kinship(pedigree(page)).of("a", "x")
    assert raised.value.loop == loop
