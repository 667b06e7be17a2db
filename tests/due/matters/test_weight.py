"""Weights: a loss, a loss over brumation, and weighings that are missing."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from rounds.due.matter import Level
from tests.due.matters.found import ROOM, all_found, found, the
from tests.due.stops import house_with
from tests.notation import at


def weekly(*grams: float, who: str = "sedge", start: str = "2026-03-02") -> str:
    lines = []
    for place, one in enumerate(grams):
        lines += [f"{date.fromisoformat(start) + timedelta(weeks=place)}", f"08:00 {who} weighed grams={one}"]
    return "\n".join(lines) + "\n"


LOSS = ROOM + weekly(450, 452, 449, 451, 410, 409)


def test_two_weighings_well_under_the_earlier_ones_are_a_loss() -> None:
    matter = the(LOSS, "2026-04-06 09:00", "weight loss")
    assert matter.level == Level.TODAY
    assert matter.says == "Sedge: 9 % lost in 14 days, 409 g."
    assert matter.since == at("2026-04-06 08:00")
    assert [entry.kind for entry in matter.entries] == ["weighed"] * 6
    assert found(LOSS, "2026-04-05", "weight loss") == [], "one low weighing is none yet"


def test_it_keeps_its_name_from_weighing_to_weighing_and_ends_when_the_weight_is_back() -> None:
    on = ROOM + weekly(450, 452, 449, 451, 410, 409, 408)
    assert the(on, "2026-04-13 09:00", "weight loss").key == the(LOSS, "2026-04-07", "weight loss").key
    back = ROOM + weekly(450, 452, 449, 451, 410, 409, 440, 448)
    assert found(back, "2026-04-20 09:00", "weight loss") == []


def test_few_weighings_say_nothing() -> None:
    assert found(ROOM + weekly(450, 380, 360), "2026-03-20", "weight loss") == []


def test_a_large_loss_is_for_the_vet_and_so_is_one_with_food_refused_or_dull() -> None:
    large = ROOM + weekly(450, 452, 449, 451, 382, 380)
    assert found(large, "2026-04-07", "weight loss") == ["vet weight loss sedge"]
    refuses = LOSS + "2026-04-06\n09:00 sedge ate how=refused\n12:00 sedge ate how=refused\n"
    assert the(refuses, "2026-04-07", "weight loss").says == (
        "Sedge: 9 % lost in 14 days, 409 g. Refused food twice."
    )
    once = LOSS + "2026-04-06\n09:00 sedge ate how=refused\n"
    assert found(once, "2026-04-07", "weight loss") == ["today weight loss sedge"]
    assert found(refuses, "2026-04-07", "weight loss") == ["vet weight loss sedge"]
    dull = LOSS + "2026-04-06\n09:00 sedge condition_seen look=dull\n"
    assert the(dull, "2026-04-07", "weight loss").says == "Sedge: 9 % lost in 14 days, 409 g. Dull 6 Apr."
    assert found(dull, "2026-04-07", "weight loss") == ["vet weight loss sedge"]
    bright = dull + "2026-04-07\n09:00 sedge condition_seen look=bright\n"
    assert found(bright, "2026-04-07 10:00", "weight loss") == ["vet weight loss sedge"]


LARGE = ROOM + weekly(450, 452, 449, 451, 382, 380)


def test_large_is_15_percent_under_the_median_of_the_earlier_ones() -> None:
    # 15 % under 450 g is 382.5 g.
    page = ROOM + weekly(450, 450, 450, 450, 390)
    last = "2026-04-06\n08:00 sedge weighed grams={}\n"
    assert found(page + last.format(383), "2026-04-07", "weight loss") == ["today weight loss sedge"]
    assert found(page + last.format(382.5), "2026-04-07", "weight loss") == ["vet weight loss sedge"]


def test_as_vet_no_later_weight_brings_it_down_a_vet_or_a_call_does() -> None:
    back = ROOM + weekly(450, 452, 449, 451, 382, 380, 448, 450)
    assert the(back, "2026-04-21", "weight loss").says == "Sedge: 15 % lost in 14 days, 380 g on 6 Apr."
    assert found(back, "2026-04-21", "weight loss") == ["vet weight loss sedge"]
    for contact in ("vet_seen", "vet_called said=wait"):
        assert found(back + f"2026-04-21\n09:00 sedge {contact}\n", "2026-04-21 10:00", "weight loss") == []
        seen = LARGE + f"2026-04-06\n12:00 sedge {contact}\n"
        assert found(seen, "2026-04-07", "weight loss") == ["today weight loss sedge"], "she is still light"


@pytest.mark.parametrize(
    "because",
    [
        "2026-03-03\n10:00 sedge mating_seen\n",
        "2026-03-03\n10:00 sedge put_together mate=karri\n2026-03-05\n10:00 sedge parted\n",
        "2026-03-25\n10:00 sedge felt_for_eggs found=eggs\n",
    ],
    ids=["mated", "with a male", "eggs felt"],
)
def test_a_loss_in_a_female_who_may_be_gravid_is_for_the_vet(because: str) -> None:
    assert the(LOSS + because, "2026-04-07", "weight loss").says == (
        "Sedge: 9 % lost in 14 days, 409 g. She may be gravid."
    )
    assert found(LOSS + because, "2026-04-07", "weight loss") == ["vet weight loss sedge"]
    laid = LOSS + because + "2026-04-07\n08:00 sedge eggs_laid clutch=s-1 count=20 complete=true\n"
    assert found(laid, "2026-04-07 09:00", "weight loss") == [], "eggs answer it"


def test_her_window_over_long_ago_without_a_sign_a_loss_is_for_today() -> None:
    # Mated on 22 February the window ends on 5 April, on the 23rd on the 6th: the day of the loss.
    page = "2026-02-{} AK\n10:00 sedge mating_seen\n" + LOSS
    assert found(page.format(23), "2026-04-06 09:00", "weight loss") == ["vet weight loss sedge"]
    assert found(page.format(22), "2026-04-06 09:00", "weight loss") == ["today weight loss sedge"]


def test_the_loss_at_laying_is_no_sickness() -> None:
    page = ROOM + weekly(450, 455, 460, 470, 480)
    page += "2026-04-01\n10:00 sedge eggs_laid clutch=s-1 count=20 complete=true\n"
    page += weekly(385, 386, 384, 385, 386, start="2026-04-02")
    assert found(page, "2026-05-01", "weight loss") == []


def test_a_loss_after_laying_is_found_and_says_since_when_it_is_judged() -> None:
    page = ROOM + "2026-03-01\n10:00 sedge eggs_laid clutch=s-1 count=20 complete=true\n"
    page += weekly(400, 402, 399, 401, 360, 359)
    assert the(page, "2026-04-07", "weight loss").says == (
        "Sedge: 10 % lost in 14 days, 359 g. She may be gravid. Judged since laying 1 Mar."
    )


def test_a_loss_of_a_female_who_may_be_gravid_asks_for_eggs_laid_unseen() -> None:
    page = LOSS + "2026-03-03\n10:00 sedge mating_seen\n"
    assert any("eggs laid unseen" in step for step in the(page, "2026-04-07", "weight loss").do)
    assert not any("eggs laid unseen" in step for step in the(LOSS, "2026-04-07", "weight loss").do)


def test_a_gain_while_gravid_is_no_matter() -> None:
    page = ROOM + "2026-03-02\n07:00 sedge mating_seen\n" + weekly(400, 410, 425, 440, 455, 470)
    assert not [one for one in all_found(page, "2026-04-07") if one.rule in ("weight loss", "brumation loss")]


def test_the_numbers_of_the_weight_rule_are_house_rules() -> None:
    assert found(LOSS, "2026-04-07", "weight loss", house=house_with(weights={"drop_percent": 12})) == []


def test_ten_percent_over_brumation_want_attention() -> None:
    page = ROOM + "2026-03-02\n08:00 karri weighed grams=500\n2026-03-05\n08:00 karri brumation_began\n2026-04-01\n"
    assert found(page + "08:00 karri weighed grams=451\n", "2026-04-02", "brumation loss") == []
    lost = page + "08:00 karri weighed grams=450\n"
    matter = the(lost, "2026-04-02", "brumation loss")
    assert matter.level == Level.TODAY
    assert matter.says == "Karri: 10 % lost over brumation, 500 g before, 450 g 1 Apr."
    assert found(lost, "2026-04-02", "weight loss") == []


def test_after_waking_it_is_held_for_four_weeks_or_until_the_weight_is_back() -> None:
    page = ROOM + "2026-03-02\n08:00 karri weighed grams=500\n2026-03-05\n08:00 karri brumation_began\n2026-04-01\n"
    page += "08:00 karri weighed grams=440\n09:00 karri brumation_ended\n"
    assert found(page, "2026-04-29", "brumation loss") == ["today brumation loss karri"]
    assert found(page, "2026-04-30", "brumation loss") == []
    assert found(page + "2026-04-10\n08:00 karri weighed grams=470\n", "2026-04-11", "brumation loss") == []


def test_without_a_weight_of_the_month_before_nothing_can_be_said() -> None:
    page = ROOM + "2026-03-02\n08:00 karri weighed grams=500\n2026-04-05\n08:00 karri brumation_began\n"
    assert found(page + "2026-05-01\n08:00 karri weighed grams=400\n", "2026-05-02", "brumation loss") == []


def test_a_weighing_the_vet_asked_for_is_badly_overdue_by_the_rule_of_her_age() -> None:
    # Asked for every 2 days from 2 March on: due on the 4th; adults every 14 days, twice that is 28 days late.
    page = ROOM + weekly(500, who="karri") + "2026-03-02\n10:00 karri vet_seen weigh_days=2\n"
    assert "watch weighing overdue karri" not in found(page, "2026-03-31", "weighing overdue")
    assert "watch weighing overdue karri" in found(page, "2026-04-01", "weighing overdue")


def test_a_weighing_late_by_twice_its_interval_is_badly_overdue() -> None:
    # Adults every 14 days: due on 16 March, badly overdue from 13 April on.
    page = ROOM + weekly(500, who="karri")
    assert found(page, "2026-04-12", "weighing overdue") == [
        "watch weighing overdue wattle",
        "watch weighing overdue sedge",
    ]
    assert "watch weighing overdue karri" in found(page, "2026-04-13", "weighing overdue")
    assert (
        the(
            page + "2026-04-13\n08:00 sedge weighed grams=400\n08:01 wattle weighed grams=400\n",
            "2026-04-13",
            "weighing overdue",
        ).says
        == "Karri: weighing 28 days late, last weighed 2 Mar."
    )
    asleep = page + "2026-03-20\n08:00 karri brumation_began\n"
    assert "watch weighing overdue karri" not in found(asleep, "2026-04-20", "weighing overdue")
