"""An animal bought with a pedigree: its ancestors never lived here, and count for kin and for nothing else."""

from __future__ import annotations

import pytest

from tests.cli.conftest import Door


@pytest.fixture
def bought(room: Door) -> Door:
    """Ruby and Onyx came from a breeder, with papers that go up to one grandsire."""
    room.at("2026-04-13 08:00")
    room.well("log", "arrived", "ruby", "name=Ruby", "sex=F", "hatched=2023-03-01", "sire=rex", "dam=dora")
    room.well("log", "arrived", "onyx", "name=Onyx", "sex=M", "hatched=2023-03-01", "sire=max", "dam=fay")
    room.well("log", "pedigree_noted", "rex", "name=Rex", "sex=M", "sire=old-rex", "origin=a breeder")
    room.well("log", "pedigree_noted", "Max", "sex=M", "sire=old-rex", "dam=nell", "traits=66 % het leatherback")
    return room


def test_kin_goes_through_ancestors_that_never_lived_here(bought: Door) -> None:
    # Half first cousins 1/32, first cousins 1/16 (textbook).
    (pair,) = bought.well("pairing", "ruby", "onyx", "--json").json["paths"]["listed"]
    assert (pair["ancestor"], pair["share"], pair["from_dam"], pair["from_sire"]) == (
        "animal/old-rex",
        "1/32",
        2,
        2,
    )
    bought.well("log", "pedigree_noted", "rex", "dam=nell")
    assert bought.well("pairing", "ruby", "onyx", "--json").json["inbreeding"] == "1/16"


def test_papers_may_name_the_parents_of_one_who_is_here(bought: Door) -> None:
    bought.well("log", "pedigree_noted", "onyx", "sire=rex")
    found = bought.well("pairing", "ruby", "onyx", "--json").json
    assert (found["inbreeding"], found["kin"]) == ("1/8", "half sibs")


def test_an_ancestor_counts_in_no_stock_and_needs_no_care(bought: Door) -> None:
    assert (
        bought.well("stock", "--json").json["coming_and_going"]["in"]["arrived"]
        == bought.well("stock", "--json").json["coming_and_going"]["ends"]
    )
    assert (
        "Rex"
        not in bought.well("today").out
        + bought.well("matters").out
        + bought.well("pairing").out
        + bought.well("stock").out
    )
    page = bought.well("show", "rex").out
    assert "never lived here, only its descent is noted" in page
    assert "from a breeder" in page
    assert "All of it holds together." in bought.well("check").out


@pytest.mark.parametrize("words", [("weighed", "rex", "grams=400"), ("moved", "rex", "to=b3"), ("died", "rex")])
def test_what_only_one_who_lives_here_has_is_refused(bought: Door, words: tuple[str, ...]) -> None:
    assert "Rex never lived here, only its descent is noted" in bought("log", *words).err
    bought.well("log", "arrived", "rex", "name=Rex", "place=b3")
    bought.well("log", "weighed", "rex", "grams=400")
    assert bought.well("show", "rex", "--json").json["sex_words"] == "M"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("max", "sire=ruby"), "Ruby is a female: a sire is a male"),
        (("old-rex", "sex=M", "dam=nell", "sire=old-rex"), "stands as its own parent"),
        (("old-rex", "sire=rex"), "is a young of"),
        (("rex", "hatched=2027-01-01"), "that has not come yet"),
    ],
)
def test_a_pedigree_that_cannot_be_is_refused(bought: Door, words: tuple[str, ...], told: str) -> None:
    assert told in bought("log", "pedigree_noted", *words).err
