"""Which mutants are drawn."""

from __future__ import annotations

from tests.mutation.sample import Mutant, sample

SOURCE = """
from __future__ import annotations

def late(days: int | None, *, of: int) -> bool:
    return days is not None and days > of + 1
"""
LATE = "core/ReplaceComparisonOperator_Gt_GtE"


def mutant(row: int, column: int, operator: str, id: str = "") -> Mutant:
    return Mutant("due.py", row, column, operator, 0, id)


def drawn(*mutants: Mutant, each: int | None = 10, seed: int = 1) -> list[Mutant]:
    return sample(mutants, {"due.py": SOURCE}, each, seed)


def test_a_near_miss_is_drawn_and_what_falls_over_in_every_test_is_not() -> None:
    near = mutant(5, 38, LATE)
    assert drawn(near, mutant(5, 43, "core/ReplaceBinaryOperator_Add_Mod")) == [near]


def test_types_are_left_to_mypy() -> None:
    assert drawn(mutant(4, 19, "core/ReplaceBinaryOperator_BitOr_BitAnd")) == []


def test_the_star_of_a_signature_multiplies_nothing() -> None:
    assert drawn(mutant(4, 27, "core/ReplaceBinaryOperator_Mul_Div")) == []
    plus = mutant(5, 43, "core/ReplaceBinaryOperator_Add_Sub")
    assert drawn(plus) == [plus]


def test_a_place_is_drawn_once_unless_all_are_wanted() -> None:
    two = [mutant(5, 38, LATE), mutant(5, 38, "core/ReplaceComparisonOperator_Gt_LtE")]
    assert len(drawn(*two)) == 1
    assert drawn(*two, each=None) == sorted(two)


def test_a_seed_draws_the_same_each_time_and_another_draws_others() -> None:
    many = [mutant(5, column, LATE, str(column)) for column in range(40)]
    assert drawn(*many) == drawn(*reversed(many))
    assert drawn(*many) != drawn(*many, seed=2)
