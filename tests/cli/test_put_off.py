"""A matter for the vet waits until tomorrow at the latest, on the command line too."""

from __future__ import annotations

import pytest

from tests.cli.conftest import Door


@pytest.fixture
def dug(room: Door) -> Door:
    """Wattle has dug for eight days without eggs."""
    for day in ("2026-04-05", "2026-04-08", "2026-04-12"):
        room.at(f"{day} 17:00")
        room.well("log", "behaviour_seen", "wattle", "behaviour=nest digging")
    room.at("2026-04-12 18:00")
    return room


def key_of(door: Door, rule: str) -> str:
    (matter,) = [one for one in door.well("matters", "--json").json["matters"] if one["rule"] == rule]
    return str(matter["key"])


def test_a_vet_matter_is_put_off_until_tomorrow_and_not_later(dug: Door) -> None:
    key = key_of(dug, "digging without eggs")
    before = dug.sheets()
    said = dug("log", "put_off", "wattle", f"matter={key}", "until=2026-04-14", "reason=she digs well")
    assert said.code == 5
    assert "a vet matter can be put off until 2026-04-13, not later. Phone a reptile vet" in said.err
    assert dug.sheets() == before
    dug.well("log", "put_off", "wattle", f"matter={key}", "until=2026-04-13", "reason=vet comes tomorrow")
    assert "put off until 13 Apr" in " ".join(dug.well("matters", "--all").out.split())


def test_a_danger_sign_is_not_put_off_at_all(dug: Door) -> None:
    dug.well("log", "egg_check_done", "wattle", "present=straining")
    key = key_of(dug, "danger sign")
    said = dug("log", "put_off", "wattle", f"matter={key}", "until=2026-04-13", "reason=looks better")
    assert said.code == 5
    assert "a danger sign cannot be put off. Phone a reptile vet" in said.err


def test_what_stood_on_a_sheet_is_taken_as_it_stood(dug: Door) -> None:
    key = key_of(dug, "digging without eggs")
    line = (
        f'{{"kind":"put_off","id":"1kq0000000abcd","about":"animal/wattle","matter":"{key}","until":"2026-04-30",'
        '"reason":"copied","at":"2026-04-12T17:30:00+02:00","by":"AK"}'
    )
    dug.well("log", "-", stdin=line)
    assert "Wattle: day 8" not in dug.well("matters").out
    dug.at("2026-04-13 07:00")
    assert "Wattle: day 9" in dug.well("matters").out, "it is back tomorrow, whatever day was written"
