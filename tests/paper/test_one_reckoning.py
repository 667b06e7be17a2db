"""One house, one reckoning: what needs attention, the screens and paper say the same of a female."""

from __future__ import annotations

import pytest

from rounds.due.matters.look import Look
from rounds.logbook.entries import Corrected
from rounds.paper.subject import subject_page
from rounds.paper.timeline import season, timeline
from rounds.paper.words import resident
from rounds.rules.settings import Settings
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
    assert season(written, 6) == [mating, first, box, again]
    assert season(written, 2) == [box, again]
