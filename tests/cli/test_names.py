"""Whom a keeper means: every subject goes by its own name or id, and no sign stands before it."""

from __future__ import annotations

import json
import unicodedata

import pytest

from rounds.logbook.entries import KINDS
from tests.cli.conftest import Door


def last(room: Door) -> dict[str, object]:
    """The entry that was written last."""
    found: dict[str, object] = json.loads(room.well("show", "--lines").out.splitlines()[-1])
    return found


@pytest.mark.parametrize(
    ("word", "plain"),
    [
        ("@b3", "“@b3” is written without the sign: b3, or enclosure/b3."),
        ("+hatch-1", "“+hatch-1” is written without the sign: hatch-1, or group/hatch-1."),
        ("%wattle-2026-1", "“%wattle-2026-1” is written without the sign: wattle-2026-1, or clutch/wattle-2026-1."),
        ("@Karri", "“@Karri” is written without the sign: karri, or enclosure/karri."),
    ],
)
def test_a_sign_before_a_name_is_refused_and_the_way_to_write_it_is_said(room: Door, word: str, plain: str) -> None:
    before = room.sheets()
    for words in (
        ("show", word),
        ("matters", "--about", word),
        ("log", "noted", word, "--note", "dusty"),
        ("log", "moved", "wattle", f"to={word}"),
        ("log", "arrived", word, "count=3"),
        ("log", "arrived", "nell", f"dam={word}"),
        ("log", "enclosure_set_up", word),
        ("log", "eggs_laid", "wattle", "count=4", f"clutch={word}"),
    ):
        said = room(*words)
        assert said.code == 5, words
        assert plain in said.err, words
    assert room.sheets() == before


def test_a_name_that_begins_with_a_sign_is_a_name(room: Door) -> None:
    room.well("log", "enclosure_set_up", "b9", "name=+1 shelf")
    room.well("log", "cleaned", "+1 shelf")
    assert last(room)["about"] == "enclosure/b9"


def test_an_animal_and_a_tub_of_one_name_are_told_apart_by_the_id(room: Door) -> None:
    room.well("log", "enclosure_set_up", "Wattle")
    said = room("log", "fed", "Wattle")
    assert said.code == 5
    assert "“Wattle” may be Wattle (animal/wattle), Wattle (enclosure/wattle): write the id." in said.err
    room.well("log", "fed", "enclosure/wattle")
    assert last(room)["about"] == "enclosure/wattle"


def test_an_entry_that_is_about_one_sort_only_asks_for_no_id(room: Door) -> None:
    room.well("log", "enclosure_set_up", "Wattle")
    room.well("log", "weighed", "Wattle", "grams=450")
    assert last(room)["about"] == "animal/wattle"
    room.well("log", "cleaned", "Wattle")
    assert last(room)["about"] == "enclosure/wattle"
    room.well("log", "moved", "Sedge", "to=Wattle")
    assert (last(room)["about"], last(room)["to"]) == ("animal/sedge", "enclosure/wattle")


def test_one_of_another_sort_is_said_to_be_so(room: Door) -> None:
    said = room("log", "moved", "sedge", "to=Karri")
    assert said.code == 5
    assert "There is no enclosure “Karri” here, only Karri (animal/karri)." in said.err


@pytest.mark.parametrize("word", ["Enclosure/B3", "ENCLOSURE/b3", "B3", "b3"])
def test_large_and_small_letters_are_alike(room: Door, word: str) -> None:
    room.well("log", "cleaned", word)
    assert last(room)["about"] == "enclosure/b3"


@pytest.mark.parametrize(
    "word", ["Große  Grüne", "große grüne", unicodedata.normalize("NFD", "Große Grüne"), "grosse-grune"]
)
def test_spaces_and_umlauts_are_written_as_they_are(room: Door, word: str) -> None:
    room.well("log", "arrived", "Große Grüne", "place=B4")
    room.well("log", "weighed", word, "grams=300")
    assert last(room)["about"] == "animal/grosse-grune"


def test_a_name_with_a_slash_is_a_name_unless_it_begins_with_a_sort(room: Door) -> None:
    room.well("log", "enclosure_set_up", "b9", "name=B9 / left")
    room.well("log", "cleaned", "b9 / left")
    assert last(room)["about"] == "enclosure/b9"
    said = room("show", "animal/Grüne")
    assert "“animal/Grüne” is no id" in said.err
    assert "such as animal/grune." in said.err


def test_a_name_nobody_has_yet_opens_its_subject(room: Door) -> None:
    room.well("log", "arrived", "Hatch 1", "count=12", "place=B4")
    assert (last(room)["about"], last(room)["name"]) == ("group/hatch-1", "Hatch 1")
    room.well("log", "arrived", "Nell", "count=1", "place=B4")
    assert last(room)["about"] == "animal/nell"
    room.well("log", "-", stdin=json.dumps({"kind": "arrived", "about": "Hatch 2", "name": "Hatch 2", "count": 9}))
    assert last(room)["about"] == "group/hatch-2"
    room.well("log", "arrived", "group/one-left", "count=1", "place=B4")
    assert last(room)["name"] == "one-left"


def test_the_room_is_the_room_and_a_tub_may_be_called_so(room: Door) -> None:
    room.well("log", "noted", "Room", "--note", "door sticks")
    assert last(room)["about"] == "room"
    room.well("log", "enclosure_set_up", "Room")
    room.well("log", "noted", "room", "--note", "door sticks")
    assert last(room)["about"] == "room"
    room.well("log", "noted", "Room", "--note", "dusty")
    assert last(room)["about"] == "enclosure/room"


def test_no_help_shows_a_sign(room: Door) -> None:
    told = "".join(room.well("help", word).out for word in ("log", "show", "matters", *sorted(KINDS)))
    assert not [sign for sign in ("@b", "+hatch", "%wattle") if sign in told]
