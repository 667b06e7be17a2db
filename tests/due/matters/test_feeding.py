"""Food refused, droppings that are missing or wrong, and a body that shows it."""

from __future__ import annotations

from rounds.due.matter import Level
from tests.due.matters.found import ROOM, found, the
from tests.due.stops import house_with

YOUNG = (
    ROOM
    + """
2026-04-01
08:00 pup arrived name=Pup hatched=2026-01-01 place=b3
08:01 group/hatch arrived name=Hatch count=9 hatched=2026-02-20 place=b3
"""
)


def refused(who: str, *days: int) -> str:
    return "".join(f"2026-04-{day:02d}\n10:00 {who} ate how=refused\n" for day in days)


def test_an_adult_who_refused_food_three_times_in_a_row_is_watched_six_times_is_for_today() -> None:
    assert found(ROOM + refused("karri", 2, 4), "2026-04-05", "refused food") == []
    assert found(ROOM + refused("karri", 2, 4, 6), "2026-04-06", "refused food") == ["watch refused food karri"]
    assert found(ROOM + refused("karri", 2, 4, 6, 8, 10, 12), "2026-04-12", "refused food") == [
        "today refused food karri"
    ]
    assert the(ROOM + refused("karri", 2, 4, 6), "2026-04-06", "refused food").says == (
        "Karri: refused food 3 times, since 2 Apr."
    )


def test_young_who_refused_it_twice_are_for_today() -> None:
    assert found(YOUNG + refused("pup", 2), "2026-04-03", "refused food") == []
    assert the(YOUNG + refused("pup", 2, 3), "2026-04-03", "refused food").says == (
        "Pup: refused food twice, since 2 Apr."
    )
    assert found(YOUNG + refused("group/hatch", 2, 3), "2026-04-03", "refused food") == ["today refused food hatch"]


def test_food_taken_ends_it_and_so_does_a_fortnight_without_a_word() -> None:
    page = ROOM + refused("karri", 2, 4, 6)
    assert found(page + "18:00 karri ate how=some\n", "2026-04-06 19:00", "refused food") == []
    assert found(page, "2026-04-20", "refused food") == ["watch refused food karri"]
    assert found(page, "2026-04-21", "refused food") == []


def test_in_brumation_no_food_is_asked_for() -> None:
    page = ROOM + refused("karri", 2, 4, 6) + "18:00 karri brumation_began\n"
    assert found(page, "2026-04-07", "refused food", "no droppings") == []


def test_food_given_to_the_tub_says_nothing_about_one_who_refused_it() -> None:
    page = ROOM + refused("karri", 2, 4, 6) + "18:00 enclosure/b5 fed\n"
    assert found(page, "2026-04-07", "refused food") == ["watch refused food karri"]


#: Refused week by week from 1 April on.
FOUR_WEEKS = ROOM + refused("karri", 1, 4, 8, 12, 16, 20, 24, 27)


def test_four_weeks_without_food_are_for_the_vet() -> None:
    # WikiVet: over four weeks without food.
    assert found(FOUR_WEEKS, "2026-04-28", "refused food") == ["today refused food karri"]
    matter = the(FOUR_WEEKS, "2026-04-29", "refused food")
    assert matter.level == Level.VET
    assert matter.says == "Karri: refused food 8 times, since 1 Apr. No food for 28 days."
    ate = "2026-04-{}\n11:00 karri ate how=well\n"
    assert found(FOUR_WEEKS + ate.format(28), "2026-04-29 12:00", "refused food") == []
    late = the(FOUR_WEEKS + ate.format(29), "2026-04-29 12:00", "refused food")
    assert (late.level, late.says) == (
        Level.VET,
        "Karri: refused food 8 times, 1 to 27 Apr. No food for 28 days.",
    ), "once vet, food taken does not bring it down"
    for contact in ("vet_seen", "vet_called said=wait"):
        heard = FOUR_WEEKS + f"2026-04-29\n11:00 karri {contact}\n"
        assert found(heard, "2026-04-29 12:00", "refused food") == ["today refused food karri"], "not eating yet"


def test_in_brumation_four_weeks_without_food_are_none() -> None:
    asleep = ROOM + "2026-03-30\n10:00 karri brumation_began\n" + FOUR_WEEKS.removeprefix(ROOM)
    assert found(asleep, "2026-04-29", "refused food") == []


#: Refused three times in a week, and then on the scale: her own weight is 400 g.
GAINED = ROOM + "2026-03-01\n09:00 sedge weighed grams=400\n" + refused("sedge", 1, 4, 7)
GAINED += "2026-04-08\n09:00 sedge weighed grams={}\n"


def test_a_week_of_it_with_a_gain_of_10_percent_is_for_the_vet_in_a_female_of_no_known_mating() -> None:
    # WikiVet: no mate is needed for follicles or eggs.
    assert found(GAINED.format(439), "2026-04-08 10:00", "refused food") == ["watch refused food sedge"]
    assert found(GAINED.format(440), "2026-04-08 08:59", "refused food") == ["watch refused food sedge"]
    six_days = GAINED.format(440).replace("2026-04-01", "2026-04-02")
    assert found(six_days, "2026-04-08 09:00", "refused food") == ["watch refused food sedge"]
    matter = the(GAINED.format(440), "2026-04-08 09:00", "refused food")
    assert matter.level == Level.VET
    assert matter.says == "Sedge: refused food 3 times, since 1 Apr. 440 g, 10 % above her own."
    better = GAINED.format(440) + "2026-04-09\n09:00 sedge ate how=well\n10:00 sedge weighed grams=400\n"
    assert found(better, "2026-04-09 11:00", "refused food") == ["vet refused food sedge"], (
        "nothing here answers it"
    )
    laid = better + "2026-04-10\n10:00 sedge eggs_laid clutch=s-1 count={} complete=true\n"
    assert found(laid.format(9), "2026-04-10 11:00", "refused food") == ["vet refused food sedge"]
    assert found(laid.format(10), "2026-04-10 11:00", "refused food") == []
    assert found(better + "11:00 sedge vet_called\n", "2026-04-09 12:00", "refused food") == []


def test_in_her_window_a_gain_and_refused_food_are_expected_for_two_weeks() -> None:
    page = ROOM + "2026-03-05\n09:00 wattle weighed grams=400\n2026-03-12\n10:00 wattle mating_seen\n"
    page += "2026-03-26\n10:00 wattle weighed grams=450\n" + refused("wattle", 1, 5, 9, 12)
    assert found(page, "2026-04-14", "refused food") == []
    assert the(page, "2026-04-15", "refused food").says == (
        "Wattle: refused food 4 times, since 1 Apr. 450 g, 12 % above her own."
    )
    assert found(page, "2026-04-15", "refused food") == ["vet refused food wattle"]


DROPPED = ROOM + "2026-04-01\n10:00 karri droppings_seen\n2026-04-05\n10:00 karri ate how=well\n"


def test_an_adult_who_eats_and_has_no_droppings_for_more_than_ten_days_is_watched() -> None:
    assert found(DROPPED, "2026-04-11", "no droppings") == []
    matter = the(DROPPED, "2026-04-12", "no droppings")
    assert matter.level == Level.WATCH
    assert matter.says == "Karri: eats, no droppings for 11 days."


def test_looked_for_and_not_found_for_twice_as_long_is_for_today() -> None:
    looked = DROPPED + '2026-04-15\n10:00 karri droppings_seen look="none found"\n'
    assert found(looked, "2026-04-21", "no droppings") == ["watch no droppings karri"]
    assert found(looked, "2026-04-22", "no droppings") == ["today no droppings karri"]


def test_looked_for_and_not_found_for_three_times_as_long_is_for_the_vet() -> None:
    looked = DROPPED + '2026-04-15\n10:00 karri droppings_seen look="none found"\n'
    assert found(looked, "2026-05-01", "no droppings") == ["today no droppings karri"]
    matter = the(looked, "2026-05-02", "no droppings")
    assert (matter.level, matter.says) == (Level.VET, "Karri: eats, no droppings for 31 days.")
    again = looked + "2026-05-0{}\n10:00 karri droppings_seen\n"
    assert found(again.format(1), "2026-05-02 11:00", "no droppings") == []
    assert the(again.format(2), "2026-05-02 11:00", "no droppings").says == (
        "Karri: eats, no droppings for 31 days. Found again 2 May."
    )
    assert found(again.format(2), "2026-05-02 11:00", "no droppings") == ["vet no droppings karri"]
    assert found(looked + "2026-05-02\n10:00 karri vet_seen\n", "2026-05-02 11:00", "no droppings") != [
        "vet no droppings karri"
    ]


def test_who_does_not_eat_drops_nothing() -> None:
    starving = ROOM + "2026-04-01\n10:00 karri droppings_seen\n" + refused("karri", 3, 5)
    assert found(starving, "2026-04-13", "no droppings") == []


def test_droppings_of_the_tub_count_for_each_who_lives_in_it_and_food_too() -> None:
    page = ROOM + "2026-04-01\n10:00 enclosure/b5 droppings_seen\n2026-04-05\n10:00 enclosure/b5 fed\n"
    assert found(page, "2026-04-12", "no droppings") == ["watch no droppings karri"]
    assert (
        found(page + "2026-04-10\n10:00 enclosure/b5 droppings_seen look=runny\n", "2026-04-12", "no droppings")
        == []
    )


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
    assert the(blood, "2026-04-02", "droppings not right").says == ("Karri: blood or mucus in the droppings 2 Apr.")
    again = blood + '2026-04-03\n10:00 karri droppings_seen look="blood or mucus"\n'
    assert the(again, "2026-04-03", "droppings not right").says == (
        "Karri: blood or mucus in the droppings, twice since 2 Apr."
    )
    normal = blood + "2026-04-04\n11:00 karri droppings_seen\n"
    assert the(normal, "2026-04-05", "droppings not right").says == (
        "Karri: blood or mucus in the droppings 2 Apr. Normal 4 Apr."
    )
    assert found(normal, "2026-04-05", "droppings not right") == ["vet droppings not right karri"]
    assert found(normal + "12:00 karri vet_called\n", "2026-04-05", "droppings not right") == []


def test_a_thin_animal_is_watched_a_thin_young_one_is_for_today() -> None:
    assert found(ROOM + "2026-04-01\n10:00 karri condition_seen body=thin\n", "2026-04-02", "looks thin") == [
        "watch looks thin karri"
    ]
    assert found(YOUNG + "10:00 pup condition_seen body=thin\n", "2026-04-02", "looks thin") == [
        "today looks thin pup"
    ]
    better = YOUNG + "10:00 pup condition_seen body=thin\n11:00 pup condition_seen body=good\n"
    assert found(better, "2026-04-02", "looks thin") == []


def test_very_thin_is_for_today_in_any_animal() -> None:
    page = ROOM + '2026-04-01\n10:00 karri condition_seen body="very thin"\n'
    assert the(page, "2026-04-02", "looks thin").says == "Karri: very thin since 1 Apr."
    assert found(page, "2026-04-02", "looks thin") == ["today looks thin karri"]
    assert found(page + "11:00 karri condition_seen body=heavy\n", "2026-04-02", "looks thin") == []


def test_a_stuck_shed_is_watched_and_after_a_week_for_today() -> None:
    page = ROOM + "2026-04-01\n10:00 karri shed_seen state=stuck where=toes\n"
    assert the(page, "2026-04-02", "stuck shed").says == "Karri: shed stuck since 1 Apr (toes)."
    assert found(page, "2026-04-07", "stuck shed") == ["watch stuck shed karri"]
    assert found(page, "2026-04-08", "stuck shed") == ["today stuck shed karri"]
    assert found(page + "2026-04-05\n10:00 karri shed_seen state=clean\n", "2026-04-08", "stuck shed") == []


def test_how_far_refusals_may_lie_apart_is_a_house_rule() -> None:
    page = ROOM + refused("karri", 1, 8, 15, 22, 29)
    assert found(page, "2026-04-30", "refused food") == ["vet refused food karri"], "four weeks without food"
    apart = house_with(health={"off_food_gap_days": 6})
    assert found(page, "2026-04-30", "refused food", house=apart) == [], "each is a time of its own"
