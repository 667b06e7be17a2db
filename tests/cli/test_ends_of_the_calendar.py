"""Days and moments at both ends of the calendar, in zones at both ends of the day: a sentence, never a fault."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Door

DAYS = (
    "0001-01-01",
    "0001-01-01T00:00:00+14:00",
    "9999-12-31",
    "9999-12-31T23:59:59Z",
    "9999-12-31T23:59:59-12:00",
    "10000-01-01",
    "-999999d",
    "99999999999999999999",
)


@pytest.fixture(params=["Pacific/Kiritimati", "Etc/GMT+12"])
def edge(door: Door, request: pytest.FixtureRequest, tmp_path: Path) -> Door:
    """A colony in a zone where the day begins first, or last."""
    folder = tmp_path / "edge"
    found = Door(folder, {**door.environment, "ROUNDS_COLONY": str(folder)})
    found.well("new", "--name", "Edge", "--time-zone", request.param)
    found.well("log", "enclosure_set_up", "b1", "name=B1")
    found.well("log", "arrived", "wattle", "name=Wattle", "sex=F", "place=B1")
    found.well("log", "arrived", "karri", "name=Karri", "sex=M", "place=B1")
    return found


@pytest.mark.parametrize("day", DAYS)
def test_every_option_and_member_that_takes_a_day_answers_with_a_sentence(edge: Door, day: str) -> None:
    noted = ("log", "noted", "room", "note=x", "--dry-run")
    for words in (
        ("today", "--on", day),
        ("matters", "--on", day),
        ("show", "wattle", "--on", day),
        ("fit", "--on", day),
        ("fit", "wattle", "--on", day),
        ("log", "brumation_began", "wattle", "--at", day, "--dry-run"),
        ("log", "put_together", "wattle", "mate=karri", "--at", day, "--dry-run"),
        ("hand-over", "--on", day),
        ("find", "noted", "--on", day),
        ("find", "noted", "since", day),
        ("find", "noted", "until", day),
        (*noted, "--at", day),
        (*noted, f"at={day}"),
        (*noted, f"written={day}"),
        ("log", "arrived", "sedge", "name=Sedge", "place=B1", f"hatched={day}", "--dry-run"),
    ):
        said = edge(*words)
        assert said.code in (0, 2, 5), (words, said.err)
        assert "fault of this program" not in said.err
    for name in ("at", "written", "hatched"):
        line = json.dumps({"kind": "arrived", "about": "sedge", "name": "Sedge", "place": "b1", name: day})
        said = edge("log", "-", "--dry-run", stdin=line)
        assert said.code in (0, 5), (line, said.err)


@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-30", "9999-12-31"])
def test_no_demo_is_made_where_the_calendar_ends(door: Door, day: str, tmp_path: Path) -> None:
    said = door("demo", "--on", day, "--folder", str(tmp_path / "demo"))
    assert (said.code, said.err) == (2, f"--on {day}: too far away to reckon\n")
    assert not (tmp_path / "demo").exists()


@pytest.mark.parametrize("command", ["new", "demo"])
def test_a_folder_whose_name_is_too_long_is_said(door: Door, command: str, tmp_path: Path) -> None:
    folder = str(tmp_path / ("x" * 300))
    said = door(command, *(["--folder", folder] if command == "demo" else [folder, "--name", "x"]))
    assert said.code == 6
    assert "was not written" in said.err
