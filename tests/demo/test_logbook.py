"""The demo's logbook: the same each time, for any day, and nothing in it that cannot be true."""

from __future__ import annotations

import hashlib
import subprocess
import sys
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from demo_colony import write
from demo_colony.people import KEEPERS, ZONE
from rounds import audit as checks
from rounds.logbook import rows
from rounds.logbook.entries import KINDS, Arrived, EnclosureSetUp, Entry, StopWalked
from rounds.logbook.times import days_between, on_wall
from rounds.standing.animal import animals_here
from rounds.standing.fold import fold
from tests.conftest import examples

END = on_wall(date(2026, 4, 12), time(8), ZONE)
DAYS = st.dates(date(2010, 1, 1), date(2060, 12, 31))


@pytest.fixture(scope="module")
def entries() -> list[Entry]:
    return write.entries(END)


def digest(end: datetime) -> str:
    """Of all sheets, names and bytes."""
    content = write.sheets(write.logbook(end.astimezone(ZONE).date()), ZONE)
    return hashlib.sha256(repr(sorted(content.items())).encode()).hexdigest()


def test_the_same_day_gives_the_same_bytes_in_every_process() -> None:
    program = (
        "from datetime import datetime; from tests.demo.test_logbook import digest; "
        f"print(digest(datetime.fromisoformat({END.isoformat()!r})))"
    )
    for hash_seed in ("1", "2"):
        told = subprocess.run(
            [sys.executable, "-c", program],
            env={"PYTHONHASHSEED": hash_seed, "PYTHONPATH": ":".join(sys.path)},
            capture_output=True,
            text=True,
            check=True,
        )
        assert told.stdout.strip() == digest(END)


def test_another_seed_gives_another_logbook_of_the_same_room(entries: list[Entry]) -> None:
    other = write.entries(END, seed=7)
    assert other != entries
    assert [one.name for one in animals_here(fold(other))] == [one.name for one in animals_here(fold(entries))]


def test_no_hour_of_the_day_changes_what_was_written_before_it(entries: list[Entry]) -> None:
    assert write.entries(END.replace(hour=0, minute=1)) == entries
    assert write.entries(END.replace(hour=23, minute=59)) == entries


def test_ids_are_unique_and_grow_with_the_writing(entries: list[Entry]) -> None:
    ids = [entry.id for entry in entries]
    assert ids == sorted(set(ids))


def test_the_logbook_is_as_long_as_120_days_and_a_season_on_paper_fill(entries: list[Entry]) -> None:
    # Fresh water a day at each tub is a fifth of it.
    assert 15_000 < len(entries) < 28_500
    written = {(entry.written or entry.at).date() for entry in entries}
    assert min(written) == date(2025, 12, 13)
    assert max(written) == date(2026, 4, 11)


def test_every_kind_of_entry_occurs(entries: list[Entry]) -> None:
    assert {entry.kind for entry in entries} == set(KINDS)


def test_only_the_three_keepers_write(entries: list[Entry]) -> None:
    assert {entry.by for entry in entries} == set(KEEPERS)


def test_about_fifty_animals_live_in_forty_places_and_the_boxes_stand_beside_them(entries: list[Entry]) -> None:
    here = animals_here(fold(entries))
    assert 44 <= len(here) <= 54
    assert all(one.place for one in here)
    stands = [entry for entry in entries if isinstance(entry, EnclosureSetUp)]
    assert len([one for one in stands if one.what in ("tub", "open tub")]) == 40
    assert len({one.rack for one in stands if one.what == "tub"}) == 5
    assert len([one for one in stands if one.what == "bin"]) == 3
    assert len([one for one in stands if one.what == "egg box"]) == 8
    assert len([one for one in stands if one.what == "incubator shelf"]) == 2
    assert len([one for one in stands if one.what == "lay box"]) == 4
    assert len([entry for entry in entries if isinstance(entry, Arrived) and entry.about.startswith("group/")]) > 3


def test_the_morning_walk_of_the_day_is_untouched(entries: list[Entry]) -> None:
    assert all(entry.at < on_wall(END.date(), time(), ZONE) for entry in entries)
    assert not [entry for entry in entries if isinstance(entry, StopWalked) and entry.day == END.date()]


def test_yesterdays_evening_walk_was_left_and_the_one_before_was_not(entries: list[Entry]) -> None:
    def stops(day: date, walk: str) -> set[str]:
        walked = (entry for entry in entries if isinstance(entry, StopWalked))
        return {entry.about for entry in walked if entry.day == day and entry.walk == walk}

    yesterday = END.date() - timedelta(days=1)
    assert stops(yesterday, "evening") < stops(yesterday, "morning")
    assert stops(yesterday - timedelta(days=1), "evening") == stops(yesterday, "morning")


def test_nothing_in_it_contradicts_itself(entries: list[Entry]) -> None:
    found = [finding for finding in checks.findings(entries) if finding.level != "said"]
    assert found == []


@given(DAYS)
@example(date(2024, 2, 29))  # leap day
@example(date(2026, 4, 5))  # the clocks go back in Adelaide
@example(date(2026, 10, 4))  # and forward
@example(date(2026, 1, 1))
@settings(max_examples=examples(2), deadline=None)
def test_any_day_gives_a_whole_logbook_that_reads_back_and_holds_together(day: date) -> None:
    end = on_wall(day, time(8), ZONE)
    logbook = write.logbook(day)
    written = [one.entry for one in logbook]
    lines = [line for content in write.sheets(logbook, ZONE).values() for line in content.splitlines()]
    assert all(rows.is_whole(line) for line in lines)
    read = sorted((rows.entry_of(line) for line in lines), key=lambda entry: entry.id)
    # Not compared as lists: their difference would take a minute to print.
    assert len(read) == len(written)
    assert [one.id for one, other in zip(written, read, strict=True) if one != other] == []
    assert all(entry.at < end and (entry.written is None or entry.at < entry.written < end) for entry in read)
    assert len({entry.id for entry in read}) == len(read)
    offsets = {entry.at.utcoffset() for entry in read if days_between(entry.at, end) < 100}
    assert offsets <= {timedelta(hours=9, minutes=30), timedelta(hours=10, minutes=30)}
    assert all(entry.at.utcoffset() == entry.at.astimezone(ZONE).utcoffset() for entry in read)
    standing = fold(read)
    assert len(animals_here(standing)) == 47
    assert not [one for one in checks.findings(read) if one.level != "said"]


@pytest.mark.parametrize("zone", ["Europe/Vienna", "America/St_Johns", "UTC"])
def test_any_time_zone_will_do(zone: str) -> None:
    room = ZoneInfo(zone)
    moment = on_wall(date(2026, 3, 29), time(6), room)
    found = write.entries(moment, room)
    assert max(entry.at for entry in found) < on_wall(date(2026, 3, 29), time(), room)
    assert fold(found).places["animal/wattle"] == "enclosure/t1"
