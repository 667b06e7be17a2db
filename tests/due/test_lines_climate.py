"""Readings of warmth, and the UV lamp."""

from __future__ import annotations

from tests.due.stops import due, house_with, lines

PAGE = """
2026-03-01 AK
08:00 b3 enclosure_set_up name=B3
08:00 sedge arrived name=Sedge sex=F hatched=2023-05-01 place=b3
"""
SHELF = """
2026-03-01 AK
08:00 b3 enclosure_set_up name=S1 what="incubator shelf"
08:00 sedge arrived name=Sedge sex=F
"""
CLUTCH = (
    SHELF
    + "2026-04-01\n08:00 sedge eggs_laid clutch=c count=2 complete=true\n09:00 c eggs_boxed count=2 place=b3\n"
)


def says(page: str, now: str) -> list[str]:
    return [line.says for line in lines(page, now) if line.care == "climate"]


def test_both_ends_of_a_tub_are_read_once_a_week() -> None:
    page = PAGE + "2026-04-05\n08:00 b3 climate_read basking_c=40 cool_c=24"
    assert due(page, "2026-04-11 18:00", "climate", part="evening") == []
    assert due(page, "2026-04-12 08:00", "climate") == ["climate b3"]
    assert due(page, "2026-04-14 08:00", "climate") == ["climate b3 late 2"]
    (line,) = [line for line in lines(page, "2026-04-12 08:00") if line.care == "climate"]
    assert (line.plain, line.drafts, line.says) == (False, (), "climate: basking spot and cool end")


def test_where_hatchlings_live_both_ends_are_read_daily() -> None:
    page = PAGE + "08:00 group/young arrived name=Young count=9 hatched=2026-03-01 place=b3\n"
    page += "2026-04-11\n08:00 b3 climate_read basking_c=40 cool_c=24"
    assert due(page, "2026-04-12 08:00", "climate") == ["climate b3"]
    assert due(page, "2026-04-13 08:00", "climate") == ["climate b3 late 1"]
    read = page + "\n2026-04-30\n08:00 b3 climate_read basking_c=40 cool_c=24"
    assert due(read, "2026-05-01 08:00", "climate") == [], "two months old: weekly like any tub"


def test_a_tub_never_read_is_due_and_never_late() -> None:
    assert due(PAGE, "2026-03-01 09:00", "climate") == ["climate b3"]
    assert due(PAGE, "2026-06-12 08:00", "climate") == ["climate b3"]


def test_a_tub_lived_in_again_is_not_late_for_the_time_it_stood_empty() -> None:
    page = PAGE + "09:00 b3 climate_read basking_c=40 cool_c=24\n10:00 sedge left how=lent\n"
    page += "2026-05-10\n10:00 hakea arrived name=Hakea place=b3\n"
    assert due(page, "2026-05-10 11:00", "climate") == ["climate b3"]
    assert due(page, "2026-05-11 08:00", "climate") == ["climate b3 late 1"]


def test_one_end_leaves_the_other_to_be_read() -> None:
    page = PAGE + "2026-04-12\n08:00 b3 climate_read basking_c=40 humidity=30"
    assert says(page, "2026-04-12 08:05") == ["climate: cool end"]
    page += "\n08:06 b3 climate_read cool_c=24"
    assert says(page, "2026-04-12 08:10") == []


def test_humidity_alone_is_no_reading_of_warmth() -> None:
    assert due(PAGE + "2026-04-12\n08:00 b3 climate_read humidity=30", "2026-04-12 08:05", "climate") == [
        "climate b3"
    ]


def test_where_all_brumate_one_temperature_will_do() -> None:
    page = PAGE + "2026-04-01\n08:00 sedge brumation_began\n2026-04-12\n08:00 b3 climate_read air_c=15"
    assert due(page, "2026-04-12 09:00", "climate") == []
    assert says(page, "2026-04-19 09:00") == ["climate: temperature, brumating"]


def test_an_empty_tub_is_not_read() -> None:
    assert due(PAGE + "2026-04-01\n08:00 sedge died", "2026-04-12 08:00", "climate") == []


def test_a_lay_box_is_read_while_she_is_in_it() -> None:
    page = PAGE.replace("name=B3", 'name=B3 what="lay box"')
    assert says(page, "2026-04-12 08:00") == ["climate: warmth of the nest"]
    assert says(page + "2026-04-12\n08:00 b3 climate_read air_c=29", "2026-04-12 09:00") == []


def test_a_shelf_is_read_while_eggs_are_on_it() -> None:
    assert says(SHELF, "2026-04-12 08:00") == []
    assert says(CLUTCH, "2026-04-12 08:00") == ["climate: air temperature"]
    assert says(CLUTCH + "2026-04-12\n08:00 b3 climate_read air_c=29", "2026-04-12 09:00") == []
    assert says(CLUTCH + "2026-06-01\n08:00 c hatched count=1", "2026-06-02 08:00") == ["climate: air temperature"]
    assert says(CLUTCH + "2026-06-01\n08:00 c hatched count=1\n08:01 c eggs_lost count=1", "2026-06-02 08:00") == []


def test_a_shelf_with_eggs_is_read_daily_from_the_day_they_came() -> None:
    page = CLUTCH.replace("2026-04-01", "2026-03-02\n08:00 b3 climate_read air_c=29\n2026-04-01")
    assert due(page, "2026-04-01 10:00", "climate") == ["climate b3"]
    assert due(page, "2026-04-03 10:00", "climate") == ["climate b3 late 2"]
    assert due(page + "2026-04-03\n09:00 b3 climate_read air_c=29", "2026-04-04 10:00", "climate") == ["climate b3"]


def test_eggs_moved_to_another_shelf_are_read_there() -> None:
    page = (
        CLUTCH
        + '08:00 s2 enclosure_set_up name=S2 what="incubator shelf"\n2026-04-05\n'
        + "08:00 c eggs_boxed count=2 place=s2"
    )
    assert due(page, "2026-04-12 08:00", "climate") == []
    assert due(page, "2026-04-12 08:00", "climate", stop="s2") == ["climate s2"]


def test_a_shelf_is_not_asked_for_where_every_box_on_it_was_read_inside() -> None:
    stand = "".join(
        f'08:00 {box} enclosure_set_up name={box} what="egg box"\n08:01 {box} egg_box_shelved shelf=b3\n'
        for box in ("k1", "k2")
    )
    boxes = CLUTCH.replace("place=b3", "place=k1") + stand
    read = boxes + "2026-04-12\n08:00 k1 climate_read air_c=29\n"
    assert due(boxes, "2026-04-12 08:00", "climate") != []
    assert due(read, "2026-04-12 09:00", "climate") == []
    two = read + "08:00 c eggs_boxed count=1 place=k2 out_of=k1\n"
    assert due(two, "2026-04-12 09:00", "climate") != [], "no one read inside the other"


# The lamp.


def test_a_lamp_is_due_six_months_after_its_change_when_no_meter_speaks_for_it() -> None:
    page = PAGE + "2026-03-31\n08:00 b3 lamp_changed"
    assert due(page, "2026-09-29 08:00", "lamp") == []
    assert due(page, "2026-09-30 08:00", "lamp") == ["lamp b3"]
    assert due(page, "2026-10-05 08:00", "lamp") == ["lamp b3 late 5"]


def test_a_lamp_never_noted_is_as_old_as_its_tub() -> None:
    assert due(PAGE, "2026-08-31 08:00", "lamp") == []
    assert due(PAGE, "2026-09-01 08:00", "lamp") == ["lamp b3"]
    assert due(PAGE, "2026-12-01 08:00", "lamp") == ["lamp b3"], "never noted is never late"


def test_a_good_reading_of_the_meter_speaks_for_the_lamp_for_a_month_and_not_beyond_a_year() -> None:
    page = PAGE + "2026-03-31\n08:00 b3 lamp_changed\n2026-10-01\n08:00 b3 climate_read uv_index=4"
    assert due(page, "2026-10-31 08:00", "lamp") == []
    assert due(page, "2026-11-01 08:00", "lamp") == ["lamp b3 late 32"]
    old = PAGE + "2026-03-31\n08:00 b3 lamp_changed\n2027-03-30\n08:00 b3 climate_read uv_index=4"
    assert due(old, "2027-03-30 09:00", "lamp") == []
    assert due(old, "2027-03-31 09:00", "lamp") == ["lamp b3"]


def test_a_reading_too_low_does_not_speak_for_the_lamp() -> None:
    page = PAGE + "08:00 b3 lamp_changed\n2026-10-01\n08:00 b3 climate_read uv_index=1.5"
    assert due(page, "2026-10-01 09:00", "lamp") == ["lamp b3 late 30"]


def test_the_meters_word_is_remembered_over_daily_readings_without_it() -> None:
    page = PAGE + "2026-10-01\n08:00 b3 climate_read uv_index=4\n"
    page += "\n".join(f"2026-10-{day:02d}\n08:00 b3 climate_read basking_c=40 cool_c=24" for day in range(2, 30))
    assert due(page, "2026-10-29 09:00", "lamp") == []


def test_a_lay_box_or_a_shelf_has_no_lamp_unless_one_was_noted() -> None:
    page = PAGE.replace("name=B3", 'name=B3 what="lay box"')
    assert due(page, "2027-09-01 08:00", "lamp") == []
    assert due(page + "2026-04-01\n08:00 b3 lamp_changed", "2026-10-01 08:00", "lamp") == ["lamp b3"]


def test_a_house_may_read_the_climate_on_fixed_days() -> None:
    house = house_with(climate={"read_days": "FREQ=WEEKLY;BYDAY=MO,WE,FR"})
    page = PAGE + "2026-04-10\n08:00 b3 climate_read basking_c=40 cool_c=24"
    assert due(page, "2026-04-12 08:00", "climate", house=house) == []
    assert due(page, "2026-04-13 08:00", "climate", house=house) == ["climate b3"]
