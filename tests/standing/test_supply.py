"""A supply as it stands: its name, its counts, what came in, what was used in between."""

from __future__ import annotations

from rounds.standing.fold import Standing
from rounds.standing.supply import Supply, supply
from tests.notation import standing

COUNTED = """
2026-04-01 AK
08:00 locusts stock_counted amount=800
2026-04-05
08:00 locusts stock_in amount=500
2026-04-08
08:00 locusts stock_counted amount=650
"""


def the(page: str, subject: str = "supply/locusts") -> Supply:
    return supply(standing(page), subject)


def used(page: str) -> list[float]:
    return [one.amount for one in the(page).used]


def test_what_was_used_is_the_count_before_and_what_came_in_less_the_count_now() -> None:
    assert used(COUNTED) == [650]
    assert used(COUNTED + "2026-04-10\n08:00 locusts stock_counted amount=400\n") == [650, 250]


def test_what_came_in_after_the_last_count_waits_for_the_next_one() -> None:
    one = the(COUNTED + "2026-04-09\n08:00 locusts stock_in amount=300\n09:00 locusts stock_in amount=20\n")
    assert [entry.amount for entry in one.in_since] == [300, 20]
    assert one.counted is not None
    assert one.counted.amount == 650


def test_a_count_again_on_the_same_day_puts_the_first_right() -> None:
    again = COUNTED + "2026-04-08\n17:00 locusts stock_counted amount=640\n"
    assert used(again) == [660]


def test_more_counted_than_was_there_is_less_than_nothing_used() -> None:
    assert used(COUNTED + "2026-04-10\n08:00 locusts stock_counted amount=700\n") == [650, -50]


def test_across_a_change_of_the_unit_nothing_is_known() -> None:
    grams = COUNTED + "2026-04-10\n08:00 locusts stock_counted amount=90 unit=g\n"
    assert used(grams) == []
    assert the(grams).unit == "g"
    assert used(grams + "2026-04-12\n08:00 locusts stock_counted amount=70 unit=g\n") == [20]


def test_what_came_in_first_opens_a_supply_that_was_never_counted() -> None:
    one = the("2026-04-01 AK\n08:00 roaches stock_in amount=200\n", "supply/roaches")
    assert one.counted is None
    assert one.begins is one.came_in[0]
    assert [entry.amount for entry in one.in_since] == [200]


def test_a_supply_is_called_by_the_name_last_written_else_by_its_id() -> None:
    def name(page: str, subject: str) -> str:
        return standing(page).name(subject)

    flies = "2026-04-01 AK\n08:00 fruit-flies stock_counted amount=1\n"
    assert name(flies, "supply/fruit-flies") == "fruit flies"
    named = flies + "09:00 fruit-flies stock_counted amount=1 name='Fruit flies (big)'\n"
    assert name(named + "10:00 fruit-flies stock_counted amount=1\n", "supply/fruit-flies") == "Fruit flies (big)"


def test_a_supply_of_which_nothing_counts_any_more_is_not_there() -> None:
    page = "2026-04-01 AK\n08:00 locusts stock_counted amount=800\n"
    taken_back = page + "09:00 supply/locusts corrected replaces=20260401-00000\n"
    assert standing(page).card("supply/locusts").opened
    assert not standing(taken_back).card("supply/locusts").opened
    assert not Standing().card("supply/locusts").opened
