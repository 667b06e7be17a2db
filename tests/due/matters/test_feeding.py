"""Food left, droppings that are missing or wrong, and a body that shows it."""

from __future__ import annotations

from rounds.due.matter import Level
from tests.due.matters.found import ROOM, found, the

YOUNG = (
    ROOM
    + """
2026-04-01
08:00 pup arrived name=Pup hatched=2026-01-01 place=@b3
08:01 +hatch arrived name=Hatch count=9 hatched=2026-02-20 place=@b3
"""
)


def refused(who: str, *days: int) -> str:
    return "".join(f"2026-04-{day:02d}\n10:00 {who} ate how=refused\n" for day in days)


def test_an_adult_who_left_its_food_three_times_in_a_row_is_watched_six_times_is_for_today() -> None:
    assert found(ROOM + refused("karri", 2, 4), "2026-04-05", "refused food") == []
    assert found(ROOM + refused("karri", 2, 4, 6), "2026-04-06", "refused food") == ["watch refused food karri"]
    assert found(ROOM + refused("karri", 2, 4, 6, 8, 10, 12), "2026-04-12", "refused food") == [
        "today refused food karri"
    ]


def test_young_who_left_it_twice_are_for_today() -> None:
    assert found(YOUNG + refused("pup", 2), "2026-04-03", "refused food") == []
    assert the(YOUNG + refused("pup", 2, 3), "2026-04-03", "refused food").says == (
        "Pup left its food twice in a row, since 2 Apr."
    )
    assert found(YOUNG + refused("+hatch", 2, 3), "2026-04-03", "refused food") == ["today refused food +hatch"]


def test_food_taken_ends_it_and_so_does_a_fortnight_without_a_word() -> None:
    page = ROOM + refused("karri", 2, 4, 6)
    assert found(page + "18:00 karri ate how=some\n", "2026-04-06 19:00", "refused food") == []
    assert found(page, "2026-04-20", "refused food") == ["watch refused food karri"]
    assert found(page, "2026-04-21", "refused food") == []


def test_in_brumation_no_food_is_asked_for() -> None:
    page = ROOM + refused("karri", 2, 4, 6) + "18:00 karri brumation_began\n"
    assert found(page, "2026-04-07", "refused food", "no droppings") == []


def test_food_given_to_the_tub_says_nothing_about_one_who_left_it() -> None:
    page = ROOM + refused("karri", 2, 4, 6) + "18:00 @b5 fed\n"
    assert found(page, "2026-04-07", "refused food") == ["watch refused food karri"]


DROPPED = ROOM + "2026-04-01\n10:00 karri droppings_seen\n2026-04-05\n10:00 karri ate how=well\n"


def test_an_adult_who_eats_and_has_no_droppings_for_more_than_ten_days_is_watched() -> None:
    assert found(DROPPED, "2026-04-11", "no droppings") == []
    matter = the(DROPPED, "2026-04-12", "no droppings")
    assert matter.level == Level.WATCH
    assert matter.says == "Karri eats, and no droppings were seen for 11 days."


def test_looked_for_and_not_found_for_twice_as_long_is_for_today() -> None:
    looked = DROPPED + '2026-04-15\n10:00 karri droppings_seen look="none found"\n'
    assert found(looked, "2026-04-21", "no droppings") == ["watch no droppings karri"]
    assert found(looked, "2026-04-22", "no droppings") == ["today no droppings karri"]


def test_who_does_not_eat_drops_nothing() -> None:
    starving = ROOM + "2026-04-01\n10:00 karri droppings_seen\n" + refused("karri", 3, 5)
    assert found(starving, "2026-04-13", "no droppings") == []


def test_droppings_of_the_tub_count_for_each_who_lives_in_it_and_food_too() -> None:
    page = ROOM + "2026-04-01\n10:00 @b5 droppings_seen\n2026-04-05\n10:00 @b5 fed\n"
    assert found(page, "2026-04-12", "no droppings") == ["watch no droppings karri"]
    assert found(page + "2026-04-10\n10:00 @b5 droppings_seen look=runny\n", "2026-04-12", "no droppings") == []


def test_where_droppings_are_never_noted_nothing_can_be_said() -> None:
    assert found(ROOM + "2026-04-05\n10:00 karri ate how=well\n", "2026-05-01", "no droppings") == []
    assert found(DROPPED, "2026-05-20", "no droppings") == [], "noted once and never again"


def test_young_are_asked_about_after_four_days() -> None:
    page = YOUNG + "10:00 pup droppings_seen\n2026-04-03\n10:00 pup ate how=well\n"
    assert found(page, "2026-04-05", "no droppings") == []
    assert found(page, "2026-04-06", "no droppings") == ["watch no droppings pup"]


def test_blood_in_the_droppings_is_for_the_vet_runny_ones_twice_are_watched() -> None:
    runny = ROOM + "2026-04-01\n10:00 karri droppings_seen look=runny\n"
    assert found(runny, "2026-04-02", "droppings not right") == []
    twice = runny + "2026-04-02\n10:00 karri droppings_seen look=runny\n"
    assert found(twice, "2026-04-02", "droppings not right") == ["watch droppings not right karri"]
    blood = runny + '2026-04-02\n10:00 karri droppings_seen look="blood or mucus"\n'
    assert found(blood, "2026-04-02", "droppings not right") == ["vet droppings not right karri"]
    assert found(blood + "11:00 karri vet_seen\n", "2026-04-02", "droppings not right") == []
    assert found(blood + "2026-04-04\n11:00 karri droppings_seen\n", "2026-04-04", "droppings not right") == []


def test_a_thin_animal_is_watched_a_thin_young_one_is_for_today() -> None:
    assert found(ROOM + "2026-04-01\n10:00 karri condition_seen body=thin\n", "2026-04-02", "looks thin") == [
        "watch looks thin karri"
    ]
    assert found(YOUNG + "10:00 pup condition_seen body=thin\n", "2026-04-02", "looks thin") == [
        "today looks thin pup"
    ]
    better = YOUNG + "10:00 pup condition_seen body=thin\n11:00 pup condition_seen body=good\n"
    assert found(better, "2026-04-02", "looks thin") == []


def test_a_stuck_shed_is_watched_and_after_a_week_for_today() -> None:
    page = ROOM + "2026-04-01\n10:00 karri shed_seen state=stuck where=toes\n"
    assert the(page, "2026-04-02", "stuck shed").says == "Karri's shed is stuck since 1 Apr (toes)."
    assert found(page, "2026-04-07", "stuck shed") == ["watch stuck shed karri"]
    assert found(page, "2026-04-08", "stuck shed") == ["today stuck shed karri"]
    assert found(page + "2026-04-05\n10:00 karri shed_seen state=clean\n", "2026-04-08", "stuck shed") == []
