"""`rounds fit`, and what the plain door asks before a pairing or a brumation is written."""

from __future__ import annotations

import pytest

from tests.cli.conftest import Door


@pytest.fixture
def weighed(room: Door) -> Door:
    """Wattle grown and weighed, Sedge too light."""
    room.well("log", "weighed", "wattle", "grams=440", "--sure")
    room.well("log", "condition_seen", "wattle", "body=good", "look=bright")
    room.well("log", "weighed", "sedge", "grams=330", "--sure")
    return room


def test_all_adults_stand_in_a_table_with_the_reason(weighed: Door) -> None:
    said = weighed("fit")
    assert said.code == 0
    assert "Sedge" in said.out
    assert "not now: too light (330 g, bred from 350 g)" in " ".join(said.out.split())
    assert weighed("fit", "--json").json["animals"], "the same for machines"


def test_one_animal_has_each_check_with_its_figure_its_rule_and_its_source(weighed: Door) -> None:
    said = " ".join(weighed("fit", "sedge").out.split())
    assert "330 g on 12 Apr, bred from 350 g" in said
    assert "a female is bred from the weight of: 350 g (grade C, keepers (adults 350–600 g: Boyer)" in said
    (one,) = weighed("fit", "sedge", "--json").json["animals"]
    (check,) = [check for check in one["checks"] if check["check"] == "weight"]
    assert (check["answer"], check["rules"][0]["value"], check["rules"][0]["grade"]) == ("no", "350 g", "C")
    assert [entry["grams"] for entry in check["entries"]] == [330]


def test_an_enclosure_is_not_paired(room: Door) -> None:
    said = room("fit", "B3")
    assert said.code != 0
    assert "name an animal" in said.err


def test_what_speaks_against_a_pairing_is_said_and_written_once_it_is_sure(weighed: Door) -> None:
    said = weighed("log", "put_together", "sedge", "mate=karri")
    assert said.code != 0
    assert "Sedge: too light (330 g, bred from 350 g)." in said.err
    weighed.well("log", "put_together", "sedge", "mate=karri", "--sure")
    assert "with Karri since today" in weighed("show", "sedge").out


@pytest.mark.parametrize(
    ("before", "asked"),
    [
        ((), "Wattle: no faecal test is noted. Test before brumation."),
        (("tested", "wattle", "what=faecal test"), "has no result yet"),
        (("tested", "wattle", "what=faecal test", "clear=false"), "was not clear"),
        (("tested", "wattle", "what=faecal test", "clear=true"), ""),
    ],
)
def test_brumation_asks_for_a_clear_faecal_test(room: Door, before: tuple[str, ...], asked: str) -> None:
    if before:
        room.well("log", *before)
    said = room("log", "brumation_began", "wattle")
    assert (said.code != 0) == bool(asked)
    assert asked in said.err
    if asked:
        room.well("log", "brumation_began", "wattle", "--sure")


def test_an_animal_under_treatment_is_not_brumated_unasked(room: Door) -> None:
    room.well("log", "tested", "wattle", "what=faecal test", "clear=true")
    room.well("log", "vet_seen", "wattle", "under_treatment_until=2026-05-01")
    said = room("log", "brumation_began", "wattle")
    assert said.code != 0
    assert "Wattle: under treatment to 1 May. An animal under treatment is not brumated." in said.err
