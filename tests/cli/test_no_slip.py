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
    room.well("log", "arrived", "young", "name=Young", "place=b4", "count=10", "hatched=2026-04-01", "--at", "-3d")
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
    refused(young, "log", "died", "young", told="how many of Young? There are 10: write count=1, or count=all")
    refused(young, "log", "left", "young", "how=sold", told="how many of Young?")
    refused(young, "log", "-", stdin=line("died", "young"), told="how many of Young?")
    young.well("log", "died", "young", "count=1")
    assert entries(young)[-1]["count"] == 1
    young.well("log", "left", "young", "how=lent", "count=all")
    assert "count" not in entries(young)[-1]


def test_a_group_opened_by_the_same_lines_is_held_to_it_too(room: Door) -> None:
    lines = [line("arrived", "young", name="Young", count=4, place="b4"), line("died", "young")]
    refused(room, "log", "-", stdin="\n".join(lines), told="line 2: how many of Young? There are 4")


def test_the_last_one_of_a_group_needs_no_count(young: Door) -> None:
    young.well("log", "died", "young", "count=9")
    young.at("2026-04-12 18:01")
    young.well("log", "died", "young")


def test_more_dead_than_there_are_are_refused_with_the_sum(young: Door) -> None:
    told = "Young: this does not add up: 10 arrived = 0 alive + 11 died, 1 too many."
    refused(young, "log", "died", "young", "count=11", told=told)
    refused(young, "log", "died", "young", "count=11", "--sure", told=told)


def test_an_enclosure_that_is_lived_in_is_not_taken_down(room: Door) -> None:
    refused(room, "log", "enclosure_taken_down", "b4", told="Karri still lives in B4. Move them first.")
    lines = [line("moved", "karri", to="l1", at="17:00"), line("enclosure_taken_down", "b4", at="17:05")]
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
    room.well("log", "-", "--sure", stdin=line(kind, "karri", **{member: "wattle"}))
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


def written(room: Door, kind: str, about: str) -> str:
    """The id of the only entry of a kind about a subject."""
    (found,) = [one["id"] for one in entries(room) if one["kind"] == kind and one["about"] == about]
    assert isinstance(found, str)
    return found


@pytest.mark.parametrize("door_of", ["words", "json"])
def test_an_arrival_is_not_taken_back_from_one_with_other_entries(door_of: str, room: Door) -> None:
    room.well("log", "egg_check_done", "wattle", "present=straining")
    arrival = written(room, "arrived", "animal/wattle")
    told = "Wattle has other entries: correct the arrival instead, or write that she left."
    if door_of == "words":
        refused(room, "log", "corrected", f"replaces={arrival}", "--sure", told=told)
    else:
        refused(room, "log", "-", "--sure", stdin=json.dumps({"kind": "corrected", "replaces": arrival}), told=told)
    assert "straining" in room.well("show", "wattle").out


def test_an_arrival_alone_is_taken_back_and_one_entered_again_is_put_right(room: Door) -> None:
    room.well("log", "corrected", f"replaces={written(room, 'arrived', 'animal/sedge')}")
    room.well("log", "weighed", "wattle", "grams=450")
    arrival = written(room, "arrived", "animal/wattle")
    again = {"id": "again-1", "by": "AK", "at": "2026-03-01T08:00:00+01:00", "name": "Wattle", "sex": "F"}
    lines = [
        line("arrived", "animal/wattle", place="enclosure/b4", **again),
        json.dumps({"kind": "corrected", "replaces": arrival, "instead": "again-1"}),
    ]
    room.well("log", "-", stdin="\n".join(lines))
    assert "B4" in room.well("show", "wattle").out


def test_another_entry_put_in_its_place_does_not_take_an_arrival_away(room: Door) -> None:
    other = room.well("log", "weighed", "wattle", "grams=450").out.split()[0]
    arrival = written(room, "arrived", "animal/wattle")
    refused(room, "log", "corrected", f"replaces={arrival}", f"instead={other}", told="Wattle has other entries")


def test_what_opens_an_enclosure_or_a_group_is_not_taken_back_either(young: Door) -> None:
    place, group = written(young, "enclosure_set_up", "enclosure/b4"), written(young, "arrived", "group/young")
    refused(young, "log", "corrected", f"replaces={place}", told="B4 has other entries: correct the set-up instead")
    young.well("log", "died", "young", "count=1")
    refused(young, "log", "corrected", f"replaces={group}", told="Young has other entries: correct the arrival")


def test_what_is_put_in_its_place_is_another_entry_that_is_known(room: Door) -> None:
    id = room.well("log", "weighed", "wattle", "grams=450").out.split()[0]
    for instead, told in (("zzz", "there is no entry zzz to put in its place"), (id, "not put in its own place")):
        lines = json.dumps({"kind": "corrected", "replaces": id, "instead": instead})
        refused(room, "log", "-", stdin=lines, told=told)


@pytest.mark.parametrize("kind", [["x"], {"a": 1}, 7, None])
def test_a_kind_that_is_no_word_is_refused_plainly(kind: object, room: Door) -> None:
    refused(
        room,
        "log",
        "-",
        stdin=json.dumps({"kind": kind, "about": "room"}),
        told="line 1: it has no kind" if kind is None else "line 1: its kind is no word",
    )


# Eggs


def test_eggs_are_not_written_under_the_clutch_of_another(room: Door) -> None:
    room.well("log", "eggs_laid", "wattle", "count=4", "--at", "-1d")
    told = "is a clutch of Wattle: for Sedge leave the clutch out"
    refused(room, "log", "eggs_laid", "sedge", "count=5", "clutch=wattle-2026-1", "--sure", told=told)
    lines = line("eggs_laid", "sedge", count=5, clutch="clutch/wattle-2026-1")
    refused(room, "log", "-", "--sure", stdin=lines, told=told)
    room.well("log", "eggs_laid", "sedge", "count=5")
    room.well("log", "eggs_laid", "wattle", "count=9")


@pytest.mark.parametrize(
    ("members", "told"),
    [
        (("count=5", "slugs=6"), "6 slugs among 5 eggs"),
        (("count=0",), "no eggs, but 4 were counted on 11 Apr 2026"),
        (("count=6", "sire=sedge"), "Sedge is a female: a sire is a male"),
        (("count=6", "sire=wattle"), "Wattle cannot be the sire of her own eggs"),
    ],
)
def test_eggs_that_cannot_be_are_refused(members: tuple[str, ...], told: str, room: Door) -> None:
    room.well("log", "eggs_laid", "wattle", "count=4", "--at", "-1d")
    refused(room, "log", "eggs_laid", "wattle", *members, "--sure", told=told)
    given = {name: int(value) if value.isdecimal() else value for name, value in (m.split("=") for m in members)}
    refused(room, "log", "-", "--sure", stdin=line("eggs_laid", "wattle", **given), told=told)


def test_more_eggs_than_a_clutch_has_want_to_be_sure(room: Door) -> None:
    refused(room, "log", "eggs_laid", "wattle", "count=41", told="41 eggs; a clutch seldom has more than 40")
    room.well("log", "eggs_laid", "wattle", "count=40", "--at", "-1h")
    room.well("log", "eggs_laid", "wattle", "count=41", "--sure")


# The vet's next day


@pytest.mark.parametrize("kind", ["vet_called", "vet_seen"])
def test_the_vets_next_day_comes_after_this_one_and_soon(kind: str, room: Door) -> None:
    for day in ("2026-04-12", "2026-04-01"):
        refused(room, "log", kind, "wattle", f"again={day}", "--sure", told="has to be after 12 Apr 2026")
    refused(room, "log", kind, "wattle", "again=2027-04-20", told="373 days away, 20 Apr 2027. Is that the day?")
    room.well("log", kind, "wattle", "again=2026-06-11")
    room.well("log", kind, "wattle", "again=2026-06-12", "--sure")


# Ends and beginnings


@pytest.mark.parametrize(("kind", "members"), [("died", ()), ("left", ("how=sold",))])
def test_an_end_before_the_arrival_wants_to_be_sure(kind: str, members: tuple[str, ...], room: Door) -> None:
    told = "Wattle: arrived on 1 Mar 2026. This would be before that."
    refused(room, "log", kind, "wattle", *members, "--at", "2026-02-20 8:00", told=told)
    room.well("log", kind, "wattle", *members, "--at", "2026-03-02 8:00")


def test_none_of_a_group_is_no_death_and_nobody_hatches_tomorrow(young: Door) -> None:
    refused(young, "log", "died", "young", "count=0", "--sure", told="Young: none died: there is nothing to")
    told = "hatched 13 Apr 2026: that has not come yet"
    refused(young, "log", "arrived", "Mulga", "hatched=2026-04-13", "--sure", told=told)
    young.well("log", "arrived", "Mulga", "hatched=2026-04-12")


def test_eggs_felt_in_a_male_are_refused_whichever_way_they_are_written(room: Door) -> None:
    told = "Karri is a male: eggs are for females."
    refused(room, "log", "condition_seen", "karri", "signs=eggs felt", "--sure", told=told)
    refused(room, "log", "-", "--sure", stdin=line("condition_seen", "karri", signs=["eggs felt"]), told=told)
    refused(room, "log", "eggs_laid", "karri", "count=4", told=told)
    room.well("log", "condition_seen", "karri", "signs=lethargy")


@pytest.mark.parametrize(
    ("kind", "members", "told"),
    [
        ("felt_for_eggs", ("found=eggs",), "eggs felt on 11 Apr 2026"),
        ("condition_seen", ("signs=eggs felt",), "eggs felt on 11 Apr 2026"),
        ("mating_seen", ("sire=karri",), "a mating on 11 Apr 2026"),
        ("behaviour_seen", ("behaviour=nest digging",), "digging at a nest on 11 Apr 2026"),
        ("lay_box_in", (), "a lay box on 11 Apr 2026"),
        ("eggs_laid", ("count=3",), "eggs laid on 11 Apr 2026"),
    ],
)
def test_a_male_with_a_females_page_wants_to_be_sure(
    kind: str, members: tuple[str, ...], told: str, room: Door
) -> None:
    room.well("log", kind, "wattle", *members, "--at", "-1d")
    refused(room, "log", "sex_settled", "wattle", "sex=M", told=f"noted as of a female: {told}. Is it a male?")
    room.well("log", "sex_settled", "wattle", "sex=M", "--sure")


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
        ("eggs_boxed", "wattle-2026-1", "count=19", "place=S1", "--at", "12.4. 8:00"),
        ("hatched", "wattle-2026-1", "count=16", "--at", "10 jun 8"),
        ("arrived", "young", "name=Young", "count=16", "place=B7", "clutch=wattle-2026-1", "--at", "10 jun"),
        ("died", "young", "count=2", "--at", "2 jul"),
        # 53 days old; from 56 days on young are sold, by the house rule. They were, all the same.
        ("left", "young", "how=sold", "count=9", "--at", "2 aug", "--sure"),
    ):
        door.well("log", *words)
    said = door.well("check")
    assert "Cannot all be true" not in said.out
    assert "CANNOT ALL BE TRUE" not in said.out
    assert "LOOKS LIKE A SLIP" not in said.out
    assert "known from before" in " ".join(said.out.split())
    assert json.loads(door.well("show", "young", "--json").out)["format"] == 1
    assert "5" in door.well("show", "young").out
