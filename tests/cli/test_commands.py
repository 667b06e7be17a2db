"""Each plain command: what it prints, what it refuses, and that options stand where a keeper puts them."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from rounds.desk.machine_zone import told_zone
from rounds.errors import UsageError
from rounds.logbook.entries import KINDS, Weighed
from rounds.sheets.store import Sheets
from tests.cli.conftest import Door
from tests.notation import at

STORY = [
    ("2026-03-10 09:00", "mating_seen", "wattle", "sire=karri"),
    ("2026-04-11 17:30", "behaviour_seen", "wattle", "behaviour=nest digging"),
    ("2026-04-12 07:10", "weighed", "wattle", "grams=470"),
    ("2026-04-12 07:11", "cleaned", "B3"),
    ("2026-04-12 07:12", "stop_walked", "B3", "walk=morning", "day=2026-04-12"),
    ("2026-04-12 07:20", "left_out", "sedge", "care=weigh", "reason=shedding, left in peace"),
]


@pytest.fixture
def story(room: Door) -> Door:
    """The room with a female who digs and has no lay box, at half past seven on 12 April."""
    for moment, *words in STORY:
        room.at(moment)
        room.well("log", *words)
    room.at("2026-04-12 07:30")
    return room


# Starting


def test_a_new_colony_says_how_to_go_on_and_is_not_made_twice(tmp_path: Path, door: Door) -> None:
    folder = tmp_path / "second"
    said = door.well("new", str(folder), "--name", "Bench", "--time-zone", "Australia/Brisbane")
    assert said.out == f"{folder}\n"
    assert f"`rounds --colony {folder}`" in said.err
    again = door("new", str(folder), "--name", "Bench", "--time-zone", "Australia/Brisbane")
    assert again.code == 2
    assert "There is a colony in" in again.err


def test_a_zone_that_is_none_is_refused_with_the_nearest(tmp_path: Path, door: Door) -> None:
    said = door("new", str(tmp_path / "second"), "--time-zone", "Europe/Vienne")
    assert said.code == 4
    assert "Europe/Vienna" in said.err


def test_the_systems_zone_is_what_the_zone_file_is_called(tmp_path: Path) -> None:
    etc = tmp_path / "etc"
    zones = tmp_path / "zoneinfo" / "Australia"
    zones.mkdir(parents=True)
    etc.mkdir()
    (zones / "Brisbane").touch()
    (etc / "localtime").symlink_to(zones / "Brisbane")
    assert told_zone({}, etc) == "Australia/Brisbane"
    assert told_zone({"TZ": ":Europe/Vienna"}, etc) == "Europe/Vienna"
    assert told_zone({"TZ": "UTC"}, etc) == "UTC"
    assert told_zone({"TZ": "CET-1CEST"}, etc) == "Australia/Brisbane"
    (etc / "localtime").unlink()
    (etc / "timezone").write_text("Europe/Prague\n")
    assert told_zone({}, etc) == "Europe/Prague"
    (etc / "timezone").unlink()
    with pytest.raises(UsageError, match="give --time-zone"):
        told_zone({}, etc)


def test_where_there_is_no_colony_it_is_said(tmp_path: Path, door: Door) -> None:
    said = door("today", "--colony", str(tmp_path / "nowhere"))
    assert said.code == 3
    assert said.err.startswith("There is no colony in")
    assert said.out == ""


def test_a_mistake_in_colony_toml_is_named_by_every_command_and_counted_by_the_check(story: Door) -> None:
    settings = story.folder / "colony.toml"
    settings.write_text(settings.read_text().replace("[house_rules]", "[house_rules]\nbreeding.window_opens = 0"))
    said = story("today")
    assert said.code == 4
    assert "breeding.window_opens" in said.err
    checked = story("check")
    assert checked.code == 1
    assert "breeding.window_opens" in " ".join(checked.out.split())


# Today and matters


def test_today_tells_each_stop_with_who_lives_there_what_is_due_and_the_matter(story: Door) -> None:
    told = story.well("today").out
    assert told.startswith("Quandong shed   morning walk")
    assert "1 of 3 stops done." in told
    assert "B3  tub   [done: AK 07:12]" in told
    assert "F  Wattle" in told
    assert "TODAY    Wattle has dug since 11 Apr. No lay box." in told
    assert "left out weigh (Sedge): shedding, left in peace" in told
    assert all(len(line) <= 80 for line in told.splitlines())


def test_today_in_json_has_the_same_figures(story: Door) -> None:
    told = story.well("today", "--json").json
    assert told["format"] == 1
    assert told["walk"] == {"part": "morning", "stops": 3, "done": 1, "resume": "enclosure/b4"}
    b3 = told["stops"][0]
    assert [one["name"] for one in b3["residents"]] == ["Sedge", "Wattle"]
    assert b3["residents"][1]["phase"] == "nesting"
    assert b3["done"] == [{"by": "AK", "at": "2026-04-12T07:12:00+02:00"}]
    assert "Wattle has dug since 11 Apr. No lay box." in [one["says"] for one in b3["matters"]]
    assert {"care": "weigh", "left_out": "shedding, left in peace"}.items() <= next(
        line for line in b3["due"] if line["care"] == "weigh"
    ).items()


def test_the_evening_walk_can_be_looked_at_in_the_morning(story: Door) -> None:
    assert "0 of 3 stops done." in story.well("today", "--walk", "evening").out


def test_matters_explain_themselves(story: Door) -> None:
    told = " ".join(story.well("matters").out.split())
    assert "TODAY B3: Wattle has dug since 11 Apr. No lay box." in told
    assert "seen yesterday 17:30 AK nest digging" in told
    assert "rule " in told
    (matter,) = [one for one in story.well("matters", "--json").json["matters"] if "No lay box." in one["says"]]
    assert matter["about"] == "animal/wattle"
    assert "nest digging" in [entry.get("behaviour") for entry in matter["entries"]]
    assert matter["rules"]
    assert matter["do"]


def test_a_matter_put_off_is_told_only_when_all_are_asked_for(story: Door) -> None:
    (key,) = [one["key"] for one in story.well("matters", "--json").json["matters"] if "No lay box" in one["says"]]
    story.well("log", "put_off", "wattle", f"matter={key}", "until=2026-04-13", "reason=box is being filled")
    assert "No lay box" not in story.well("matters").out
    assert "put off until 13 Apr by AK: box is being filled" in " ".join(story.well("matters", "--all").out.split())


def test_matters_of_one_subject_and_of_a_tub_with_all_in_it(story: Door) -> None:
    assert {one["about"] for one in story.well("matters", "--about", "karri", "--json").json["matters"]} <= {
        "animal/karri"
    }
    assert "Wattle has dug" in story.well("matters", "--about", "B3").out


def test_weak_signs_stand_with_their_points_and_the_sum_on_the_page_and_in_json(room: Door) -> None:
    settings = room.folder / "colony.toml"
    few = "[house_rules]\nevidence.vet_points = 3\nevidence.today_points = 2\nevidence.eggs_felt = 2"
    settings.write_text(settings.read_text().replace("[house_rules]", f"{few}\nevidence.window_past = 2"))
    for moment, *words in (
        ("2026-03-02 09:00", "mating_seen", "wattle", "sire=karri"),
        ("2026-04-10 18:00", "felt_for_eggs", "wattle", "found=eggs"),
        ("2026-04-20 08:10", "egg_check_done", "wattle"),
    ):
        room.at(moment)
        room.well("log", *words)
    room.at("2026-04-20 18:00")
    (matter,) = [one for one in room.well("matters", "--json").json["matters"] if one["rule"] == "signs add up"]
    assert matter["level"] == "vet"
    *signs, total = [int(line.split()[0]) for line in matter["adds"]]
    assert len(signs) >= 2
    assert sum(signs) == total >= 3
    page = " ".join(room.well("matters", "--about", "wattle").out.split())
    for line in matter["adds"]:
        assert f"points {' '.join(line.split())}" in page


# When


def test_a_bare_day_is_its_end_and_today_is_now(story: Door) -> None:
    assert "Wattle has dug" not in story.well("matters", "--on", "2026-04-10").out
    assert "Wattle has dug" in story.well("matters", "--on", "2026-04-11").out
    assert story.well("today", "--on", "2026-04-11", "--json").json["now"] == "2026-04-11T23:59:59+02:00"
    assert story.well("today", "--on", "2026-04-12", "--json").json["now"] == "2026-04-12T07:30:00+02:00"
    assert "Wattle has dug" not in story.well("matters", "--on", "2026-04-11T17:00").out


@pytest.mark.parametrize(
    "moment", ["some day", "2026-13-01", "2026-02-30", "13/13/2026", "2026-04", "0001-01-01", "9999-12-31", ""]
)
def test_a_day_that_is_none_is_refused_with_a_sentence(story: Door, moment: str) -> None:
    said = story("today", "--on", moment)
    if moment == "":
        assert said.code == 0
    else:
        assert said.code == 2
        assert said.err.startswith("--on")


def test_nothing_is_written_as_of_another_day(story: Door) -> None:
    before = story.sheets()
    assert story("log", "weighed", "wattle", "grams=4", "--on", "2026-04-11").code == 2
    assert story("hand-over", "--sign", "--on", "2026-04-11").code == 2
    assert story.sheets() == before


def test_options_for_every_command_stand_before_or_after_it(story: Door) -> None:
    before = story.well("--on", "2026-04-11", "--json", "--colony", str(story.folder), "matters").out
    after = story.well("matters", "--on", "2026-04-11", "--json", "--colony", str(story.folder)).out
    assert before == after


# Show


def test_show_tells_standing_weights_timeline_and_entries_newest_first(story: Door) -> None:
    told = story.well("show", "wattle").out
    assert told.startswith("Wattle   animal")
    assert "lives in B3   nesting, day 2" in told
    assert "07:10                470 g" in told or "470 g" in told
    newest, oldest = told.index("weighed 470 g"), told.index("arrived  (")
    assert newest < oldest
    page = story.well("show", "wattle", "--json").json
    assert [one["grams"] for one in page["weights"]] == [470.0]
    assert [one["says"] for one in page["timeline"]][-1] == "nest digging"
    assert page["breeding"]["phase"] == "nesting"


def test_show_knows_tubs_clutches_and_the_room(story: Door) -> None:
    assert "F   Wattle" in story.well("show", "B3").out
    story.well("log", "eggs_laid", "wattle", "count=12", "sire=karri")
    told = story.well("show", "wattle-2026-1").out
    assert "Wattle × Karri" in told
    assert "not said to be complete" in told
    assert "12 laid: 12 not boxed" in told
    story.well("log", "noted", "room", "note=door of the rack sticks")
    assert "door of the rack sticks" in story.well("show", "room").out


def test_show_says_whom_it_does_not_know(story: Door) -> None:
    said = story("show", "nobody")
    assert said.code == 5
    assert "There is no animal, group, enclosure, clutch or supply “nobody” here." in said.err
    assert story("show").code == 2


def test_a_corrected_entry_stays_and_is_marked(story: Door) -> None:
    id = story.well("log", "weighed", "wattle", "grams=47", "--sure").out.split()[0]
    story.at("2026-04-12 07:31")
    correction = story.well("log", "corrected", f"replaces={id}", "because=a digit was missing").out.split()[0]
    entries = story.well("show", "wattle", "--json").json["entries"]
    assert [one["corrected_by"] for one in entries if one["entry"]["id"] == id] == [correction]
    assert [one["grams"] for one in story.well("show", "wattle", "--json").json["weights"]] == [470.0]


def test_the_page_for_the_vet_tells_signs_weights_and_timeline_and_names_no_drug(story: Door) -> None:
    story.well(
        "log", "egg_check_done", "wattle", "present=straining", "absent=prolapse,tremor", "--note", "since noon"
    )
    told = story.well("show", "wattle", "--referral").out
    assert "For the vet: Wattle" in told
    assert "seen           straining (07:30 AK)" in told
    assert "not there      tremor, prolapse (07:30)" in told
    assert "mating seen with Karri" in told
    assert "470 g" in told
    assert all(len(line) <= 80 for line in told.splitlines())
    assert story("show", "B3", "--referral").code == 5


# Hand-over


def test_the_sheet_tells_what_was_done_left_out_open_and_carried(story: Door) -> None:
    told = story.well("hand-over", "--note", "Wattle wants a look at noon").out
    lines = " ".join(told.split())
    assert "AK on shift since 00:00 morning walk: 1 of 3 stops" in lines
    assert "TODAY B3: Wattle has dug since 11 Apr. No lay box." in lines
    assert "spot clean 1: B3" in lines
    assert "07:10 AK Wattle (B3) weighed 470 g" in lines
    assert "Sedge, B3: weigh: shedding, left in peace (AK)" in lines
    assert "NOT WALKED: 2 STOPS B4, L1" in lines
    assert "Wattle B3 - 27 Mar to 18 Apr never nesting, day 2" in lines
    assert "FOR THE NEXT KEEPER Wattle wants a look at noon" in lines
    assert all(len(line) <= 80 for line in told.splitlines())


def test_a_reading_out_of_range_stands_on_the_sheet(story: Door) -> None:
    story.well("log", "climate_read", "B3", "basking_c=46", "cool_c=24")
    told = story.well("hand-over").out
    assert "- B3: basking spot 46 °C (38–42 °C)" in told


def test_looking_at_the_sheet_writes_nothing_and_signing_writes_it_word_for_word(story: Door) -> None:
    story.well("log", "taken_over", "room")
    before = story.sheets()
    looked = story.well("hand-over", "--to", "EM")
    assert story.sheets() == before
    signed = story.well("hand-over", "--to", "EM", "--sign")
    assert signed.out == looked.out
    (entry,) = [
        json.loads(line) for line in story.well("show", "room", "--lines").out.splitlines() if "handed_over" in line
    ]
    assert entry["sheet"] == signed.out
    assert (entry["by"], entry["to"]) == ("AK", "EM")


def test_after_a_hand_over_the_next_shift_begins_there(story: Door) -> None:
    story.well("log", "taken_over", "room")
    story.well("hand-over", "--sign")
    story.at("2026-04-12 12:00")
    story.well("log", "taken_over", "room", by="EM")
    assert "EM   on shift since 12:00" in story.well("hand-over", by="EM").out
    assert "JT   on shift since 07:30" in story.well("hand-over", by="JT").out


def test_nobody_signs_over_a_vet_now_matter_that_was_not_acknowledged(story: Door) -> None:
    story.well("log", "condition_seen", "wattle", "signs=straining")
    before = story.sheets()
    said = story("hand-over", "--sign")
    assert said.code == 7
    assert "Not signed: 1 vet-now matter no one has read." in said.err
    assert story.sheets() == before
    command = next(line for line in said.err.splitlines() if "rounds log acknowledged" in line).split("matter=")[1]
    key = command.split('"')[1]
    story.well("log", "acknowledged", "wattle", f"matter={key}", "level=vet now")
    story.well("log", "taken_over", "room")
    story.well("hand-over", "--sign")


def test_nobody_signs_who_has_not_taken_over_and_it_says_how_to(story: Door) -> None:
    before = story.sheets()
    said = story("hand-over", "--sign", by="JT")
    assert said.code == 7
    assert "Not signed: JT has not taken over since the last hand-over." in said.err
    assert "`rounds log taken_over room --by JT`" in said.err
    assert story.sheets() == before
    story.well("log", "taken_over", "room", by="JT")
    story.well("hand-over", "--sign", by="JT")
    assert story("hand-over", "--sign", by="JT").code == 7, "a shift is handed over once"


def test_two_who_took_over_at_two_desks_both_sign(story: Door) -> None:
    story.well("log", "taken_over", "room", "desk=rack")
    story.well("log", "taken_over", "room", "desk=bench", by="EM")
    story.at("2026-04-12 12:00")
    story.well("log", "handed_over", "room", "desk=rack")
    story.well("log", "handed_over", "room", "desk=bench", by="EM")
    assert story("log", "handed_over", "room", by="EM").code == 7


def test_nobody_signs_without_a_name(story: Door) -> None:
    said = story("hand-over", "--sign", by=None)
    assert said.code == 2
    assert "Who hands over?" in said.err


# Check


def test_a_logbook_in_order_holds_together(story: Door) -> None:
    said = story.well("check")
    assert said.out == "4 sheets read, 12 entries.\nAll of it holds together.\n"


def test_the_check_names_what_does_not_hold_together_and_says_so_by_its_exit_code(story: Door) -> None:
    line = {
        "kind": "egg_check_done",
        "about": "animal/karri",
        "id": "k1",
        "by": "AK",
        "at": "2026-04-12T07:00:00+02:00",
    }
    story.well("log", "-", stdin=json.dumps(line))  # as it may come from a sheet of an older program
    said = story("check")
    assert said.code == 1
    assert "LOOKS LIKE A SLIP: 1" in said.out
    assert "Karri is a male, but egg check: looked at, nothing marked on 12 Apr 2026" in " ".join(said.out.split())
    found = story("check", "--json").json["findings"]
    assert [(one["level"], one["entries"][0]["kind"]) for one in found] == [("doubt", "egg_check_done")]


def test_a_damaged_line_is_told_and_set_aside_on_demand(story: Door) -> None:
    (path,) = [story.folder / name for name in story.sheets() if "2026-04-11" in name]
    path.write_bytes(path.read_bytes().replace(b"nest digging", b"trial nest x"))
    said = story("check")
    assert said.code == 1
    assert "DAMAGED SHEETS: 1" in said.out
    repaired = story("check", "--repair", "--json").json
    assert len(repaired["repaired"]) == 1
    assert (story.folder / repaired["repaired"][0]["aside"]).is_file()
    assert story("check", "--json").json["troubles"] == []


def test_the_check_tells_lines_that_were_brought_from_elsewhere(story: Door) -> None:
    weight = Weighed(id="w1", at=at("2026-02-01 08:00"), by="EM", about="animal/karri", grams=505)
    Sheets(story.folder, "old").append([weight], date(2026, 4, 12))
    said = story("check")
    assert "holds 1 line written on other days, the oldest on 1 Feb 2026" in " ".join(said.out.split())


# Help and mistakes


def test_help_tells_commands_options_and_entry_kinds(door: Door) -> None:
    assert "hand-over" in door.well("help").out
    assert "--dry-run" in door.well("help", "log").out
    for kind in KINDS:
        assert door.well("help", kind).out.startswith(f"## {kind}\n")
    assert door("help", "nothing").code == 2


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("tody",), "There is no command 'tody'. Did you mean today? `rounds help` lists them."),
        (("today", "--colour"), "Not understood: --colour. `rounds help today` shows how."),
        (("today", "wattle"), "Not understood: wattle. `rounds help today` shows how."),
        (("today", "--walk", "noon"), "--walk: invalid choice: 'noon'"),
        (("log",), "What was seen? `rounds log weighed wattle grams=452 --by AK`"),
        (("log", "-", "--at", "07:15"), "With `-` each line brings its own “at”"),
        (("--on",), "--on: expected one argument"),
    ],
)
def test_a_command_put_wrongly_is_answered_with_a_sentence(room: Door, words: tuple[str, ...], told: str) -> None:
    said = room(*words)
    assert said.code == 2
    assert told in said.err
    assert said.out == ""


def test_the_version_is_told(door: Door) -> None:
    assert door.well("--version").out.startswith("rounds ")


def test_the_females_are_told_with_their_forecast_and_one_alone(story: Door) -> None:
    every = story.well("females")
    assert "Wattle" in every.out
    assert "forecast  due since 27 Mar" in every.out
    one = story.well("females", "--about", "wattle", "--json").json
    assert [her["name"] for her in one["females"]] == ["Wattle"]
    assert one["females"][0]["forecast"]["window"] == ["2026-03-24", "2026-04-21"]
    he = story("females", "--about", "karri")
    assert he.code == 5
    assert "Karri is no female that is here" in he.err


def test_the_mass_of_the_eggs_is_written_asked_about_and_shown(story: Door) -> None:
    far = story("log", "eggs_laid", "wattle", "count=20", "complete=true", "eggs_grams=700")
    assert far.code != 0
    assert "35.0 g each" in far.err
    story.well("log", "eggs_laid", "wattle", "count=20", "complete=true", "eggs_grams=70")
    page = story.well("show", "wattle")
    assert "20 eggs laid in all, they weigh 70 g" in page.out


def test_the_room_fits_80_columns_whatever_an_enclosure_is_called(room: Door) -> None:
    long = "the tall tank behind the second door, left of the sink, under the window that looks to the yard"
    room.well("log", "enclosure_set_up", "x1", f"name={long}")
    room.well("log", "arrived", "mulga", "name=Mulga", "sex=F", "place=x1", "hatched=2023-01-01")
    room.well("log", "condition_seen", "mulga", "signs=laboured breathing")
    said = room.well("room").out
    assert "the tall… VET" in said
    assert "Mulga: laboured breathing" in said
    assert max(map(len, said.splitlines())) <= 80
