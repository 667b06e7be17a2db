"""Egg boxes at their stops: weighed weekly, topped up, eggs candled on day 0 and from day 10 to 14."""

from __future__ import annotations

from rounds.due.hatching import hatch_forecast
from rounds.due.line import DueLine
from rounds.paper.boxes import boxes
from rounds.rules.settings import Settings
from tests.due.matters.found import HOUSE
from tests.due.stops import due, house_with, lines
from tests.notation import VIENNA, at, standing

ROOM = """
2026-03-01 AK
08:00 enclosure/s1 enclosure_set_up name=S1 what="incubator shelf"
08:00 enclosure/k1 enclosure_set_up name=K1 what="egg box"
08:01 wattle arrived name=Wattle sex=F hatched=2023-03-01
2026-04-01
06:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true
07:00 enclosure/k1 egg_box_made_up medium=vermiculite tare_grams=95 dry_grams=120 ratio=1 shelf=enclosure/s1
"""
EGGS = ROOM + "08:00 wattle-1 eggs_boxed count=18 place=enclosure/k1 eggs_grams=72 up_marked=true\n"
WEIGHED = EGGS + "09:00 enclosure/k1 egg_box_weighed grams=407\n"
LEFT = WEIGHED + "2026-04-12\n08:00 wattle-1 candled fertile=18\n"


def at_box(page: str, now: str, care: str = "egg box", stop: str = "k1") -> list[str]:
    return due(page, now, care, stop=stop)


def the(page: str, now: str, care: str = "egg box", stop: str = "k1") -> DueLine:
    (line,) = [one for one in lines(page, now, stop) if one.care == care]
    return line


def test_a_box_with_eggs_is_weighed_every_week() -> None:
    assert at_box(ROOM, "2026-04-01 10:00") == [], "an empty box is not"
    assert the(EGGS, "2026-04-01 08:30").says == "weigh, target 407 g"
    assert at_box(WEIGHED, "2026-04-07 08:00") == []
    assert at_box(WEIGHED, "2026-04-08 08:00") == ["egg box k1"]
    assert at_box(WEIGHED, "2026-04-10 08:00") == ["egg box k1 late 2"]
    assert at_box(WEIGHED + "2026-04-08\n08:00 k1 egg_box_weighed grams=405\n", "2026-04-08 09:00") == []
    daily = house_with(eggs={"weigh_days": 1})
    assert due(WEIGHED, "2026-04-02 08:00", "egg box", stop="k1", house=daily) == ["egg box k1"]


def test_the_weight_at_boxing_is_its_first() -> None:
    page = ROOM + "08:00 wattle-1 eggs_boxed count=18 place=enclosure/s1 box_grams=412 up_marked=true\n"
    assert at_box(page, "2026-04-07 08:00", stop="s1") == []
    assert the(page, "2026-04-08 08:00", stop="s1").says == "weigh, target 412 g"


def test_water_that_was_asked_for_and_not_added_is_due_until_it_is() -> None:
    page = WEIGHED + "2026-04-08\n08:00 enclosure/k1 egg_box_weighed grams=400\n"
    assert the(page, "2026-04-09 08:00").says == "top up 7 g (7 ml)"
    assert (
        at_box(page + "2026-04-09\n07:00 enclosure/k1 egg_box_weighed grams=399 added_grams=8", "2026-04-09 08:00")
        == []
    )
    taken = page + "2026-04-09\n07:00 wattle-1 eggs_lost count=2 place=enclosure/k1 grams=8\n"
    assert the(taken, "2026-04-09 08:00").says == "top up 7 g (7 ml)", "box and target are both 8 g lighter"


def test_eggs_gone_are_no_reason_to_weigh() -> None:
    assert at_box(WEIGHED + "2026-06-01\n08:00 wattle-1 hatched count=18\n", "2026-06-20 08:00") == []


def test_the_up_side_is_marked_while_eggs_may_still_be_turned() -> None:
    page = EGGS.replace(" up_marked=true", "")
    assert the(page, "2026-04-02 08:00", "candle").says == "candle and mark the up-side, day 1"
    assert at_box(page, "2026-04-03 06:30", "candle") == [], "48 h after laying it is too late"
    assert at_box(EGGS, "2026-04-02 08:00", "candle") == []
    marked = page + "10:00 wattle-1 candled up_marked=true place=enclosure/k1\n"
    assert at_box(marked, "2026-04-02 08:00", "candle") == []


def test_veins_are_looked_for_from_day_10_and_late_after_day_14() -> None:
    assert at_box(WEIGHED, "2026-04-10 08:00", "candle") == []
    assert the(WEIGHED, "2026-04-11 08:00", "candle").says == "candle for veins, day 10"
    assert at_box(WEIGHED, "2026-04-15 08:00", "candle") == ["candle wattle-1"]
    assert at_box(WEIGHED, "2026-04-17 08:00", "candle") == ["candle wattle-1 late 2"]
    assert at_box(WEIGHED, "2026-04-29 08:00", "candle") == ["candle wattle-1 late 14"]
    assert at_box(WEIGHED, "2026-04-30 08:00", "candle") == [], "from day 29 on no one is asked for it"
    assert at_box(LEFT, "2026-04-15 08:00", "candle") == []
    early = WEIGHED + "2026-04-08\n08:00 wattle-1 candled fertile=18\n"
    assert at_box(early, "2026-04-11 08:00", "candle") == ["candle wattle-1"]


def test_eggs_laid_after_midnight_have_one_day_on_every_screen() -> None:
    page = WEIGHED.replace("06:00 wattle eggs_laid", "00:40 wattle eggs_laid")
    now = at("2026-04-12 12:00")
    assert the(page, "2026-04-12 12:00", "candle").says == "candle for veins, day 11"
    assert at_box(page, "2026-04-10 12:00", "candle") == []
    found = hatch_forecast(standing(page), HOUSE, now, "clutch/wattle-1")
    assert found is not None
    assert found.day == 11
    (box,) = boxes(standing(page), Settings(name="Shed", zone=VIENNA, house=HOUSE), now)["boxes"]
    assert box["clutches"][0]["day"] == 11
    just_laid = hatch_forecast(standing(page), HOUSE, at("2026-04-01 01:00"), "clutch/wattle-1")
    assert just_laid is not None
    assert just_laid.day == 0


def test_each_box_of_a_clutch_is_candled() -> None:
    page = ROOM + (
        "08:00 wattle-1 eggs_boxed count=12 place=enclosure/k1 up_marked=true\n"
        "08:05 wattle-1 eggs_boxed count=8 place=enclosure/s1 up_marked=true\n"
        "2026-04-12\n08:00 wattle-1 candled fertile=12 place=enclosure/k1\n"
    )
    assert at_box(page, "2026-04-13 08:00", "candle") == []
    assert at_box(page, "2026-04-13 08:00", "candle", stop="s1") == ["candle wattle-1"]


def test_what_was_left_out_says_why() -> None:
    page = WEIGHED + '2026-04-11\n08:00 enclosure/k1 left_out care="egg box" reason="scale broken"\n'
    assert at_box(page, "2026-04-11 09:00") == ["egg box k1 late 3 left out: scale broken"]
