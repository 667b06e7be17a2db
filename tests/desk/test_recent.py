"""What a desk keeps of one run for the next: each entry once, and nothing of a look back."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from rounds.desk.desk import Desk
from rounds.logbook.entries import Corrected
from tests.desks.laptops import Clock, colony, laptop, weight, weights
from tests.notation import at


def test_a_copy_of_todays_sheet_makes_no_entry_recent_twice(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    clock = Clock("2026-04-12 08:00")
    folder = colony(tmp_path / "colony")
    first = Desk.open(folder, clock=clock, keeper="AK")
    first.record(weight("wattle", 452))
    first.close(keeping=True)
    clock.forward(minutes=5)
    again = Desk.open(folder, clock=clock, keeper="AK")
    (sheet,) = (folder / "sheets").rglob("2026-04-12.*.jsonl")
    shutil.copy(sheet, sheet.with_name(sheet.name.replace(".jsonl", " (1).jsonl")))
    again.news()
    assert [entry.phrase() for entry in again.recent] == ["weighed 452 g"]
    again.take_back()
    (correction,) = again.standing.page("animal/wattle").of(Corrected)
    assert correction.was.startswith("weighed")
    again.close()


def test_a_look_back_is_not_kept_for_today(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    clock = Clock("2026-04-12 08:00")
    folder = colony(tmp_path / "colony")
    desk = Desk.open(folder, clock=clock, keeper="AK")
    desk.record(weight("wattle", 452))
    desk.close()
    back = Desk.open(folder, clock=clock, writing=False, until=at("2026-04-11 08:00"))
    assert weights(back, "wattle") == []
    assert not back.keep()
    back.close(keeping=True)
    today = Desk.open(folder, clock=clock, writing=False)
    assert weights(today, "wattle") == [452]
    assert today.keep()
    today.close()


def test_a_sheet_that_went_since_the_last_run_is_missed_at_the_start(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    clock = Clock("2026-04-12 08:00")
    folder = colony(tmp_path / "colony")
    desk = Desk.open(folder, clock=clock, keeper="AK")
    desk.record(weight("wattle", 452))
    desk.close(keeping=True)
    clock.set("2026-04-14 08:00")
    (sheet,) = (folder / "sheets").rglob("2026-04-12.*.jsonl")
    sheet.unlink()
    again = Desk.open(folder, clock=clock, writing=False)
    assert weights(again, "wattle") == []
    again.close()


def test_what_was_kept_with_a_later_entry_in_it_is_no_answer_for_an_earlier_moment(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    clock = Clock("2026-04-12 08:00")
    folder = colony(tmp_path / "colony")
    laptop(folder, Clock("2026-04-12 08:30"), "office", "EM").record(weight("wattle", 452))
    desk = Desk.open(folder, clock=clock, keeper="AK")
    assert weights(desk, "wattle") == [452], "a clock half an hour ahead counts"
    desk.record(weight("sedge", 400))
    desk.close(keeping=True)
    for until, seen in (("2026-04-12 08:10", []), ("2026-04-12 08:30", [452])):
        back = Desk.open(folder, clock=clock, writing=False, until=at(until))
        assert weights(back, "wattle") == seen
        back.close()


def test_the_time_of_the_newest_entry_is_known_at_the_next_start(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    clock = Clock("2026-04-12 08:00")
    folder = colony(tmp_path / "colony")
    desk = Desk.open(folder, clock=clock, keeper="AK")
    desk.record(weight("wattle", 452))
    desk.close(keeping=True)
    clock.forward(minutes=5)
    again = Desk.open(folder, clock=clock, keeper="AK")
    assert again.standing.latest == at("2026-04-12 08:00")
    assert again.standing.register.newest["animal/wattle"] == at("2026-04-12 08:00")
    again.record(weight("sedge", 400))
    again.close(keeping=True)
    third = Desk.open(folder, clock=clock, writing=False)
    assert third.standing.latest == at("2026-04-12 08:05")
    newest = third.standing.register.newest
    assert (newest["animal/wattle"], newest["animal/sedge"]) == (at("2026-04-12 08:00"), at("2026-04-12 08:05"))
    third.close()
