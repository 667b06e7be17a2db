"""`rounds boxes`, and what the command line refuses or doubts of eggs, as the screens do."""

from __future__ import annotations

import json

import pytest

from tests.cli.conftest import Door
from tests.cli.test_no_slip import refused


@pytest.fixture
def eggs(room: Door) -> Door:
    """The room, with a clutch in a box on a shelf."""
    for words in (
        ("enclosure_set_up", "S1", "what=incubator shelf"),
        ("enclosure_set_up", "K1", "what=egg box"),
        ("eggs_laid", "wattle", "count=21", "slugs=1", "complete=true", "--at", "-12d"),
        (
            *("egg_box_made_up", "K1", "medium=vermiculite", "tare_grams=95", "dry_grams=120", "ratio=1"),
            *("shelf=S1", "--at", "-12d"),
        ),
        ("eggs_boxed", "wattle-2026-1", "count=18", "place=K1", "eggs_grams=77", "--at", "-12d"),
        ("egg_box_weighed", "K1", "grams=405", "--at", "-1d"),
    ):
        room.well("log", *words)
    return room


def test_each_box_is_told_with_its_eggs_its_weight_and_what_to_add(eggs: Door) -> None:
    text = eggs.well("boxes").out
    assert "K1     Wattle 1 18 eggs day 12  405 g of 412 g  top up 7 g (7 ml)  candle" in text
    assert "vermiculite, 120 g dry, 120 g water, now 0.94 : 1, -139 kPa ± 30 %" in text
    (box,) = eggs.well("boxes", "S1", "--json").json["boxes"]
    assert (box["box"], box["shelf_name"], box["target_grams"], box["top_up_grams"]) == (
        "enclosure/k1",
        "S1",
        412,
        7,
    )
    assert (box["eggs"], box["clutches"][0]["day"], box["weigh_next"]) == (18, 12, "2026-04-18")
    assert [line["care"] for line in box["due"]] == ["egg box", "candle"]
    assert eggs.well("boxes", "B3", "--json").json["boxes"] == []


def test_tare_up_side_lid_and_shelf_are_on_the_page_of_the_box(eggs: Door) -> None:
    eggs.well("log", "candled", "wattle-2026-1", "up_marked=true", "place=K1", "--at", "-12d")
    (box,) = eggs.well("boxes", "K1", "--json").json["boxes"]
    assert (box["tare_grams"], box["clutches"][0]["up_marked"], box["shelf_name"]) == (95, True, "S1")
    assert "95 g empty, up-side marked" in " ".join(eggs.well("boxes", "K1").out.split())
    assert "95 g empty, up-side marked" in " ".join(eggs.well("show", "K1").out.split())


def test_the_page_of_a_box_tells_the_same(eggs: Door) -> None:
    assert "lid: K1 · Wattle 1 · laid 31 Mar · 18 eggs · 412 g" in eggs.well("show", "K1").out
    assert "K1  Wattle 1 18 eggs day 12" in eggs.well("show", "S1").out


def test_what_would_break_the_census_is_refused_with_the_sum(eggs: Door) -> None:
    eggs.well("log", "eggs_lost", "wattle-2026-1", "count=2", "place=K1")
    refused(
        eggs,
        *("log", "hatched", "wattle-2026-1", "count=19"),
        told="Wattle 1: 21 laid = 1 slug + 2 removed + 16 in + 2 not boxed: 19 cannot hatch. "
        "Twins? Say of how many eggs. "
        "One that was taken out hatched? Correct that loss.",
    )
    two = "".join(
        json.dumps({"kind": "hatched", "about": "wattle-2026-1", "count": count}) + "\n" for count in (10, 9)
    )
    refused(eggs, "log", "-", stdin=two, told="cannot hatch")
    assert eggs.well("show", "wattle-2026-1", "--json").json["census"]["says"] == (
        "21 laid = 1 slug + 2 removed + 16 in + 2 not boxed"
    )


def test_a_correction_is_held_to_the_sum_too(eggs: Door) -> None:
    entries = eggs.well("show", "wattle-2026-1", "--json").json["entries"]
    laid = next(one["entry"]["id"] for one in entries if one["entry"]["kind"] == "eggs_laid")
    eggs.well("log", "eggs_laid", "wattle", "clutch=wattle-2026-1", "count=24", "complete=true")
    eggs.well("log", "eggs_boxed", "wattle-2026-1", "count=23", "place=K1", "--sure")
    later = eggs.well("show", "wattle-2026-1", "--json").json["entries"]
    newest = next(
        one["entry"]["id"] for one in later if one["entry"]["kind"] == "eggs_laid" and one["entry"]["id"] != laid
    )
    refused(
        eggs,
        "log",
        "-",
        stdin=json.dumps({"kind": "corrected", "about": "wattle", "replaces": newest}) + "\n",
        told="Without this entry it does not add up",
    )


def test_a_far_off_box_weight_wants_to_be_sure_of(eggs: Door) -> None:
    told = "K1: 45 g is 360 g less than 405 g on 11 Apr. Is that what the scale says?"
    refused(eggs, "log", "egg_box_weighed", "K1", "grams=45", told=told)
    eggs.well("log", "egg_box_weighed", "K1", "grams=45", "--sure")


def test_more_eggs_candled_than_there_are_is_asked_about(eggs: Door) -> None:
    told = "Wattle 1: 20 eggs, but 18 are in K1. Is that the count?"
    refused(eggs, "log", "candled", "wattle-2026-1", "fertile=19", "clear=1", "place=K1", told=told)


@pytest.mark.parametrize(
    ("words", "says", "add"),
    [
        (("--dry", "120", "--scale", "183.4"), "183.4 g: add 56.6 g more.", 56.6),
        (("--dry", "7.5", "--scale", "104.35", "--tare", "90"), "104.35 g: add 0.65 g more.", 0.65),
        (("--dry", "7.5", "--scale", "15"), "15 g: right.", 0.0),
        (("--dry", "64", "--ratio", "0.8", "--scale", "119.2"), "4 g too much: add 5 g dry, or pour off.", -4.0),
        (
            ("--dry", "120", "--scale", "100"),
            "100 g is less than the dry medium weighs, 120 g. Look at scale and tare.",
            None,
        ),
        (
            ("--dry", "120", "--scale", "214", "--tare", "95"),
            "214 g is less than box and dry medium weigh, 215 g. Look at scale and tare.",
            None,
        ),
        (("--dry", "120", "--scale", "215", "--tare", "95"), "215 g: add 120 g more.", 120.0),
        (("--dry", "7.5"), "Add water until the scale reads 15 g.", None),
    ],
)
def test_how_much_water_a_medium_takes_is_said_while_the_scale_is_read(
    room: Door, words: tuple[str, ...], says: str, add: float | None
) -> None:
    # ASTM D2216: water content on a dry basis; 1 : 1 by weight is ω 100 %, so 7.5 g dry take 7.5 g and read 15.0 g.
    assert " ".join(room.well("boxes", *words).out.split()).startswith(says)
    found = room.well("boxes", *words, "--json").json["making_up"]
    assert (found["says"], found["add_grams"]) == (says, add)


@pytest.mark.parametrize(
    "words", [("--dry", "0"), ("--dry", "nan"), ("--dry", "5", "--tare", "-0.5"), ("--scale", "9")]
)
def test_a_figure_that_no_scale_shows_is_refused(room: Door, words: tuple[str, ...]) -> None:
    said = room("boxes", *words)
    assert said.code == 2
    assert "Traceback" not in said.err


def test_eggs_that_went_since_the_weighing_are_taken_off_what_it_weighs(eggs: Door) -> None:
    eggs.well("log", "eggs_lost", "wattle-2026-1", "count=2", "place=K1", "--at", "-1h")
    # 77 g of 18 eggs: two weigh 8.6 g.
    assert "Wattle 1 16/18 eggs day 12  about 396 g of 403 g  top up 7 g (7 ml)" in eggs.well("boxes").out
