"""Pairings: what was seen between two, whoever it was noted of; and who may be the sire."""

from __future__ import annotations

from datetime import datetime

import pytest
from hypothesis import given, settings

from rounds.logbook.entries import Entry
from rounds.paper.year import pairing_words
from rounds.standing.animal import animal
from rounds.standing.as_of import as_of
from rounds.standing.breeding import Days
from rounds.standing.cycle import Cycle
from rounds.standing.fold import fold
from rounds.standing.pairings import last_pairing, pairings_of
from rounds.standing.parents import possible_sires
from rounds.standing.sires import likely_sires
from tests.due.matters.found import ROOM
from tests.due.matters.random_pages import moments, pages
from tests.notation import at, standing

PAGE = (
    ROOM
    + """
08:04 marri arrived name=Marri sex=M hatched=2022-03-01 place=b4 bred_here=true
2026-03-12
08:00 wattle put_together mate=karri
08:10 karri behaviour_seen behaviour="head bobbing" toward=wattle
08:11 karri behaviour_seen behaviour="beard blackening"
08:12 wattle behaviour_seen behaviour=arm-waving toward=karri
08:20 wattle mating_seen sire=karri
2026-03-13
09:00 karri behaviour_seen behaviour=copulation toward=wattle
09:05 wattle behaviour_seen behaviour=basking
09:06 karri behaviour_seen behaviour="head bobbing" toward=sedge
2026-03-14
08:00 wattle parted mate=karri
09:00 karri behaviour_seen behaviour="nape bite"
"""
)


def test_what_was_seen_between_them_is_one_line_on_her_page_and_on_his() -> None:
    stood, now = standing(PAGE), at("2026-03-20 08:00")
    (pair,) = pairings_of(stood, "animal/wattle")
    told = "12 to 14 Mar: bobbing, black beard, arm-waving, 2 matings"
    assert pairing_words(stood, "animal/wattle", pair, now) == f"with Karri {told}"
    (his,) = pairings_of(stood, "animal/karri")
    assert pairing_words(stood, "animal/karri", his, now) == f"with Wattle {told}"
    assert pairings_of(stood, "animal/sedge") == ()


def test_a_pairing_under_way_and_one_in_which_nothing_was_noted() -> None:
    stood = standing(PAGE + "2026-03-25\n08:00 sedge put_together mate=karri\n")
    pair = last_pairing(stood, "animal/karri")
    assert pair is not None
    assert pair.until is None
    now = at("2026-03-26 08:00")
    assert pairing_words(stood, "animal/karri", pair, now) == "with Sedge since yesterday: nothing noted"


def test_moved_away_they_are_parted_though_nobody_wrote_so() -> None:
    page = PAGE.replace("08:00 wattle parted mate=karri", "08:00 karri moved to=b4")
    (pair,) = pairings_of(standing(page), "animal/wattle")
    assert pair.until == at("2026-03-14 08:00")


@pytest.mark.parametrize(
    ("more", "told"),
    [
        # A mating seen in the window comes before company, the later company before the earlier.
        ("", ["karri mating seen"]),
        (
            "2026-03-20\n08:00 wattle put_together mate=marri\n09:00 wattle parted\n",
            ["karri mating seen", "marri with her"],
        ),
        ("2026-03-20\n08:00 wattle mating_seen sire=marri\n", ["marri mating seen", "karri mating seen"]),
        # Once she has laid, who mated before may be the sire by stored sperm.
        (
            "2026-04-05\n08:00 wattle eggs_laid clutch=w-1 count=20 complete=true sire=karri\n",
            ["karri stored sperm"],
        ),
        (
            "2026-03-20\n08:00 wattle mating_seen sire=marri\n"
            "2026-04-05\n08:00 wattle eggs_laid clutch=w-1 count=20 complete=true sire=karri\n",
            ["karri stored sperm", "marri stored sperm"],
        ),
    ],
)
def test_who_may_be_the_sire_the_likeliest_first(more: str, told: list[str]) -> None:
    stood = standing(PAGE + more)
    found = likely_sires(Cycle(stood, "animal/wattle", Days()), at("2026-04-15 08:00"))
    assert [f"{one.subject.partition('/')[2]} {one.why}" for one in found] == told


@given(pages(), moments)
@settings(max_examples=60, deadline=None)
def test_every_male_a_pedigree_reckons_with_is_offered_when_she_lays(entries: list[Entry], now: datetime) -> None:
    stood = as_of(fold(entries), now)
    for who in ("animal/wattle", "animal/sedge"):
        males, _ = possible_sires(stood, who, now, Days())
        offered = {one.subject for one in likely_sires(Cycle(stood, who, Days()), now)}
        assert {male for male in males if male is not None and animal(stood, male).sex != "F"} <= offered


def test_a_mating_noted_of_him_toward_her_is_hers() -> None:
    page = ROOM + "2026-03-13\n09:00 karri behaviour_seen behaviour=copulation toward=wattle\n"
    cycle = Cycle(standing(page), "animal/wattle", Days())
    assert [one.at for one in cycle.matings] == [at("2026-03-13 09:00")]
    assert not Cycle(standing(page), "animal/sedge", Days()).matings
