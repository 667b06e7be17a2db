"""What the command line and JSON lines refuse, turn round or want to be sure of, as the screens do."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.cli.conftest import Door
from tests.cli.test_log import entries, line


def refused(door: Door, *words: str, told: str, stdin: str = "") -> None:
    """A command that writes nothing and says so."""
    before = door.sheets()
    said = door(*words, stdin=stdin)
    assert said.code == 5, said.err
    assert told in said.err
    assert door.sheets() == before


@pytest.fixture
def young(room: Door) -> Door:
    """The room, with ten young in B4."""
    room.well("log", "arrived", "+young", "name=Young", "place=b4", "count=10", "hatched=2026-04-01", "--at", "-3d")
    return room


# Times


@pytest.mark.parametrize(
    ("written", "at"),
    [
        ("yesterday 18", "2026-04-11T18:00:00+02:00"),
        ("3 apr", "2026-04-03T12:00:00+02:00"),
        ("10.4. 8:00", "2026-04-10T08:00:00+02:00"),
        ("-2d", "2026-04-10T18:00:00+02:00"),
        ("7:30", "2026-04-12T07:30:00+02:00"),
        ("fri 8", "2026-04-10T08:00:00+02:00"),
    ],
)
def test_at_and_json_lines_read_times_as_the_forms_do(written: str, at: str, room: Door) -> None:
    room.well("log", "weighed", "wattle", "grams=452", "--at", written)
    room.well("log", "-", stdin=line("noted", "wattle", note="seen", at=written))
    assert [one["at"] for one in entries(room) if one["kind"] in ("weighed", "noted")] == [at, at]


def test_an_hour_that_was_not_written_is_said(room: Door) -> None:
    said = room.well("log", "weighed", "wattle", "grams=452", "--at", "3 apr")
    assert "no hour was given: read as noon" in said.err


def test_the_colony_that_writes_the_month_first_is_read_so(room: Door) -> None:
    settings = room.folder / "colony.toml"
    settings.write_text(settings.read_text().replace('"day-month"', '"month-day"'))
    room.well("log", "weighed", "wattle", "grams=452", "--at", "3/4 8:00")
    assert entries(room)[-1]["at"] == "2026-03-04T08:00:00+01:00"
    settings.write_text(settings.read_text().replace('"month-day"', '"year-first"'))
    said = room("today")
    assert said.code == 4
    assert "date_order: 'year-first' is not known" in said.err


def test_looking_back_reads_days_as_people_write_them(room: Door) -> None:
    assert room.well("today", "--on", "yesterday", "--json").json["now"] == "2026-04-11T23:59:59+02:00"
    assert room.well("today", "--on", "yesterday 18", "--json").json["now"] == "2026-04-11T18:00:00+02:00"


# How many


def test_of_a_group_the_count_is_written_or_all(young: Door) -> None:
    refused(young, "log", "died", "+young", told="how many of Young? There are 10: write count=1, or count=all")
    refused(young, "log", "left", "+young", "how=sold", told="how many of Young?")
    refused(young, "log", "-", stdin=line("died", "+young"), told="how many of Young?")
    young.well("log", "died", "+young", "count=1")
    assert entries(young)[-1]["count"] == 1
    young.well("log", "left", "+young", "how=sold", "count=all")
    assert "count" not in entries(young)[-1]


def test_a_group_opened_by_the_same_lines_is_held_to_it_too(room: Door) -> None:
    lines = [line("arrived", "+young", name="Young", count=4, place="b4"), line("died", "+young")]
    refused(room, "log", "-", stdin="\n".join(lines), told="line 2: how many of Young? There are 4")


def test_the_last_one_of_a_group_needs_no_count(young: Door) -> None:
    young.well("log", "died", "+young", "count=9")
    young.at("2026-04-12 18:01")
    young.well("log", "died", "+young")


def test_more_dead_than_there_are_wants_to_be_sure(young: Door) -> None:
    refused(young, "log", "died", "+young", "count=11", told="Young: 11, but only 10 are there.")
    young.well("log", "died", "+young", "count=11", "--sure")


def test_an_enclosure_that_is_lived_in_is_not_taken_down(room: Door) -> None:
    refused(room, "log", "enclosure_taken_down", "b4", told="Karri still lives in B4. Move them first.")
    lines = [line("moved", "karri", to="@l1", at="17:00"), line("enclosure_taken_down", "@b4", at="17:05")]
    room.well("log", "-", stdin="\n".join(lines))


# Sex


@pytest.mark.parametrize(
    ("kind", "members"),
    [
        ("eggs_laid", {"count": 4}),
        ("egg_check_done", {}),
        ("felt_for_eggs", {"found": "none"}),
        ("lay_box_in", {}),
        ("lay_box_out", {}),
    ],
)
def test_what_is_said_of_females_is_refused_for_a_male(kind: str, members: dict[str, Any], room: Door) -> None:
    refused(room, "log", kind, "karri", *(f"{k}={v}" for k, v in members.items()), told="Karri is a male")
    refused(room, "log", "-", "--sure", stdin=line(kind, "karri", **members), told="Karri is a male")


@pytest.mark.parametrize(
    ("kind", "member"), [("mating_seen", "sire"), ("put_together", "mate"), ("parted", "mate")]
)
def test_from_his_side_it_is_turned_round_and_said(kind: str, member: str, room: Door) -> None:
    said = room.well("log", kind, "karri", f"{member}=wattle")
    assert "Written about Wattle: such an entry is about the female." in said.err
    room.well("log", "-", stdin=line(kind, "karri", **{member: "wattle"}))
    for written in entries(room)[-2:]:
        assert (written["about"], written[member]) == ("animal/wattle", "animal/karri")


def test_two_of_one_sex_are_refused_until_a_sex_is_settled(room: Door) -> None:
    refused(room, "log", "mating_seen", "wattle", "sire=sedge", told="Wattle and Sedge are both females")
    refused(room, "log", "put_together", "karri", "mate=karri", told="cannot be paired with itself")
    refused(room, "log", "mating_seen", "karri", told="write it about her, or say with whom")
    room.well("log", "sex_settled", "sedge", "sex=M")
    room.well("log", "mating_seen", "wattle", "sire=sedge")


def test_a_sex_settled_by_the_same_lines_counts(room: Door) -> None:
    lines = [line("sex_settled", "karri", sex="F", at="08:00"), line("egg_check_done", "karri", at="09:00")]
    room.well("log", "-", stdin="\n".join(lines))


# The dead and the departed


def test_an_entry_about_the_dead_wants_its_time_before_or_to_be_sure(room: Door) -> None:
    room.well("log", "died", "wattle", "--at", "12:00")
    refused(room, "log", "weighed", "wattle", "grams=450", told="Wattle: died on 12 Apr 2026 (AK)")
    refused(room, "log", "-", stdin=line("fed", "animal/wattle"), told="This would be after that.")
    room.well("log", "weighed", "wattle", "grams=450", "--at", "11:00")
    room.well("log", "vet_seen", "wattle", "outcome=looked at after death")
    room.well("log", "ate", "wattle", "how=well", "--sure")


def test_who_came_back_is_here_again(room: Door) -> None:
    room.well("log", "left", "karri", "how=lent", "--at", "-5d")
    refused(room, "log", "ate", "karri", "how=well", told="Karri: lent on 7 Apr 2026")
    room.well("log", "arrived", "karri", "name=Karri", "place=b4", "--at", "-2d")
    room.well("log", "ate", "karri", "how=well")


# Weights


def test_a_far_off_weight_wants_to_be_sure_and_a_first_one_is_held_against_its_age(room: Door) -> None:
    refused(room, "log", "weighed", "wattle", "grams=45", told="Wattle: 45 g is little for one of its age")
    room.well("log", "weighed", "wattle", "grams=450", "--at", "10:00")
    refused(room, "log", "weighed", "wattle", "grams=4500", told="900 % more than 450 g on 12 Apr")
    refused(room, "log", "-", stdin=line("weighed", "wattle", grams=45), told="90 % less than 450 g")
    room.well("log", "weighed", "wattle", "grams=330", "--sure")


def test_what_stood_on_a_sheet_is_taken_as_it_stood_there(room: Door) -> None:
    old = {"id": "w1", "by": "EM", "at": "2026-03-05T08:00:00+01:00"}
    room.well("log", "-", stdin=line("weighed", "animal/wattle", grams=4500, **old))
    assert entries(room)[-1]["grams"] == 4500


# Corrections


def test_a_correction_says_what_the_wrong_entry_said(room: Door) -> None:
    id = room.well("log", "mating_seen", "wattle", "sire=karri", "--note", "by the door").out.split()[0]
    room.well("log", "corrected", f"replaces={id}")
    assert entries(room)[-1]["was"] == "mating seen with Karri: by the door"


# A history written down on the first evening


def test_a_keeper_who_starts_in_november_writes_last_season_and_the_check_finds_nothing_wrong(door: Door) -> None:
    door.at("2026-11-25 20:00")
    for words in (
        ("enclosure_set_up", "B3"),
        ("enclosure_set_up", "B7", "--at", "1.9.2025"),
        ("enclosure_set_up", "S1", "what=incubator shelf"),
        ("arrived", "Wattle", "sex=F", "place=B3", "hatched=2023-02-01"),
        ("arrived", "Karri", "sex=M", "place=B3", "hatched=2022-02-01", "--at", "3 sep 2025"),
        ("weighed", "wattle", "grams=455", "--at", "10 mar"),
        ("mating_seen", "wattle", "sire=karri", "--at", "10 mar 18"),
        ("eggs_laid", "wattle", "count=19", "complete=true", "--at", "12.4. 7:00"),
        ("eggs_boxed", "%wattle-2026-1", "count=19", "place=S1", "--at", "12.4. 8:00"),
        ("hatched", "%wattle-2026-1", "count=16", "--at", "10 jun 8"),
        ("arrived", "+young", "name=Young", "count=16", "place=B7", "clutch=%wattle-2026-1", "--at", "10 jun"),
        ("died", "+young", "count=2", "--at", "2 jul"),
        ("left", "+young", "how=sold", "count=9", "--at", "2 aug"),
    ):
        door.well("log", *words)
    said = door.well("check")
    assert "Cannot all be true" not in said.out
    assert "CANNOT ALL BE TRUE" not in said.out
    assert "LOOKS LIKE A SLIP" not in said.out
    assert "known from before" in " ".join(said.out.split())
    assert json.loads(door.well("show", "+young", "--json").out)["format"] == 1
    assert "5" in door.well("show", "+young").out
