"""Water and cleaning of a tub somebody lives in."""

from __future__ import annotations

from datetime import date, timedelta

from rounds.logbook.entries import Cleaned, Watered
from tests.due.stops import due, house_with, lines

WATTLE = """
2026-03-01 AK
08:00 b3 enclosure_set_up name=B3
08:00 wattle arrived name=Wattle sex=F hatched=2023-05-01 place=b3
"""


WATER = ("water", "dish")
SCRUBBED = WATTLE + "2026-04-05\n08:00 enclosure/b3 watered scrubbed=true\n"


def test_water_is_fresh_every_day_and_the_dish_is_scrubbed_every_week() -> None:
    assert due(SCRUBBED, "2026-04-05 18:00", *WATER, part="evening") == []
    assert due(SCRUBBED, "2026-04-06 08:00", *WATER) == ["water b3"]
    assert due(SCRUBBED, "2026-04-08 08:00", *WATER) == ["water b3 late 2"]
    watered = SCRUBBED + "".join(f"2026-04-{day:02d}\n08:00 enclosure/b3 watered\n" for day in range(6, 12))
    assert due(watered, "2026-04-11 09:00", *WATER) == []
    assert due(watered, "2026-04-12 08:00", *WATER) == ["dish b3"]
    assert due(watered + "2026-04-12\n08:00 enclosure/b3 watered\n", "2026-04-12 09:00", *WATER) == ["dish b3"]
    assert due(watered + "2026-04-12\n08:00 enclosure/b3 watered\n", "2026-04-13 08:00", *WATER) == [
        "dish b3 late 1"
    ]
    assert due(watered + "2026-04-12\n08:00 enclosure/b3 watered scrubbed=true\n", "2026-04-12 09:00", *WATER) == []


def test_fresh_water_and_a_scrubbed_dish_are_one_line_and_enter_writes_what_it_says() -> None:
    def told(page: str, now: str) -> list[tuple[str, dict[str, object]]]:
        return [(one.says, one.drafts[0].fields) for one in lines(page, now) if one.care in WATER]

    assert told(SCRUBBED, "2026-04-06 08:00") == [("fresh water", {})]
    assert told(SCRUBBED, "2026-04-12 08:00") == [("fresh water, dish scrubbed", {"scrubbed": True})]
    watered = SCRUBBED + "2026-04-12\n08:00 enclosure/b3 watered\n"
    assert told(watered, "2026-04-12 09:00") == [("dish scrubbed", {"scrubbed": True})]


def test_a_dish_left_out_leaves_the_water_and_no_water_leaves_out_the_dish() -> None:
    left = SCRUBBED + '2026-04-12\n08:00 enclosure/b3 left_out care=dish reason="no brush"\n'
    assert due(left, "2026-04-12 09:00", *WATER) == ["water b3 late 6", "dish b3 left out: no brush"]
    assert due(left + "09:30 enclosure/b3 watered\n", "2026-04-12 10:00", *WATER) == ["dish b3 left out: no brush"]
    none = SCRUBBED + '2026-04-12\n08:00 enclosure/b3 left_out care=water reason="before the vet"\n'
    assert due(none, "2026-04-12 09:00", *WATER) == [
        "water b3 late 6 left out: before the vet",
        "dish b3 left out: before the vet",
    ]


def test_a_dish_is_clean_when_the_tub_is_set_up_and_one_never_scrubbed_is_due_but_not_late() -> None:
    assert due(WATTLE, "2026-03-01 09:00", *WATER) == ["water b3"]
    watered = WATTLE + "".join(f"2026-03-{day:02d}\n08:00 enclosure/b3 watered\n" for day in range(1, 32))
    assert due(watered, "2026-03-07 09:00", *WATER) == []
    assert due(watered, "2026-03-08 09:00", *WATER) == ["dish b3"]
    assert due(watered, "2026-03-31 09:00", *WATER) == ["dish b3"]


def test_water_given_to_one_of_them_is_the_water_of_the_tub() -> None:
    page = WATTLE + "08:00 karri arrived name=Karri place=b3\n2026-04-12\n08:00 karri watered scrubbed=true"
    assert due(page, "2026-04-12 09:00", *WATER) == []


def test_one_without_a_place_has_a_dish_of_its_own() -> None:
    page = "2026-04-01 AK\n08:00 stray arrived name=Stray\n09:00 stray watered scrubbed=true\n"
    assert due(page, "2026-04-02 09:00", *WATER, stop=None) == ["water stray"]
    assert due(page, "2026-04-08 09:00", *WATER, stop=None) == ["dish stray late 6"]


def test_care_of_a_tub_that_stood_empty_counts_from_the_day_it_is_lived_in() -> None:
    page = """
    2026-03-01 AK
    08:00 b3 enclosure_set_up name=B3
    08:00 wattle arrived name=Wattle place=b3
    09:00 enclosure/b3 watered scrubbed=true
    09:00 b3 cleaned extent=full
    10:00 wattle left how=lent
    2026-05-10
    10:00 karri arrived name=Karri place=b3
    """
    assert due(page, "2026-05-10 11:00", *WATER, "spot clean", "full clean") == ["dish b3", "full clean b3"]
    assert due(page, "2026-05-12 08:00", *WATER, "full clean") == ["dish b3 late 2", "full clean b3 late 2"]


def test_a_tub_is_spot_cleaned_daily() -> None:
    page = WATTLE + "2026-04-11\n08:00 b3 cleaned"
    assert due(page, "2026-04-11 18:00", "spot clean", part="evening") == []
    assert due(page, "2026-04-12 08:00", "spot clean") == ["spot clean b3"]
    assert due(page, "2026-04-13 08:00", "spot clean") == ["spot clean b3 late 1"]


def test_a_full_clean_is_due_two_months_after_the_last_one_or_after_it_was_set_up() -> None:
    assert due(WATTLE, "2026-04-29 08:00", "full clean") == []
    assert due(WATTLE, "2026-04-30 08:00", "full clean") == ["full clean b3"]
    assert due(WATTLE, "2026-06-30 08:00", "full clean") == ["full clean b3"], "never noted is never late"
    page = WATTLE + "2026-04-01\n08:00 b3 cleaned extent=full"
    assert due(page, "2026-04-30 08:00", "full clean") == []
    assert due(page, "2026-06-01 08:00", "full clean") == ["full clean b3 late 1"]


def test_a_full_clean_is_remembered_over_two_months_of_spot_cleans() -> None:
    page = WATTLE + "2026-04-01\n08:00 b3 cleaned extent=full\n"
    days = [f"2026-04-{day:02d}" for day in range(2, 31)] + [f"2026-05-{day:02d}" for day in range(1, 31)]
    page += "\n".join(f"{day}\n08:00 b3 cleaned" for day in days)
    assert due(page, "2026-05-30 09:00", "full clean") == []
    assert due(page, "2026-05-31 09:00", "full clean") == ["full clean b3"]


def test_a_full_clean_further_back_than_the_page_reaches_is_due_but_not_late() -> None:
    house = house_with(cleaning={"full_days": 300})
    page = WATTLE + "2026-03-02\n08:00 b3 cleaned extent=full\n"
    day = date(2026, 3, 3)
    page += "\n".join(f"{day + timedelta(days=more)}\n08:00 b3 cleaned" for more in range(100))
    assert due(page, "2026-06-10 09:00", "full clean", house=house) == ["full clean b3"]


def test_a_full_clean_stands_for_the_spot_clean_unless_it_is_left_out() -> None:
    cleans = ("spot clean", "full clean")
    page = WATTLE + "08:00 b3 cleaned extent=full\n"
    assert due(page, "2026-05-02 08:00", *cleans) == ["full clean b3 late 2"]
    left = page + '2026-05-02\n08:00 enclosure/b3 left_out care="full clean" reason="no time"'
    assert due(left, "2026-05-02 09:00", *cleans) == [
        "spot clean b3 late 61",
        "full clean b3 late 2 left out: no time",
    ]
    assert due(WATTLE + "2026-05-02\n08:00 b3 cleaned extent=full", "2026-05-02 09:00", *cleans) == []


def test_cleaning_and_water_are_done_as_planned_by_one_key() -> None:
    found = {line.care: line for line in lines(WATTLE, "2026-05-02 08:00")}
    assert found["dish"].plain
    assert [(draft.kind, draft.about) for draft in found["dish"].drafts] == [(Watered, "enclosure/b3")]
    assert [(draft.kind, draft.fields) for draft in found["full clean"].drafts] == [(Cleaned, {"extent": "full"})]
    spot = next(line for line in lines(WATTLE, "2026-04-12 08:00") if line.care == "spot clean")
    assert [(draft.kind, draft.fields) for draft in spot.drafts] == [(Cleaned, {"extent": "spot"})]


def test_nothing_is_cleaned_or_filled_where_nobody_lives() -> None:
    empty = "2026-03-01 AK\n08:00 b3 enclosure_set_up name=B3"
    assert due(empty, "2026-06-12 08:00") == []


def test_a_lay_box_is_left_alone_but_for_food_water_and_its_warmth() -> None:
    page = """
    2026-03-01 AK
    08:00 b3 enclosure_set_up name=Box what="lay box"
    08:00 wattle arrived name=Wattle sex=F hatched=2023-05-01 place=b3
    """
    assert due(page, "2026-06-12 08:00") == [
        "feed insects b3",
        "feed greens b3",
        "dish b3",
        "weigh wattle",
        "climate b3",
    ]


def test_a_full_clean_fixed_to_the_calendar_comes_on_its_day_and_stays_until_done() -> None:
    house = house_with(cleaning={"full_days": "FREQ=MONTHLY;BYDAY=1SA"})
    # 4 April and 2 May 2026 are first Saturdays.
    page = WATTLE + "2026-03-07\n08:00 b3 cleaned extent=full"
    assert due(page, "2026-04-03 08:00", "full clean", house=house) == []
    assert due(page, "2026-04-04 08:00", "full clean", house=house) == ["full clean b3"]
    assert due(page, "2026-04-06 08:00", "full clean", house=house) == ["full clean b3 late 2"]
    assert (
        due(page + "\n2026-04-06\n08:00 b3 cleaned extent=full", "2026-05-01 08:00", "full clean", house=house)
        == []
    )


def test_water_left_out_is_shown_and_comes_back() -> None:
    page = SCRUBBED + '2026-04-06\n08:00 enclosure/b3 left_out care=water reason="dish broken"'
    assert due(page, "2026-04-06 09:00", "water") == ["water b3 left out: dish broken"]
    assert due(page, "2026-04-07 09:00", "water") == ["water b3 late 1"]


def test_no_full_clean_is_planned_where_somebody_digs_known_or_not_and_it_comes_back_late() -> None:
    cleans = ("spot clean", "full clean")
    for who in ("enclosure/b3", "wattle"):
        page = (
            WATTLE
            + f'08:00 b3 cleaned extent=full\n2026-05-01\n08:00 {who} behaviour_seen behaviour="nest digging"\n'
        )
        assert due(page, "2026-05-02 08:00", *cleans) == ["spot clean b3 late 61"]
        assert due(page, "2026-05-15 08:00", "full clean") == []
        assert due(page, "2026-05-16 08:00", "full clean") == ["full clean b3 late 16"]
