"""An animal that its keeper rests: this season, or for good."""

from __future__ import annotations

import pytest

from rounds.due.fitness import fit_to_pair
from rounds.due.pairing_table import PairingTable
from rounds.paper.words import state_words
from rounds.standing.animal import animal
from rounds.standing.rest import rest_words, rested
from tests.due.matters.found import HOUSE, ROOM
from tests.notation import at, standing

SEASON = ROOM + "2026-04-01\n08:00 wattle rested\n"
GOOD = SEASON.replace("rested", "rested for_good=true")
WINTER = "2026-11-01\n08:00 wattle brumation_began\n2027-02-01\n08:00 wattle brumation_ended\n"
ASLEEP = WINTER.replace("2027-02-01", "2026-12-01\n08:00 wattle rested\n2027-02-01")
PAIRED = "2026-05-01\n08:00 wattle put_together mate=karri\n2026-05-03\n08:00 wattle parted\n"


@pytest.mark.parametrize(
    ("page", "now", "told"),
    [
        (SEASON, "2026-10-31", "rests this season"),
        (SEASON, "2026-03-31", ""),
        (SEASON + WINTER, "2027-02-02", ""),
        (SEASON + PAIRED, "2026-05-10", ""),
        (GOOD + WINTER, "2027-02-02", "retired"),
        (GOOD + PAIRED, "2026-05-10", ""),
        (GOOD + "2026-04-02\n08:00 wattle rested\n", "2026-04-03", "rests this season"),
        # Noted while she brumates it is of the season to come.
        (
            ROOM + WINTER.replace("2027-02-01", "2026-12-01\n08:00 wattle rested\n2027-02-01"),
            "2027-02-02",
            "rests this season",
        ),
    ],
)
def test_it_ends_with_company_and_that_of_a_season_with_the_next_brumation(page: str, now: str, told: str) -> None:
    assert rest_words(rested(animal(standing(page), "animal/wattle"), at(now))) == told


def test_it_stands_against_pairing_and_in_her_state() -> None:
    now, stood = at("2026-04-10"), standing(GOOD)
    found = fit_to_pair(stood, HOUSE, now, "animal/wattle")
    (check,) = [one for one in found.checks if one.name == "not rested by the keeper"]
    assert (found.answer, check.says) == ("no", "retired, noted 1 Apr")
    assert "retired" in [one.says for one in PairingTable(stood, HOUSE, now).not_now("animal/wattle")]
    assert "retired" in state_words(stood, HOUSE, animal(stood, "animal/wattle"), now)
