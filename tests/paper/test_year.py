"""The year of an animal in words and values."""

from __future__ import annotations

from datetime import datetime

import msgspec
import pytest
from hypothesis import given, settings

from rounds.logbook.entries import Entry
from rounds.paper.fitness import adults, fit_list, fit_text
from rounds.paper.year import year_lines, year_values, year_words
from rounds.rules.settings import Settings
from rounds.standing.animal import animal
from rounds.standing.fold import fold
from rounds.standing.year import YearDays, year_of
from tests.due.matters.found import HOUSE, ROOM
from tests.due.matters.random_pages import moments, pages
from tests.notation import VIENNA, at, standing

ASLEEP = ROOM + "2026-11-01\n08:00 wattle weighed grams=450\n2026-11-10\n08:00 wattle brumation_began\n"
WEIGHED = ASLEEP + "2026-12-01\n08:00 wattle weighed grams=441\n"
WOKEN = WEIGHED + "2027-01-25\n08:00 wattle warm_up_began\n2027-02-01\n08:00 wattle brumation_ended\n"


@pytest.mark.parametrize(
    ("page", "now", "words"),
    [
        (ROOM, "2026-11-01", ""),
        (ASLEEP, "2026-11-20", "brumates since 10 Nov, 450 g before, not weighed since"),
        (WEIGHED, "2026-12-02", "brumates since 10 Nov, 450 g before, 441 g now: 2 % lost"),
        (WEIGHED, "2027-01-02", "brumates since 10 Nov 2026, 450 g before, 441 g now: 2 % lost"),
        (
            WOKEN + "2027-02-03\n08:00 wattle ate how=some\n",
            "2027-02-22",
            "woke 1 Feb, 3 weeks ago, 450 g before, 441 g after: 2 % lost, first fed 3 Feb, "
            "brumated from 10 Nov 2026, warm-up 25 Jan",
        ),
        (ROOM + "2026-04-01\n08:00 wattle brumation_ended\n", "2026-04-08", "woke 1 Apr, 1 week ago"),
        (ROOM + "2026-04-01\n08:00 wattle warm_up_began\n", "2026-04-08", "warm-up 1 Apr, waking not noted"),
    ],
)
def test_the_last_brumation_in_a_sentence(page: str, now: str, words: str) -> None:
    stood = standing(page)
    assert year_words(year_of(stood, animal(stood, "animal/wattle"), YearDays()), at(now)) == words


def test_a_female_at_rest_is_told_how_far_she_regained_her_weight() -> None:
    page = ROOM + "2026-03-10\n08:00 wattle weighed grams=450\n09:00 wattle mating_seen sire=karri\n"
    page += "2026-04-05\n08:00 wattle eggs_laid clutch=w-1 count=20 complete=true\n"
    laid = year_lines(standing(page), HOUSE, at("2026-04-06"), "animal/wattle")
    assert "not weighed since she laid; 450 g before it" in laid
    page += "2026-04-20\n08:00 wattle weighed grams=405\n"
    assert "405 g, 90 % of her 450 g before the last clutch" in year_lines(
        standing(page), HOUSE, at("2026-04-21"), "animal/wattle"
    )
    values = year_values(standing(page), HOUSE, at("2026-04-21"), "animal/wattle")
    assert (values["recovery"]["percent"], values["fit"]["fit"]) == (90.0, "no")
    assert [season["clutches"] for season in values["seasons"]] == [["clutch/w-1"]]


@given(pages(), moments)
@settings(max_examples=40, deadline=None)
def test_no_page_makes_the_year_or_the_checks_raise(entries: list[Entry], now: datetime) -> None:
    stood = fold(entries)
    for who in ("animal/wattle", "animal/karri", "animal/pup", "animal/nobody", "group/hatch"):
        year_values(stood, HOUSE, now, who)
        year_lines(stood, HOUSE, now, who)
    grown = adults(stood, HOUSE, now)
    settings_ = Settings(name="Quandong shed", zone=VIENNA, house=HOUSE)
    told = fit_list(stood, settings_, now, grown)
    assert [one["subject"] for one in told["animals"]] == list(grown)
    for each in (True, False):
        assert max(map(len, fit_text(told, now, each=each).splitlines())) <= 80
    every = fit_text(told, now, each=True)
    named = {check["check"] for one in told["animals"] for check in one["checks"]}
    assert [name for name in named if name not in every] == []


def test_where_the_first_feed_is_kept_no_more_no_later_day_is_said_for_it() -> None:
    page = ROOM + "2026-04-01\n08:00 wattle brumation_ended\n2026-04-03\n08:00 wattle ate how=well\n"
    stood = standing(page)
    year = year_of(stood, animal(stood, "animal/wattle"), YearDays())
    assert year_words(year, at("2026-04-08")).endswith("first fed 3 Apr")
    later = msgspec.structs.replace(year, fed_at_latest=True)
    assert year_words(later, at("2026-04-08")) == "woke 1 Apr, 1 week ago"
