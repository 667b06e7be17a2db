"""`rounds log`: what is written, and what is refused with a sentence a keeper can act on."""

from __future__ import annotations

import json
from typing import Any

import pytest

from rounds.logbook.entries import KINDS
from tests.cli.conftest import Door


def line(kind: str, about: str, **members: Any) -> str:
    """One JSON line."""
    return json.dumps({"kind": kind, "about": about, **members})


def entries(door: Door) -> list[dict[str, Any]]:
    """Every entry of the colony in the order in which it was written."""
    return [json.loads(line) for sheet in door.sheets().values() for line in sheet.splitlines()]


def test_an_entry_from_words_is_on_the_sheet_when_the_command_returns(room: Door) -> None:
    said = room.well("log", "weighed", "wattle", "grams=452")
    assert said.out.endswith("  2026-04-12 18:00 AK  Wattle  weighed 452 g\n")
    assert said.err == "Saved: 1 entry.\n"
    (written,) = [one for one in entries(room) if one["kind"] == "weighed"]
    assert written == {
        "kind": "weighed",
        "id": said.out.split()[0],
        "at": "2026-04-12T18:00:00+02:00",
        "by": "AK",
        "about": "animal/wattle",
        "grams": 452.0,
        "crc": written["crc"],
    }


def test_what_is_written_late_keeps_both_times(room: Door) -> None:
    room.well("log", "weighed", "wattle", "grams=452", "--at", "2026-04-12T07:15")
    written = entries(room)[-1]
    assert (written["at"], written["written"]) == ("2026-04-12T07:15:00+02:00", "2026-04-12T18:00:00+02:00")


def test_a_time_alone_is_of_today(room: Door) -> None:
    room.well("log", "weighed", "wattle", "grams=452", "--at", "7:15")
    assert entries(room)[-1]["at"] == "2026-04-12T07:15:00+02:00"


def test_a_day_is_read_as_in_the_forms(room: Door) -> None:
    for said, day in (
        ("12 dec", "2026-12-12"),
        ("tomorrow", "2026-04-13"),
        ("1 mar", "2027-03-01"),
        ("+2w", "2026-04-26"),
    ):
        room.well("log", "appointment_made", "wattle", f"on={said}", "whom=Ann")
        assert entries(room)[-1]["on"] == day
    room.well("log", "appointment_ended", "wattle", "on=13 apr", "how=cancelled")
    assert entries(room)[-1]["on"] == "2026-04-13"
    room.well("log", "arrived", "Mulga", "sex=M", "hatched=3 nov 2025")
    assert (entries(room)[-1]["hatched"], "hatched_about" in entries(room)[-1]) == ("2025-11-03", False)
    room.well("log", "arrived", "Fern", "sex=F", "hatched=2024-05")
    assert (entries(room)[-1]["hatched"], entries(room)[-1]["hatched_about"]) == ("2024-05-01", True)
    assert "on: “tomorow” is no day" in room("log", "appointment_made", "wattle", "on=tomorow", "whom=Ann").err
    assert "on: “2027” needs its day" in room("log", "appointment_made", "wattle", "on=2027", "whom=Ann").err


def test_members_may_stand_behind_an_option(room: Door) -> None:
    room.well("log", "weighed", "--by", "EM", "wattle", "grams=452", by=None)
    assert entries(room)[-1]["by"] == "EM"


def test_several_values_are_parted_by_commas_and_a_note_goes_along(room: Door) -> None:
    room.well(
        "log", "egg-check-done", "wattle", "present=digging,eggs felt", "absent=lethargy", "--note", "bright, warm"
    )
    written = entries(room)[-1]
    assert (written["present"], written["absent"]) == (["digging", "eggs felt"], ["lethargy"])
    assert written["note"] == "bright, warm"


# Whom it is about


@pytest.mark.parametrize("word", ["wattle", "Wattle", "WATTLE", "animal/wattle", "wat"])
def test_a_keeper_writes_the_name_the_id_or_the_beginning_of_one(room: Door, word: str) -> None:
    room.well("log", "weighed", word, "grams=452")
    assert entries(room)[-1]["about"] == "animal/wattle"


def test_a_tub_is_found_by_what_is_written_on_it_and_so_is_a_place_moved_to(room: Door) -> None:
    room.well("log", "cleaned", "B3")
    room.well("log", "moved", "sedge", "to=b4")
    assert [one["about"] for one in entries(room)[-2:]] == ["enclosure/b3", "animal/sedge"]
    assert entries(room)[-1]["to"] == "enclosure/b4"


def test_a_scanned_tag_names_its_animal(room: Door) -> None:
    room.well("log", "arrived", "mulga", "name=Mulga", "place=b4", "tag=QS-0417")
    room.well("log", "weighed", "qs-0417", "grams=390")
    assert entries(room)[-1]["about"] == "animal/mulga"


def test_a_beginning_that_could_be_two_is_refused_and_both_are_named(room: Door) -> None:
    room.well("log", "arrived", "watson", "place=b4")
    said = room("log", "weighed", "wat", "grams=452")
    assert said.code == 5
    assert "“wat” may be watson (animal/watson), Wattle (animal/wattle): write the id." in said.err


def test_one_that_is_here_goes_before_one_that_is_gone(room: Door) -> None:
    room.well("log", "arrived", "watson", "place=b4")
    room.at("2026-04-12 18:01")
    room.well("log", "left", "watson", "how=lent")
    room.well("log", "weighed", "wat", "grams=452")
    assert entries(room)[-1]["about"] == "animal/wattle"


def test_an_unknown_subject_is_refused_and_the_nearest_is_offered(room: Door) -> None:
    said = room("log", "weighed", "animal/wattel", "grams=452")
    assert said.code == 5
    assert "“animal/wattel” never arrived; write “arrived” first. Did you mean Wattle (animal/wattle)?" in said.err
    said = room("log", "cleaned", "B9")
    assert "There is no enclosure “B9” here." in said.err


def test_json_lines_take_names_but_no_beginnings(room: Door) -> None:
    assert room("log", "-", stdin=line("weighed", "wat", grams=452)).code == 5
    room.well("log", "-", stdin=line("weighed", "Wattle", grams=452))
    assert entries(room)[-1]["about"] == "animal/wattle"


def test_an_entry_that_opens_a_subject_needs_none_before(room: Door) -> None:
    said = room.well("log", "arrived", "Günther Groß", "sex=M", "place=B4")
    assert "Günther Groß" in said.out
    assert entries(room)[-1]["about"] == "animal/gunther-gross"
    room.well("log", "arrived", "hatch-1", "name=Hatch 1", "count=12", "place=b4")
    assert entries(room)[-1]["about"] == "group/hatch-1"
    room.well("log", "enclosure_set_up", "B5", "what=tank")
    assert entries(room)[-1]["about"] == "enclosure/b5"


def test_lines_may_speak_of_what_they_open_themselves(room: Door) -> None:
    room.well(
        "log",
        "-",
        stdin="\n".join(
            [
                line("arrived", "animal/mulga", name="Mulga", place="B7"),
                line("enclosure_set_up", "enclosure/b7", name="B7"),
                line("weighed", "Mulga", grams=390),
            ]
        ),
    )
    assert [one["about"] for one in entries(room)[-3:]] == ["animal/mulga", "enclosure/b7", "animal/mulga"]


def test_an_animal_that_is_here_does_not_arrive_again(room: Door) -> None:
    said = room("log", "arrived", "wattle", "place=b4")
    assert said.code == 5
    assert "wattle (animal/wattle) is here already, arrived 01 Mar 2026." in said.err
    room.well("log", "left", "wattle", "how=lent")
    room.well("log", "arrived", "wattle", "name=Wattle", "place=b4")


def test_parents_may_have_lived_elsewhere_and_a_mate_may_not(room: Door) -> None:
    room.well("log", "arrived", "mulga", "place=b4", "sire=old-gum", "dam=wattle")
    written = entries(room)[-1]
    assert (written["sire"], written["dam"]) == ("animal/old-gum", "animal/wattle")
    said = room("log", "put_together", "wattle", "mate=old-gum")
    assert said.code == 5
    assert "There is no animal “old-gum” here." in said.err


def test_eggs_laid_go_to_the_clutch_she_has_begun_or_to_her_next(room: Door) -> None:
    room.well("log", "eggs_laid", "wattle", "count=4")
    room.well("log", "eggs_laid", "wattle", "count=19", "complete=true", "--at", "18:00")
    room.at("2026-05-20 18:00")
    room.well("log", "eggs_laid", "wattle", "count=3")
    assert [one["clutch"] for one in entries(room)[-3:]] == [
        "clutch/wattle-2026-1",
        "clutch/wattle-2026-1",
        "clutch/wattle-2026-2",
    ]


# When, and who


def test_nobody_is_asked_for_by_name_when_no_keeper_is_given(room: Door) -> None:
    said = room("log", "weighed", "wattle", "grams=452", by=None)
    assert said.code == 5
    assert "who is writing? Give --by with your initials, or set ROUNDS_KEEPER" in said.err


def test_a_time_without_offset_is_the_rooms_and_a_foreign_offset_is_turned_into_it(room: Door) -> None:
    room.well(
        "log",
        "-",
        stdin="\n".join(
            [
                line("weighed", "wattle", grams=450, at="2026-04-12T07:15"),
                line("weighed", "wattle", grams=451, at="2026-04-12T05:20:00Z"),
            ]
        ),
    )
    assert [one["at"] for one in entries(room)[-2:]] == ["2026-04-12T07:15:00+02:00", "2026-04-12T07:20:00+02:00"]


def test_the_hour_that_the_spring_change_leaves_out_is_said(room: Door) -> None:
    # RFC 5545 §3.3.5: read with the offset before the gap. Europe/Vienna leaves out 02:00–03:00 on 29 Mar 2026.
    said = room.well("log", "-", stdin=line("weighed", "wattle", grams=450, at="2026-03-29T02:30"))
    assert "02:30 was left out by the room's clock on 2026-03-29: read as 03:30" in said.err
    assert entries(room)[-1]["at"] == "2026-03-29T03:30:00+02:00"


def test_the_hour_that_comes_twice_in_autumn_is_the_first(room: Door) -> None:
    # RFC 5545 §3.3.5: the first of the two. Europe/Vienna repeats 02:00–03:00 on 25 Oct 2026.
    room.at("2026-10-26 08:00")
    said = room.well("log", "-", stdin=line("weighed", "wattle", grams=450, at="2026-10-25T02:30"))
    assert "02:30 came twice on 2026-10-25: read as the first" in said.err
    assert entries(room)[-1]["at"] == "2026-10-25T02:30:00+02:00"


def test_what_lies_ahead_of_the_clock_is_refused(room: Door) -> None:
    said = room("log", "weighed", "wattle", "grams=452", "--at", "19:00")
    assert said.code == 5
    assert "“19:00” is today, Sun 12 Apr 19:00: that has not come yet." in said.err


# All or nothing


def test_one_bad_line_writes_none_and_each_error_names_its_line(room: Door) -> None:
    before = room.sheets()
    said = room(
        "log",
        "-",
        stdin="\n".join(
            [
                line("weighed", "wattle", grams=450),
                "",
                line("weighed", "wattle", grams="heavy"),
                line("wieghed", "wattle", grams=450),
                line("weighed", "nobody", grams=450),
                line("weighed", "wattle", gramms=450),
                line("weighed", "wattle"),
                line("cleaned", "wattle"),
                line("fed", "wattle", food="mice"),
                line("weighed", "wattle", grams=450, at="12 Aprilis"),
                line("weighed", "wattle", grams=450, at="2026-02-30T07:15"),
            ]
        ),
    )
    assert said.code == 5
    assert room.sheets() == before
    told = said.err.splitlines()
    assert told[0] == "Nothing was written:"
    expected = [
        "line 3: weighed, grams: wanted a number, got text",
        "line 4: “wieghed” is no entry kind; docs/entries.md lists them. Did you mean weighed",
        "line 5: There is no animal or group “nobody” here.",
        "line 6: weighed has no member 'gramms'; it may have about, at, by, grams, note, number, smallest, written",
        "line 7: weighed: it lacks `grams`",
        "line 8: There is no enclosure “wattle” here, only Wattle (animal/wattle).",
        "line 9: fed, food: there is no word 'mice'; it may be insects, greens, other",
        "line 10: “12 Aprilis” is no time; write 7:30, yesterday 18",
        "line 11: “2026-02-30T07:15” is no time: there is no such day",
    ]
    for sentence, wanted in zip(told[1:], expected, strict=True):
        assert sentence.strip().startswith(wanted)


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ('{"kind": "weighed"', "line 1: it is no JSON"),
        ("[1, 2]", "line 1: it is no JSON object"),
        ('{"about": "wattle"}', "it has no kind"),
        ('{"kind": 7, "about": "wattle"}', "its kind is no word"),
        ('{"kind": ["weighed"], "about": "wattle"}', "its kind is no word"),
        ('{"kind": {"kind": "weighed"}, "about": "wattle"}', "its kind is no word"),
        ('{"kind": null, "about": "wattle"}', "it has no kind"),
        ('{"kind": 1e400, "about": "wattle"}', "it is no JSON"),
        (f'{{"kind": {"[" * 5_000}{"]" * 5_000}, "about": "wattle"}}', "it is no JSON"),
        ('{"kind": "noted", "about": "wattle", "note": "a", "note": "b"}', "“note” stands in it twice"),
        ('{"kind": "noted", "kind" : "died", "about": "wattle"}', "“kind” stands in it twice"),
        ('{"kind": "weighed", "about": 7, "grams": 450}', "weighed, about: wanted text, got a whole number"),
        ('{"kind": "weighed", "grams": 450}', "weighed: it lacks `about`"),
        ('{"kind": "weighed", "about": "wattle", "grams": 1e999}', "line 1: "),
        ('{"kind": "weighed", "about": "animal/Wattle!", "grams": 4}', "is no id: animal/…"),
        ('{"kind": "noted", "about": "", "note": "x"}', "Whom is it about?"),
        ('{"kind": "weighed", "about": "wattle", "grams": 0}', "weighed, grams: wanted a number above 0\n"),
        ('{"kind": "weighed", "about": "wattle", "grams": 9e9}', "weighed, grams: wanted a number at most 5,000\n"),
        ('{"kind": "died", "about": "wattle", "count": -1}', "died, count: wanted a whole number at least 0\n"),
        (f'{{"kind": "noted", "about": "wattle", "note": "{"x" * 10_001}"}}', "text of at most 10,000 letters\n"),
        (f'{{"kind": "weighed", "about": "wattle", "grams": 1{"0" * 400}}}', "grams: the number is too large\n"),
    ],
)
def test_lines_that_are_no_entries_are_answered_with_a_sentence(room: Door, given: str, told: str) -> None:
    before = room.sheets()
    said = room("log", "-", stdin=given)
    assert said.code == 5
    assert told in said.err
    assert "Traceback" not in said.err
    assert room.sheets() == before


def test_bytes_that_are_no_text_are_answered_with_a_sentence(room: Door) -> None:
    said = room("log", "-", stdin=b'{"kind": "noted", "about": "room", "note": "\xff\xfe"}')
    assert said.code == 5
    assert "line 1: " in said.err


def test_very_many_bad_lines_are_not_all_told(room: Door) -> None:
    said = room("log", "-", stdin="\n".join(["nothing"] * 500))
    assert "and 480 more" in said.err
    assert len(said.err.splitlines()) == 22


def test_nothing_on_standard_input_is_said(room: Door) -> None:
    said = room.well("log", "-", stdin="\n\n")
    assert said.err == "Nothing was given on standard input, so nothing was written.\n"


def test_a_dry_run_writes_nothing(room: Door) -> None:
    before = room.sheets()
    said = room.well("log", "--dry-run", "-", stdin=line("weighed", "wattle", grams=450))
    assert "1 entry could be written; nothing was (--dry-run)." in said.err
    assert room.sheets() == before


# Ids


def test_a_line_that_stands_on_the_sheets_already_is_skipped_and_said(room: Door) -> None:
    room.well("log", "weighed", "wattle", "grams=452")
    lines = room.well("show", "--lines").out
    before = room.sheets()
    said = room.well("log", "-", stdin=lines)
    assert said.err == "7 entries stood on the sheets already and were left as they are.\n"
    assert room.sheets() == before


def test_a_note_with_a_delete_character_reads_back(room: Door) -> None:
    room.well("log", "-", stdin=line("noted", "wattle", note="dug\x7f again"))
    assert json.loads(room.well("show", "--lines").out.splitlines()[-1])["note"] == "dug\x7f again"
    assert json.loads(room.well("show", "wattle", "--json").out)["entries"][0]["note"] == "dug\x7f again"


def test_an_id_that_belongs_to_another_entry_is_refused(room: Door) -> None:
    id = room.well("log", "weighed", "wattle", "grams=452").out.split()[0]
    said = room("log", "-", stdin=line("weighed", "sedge", grams=398, id=id, at="2026-04-12T17:00:00+02:00"))
    assert said.code == 5
    assert (
        f"line 1: the id {id} belongs to another entry: weighed 452 g, animal/wattle, 2026-04-12 18:00 AK"
        in said.err
    )


def test_one_id_twice_in_the_lines_is_refused_unless_it_is_the_same(room: Door) -> None:
    one = line("weighed", "animal/wattle", grams=450, id="w1", by="AK", at="2026-04-12T07:15:00+02:00")
    other = line("weighed", "animal/wattle", grams=451, id="w1", by="AK", at="2026-04-12T07:15:00+02:00")
    assert room("log", "-", stdin=f"{one}\n{other}").code == 5
    room.well("log", "-", stdin=f"{one}\n{one}")
    assert [one["id"] for one in entries(room) if one["kind"] == "weighed"] == ["w1"]


def test_a_line_copied_from_a_sheet_is_taken_and_one_changed_after_that_is_not(room: Door) -> None:
    room.well("log", "weighed", "wattle", "grams=452")
    (sheet,) = [one for path, one in room.sheets().items() if "2026-04-12" in path]
    room.well("log", "-", stdin=sheet)
    said = room("log", "-", stdin=sheet.replace(b"452", b"352"))
    assert said.code == 5
    assert "it was copied from a sheet and changed" in said.err


# Corrections and the hand-over


def test_a_correction_takes_its_subjects_from_the_entry_it_replaces(room: Door) -> None:
    id = room.well("log", "mating_seen", "wattle", "sire=karri").out.split()[0]
    room.well("log", "corrected", f"replaces={id}", "because=it was Sedge")
    written = entries(room)[-1]
    assert (written["about"], written["also"]) == ("animal/wattle", ["animal/karri"])
    assert "[corrected, does not count: " in room.well("show", "wattle").out


def test_a_correction_of_nothing_or_of_a_correction_is_refused(room: Door) -> None:
    said = room("log", "corrected", "replaces=0nosuchentry")
    assert said.code == 5
    assert "there is no entry 0nosuchentry to correct" in said.err
    id = room.well("log", "weighed", "wattle", "grams=445").out.split()[0]
    id = room.well("log", "corrected", f"replaces={id}").out.split()[0]
    said = room("log", "corrected", f"replaces={id}")
    assert "a correction is not corrected" in said.err


def test_a_hand_over_is_not_logged_past_an_unread_danger(room: Door) -> None:
    room.well("log", "mating_seen", "wattle", "sire=karri", "--at", "2026-03-20T09:00")
    room.well("log", "condition_seen", "wattle", "signs=straining")
    said = room("log", "handed_over", "note=all well")
    assert said.code == 7
    assert "Not signed: 1 vet-now matter no one has read." in said.err
    key = room.well("matters", "--json").json["matters"][0]["key"]
    room.well("log", "acknowledged", "wattle", f"matter={key}", "level=vet now")
    room.well("log", "taken_over")
    room.at("2026-04-12 18:01")
    room.well("log", "handed_over", "note=with the vet")


# Every kind


def test_every_kind_is_answered_with_a_sentence_when_nothing_is_given_with_it(room: Door) -> None:
    for kind in KINDS:
        said = room("log", kind)
        assert said.code in (0, 5, 7), (kind, said.err)
        assert "fault of this program" not in said.err


def test_json_tells_what_was_written(room: Door) -> None:
    told = room.well("log", "weighed", "wattle", "grams=452", "--json").json
    assert told["format"] == 1
    assert told["written"][0]["grams"] == 452
    assert told["skipped"] == []


def test_a_name_with_an_escape_sequence_never_reaches_the_terminal_as_one(room: Door) -> None:
    room.well("log", "arrived", "animal/odd", "name=\x1b[2JOdd\u202e", "place=b4")
    for words in (
        ("show", "odd"),
        ("today",),
        ("matters",),
        ("hand-over",),
        ("check",),
        ("log", "weighed", "odd", "grams=4"),
    ):
        said = room(*words)
        assert "\x1b" not in said.out + said.err
        assert "\u202e" not in said.out + said.err
    assert "\\x1b[2JOdd\\u202e" in room.well("show", "odd").out
    for asked in (("show", "odd", "--json"), ("today", "--json"), ("show", "--lines")):
        assert room.well(*asked).out.isascii()


def test_what_was_written_is_said_by_the_names_on_the_tubs(room: Door) -> None:
    assert "Sedge  moved to B4" in room.well("log", "moved", "sedge", "to=b4").out
