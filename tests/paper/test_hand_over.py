"""The hand-over sheet: what of a shift stands on it, and since when a shift runs."""

from __future__ import annotations

from datetime import time
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from rounds.due import reckon
from rounds.due.line import DueLine
from rounds.due.lines import lines_at
from rounds.due.matter import Level
from rounds.due.walk import Walk
from rounds.errors import Refused
from rounds.logbook import rows
from rounds.logbook.entries import ClimateRead, Entry, HandedOver
from rounds.paper.hand_over import Done, _out_of_range, hand_over, out_of_range, refuse_unread, shift_began
from rounds.paper.hand_over_text import hand_over_text
from rounds.paper.matters import matter_list, matters_text
from rounds.paper.referral import referral
from rounds.paper.referral_text import referral_text
from rounds.paper.today import today, today_text
from rounds.paper.values import matter_values
from rounds.paper.words import CAUTION
from rounds.rules.default import default_house
from rounds.rules.house import House
from rounds.rules.settings import Settings
from rounds.standing.fold import fold
from tests.notation import at, logbook, standing

VIENNA = ZoneInfo("Europe/Vienna")
HOUSE = default_house(VIENNA)
SETTINGS = Settings(name="Quandong shed", zone=VIENNA, house=HOUSE)

ROOM = """
    2026-03-01 AK
    08:00  b3      enclosure_set_up  name=B3
    08:00  b4      enclosure_set_up  name=B4
    08:01  wattle  arrived  name=Wattle sex=F place=b3 hatched=2023-02-01
    08:01  karri   arrived  name=Karri sex=M place=b4 hatched=2022-02-01
"""


def sheet(page: str, now: str, by: str = "AK", **kept: Any) -> dict[str, Any]:
    """The sheet that a keeper would sign at a moment."""
    entries = logbook(ROOM + page)
    standing, moment = fold(entries), at(now)
    walk = Walk(standing, SETTINGS, moment)
    done = Done(
        walk,
        lambda stop: lines_at(standing, HOUSE, moment, stop, walk.part),
        reckon.matters(standing, HOUSE, moment),
        entries,
        **kept,
    )
    return hand_over(standing, SETTINGS, moment, done, by=by, since=shift_began(entries, by, moment))


def began(page: str, now: str, by: str = "AK") -> str:
    """When a keeper's shift began, by the room's clock."""
    return f"{shift_began(logbook(ROOM + page), by, at(now)):%Y-%m-%d %H:%M}"


def test_a_shift_runs_since_it_was_taken_over_past_midnight_too() -> None:
    page = """
    2026-04-11 AK
    22:00  room  taken_over
    """
    assert began(page, "2026-04-12 02:00") == "2026-04-11 22:00"


def test_without_a_take_over_it_runs_since_the_last_hand_over_of_today_or_midnight() -> None:
    page = """
    2026-04-12 EM
    06:50  room  taken_over
    13:00  room  handed_over
    """
    assert began(page, "2026-04-12 18:00") == "2026-04-12 13:00"
    assert began(page, "2026-04-12 18:00", by="EM") == "2026-04-12 13:00"
    assert began(page, "2026-04-13 07:00") == "2026-04-13 00:00"


def test_another_keepers_hand_over_does_not_end_ones_own_shift() -> None:
    page = """
    2026-04-12 AK
    06:50  room  taken_over
    2026-04-12 EM
    13:00  room  handed_over
    """
    assert began(page, "2026-04-12 18:00") == "2026-04-12 06:50"


def test_what_was_done_before_the_shift_or_taken_back_does_not_stand_on_it() -> None:
    told = sheet(
        """
    2026-04-11 AK
    18:00  b3   cleaned
    2026-04-12 AK
    07:00  b4   cleaned
    07:10  wattle  weighed  grams=45
    07:11  wattle  weighed  grams=452
    07:12  wattle  corrected  replaces=20260412-00006
    """,
        "2026-04-12 18:00",
    )
    assert told["by_care"] == [{"care": "spot clean", "places": [{"enclosure": "enclosure/b4", "name": "B4"}]}]
    assert [one["says"] for one in told["singly"]] == ["weighed 452 g"]
    assert told["corrected"] == 1


def test_what_is_written_late_stands_on_the_sheet_of_the_shift_that_wrote_it() -> None:
    told = sheet(
        """
    2026-04-11 AK
    18:00  wattle  weighed  grams=452 written=2026-04-12T07:00:00+02:00
    """,
        "2026-04-12 18:00",
    )
    assert [one["says"] for one in told["singly"]] == ["weighed 452 g"]
    assert "11 Apr 18:00  AK  Wattle (B3)  weighed 452 g" in hand_over_text(told, at("2026-04-12 18:00"))


def test_a_scrubbed_dish_is_told_as_one_and_as_fresh_water() -> None:
    told = sheet(
        "2026-04-12 AK\n07:00 enclosure/b3 watered scrubbed=true\n07:01 enclosure/b4 watered\n", "2026-04-12 18:00"
    )
    places = {one["care"]: [place["name"] for place in one["places"]] for one in told["by_care"]}
    assert places == {"water": ["B3", "B4"], "dish": ["B3"]}


def test_on_paper_no_day_is_yesterday() -> None:
    # The sheet is read on another day than it was written.
    page = """
    2026-04-11 AK
    18:00  wattle  egg_check_done
    18:01  wattle  eggs_laid  clutch=wattle-1 count=20 complete=true
    18:02  wattle  condition_seen  signs=tremor
    2026-04-12 AK
    07:00  wattle  weighed  grams=452 written=2026-04-12T07:10:00+02:00
    """
    text = hand_over_text(sheet(page, "2026-04-12 18:00"), at("2026-04-12 18:00"))
    assert "yesterday" not in text
    assert "laid 11 Apr" in text
    assert "07:00" in text


def test_a_vet_matter_has_the_vets_number_beside_it_and_no_other_matter_has() -> None:
    house = House(HOUSE.rules, VIENNA, vet="Dr Quoll, 08 5550 1234")
    page = "2026-04-12 AK\n07:00 wattle condition_seen signs=prolapse\n"
    found = reckon.matters(fold(logbook(ROOM + page)), house, at("2026-04-12 18:00"))
    phones = {one.level: matter_values(fold(logbook(ROOM + page)), house, one)["phone"] for one in found}
    assert phones.pop(Level.VET_NOW) == "Dr Quoll, 08 5550 1234"
    assert set(phones.values()) == {None}
    bare = reckon.matters(fold(logbook(ROOM + page)), HOUSE, at("2026-04-12 18:00"))
    assert {matter_values(fold(logbook(ROOM + page)), HOUSE, one)["phone"] for one in bare} == {None}


def test_the_vets_number_stands_on_every_sheet() -> None:
    settings = Settings(name="Shed", zone=VIENNA, house=House(HOUSE.rules, VIENNA, vet="Dr Quoll, 08 5550 1234"))
    entries = logbook(ROOM + "2026-04-12 AK\n07:00 wattle condition_seen signs=prolapse\n")
    standing, now = fold(entries), at("2026-04-12 18:00")
    found = reckon.matters(standing, settings.house, now)
    walk = Walk(standing, settings, now)

    def lines(stop: str | None) -> tuple[DueLine, ...]:
        return lines_at(standing, settings.house, now, stop, walk.part)

    done = Done(walk, lines, found, entries)
    sheets = [
        today_text(today(standing, settings, now, walk, lines, found), now),
        matters_text(matter_list(standing, settings, now, found), now),
        hand_over_text(hand_over(standing, settings, now, done, by="AK", since=now), now),
        referral_text(referral(standing, settings, now, "animal/wattle", entries, found), now),
    ]
    # A line may end within the number; on each sheet it stands once, in what to do or beside the matter.
    assert [" ".join(text.split()).count("Dr Quoll, 08 5550 1234") for text in sheets] == [1, 1, 1, 1]
    assert [text.count(CAUTION) for text in sheets] == [0, 0, 1, 1]


def test_what_is_too_late_today_is_not_undone_care() -> None:
    settings = Settings(name="Shed", zone=VIENNA, house=House(HOUSE.rules, VIENNA, lights_off=time(20)))
    entries = logbook(ROOM)
    standing, now = fold(entries), at("2026-04-12 19:00")
    walk = Walk(standing, settings, now)
    done = Done(walk, lambda stop: lines_at(standing, settings.house, now, stop, walk.part), (), entries)
    undone = {one["care"] for one in hand_over(standing, settings, now, done, by="AK", since=now)["not_done"]}
    assert "feed greens" in undone
    assert "feed insects" not in undone


def test_care_noted_of_an_animal_stands_by_the_place_it_lives_in() -> None:
    told = sheet(
        """
    2026-04-12 AK
    07:00  wattle  fed  food=insects
    07:01  enclosure/b4  fed  food=greens
    """,
        "2026-04-12 18:00",
    )
    assert {one["care"]: [place["name"] for place in one["places"]] for one in told["by_care"]} == {
        "feed insects": ["B3"],
        "feed greens": ["B4"],
    }


def test_left_out_with_its_reason_and_not_done_stand_apart() -> None:
    told = sheet(
        """
    2026-04-12 AK
    07:00  wattle  left_out  care=weigh reason="shedding, left in peace"
    """,
        "2026-04-12 18:00",
    )
    assert [(one["name"], one["reason"]) for one in told["left_out"]] == [("Wattle", "shedding, left in peace")]
    assert ("weigh", "Wattle") not in [(line["care"], line["name"]) for line in told["not_done"]]
    assert ("weigh", "Karri") in [(line["care"], line["name"]) for line in told["not_done"]]


def test_breeding_females_stand_at_a_glance_and_resting_ones_do_not() -> None:
    mated = """
    2026-04-01 AK
    09:00  wattle  mating_seen  sire=karri
    2026-04-12 AK
    07:00  wattle  lay_box_in  depth_cm=20
    07:10  wattle  egg_check_done  present="eggs felt" absent=tremor
    """
    (her,) = sheet(mated, "2026-04-12 18:00")["females"]
    assert (her["name"], her["phase"], her["lay_box"], her["signs"]) == (
        "Wattle",
        "in lay box",
        True,
        ["eggs felt"],
    )
    assert her["window"] == ["2026-04-15", "2026-05-13"]
    assert sheet("", "2026-04-12 18:00")["females"] == []


@pytest.mark.parametrize(
    ("reading", "told"),
    [
        ({"basking_c": 40.0, "cool_c": 24.0, "night_low_c": 21.0, "uv_index": 4.0}, []),
        ({"basking_c": 38.0, "cool_c": 26.0}, []),
        ({"basking_c": 37.9}, ["basking spot 37.9 °C (38–42 °C)"]),
        ({"cool_c": 31.0}, ["cool end 31 °C (22–26 °C)"]),
        ({"night_low_c": 19.5}, ["night low 19.5 °C (not under 20 °C)"]),
        ({"uv_index": 9.0}, ["UV index 9 (2.9–7.4 UV index)"]),
        ({"humidity": 90.0}, []),
    ],
)
def test_a_reading_is_held_to_the_bands_of_the_house(reading: dict[str, Any], told: list[str]) -> None:
    # RSPCA (UK) care sheet: 38–42 °C, 22–26 °C, not under 20 °C; Ferguson et al. 2010, zone 3 (second hand).
    entry = ClimateRead(id="c", at=at("2026-04-12 07:00"), by="AK", about="enclosure/b3", **reading)
    assert out_of_range(entry, HOUSE, holds_eggs=False) == told


def test_an_incubator_is_held_to_its_own_band() -> None:
    warm = ClimateRead(id="c", at=at("2026-04-12 07:00"), by="AK", about="enclosure/s1", air_c=33.0)
    assert out_of_range(warm, HOUSE, holds_eggs=True) == ["incubator 33 °C (28–31 °C)"]
    assert out_of_range(warm, HOUSE, holds_eggs=False) == []


def test_vet_now_unread_is_refused_and_read_or_less_pressing_is_not() -> None:
    page = """
    2026-04-01 AK
    09:00  wattle  mating_seen  sire=karri
    2026-04-12 AK
    07:00  wattle  condition_seen  signs=straining
    """
    entries: list[Entry] = logbook(ROOM + page)
    standing, now = fold(entries), at("2026-04-12 18:00")
    found = reckon.matters(standing, HOUSE, now)
    with pytest.raises(Refused, match="Wattle") as refused:
        refuse_unread(found, standing)
    key = str(refused.value).split('matter="')[1].split('"')[0]
    read = logbook(f'{ROOM}{page}    08:00 wattle acknowledged matter="{key}" level="vet now"')
    refuse_unread(reckon.matters(fold(read), HOUSE, now), fold(read))
    refuse_unread(reckon.matters(fold(logbook(ROOM)), HOUSE, now), fold(logbook(ROOM)))


def test_the_sheet_is_80_columns_wide_whatever_stands_in_names_and_notes() -> None:
    told = sheet(
        f"""
    2026-04-12 AK
    07:00  odd   arrived  name="{"竜" * 60}\x1b[2J" place=b3
    07:01  odd   noted  note="{"x" * 300}"
    07:02  enclosure/b3  behaviour_seen  behaviour="nest digging"
    """,
        "2026-04-12 18:00",
        troubles=("sheets/2026/2026-04-10.bench.jsonl line 3 was changed",),
    )
    told["notes"] = "first line\n" + "word " * 60
    text = hand_over_text(told, at("2026-04-12 18:00"))
    from rounds.paper.plain_text import width

    assert all(width(line) <= 80 for line in text.splitlines())
    assert "\x1b" not in text
    assert "line 3 was changed" in text
    assert "  first line\n  word" in text


def test_the_sheet_of_a_very_large_room_is_cut_and_can_still_be_signed() -> None:
    told = sheet("", "2026-04-12 18:00")
    told["singly"] = [
        {"name": "Wattle", "place_name": "B3", "says": "weighed 452 g", "entry": {"at": told["now"], "by": "AK"}}
    ] * 6_000
    text = hand_over_text(told, at("2026-04-12 18:00"))
    assert len(text) < 200_000
    assert text.endswith("(the sheet is cut here; the rest stands in the logbook)\n")
    rows.validated(HandedOver(id="h", at=at("2026-04-12 18:00"), by="AK", about="room", sheet=text))


def test_a_logger_s_stretch_out_of_the_band_of_eggs_is_told() -> None:
    page = '2026-04-11 AK\n08:00 s1 enclosure_set_up name=S1 what="incubator shelf"\n'
    page += "20:00 s1 climate_logged minutes=0,60,120 air_c=29,33,29\n"
    page += "22:00 s1 climate_logged minutes=0,60 air_c=29,30\n"
    told = list(_out_of_range(standing(page), HOUSE, logbook(page)))
    assert [one["out"] for one in told] == [["incubator 29 to 33 °C (28–31 °C)"]]
