"""Looking back with --on: what was seen by then counts, also where it was written down later."""

from __future__ import annotations

import json

import pytest

from tests.cli.conftest import Door

SEASON = (
    {"kind": "enclosure_set_up", "about": "enclosure/t1", "at": "2026-01-05T08:00", "name": "T1"},
    {
        "kind": "arrived",
        "about": "animal/wilga",
        "at": "2026-01-05T08:10",
        "name": "Wilga",
        "sex": "F",
        "place": "enclosure/t1",
        "hatched": "2023-02-01",
        "quarantine": False,
    },
    {"kind": "mating_seen", "about": "animal/wilga", "at": "2026-02-01T10:00"},
)


@pytest.fixture
def season(door: Door) -> Door:
    """A season written from a paper book in one evening, months later."""
    door.at("2026-11-26 20:00")
    door.well("log", "-", "--sure", stdin="\n".join(map(json.dumps, SEASON)))
    return door


@pytest.mark.parametrize(
    ("day", "state"), [("2026-02-02", "not yet"), ("2026-02-25", "due"), ("2026-03-14", "overdue")]
)
def test_a_mating_written_down_later_opens_the_forecast_of_that_day(season: Door, day: str, state: str) -> None:
    one = season.well("females", "--on", day, "--json").json["females"][0]
    assert one["forecast"]["state"] == state
    assert "Wilga" in season.well("season", "--on", day).out


def test_the_page_of_that_day_still_says_when_it_was_written(season: Door) -> None:
    assert "mating seen [written 26 Nov 20:00]" in season.well("show", "wilga", "--on", "2026-02-25").out
