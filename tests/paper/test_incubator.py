"""The incubator on paper: shelves, temperatures drawn, clutches; whatever the sheets hold."""

from __future__ import annotations

import json
from datetime import datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.logbook.entries import ClimateLogged, Entry
from rounds.paper.hatching import between
from rounds.paper.incubator import CELLS, drawing, incubator, incubator_text
from rounds.paper.subject_head import head_text, head_values
from rounds.paper.temperatures import drawn, thinned_to
from rounds.rules.default import default_house
from rounds.rules.settings import Settings
from rounds.screens.views.incubator import clutch_lines, shelf_lines
from rounds.standing.fold import fold
from tests.any_entries import entries
from tests.notation import VIENNA, at, logbook, standing

HOUSE = default_house(VIENNA)
SETTINGS = Settings(name="Quandong shed", zone=VIENNA, house=HOUSE)
PAGE = """
    2026-03-01 AK
    08:00  s1      enclosure_set_up  name=S1 what="incubator shelf"
    08:00  k1      enclosure_set_up  name=K1 what="egg box"
    08:01  wattle  arrived  name=Wattle sex=F
    2026-03-02 AK
    09:00  wattle  eggs_laid  clutch=wattle-1 count=18 complete=true
    09:30  k1  egg_box_made_up  medium=vermiculite shelf=s1
    10:00  wattle-1  eggs_boxed  count=18 place=k1
    12:00  s1  climate_read  air_c=29 humidity=75
    2026-03-03 EM
    12:00  s1  climate_read  air_c=33
    2026-03-04 EM
    00:00  s1  climate_read  air_c=29
"""


def test_a_shelf_tells_its_hours_its_reader_its_dew_point_and_its_clutch() -> None:
    now = at("2026-03-04 08:00")
    found = incubator(standing(PAGE), SETTINGS, now)
    (shelf,) = found["shelves"]
    assert (shelf["name"], shelf["now_c"], shelf["read_by"]) == ("S1", 29.0, "EM")
    # 24 h from 29 to 33 °C and 12 h back: a quarter of both is above 32.
    assert shelf["hot_hours"] == pytest.approx(9.0)
    assert shelf["cold_hours"] == 0
    assert [day["high_c"] for day in shelf["days"]] == [29.0, 33.0, 29.0]
    (eggs,) = shelf["clutches"]
    assert (eggs["place_name"], eggs["eggs"], eggs["boxed"], eggs["day"]) == ("K1", 18, 18, 2)
    text = incubator_text(found, now)
    assert "above 32 °C: 9 h" in text
    assert all(len(line) <= 80 for line in text.splitlines())
    earlier = incubator(standing(PAGE), SETTINGS, at("2026-03-02 12:00"))["shelves"][0]
    assert earlier["dew_point_c"] == 24.1  # psychrolib, ASHRAE 2017: (29 °C, 75 %) 24.12


INSIDE = PAGE + "    08:00  k1  climate_read  air_c=32.5 humidity=90\n    09:00  k1  climate_read  air_c=30.5\n"


def test_a_probe_inside_a_box_is_said_and_drawn_beside_the_shelf() -> None:
    now = at("2026-03-04 10:00")
    found = incubator(standing(INSIDE), SETTINGS, now)
    (shelf,) = found["shelves"]
    (box,) = shelf["in_boxes"]
    assert (shelf["now_c"], box["box"], box["name"], box["now_c"]) == (29.0, "enclosure/k1", "K1", 30.5)
    assert box["hot_hours"] == pytest.approx(0.2, abs=0.06), "a quarter of the hour from 32.5 to 30.5"
    assert [one for one in box["drawn_c"] if one is not None] == [32.5]
    text = incubator_text(found, now)
    assert "inside K1   30.5 °C   band 28 to 31   read 09:00 EM" in text
    assert text.count("│") == 6
    for row, under in ((0, shelf), (1, box)):
        lines = shelf_lines(shelf, found, now, 80, at=row, draw=True, plain=False)
        shown = ["".join(span.text for span in one).strip() for one in lines]
        assert [one for one in shown if "│" in one] == [one.strip() for one in drawing(under, found, 62)[:3]]
        (told,) = (one for one in shown if "inside K1   30.5 °C" in one)
        assert told.endswith("drawn") == (under is box)
    assert incubator(standing(PAGE), SETTINGS, now)["shelves"][0]["in_boxes"] == []


def test_a_clutch_has_the_whole_width_for_its_name() -> None:
    now, named = at("2026-03-04 08:00"), PAGE.replace("name=Wattle", "name=Callistemonia")
    (shelf,) = incubator(standing(named), SETTINGS, now)["shelves"]

    def told(width: int) -> list[str]:
        return ["".join(span.text for span in one) for one in clutch_lines(shelf["clutches"], now, width, None)]

    whole = told(200)
    longest = max(map(len, whole))
    assert told(longest + 1) == whole
    assert max(map(len, told(longest - 3))) <= longest - 3


def test_each_box_of_a_clutch_has_its_own_window_and_what_it_weighs_now() -> None:
    two = PAGE.replace(
        "count=18 place=k1", "count=10 place=k1 box_grams=300\n10:10  wattle-1  eggs_boxed  count=8 place=s2"
    )
    two = two.replace(
        "08:00  k1 ", '08:00  s2  enclosure_set_up  name=S2 what="incubator shelf"\n    08:00  k1 ', 1
    )
    two += "".join(f"    2026-03-{day:02} EM\n12:00  s2  climate_read  air_c=26\n" for day in range(3, 20))
    two += "    2026-03-19 EM\n    13:00  wattle-1  eggs_lost  count=2 place=k1\n"
    now = at("2026-03-20 08:00")
    rows = {
        one["place_name"]: one
        for shelf in incubator(standing(two), SETTINGS, now)["shelves"]
        for one in shelf["clutches"]
    }
    assert rows["K1"]["likely"] < rows["S2"]["likely"], "the warm box hatches first"
    assert rows["K1"]["late"] < rows["S2"]["late"]
    assert (rows["K1"]["weighed_grams"], rows["K1"]["reckoned"]) == (300, True)
    assert rows["K1"]["grams"] == pytest.approx(300 - 2 * 3.81, abs=0.1)


def test_a_clutch_that_is_not_boxed_yet_stands_apart_with_its_window() -> None:
    page = PAGE.partition("    09:30")[0]
    found = incubator(standing(page), SETTINGS, at("2026-03-02 10:00"))
    assert [one["clutch"] for one in found["elsewhere"]] == ["clutch/wattle-1"]
    assert "not boxed" in incubator_text(found, at("2026-03-02 10:00"))


def test_the_clutch_s_page_cautions_about_sex_after_hours_above_32() -> None:
    now = at("2026-03-04 08:00")
    values = head_values(standing(PAGE), HOUSE, now, "clutch/wattle-1")
    told = head_text({"sort": "clutch", **values}, now)
    assert told[-1] == "9 h above 32 °C: sex of the young may differ from their genes"
    cool = head_values(standing(PAGE.replace("=33", "=30")), HOUSE, now, "clutch/wattle-1")
    assert not any("sex of the young" in line for line in head_text({"sort": "clutch", **cool}, now))


def test_a_month_is_named_once_where_both_days_lie_in_it() -> None:
    now = at("2026-11-26 08:00")
    assert between(at("2027-01-02").date(), at("2027-01-16").date(), now) == "2 to 16 Jan"
    assert between(at("2026-12-29").date(), at("2027-01-16").date(), now) == "29 Dec to 16 Jan"


def test_temperatures_are_drawn_with_their_figures_and_without_blocks_too() -> None:
    values = [28.0, 29.0, 30.0, 31.0, None, 29.5]
    assert drawn(values, 28, 31) == [
        " 30.5 │   █  ",
        " 29.5 │  ██ ▄",
        " 28.5 │▁███ █",
    ]
    plain = drawn(values, 28, 31, plain=True)
    assert all(row.isascii() for row in plain)
    assert [row[6:] for row in plain] == ["|   |  ", "|  || .", "|.||| |"]
    assert drawn([None, None], 28, 31) == []


@given(st.lists(st.none() | st.floats(-20, 80), max_size=80), st.integers(1, 60))
def test_whatever_is_read_is_drawn_in_its_columns_and_no_extreme_is_lost(
    values: list[float | None], columns: int
) -> None:
    fewer = thinned_to(values, columns, 29.5)
    assert len(fewer) == min(columns, len(values)) or len(values) <= columns
    known = [one for one in values if one is not None]
    if known:
        furthest = max(abs(one - 29.5) for one in known)
        assert max(abs(one - 29.5) for one in fewer if one is not None) == furthest
        assert {len(row) for row in drawn(fewer, 28, 31)} == {7 + len(fewer)}


@settings(max_examples=60, deadline=None)
@given(entries(), st.integers(0, 60 * 24))
def test_no_entries_make_the_incubator_raise(written: list[Entry], hours: int) -> None:
    now = at("2026-03-01 08:00") + timedelta(hours=hours)
    found = incubator(fold(written), SETTINGS, now)
    json.dumps(found)
    for plain in (False, True):
        assert incubator_text(found, now, plain=plain)
    for shelf in found["shelves"]:
        assert len(shelf["drawn_c"]) == CELLS
        for width in (40, 80, 160):
            shelf_lines(shelf, found, now, width, at=0, draw=True, plain=False)


ENDS = st.sampled_from(
    [datetime.fromisoformat(f"{day}T12:00:00+00:00") for day in ("0001-01-02", "9999-12-30", "2026-03-01")]
)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(ENDS, st.floats(-20, 80)), max_size=6), ENDS)
def test_nor_do_readings_at_the_calendar_s_ends(read: list[tuple[datetime, float]], now: datetime) -> None:
    logs = [
        ClimateLogged(
            id=f"l{place}", at=moment, by="?", about="enclosure/s1", minutes=(0, 2_000), air_c=(celsius,) * 2
        )
        for place, (moment, celsius) in enumerate(read)
    ]
    found = incubator(fold([*logbook(PAGE), *logs]), SETTINGS, now)
    json.dumps(found)
    assert incubator_text(found, now)
