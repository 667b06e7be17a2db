"""The clock: nights in which it changes, machines on which it is wrong, midnight, travel, and 29 February."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from rounds.due.lines import lines_at
from rounds.logbook.drafts import draft
from rounds.logbook.entries import Corrected, Entry, Fed, Noted, StopWalked, Weighed
from rounds.logbook.times import days_between, hours_between
from tests.conftest import RecordFigure
from tests.desks.laptops import (
    ROOM,
    Clock,
    colony,
    ids,
    laptop,
    note,
    put,
    stop,
    walk,
    weight,
    weights,
)
from tests.notation import at, logbook

#: The night in which Vienna's clocks show 02:00 to 03:00 twice, and the one in which they leave it out.
FIRST_HALF_PAST_TWO = datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
SECOND_HALF_PAST_TWO = datetime(2026, 10, 25, 1, 30, tzinfo=UTC)
ONE_MINUTE_TO_TWO = datetime(2026, 3, 29, 0, 59, tzinfo=UTC)


# Nights in which the clock changes


def test_entries_of_the_hour_that_comes_twice_sort_and_count_by_what_really_passed(tmp_path: Path) -> None:
    clock = Clock(FIRST_HALF_PAST_TWO)
    desk = laptop(colony(tmp_path / "colony"), clock)
    (first,) = desk.record(weight("wattle", 450))
    clock.set(SECOND_HALF_PAST_TWO)
    (second,) = desk.record(weight("wattle", 452))
    assert (first.at.isoformat(), second.at.isoformat()) == (
        "2026-10-25T02:30:00+02:00",
        "2026-10-25T02:30:00+01:00",
    )
    assert hours_between(first.at, second.at) == 1
    assert days_between(first.at, second.at) == 0
    again = laptop(desk.folder, clock)
    assert weights(again, "wattle") == [450, 452], "though both clocks said half past two"
    assert [entry.id for entry in again.last_save()] == [second.id]
    assert [path.name for path in desk.folder.rglob("*rack*")] == ["2026-10-25.rack.jsonl"]


def test_a_walk_across_the_hour_that_comes_twice_is_one_walk(tmp_path: Path) -> None:
    clock = Clock("2026-10-24 23:40")
    desk = laptop(colony(tmp_path / "colony"), clock)
    assert walk(desk).part == "evening"
    desk.record(stop("b3", "2026-10-24", "evening"))
    for moment in (FIRST_HALF_PAST_TWO, SECOND_HALF_PAST_TWO):
        clock.set(moment)
        now = walk(desk)
        assert (now.part, now.day, now.progress, now.resume) == (
            "evening",
            date(2026, 10, 24),
            (1, 2),
            "enclosure/b4",
        )
    desk.record(stop("b4", "2026-10-24", "evening"))
    assert walk(desk).finished
    clock.set("2026-10-25 03:00")
    assert walk(desk).progress == (0, 2), "the day turns at three, and a new walk begins"


def test_a_walk_across_the_hour_that_is_left_out_is_one_walk(tmp_path: Path) -> None:
    clock = Clock(ONE_MINUTE_TO_TWO)
    desk = laptop(colony(tmp_path / "colony"), clock)
    (before,) = desk.record(stop("b3", "2026-03-28", "evening"))
    clock.forward(seconds=59)
    assert walk(desk).progress == (1, 2)
    clock.forward(seconds=1)
    (after,) = desk.record(stop("b4", "2026-03-28", "evening"))
    assert (before.at.isoformat(), after.at.isoformat()) == (
        "2026-03-29T01:59:00+01:00",
        "2026-03-29T03:00:00+02:00",
    )
    assert hours_between(before.at, after.at) == 1 / 60
    again = laptop(desk.folder, clock)
    assert again.standing.digest() == desk.standing.digest()
    assert len(again.standing.page("enclosure/b4").of(StopWalked)) == 1


def test_days_are_counted_by_the_date_also_over_a_night_of_23_or_25_hours(tmp_path: Path) -> None:
    for folder, fed, next_day, second_day in (
        ("spring", "2026-03-28 20:30", "2026-03-29 08:00", "2026-03-30 08:00"),
        ("autumn", "2026-10-24 20:30", "2026-10-25 08:00", "2026-10-26 08:00"),
    ):
        clock = Clock(fed)
        desk = laptop(colony(tmp_path / folder), clock)
        desk.record(draft(Fed, "enclosure/b3"))
        for moment, due in ((next_day, False), (second_day, True)):
            clock.set(moment)
            cares = [one.care for one in lines_at(desk.standing, desk.house, desk.now(), "enclosure/b3", "morning")]
            assert ("feed insects" in cares) is due, "adults every second day, whatever the clocks did"


# Machines whose clock is wrong


def test_a_machine_whose_clock_is_years_behind_says_so_and_loses_nothing(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony", ROOM + "2026-04-12 EM\n08:00 wattle weighed grams=450")
    clock = Clock("2019-06-01 08:00")
    desk = laptop(folder, clock)
    assert len(desk.ahead) == 6
    assert desk.standing.pages == {}
    assert "clock says 1 Jun 2019 08:00, but 6 entries are dated later" in desk.clock_doubt()
    assert "12 Apr 2026 08:00 by EM" in desk.clock_doubt()
    (written,) = desk.record(note("written all the same"))
    assert written.at.year == 2019
    clock.set("2026-04-12 18:00")
    desk.news()
    assert desk.ahead == []
    assert desk.clock_doubt() == ""
    assert weights(desk, "wattle") == [450]
    assert desk.standing == laptop(folder, clock).standing
    assert written.id in ids(folder)
    (right,) = desk.record(note("and now with a right clock"))
    assert right.id > written.id


def test_a_clock_some_months_behind_is_doubted_though_older_entries_fit_it(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony", ROOM + "2026-04-12 EM\n08:00 wattle weighed grams=450")
    doubt = laptop(folder, "2026-03-10 08:00").clock_doubt()
    assert "but an entry is dated later: 12 Apr 2026 08:00 by EM" in doubt
    assert "set it before you write" in doubt


def test_what_a_machine_years_ahead_writes_does_not_count_and_is_reported(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony")
    rack = laptop(folder, Clock("2026-04-12 08:00"))
    office = laptop(folder, Clock("2031-01-01 00:03"), "office", "EM")
    assert "the last entry is of 1 Mar 2026 08:03 by AK. If that is right, go on" in office.clock_doubt()
    (wrong,) = office.record(weight("wattle", 450))
    assert rack.news() == frozenset()
    assert [entry.id for entry in rack.ahead] == [wrong.id]
    assert weights(rack, "wattle") == []
    assert f"1 Jan 2031 00:03 by EM (entry {wrong.id})" in rack.clock_doubt()
    assert "another machine's is ahead" in rack.clock_doubt()
    (mine,) = rack.record(weight("wattle", 451))
    assert rack.newest == mine
    assert wrong.id in ids(folder), "and it is on the sheets as it was written"


def test_an_entry_from_a_wrong_clock_that_was_corrected_is_not_reported_again(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony")
    office = laptop(folder, Clock("2031-01-01 00:03"), "office", "EM")
    (wrong,) = office.record(weight("wattle", 450))
    rack = laptop(folder, Clock("2026-04-12 08:00"))
    assert rack.ahead == [wrong]
    seen = at("2026-04-12 07:50")
    rack.correct(wrong, draft(Weighed, "animal/wattle", at=seen, grams=450), because="the clock was wrong")
    for desk in (rack, laptop(folder, Clock("2026-04-12 08:05"))):
        assert desk.ahead == []
        assert desk.clock_doubt() == ""
        assert weights(desk, "wattle") == [450]
        assert desk.standing.page("animal/wattle").of(Weighed)[-1].at == seen
        assert wrong not in desk.history("animal/wattle")
        assert (desk.ahead, desk.clock_doubt()) == ([], ""), "neither after its history was read"


def test_a_dated_ahead_entry_counts_by_itself_when_its_time_has_come(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony")
    put(folder, logbook("2026-04-12 EM\n11:00 wattle weighed grams=450"), "office")
    clock = Clock("2026-04-12 08:00")
    rack = laptop(folder, clock)
    assert (weights(rack, "wattle"), len(rack.ahead)) == ([], 1)
    clock.set("2026-04-12 09:59")
    assert rack.news() == frozenset()
    clock.set("2026-04-12 10:00")
    assert rack.news() == {"animal/wattle"}
    assert (weights(rack, "wattle"), rack.ahead) == ([450], [])


def test_a_stop_done_at_a_laptop_some_minutes_ahead_is_done_at_once(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony")
    rack = laptop(folder, Clock("2026-04-12 08:00"))
    office = laptop(folder, Clock("2026-04-12 08:09"), "office", "EM")
    office.record(stop("b3", "2026-04-12"))
    assert rack.news() == {"enclosure/b3"}
    assert rack.clock_doubt() == ""
    assert walk(rack).resume == "enclosure/b4"
    (mine,) = rack.record(stop("b4", "2026-04-12"))
    assert mine.at == at("2026-04-12 08:00"), "what is written here carries the time of this clock"
    assert walk(rack).finished
    office.news()
    assert walk(office).finished


def test_a_clock_put_back_in_the_middle_of_a_shift_keeps_ids_and_order(
    tmp_path: Path, record_figure: RecordFigure
) -> None:
    folder = colony(tmp_path / "colony")
    clock = Clock("2026-04-12 08:00")
    desk = laptop(folder, clock)
    written: list[Entry] = []
    steps = [1, 1, 30, -45, 1, 1, -3_000, 5, 86_400 * 400, 1, -86_400 * 900, 1, 1, -1, 0, 0, 0, 3_600]
    for number, seconds in enumerate(steps):
        clock.forward(seconds=seconds)
        written += desk.record(note(f"{number}, first"), note(f"{number}, second"))
        assert [entry.id for entry in desk.last_save()] in ([entry.id for entry in written[-2:]], []), (
            "one key is taken back, not all since the clock was put back"
        )
        desk.news()
    given = [entry.id for entry in written]
    assert given == sorted(given)
    assert len(set(given)) == len(given)
    found = {entry.id for entry in laptop(folder, Clock("2099-01-01")).history("room")}
    assert found == set(given), "nothing is lost"
    record_figure("a clock set in the middle of a shift", f"{len(steps)} times, ids in order, nothing lost")


def test_a_clock_put_back_by_hours_is_doubted_and_what_lies_ahead_does_not_count(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony")
    clock = Clock("2026-04-12 18:00")
    desk = laptop(folder, clock)
    desk.record(stop("b3", "2026-04-12", "evening"))
    clock.forward(minutes=-30)
    assert walk(desk).progress == (1, 2), "half an hour is how far two clocks may be apart"
    assert "the newest entry is of 12 Apr 2026 18:00 by AK" in desk.clock_doubt()
    clock.forward(hours=-2)
    assert "an entry is dated later: 12 Apr 2026 18:00 by AK" in desk.clock_doubt()
    assert walk(desk, "evening").progress == (0, 2)
    assert len(desk.ahead) == 1
    again = laptop(folder, clock)
    assert (len(again.ahead), walk(again, "evening").progress) == (1, (0, 2)), "the same after a new start"
    clock.set("2026-04-12 18:20")
    for one in (desk, again):
        one.news()
        assert (one.ahead, one.clock_doubt(), walk(one).progress) == ([], "", (1, 2))


def test_ids_go_on_after_a_new_start_with_a_clock_put_back(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony")
    first = laptop(folder, Clock("2026-04-12 08:30")).record(note("a"), note("b"))
    desk = laptop(folder, Clock("2026-04-12 08:10"))
    (later,) = desk.record(note("c"))
    assert later.id > max(entry.id for entry in first)
    assert desk.last_save() == (later,)
    assert desk.take_back() == (later,)
    assert desk.last_save() == first, "then the key before, both entries of it"


def test_an_entry_written_by_a_clock_years_ahead_is_not_for_ever_the_last(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony")
    office = laptop(folder, Clock("2031-01-01 00:03"), "office")
    office.record(weight("wattle", 440, seen=at("2026-04-11 08:00")))
    desk = laptop(folder, Clock("2026-04-12 08:00"))
    assert weights(desk, "wattle") == [440], "it was seen at a right time"
    (mine,) = desk.record(weight("wattle", 441))
    assert mine.id < ids(folder)[-1]
    assert desk.last_save() == (mine,)


@pytest.mark.parametrize("year", [1970, 2000, 2038, 2106])
def test_the_years_at_which_clocks_come_to_their_end_are_written_and_read(year: int, tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony")
    clock = Clock(datetime(year, 1, 1, 0, 0, 5, tzinfo=UTC))
    desk = laptop(folder, clock)
    (one,) = desk.record(note("at the end of the clock"))
    clock.forward(seconds=2)
    (two,) = desk.record(note("and a little later"))
    assert one.id < two.id
    assert {one.id, two.id} <= set(ids(folder))
    assert bool(desk.clock_doubt()) is (year < 2026), "its own entry is the newest for a clock that is ahead"
    assert laptop(folder, Clock("2026-04-12 08:00")).clock_doubt() != "" or year < 2026


# Travel, midnight, 29 February


@pytest.fixture(params=["America/Los_Angeles", "Asia/Kathmandu", "Pacific/Kiritimati", "UTC"])
def machine_zone(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """The machine's own zone, wherever it has been carried to."""
    with monkeypatch.context() as there:
        there.setenv("TZ", request.param)
        time.tzset()
        yield request.param
    time.tzset()


def test_a_laptop_carried_to_another_zone_writes_by_the_rooms_clock(machine_zone: str, tmp_path: Path) -> None:
    local = datetime(2026, 4, 12, 22, 30, tzinfo=UTC).astimezone()  # as the machine itself would say it
    assert local.utcoffset() == datetime(2026, 4, 12, 22, 30, tzinfo=ZoneInfo(machine_zone)).utcoffset()
    clock = Clock(local)
    desk = laptop(colony(tmp_path / "colony"), clock)
    (entry,) = desk.record(stop("b3", "2026-04-12", "evening"))
    assert entry.at.isoformat() == "2026-04-13T00:30:00+02:00"
    assert [path.name for path in desk.folder.rglob("*rack*")] == ["2026-04-13.rack.jsonl"]
    now = walk(desk)
    assert (now.day, now.part, now.progress) == (date(2026, 4, 12), "evening", (1, 2))
    assert desk.clock_doubt() == ""


def test_entries_with_the_offsets_of_other_zones_sort_by_what_really_passed(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony")
    moments = ["2026-04-12T09:00:00+02:00", "2026-04-12T00:01:00-07:00", "2026-04-12T12:47:00+05:45"]
    put(
        folder,
        [
            Weighed(
                id=f"w{place}", at=datetime.fromisoformat(text), by="AK", about="animal/wattle", grams=450 + place
            )
            for place, text in enumerate(moments)
        ],
    )
    assert weights(laptop(folder, "2026-04-12 18:00"), "wattle") == [450, 451, 452]


def test_a_walk_across_midnight_is_one_walk_on_two_sheets(tmp_path: Path) -> None:
    clock = Clock("2026-04-12 23:58")
    desk = laptop(colony(tmp_path / "colony"), clock)
    desk.record(stop("b3", "2026-04-12", "evening"))
    clock.set("2026-04-13 00:04")
    assert walk(desk).resume == "enclosure/b4"
    desk.record(stop("b4", str(walk(desk).day), walk(desk).part))
    names = sorted(path.name for path in desk.folder.rglob("*rack*"))
    assert names == ["2026-04-12.rack.jsonl", "2026-04-13.rack.jsonl"]
    again = laptop(desk.folder, clock)
    assert walk(again).finished
    assert (walk(again).day, walk(again).part) == (date(2026, 4, 12), "evening")
    clock.set("2026-04-13 07:00")
    assert walk(again).progress == (0, 2)


def test_the_29_of_february_is_a_day_like_any_other(tmp_path: Path) -> None:
    page = """
    2026-02-28 AK
    08:00 b3      enclosure_set_up name=B3
    08:01 wattle  arrived name=Wattle sex=F hatched=2026-01-29 place=b3 bred_here=true
    """
    clock = Clock("2028-02-28 23:59")
    desk = laptop(colony(tmp_path / "colony", page), clock)
    desk.record(draft(Fed, "enclosure/b3"))
    clock.forward(minutes=2)
    (noted,) = desk.record(draft(Noted, "animal/wattle", note="leap day"))
    assert noted.at.date() == date(2028, 2, 29)
    assert (desk.folder / "sheets/2028/2028-02-29.rack.jsonl").is_file()
    clock.set("2028-02-29 08:00")
    assert walk(desk).day == date(2028, 2, 29)
    cares = [one.care for one in lines_at(desk.standing, desk.house, desk.now(), "enclosure/b3", "morning")]
    assert "feed insects" not in cares, "an adult is fed every second day"
    clock.set("2028-03-01 08:00")
    cares = [one.care for one in lines_at(desk.standing, desk.house, desk.now(), "enclosure/b3", "morning")]
    assert "feed insects" in cares
    assert days_between(noted.at, desk.now()) == 1


def test_a_correction_is_dated_by_the_clock_and_not_by_another_desks(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony")
    laptop(folder, Clock("2026-04-12 08:40"), "office", "EM").record(weight("wattle", 450))
    rack = laptop(folder, Clock("2026-04-12 08:00"))
    assert rack.now() == at("2026-04-12 08:40")
    (correction,) = rack.correct(rack.standing.page("animal/wattle").of(Weighed)[-1])
    assert isinstance(correction, Corrected)
    assert correction.at == at("2026-04-12 08:00")
    assert rack.clock_time() + timedelta(minutes=40) == rack.now()
    assert weights(rack, "wattle") == []
