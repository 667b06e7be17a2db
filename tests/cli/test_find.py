"""`rounds find`: what a keeper looks for among all that was written."""

from __future__ import annotations

import json

import pytest

from tests.cli.conftest import Door
from tests.hostile.hostile import HOSTILE, safe


@pytest.fixture
def season(room: Door) -> Door:
    """A season of two females: weights, a refusal told late, a slip corrected, eggs, a hot basking spot."""
    for words in (
        ("weighed", "wattle", "grams=310", "--at", "2026-03-02 07:00"),
        ("weighed", "wattle", "grams=295", "--at", "2026-03-16 07:00"),
        ("weighed", "sedge", "grams=290", "--at", "2026-03-16 07:05", "--note", "after shedding"),
        ("moved", "sedge", "to=B4", "--at", "2026-03-20 09:00", "--note", "dusty corner in B3"),
        ("ate", "wattle", "how=refused", "--at", "2026-03-21 18:00", "--by", "EM"),
        ("eggs_laid", "wattle", "count=12", "complete=true", "--at", "2026-04-01 10:00"),
        ("climate_read", "B3", "basking_c=47", "cool_c=24", "--at", "2026-04-02 12:00"),
        ("left_out", "sedge", "care=weigh", "reason=dusty scale", "--at", "2026-04-03 08:00"),
    ):
        room.well("log", *words)
    return room


def found(door: Door, *words: str) -> list[str]:
    """Each that was found in short: its day, its kind and whom it is about."""
    return [
        f"{one['at'][5:10]} {one['entry']['kind']} {one['about'].rpartition('/')[2]}"
        for one in door.well("find", *words, "--json").json["entries"]
    ]


def test_by_kind_and_figure_newest_first(season: Door) -> None:
    assert found(season, "weighed", "grams<300") == ["03-16 weighed sedge", "03-16 weighed wattle"]
    assert found(season, "weighed", "grams", "above", "300") == ["03-02 weighed wattle"]
    assert found(season, "degrees>46") == ["04-02 climate_read b3"]


def test_eggs_are_eggs_and_no_animals(room: Door) -> None:
    for words in (
        ("enclosure_set_up", "S1", "what=incubator shelf", "--at", "2026-02-01 09:00"),
        ("eggs_laid", "wattle", "count=20", "complete=true", "--at", "2026-02-01 10:00"),
        ("eggs_boxed", "wattle-2026-1", "count=18", "place=S1", "--at", "2026-02-01 11:00"),
        ("eggs_lost", "wattle-2026-1", "count=2", "--at", "2026-02-01 12:00"),
        ("hatched", "wattle-2026-1", "count=17", "--at", "2026-04-05 10:00"),
    ):
        room.well("log", *words)
    boxed_and_laid = ["02-01 eggs_boxed wattle-2026-1", "02-01 eggs_laid wattle"]
    assert found(room, "eggs", "above", "15") == ["04-05 hatched wattle-2026-1", *boxed_and_laid]
    assert found(room, "eggs", "below", "5") == ["02-01 eggs_lost wattle-2026-1"]
    assert found(room, "count", "above", "16", "hatched") == ["04-05 hatched wattle-2026-1"]


def test_by_subject_whose_page_an_entry_stands_on(season: Door) -> None:
    assert found(season, "B4", "moved") == ["03-20 moved sedge"]
    assert found(season, "Sedge", "B4", "since", "2", "mar") == ["03-20 moved sedge"]
    assert found(season, "Wattle", "B4", "since", "2", "mar") == []


def test_by_keeper_and_period(season: Door) -> None:
    assert found(season, "by", "em") == ["03-21 ate wattle"]
    assert found(season, "since", "20", "mar", "until", "1", "apr") == [
        "04-01 eggs_laid wattle",
        "03-21 ate wattle",
        "03-20 moved sedge",
    ]
    assert found(season, "since -10d") == ["04-03 left_out sedge", "04-02 climate_read b3"]
    assert found(season, "since", "-10d", "sedge") == ["04-03 left_out sedge"]
    assert season.well("--on", "2026-04-12", "find", "since", "-10d", "sedge").out.count("left out weigh") == 1
    assert found(season, "on", "21", "mar") == ["03-21 ate wattle"]


def test_by_words_in_notes_and_reasons(season: Door) -> None:
    assert found(season, "note", "DUSTY") == ["04-03 left_out sedge", "03-20 moved sedge"]
    assert found(season, 'note "dusty corner"') == ["03-20 moved sedge"]


def test_a_figure_that_is_as_usual_is_found_too(season: Door) -> None:
    assert found(season, "eggs_laid", "slugs=0") == ["04-01 eggs_laid wattle"]
    assert found(season, "slugs>0") == []


def test_a_corrected_entry_is_found_and_marked(season: Door) -> None:
    wrong = season.well("find", "sedge", "weighed", "--json").json["entries"][0]["entry"]["id"]
    season.well("log", "corrected", f"replaces={wrong}", "because=it was Fern")
    by = season.well("find", "corrected", "--json").json["entries"][0]["entry"]["id"]
    for words in (("sedge", "weighed"), ("weighed", "in", "mar", "2026"), ("weighed",)):
        said = season.well("find", *words)
        assert f"[corrected, does not count: {by}] Sedge: weighed 290 g: after shedding" in " ".join(
            said.out.split()
        )
    (marked,) = [one for one in season.well("find", "weighed", "--json").json["entries"] if one["corrected_by"]]
    assert marked["entry"]["id"] == wrong


def test_only_the_newest_two_hundred_are_shown_and_how_to_see_more_is_said(room: Door) -> None:
    hours = [(number // 24 + 2, number % 24) for number in range(201)]
    lines = [
        json.dumps({"kind": "noted", "about": "room", "note": "quiet", "at": f"2026-03-{day:02}T{hour:02}:00"})
        for day, hour in hours
    ]
    room.well("log", "-", stdin="\n".join(lines))
    said = room.well("find", "noted")
    assert "THE NEWEST 200 ENTRIES; THERE ARE MORE" in said.out
    assert "--all shows every one; “until 2 Mar 2026” goes on from the oldest of these." in said.out
    assert len(room.well("find", "noted", "--json").json["entries"]) == 200
    assert room.well("find", "noted", "--json").json["more"] is True
    every = room.well("find", "noted", "--all", "--json").json
    assert (len(every["entries"]), every["more"]) == (201, False)
    assert "201 ENTRIES, NEWEST FIRST" in room.well("find", "noted", "--all").out


def test_nothing_found_is_said_with_what_was_asked(season: Door) -> None:
    said = season.well("find", "wattle", "died", "since", "1", "mar")
    assert "died, Wattle, since 1 Mar 2026" in said.out
    assert "Nothing on the sheets fulfils all of it." in said.out


def test_looking_back_what_came_later_does_not_count(season: Door) -> None:
    assert found(season, "weighed", "--on", "2026-03-10") == ["03-02 weighed wattle"]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("wieghed",), "“wieghed” is no entry kind either. Did you mean weighed?"),
        (
            ("Watle",),
            "There is no animal, group, enclosure, clutch or supply “Watle” here. Did you mean Wattle "
            "(animal/wattle)?",
        ),
        (("@b3",), "“@b3” is written without the sign: b3, or enclosure/b3."),
        (("weighed", "eggs>3"), "weighed has no eggs. Its figures: grams, number, smallest."),
        (("grams<lots",), "“lots” is no figure: write grams<300."),
        (("since", "12", "apr", "until", "1", "mar"), "The period ends before it begins"),
    ],
)
def test_what_cannot_be_looked_for_is_said_in_a_sentence(season: Door, words: tuple[str, ...], told: str) -> None:
    said = season("find", *words)
    assert (said.code, said.out) == (5, "")
    assert told in said.err


def test_a_time_ago_alone_is_no_command(room: Door) -> None:
    told = room("find", "-2d")
    assert told.code == 2
    assert "no command" not in told.err


def test_the_first_and_the_last_day_of_the_calendar_are_days(season: Door) -> None:
    every = found(season, "weighed")
    assert found(season, "weighed", "since", "0001-01-01") == every
    assert found(season, "weighed", "until", "9999-12-31") == every
    assert found(season, "weighed", "since", "0001-01-01", "until", "9999-12-31") == every
    assert found(season, "weighed", "on", "9999-12-31") == found(season, "weighed", "on", "0001-01-01") == []


def test_ever_so_many_conditions_are_asked(season: Door) -> None:
    assert found(season, "weighed", *["grams<300"] * 2_000) == found(season, "weighed", "grams<300")


def test_without_a_condition_the_usage_is_shown(room: Door) -> None:
    assert room("find").code == 2


def test_hostile_notes_are_found_and_shown_safely(room: Door) -> None:
    notes = list(HOSTILE.values())
    lines = [json.dumps({"kind": "noted", "about": "wattle", "note": f"{note} marker"[-9_999:]}) for note in notes]
    room.well("log", "-", stdin="\n".join(lines))
    said = room.well("find", "note marker")
    safe(said.out)
    assert len(room.well("find", "note marker", "--json").json["entries"]) == len(notes)
