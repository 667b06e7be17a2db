"""One house, one reckoning: what needs attention, the screens and paper say the same of a female."""

from __future__ import annotations

import pytest

from rounds.due.matters.look import Look
from rounds.logbook.entries import Corrected
from rounds.paper.subject import subject_page
from rounds.paper.timeline import season, timeline
from rounds.paper.words import resident, span_words
from rounds.rules.default import default_house
from rounds.rules.settings import Settings
from rounds.screens.views.subject import subject_head
from rounds.standing.fold import fold
from tests.due.stops import house_with
from tests.notation import VIENNA, at, logbook, standing

#: She scratches 30 hours after a whole clutch.
SCRATCHES = """
2026-04-01 AK
08:00 enclosure/b3 enclosure_set_up name=B3
08:01 wattle arrived name=Wattle sex=F hatched=2023-03-01 place=enclosure/b3
2026-04-20
06:00 wattle eggs_laid clutch=clutch/wattle-2026-1 count=20 complete=true
2026-04-21
12:00 wattle behaviour_seen behaviour="nest digging"
"""
NOW = at("2026-04-21 18:00")


@pytest.mark.parametrize(
    ("hours", "phase", "words"), [(24, "nesting", "nesting, day 1"), (48, "laid", "laid yesterday")]
)
def test_how_long_scratching_closes_a_nest_is_one_house_rule_everywhere(hours: int, phase: str, words: str) -> None:
    house = house_with(eggbinding={"closing_hours": hours})
    known = standing(SCRATCHES)
    assert Look(known, house, NOW, "animal/wattle").phase == phase
    assert resident(known, house, "animal/wattle", NOW).state == words
    page = subject_page(known, Settings(name="Shed", zone=VIENNA, house=house), NOW, "animal/wattle", (), ())
    assert (page["phase"], page["breeding"]["phase"], page["breeding"]["says"]) == (phase, phase, words)


def test_the_timeline_has_digging_and_moves_and_leaves_out_what_was_corrected() -> None:
    written = logbook(
        """
        2026-04-01 AK
        08:00  wattle  arrived  name=Wattle place=enclosure/b3
        09:00  wattle  weighed  grams=400
        10:00  wattle  behaviour_seen  behaviour="nest digging"
        11:00  wattle  behaviour_seen  behaviour="arm-waving"
        12:00  wattle  moved  to=enclosure/b4
        13:00  wattle  mating_seen  sire=karri
        """
    )
    mating = written[-1]
    wrong = Corrected(id="z1", at=NOW, by="AK", about="animal/wattle", replaces=mating.id, was="mating seen")
    assert [type(one).__name__ for one in timeline([*written, wrong])] == ["Arrived", "BehaviourSeen", "Moved"]


def test_the_seasons_line_says_digging_that_goes_on_once_so_that_the_mating_before_it_is_still_read() -> None:
    written = logbook(
        """
        2026-04-01 AK
        13:00  wattle  mating_seen  sire=karri
        2026-04-21
        09:00  wattle  behaviour_seen  behaviour="nest digging"
        17:00  wattle  behaviour_seen  behaviour="trial nest"
        2026-04-22
        09:00  wattle  behaviour_seen  behaviour="nest digging"
        10:00  wattle  lay_box_in  box=enclosure/l1
        18:00  wattle  behaviour_seen  behaviour="nest digging"
        """
    )
    mating, first, _, _, box, again = written
    assert [one.first for one in season(written, 6, 14)] == [mating, first, box, again]
    assert [one.first for one in season(written, 2, 14)] == [box, again]


CALL = "2026-10-08\n09:00 wattle vet_called said='wait and see'\n"


def test_digging_after_a_pause_stands_on_the_seasons_line_with_the_days_that_count() -> None:
    dug = "".join(
        f"{day}\n09:00 wattle behaviour_seen behaviour='nest digging'\n"
        for day in ("2026-09-30", "2026-10-02", "2026-11-22", "2026-11-25")
    )
    written = logbook(SCRATCHES.partition("2026-04-20")[0] + dug + CALL)
    now, house = at("2026-11-26 08:00"), default_house(VIENNA)
    lines = subject_head(fold(written), house, now, "animal/wattle", written[::-1], 100)
    screen = ["".join(span.text for span in line) for line in lines]
    assert any("nesting, day 5" in line for line in screen)
    assert "30 Sep to 2 Oct nest digging · 22 to 25 Nov nest digging" in " ".join(" ".join(screen).split())


@pytest.mark.parametrize(("day", "parts"), [("2026-10-14", 1), ("2026-10-15", 2)])
def test_a_pause_as_long_as_the_house_says_still_belongs_to_one_digging(day: str, parts: int) -> None:
    digs = "09:00 wattle behaviour_seen behaviour='nest digging'\n"
    assert len(season(logbook(f"2026-09-30 AK\n{digs}{day}\n{digs}"), 6, 14)) == parts


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        ("2026-11-22", "2026-11-22", "22 Nov"),
        ("2026-11-22", "2026-11-25", "22 to 25 Nov"),
        ("2026-09-30", "2026-10-02", "30 Sep to 2 Oct"),
        ("2025-09-30", "2025-10-02", "30 Sep to 2 Oct 2025"),
        ("2025-12-30", "2026-01-02", "30 Dec 2025 to 2 Jan"),
    ],
)
def test_a_span_of_days_names_each_month_and_year_that_is_needed(first: str, last: str, words: str) -> None:
    assert span_words(at(first), at(last), at("2026-11-26")) == words
