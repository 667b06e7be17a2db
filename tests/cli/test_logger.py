"""`rounds logger` and `rounds incubator`: a file in, readings on the shelf, nothing twice."""

from __future__ import annotations

import os
import sys
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from tests.cli.conftest import Door, Said
from tests.notation import at

BEGUN = at("2026-04-10 00:00")


def rows(first: int, last: int, celsius: float = 29.4) -> str:
    """A file with a reading each five minutes, of the hours from `first` to `last` after midnight of 10 April."""
    times = [BEGUN + timedelta(minutes=5 * step) for step in range(12 * first, 12 * last)]
    return "Time,Temp (°C)\n" + "".join(
        f"{one:%Y-%m-%d %H:%M},{celsius + one.minute % 10 / 10:.1f}\n" for one in times
    )


@pytest.fixture
def shelf(room: Door) -> Door:
    room.well("log", "enclosure_set_up", "s1", "name=S1", "what=incubator shelf", "--at", "2026-04-01 08:00")
    return room


def read(shelf: Door, text: str, *words: str) -> Said:
    return shelf("logger", "S1", "-", *words, stdin=text)


def logged(shelf: Door) -> int:
    """How many stretches stand on the shelf's page."""
    return sum(one["entry"]["kind"] == "climate_logged" for one in shelf("show", "S1", "--json").json["entries"])


def test_a_file_is_read_in_entries_of_a_day_and_said(shelf: Door) -> None:
    said = read(shelf, rows(0, 48))
    assert said.code == 0
    assert said.out == "S1: 576 new readings, 10 to 11 Apr, 29.4 to 29.9 °C (Temp (°C)).\n"
    assert said.err.endswith("Saved: 2 entries.\n")
    assert logged(shelf) == 2


def test_a_cell_without_humidity_or_a_little_above_100_costs_no_other_its_humidity(shelf: Door) -> None:
    cells = ["80", "", "90", "103.2", "250", ""]
    text = "Time,Temp (°C),RH %\n" + "".join(
        f"2026-04-10 0{place}:00,{29 + place % 2},{cell}\n" for place, cell in enumerate(cells)
    )
    assert read(shelf, text).code == 0
    found = [one["entry"] for one in shelf("show", "S1", "--json").json["entries"]]
    without, damp = (one for one in found if one["kind"] == "climate_logged")
    assert (damp["minutes"], damp["humidity"]) == ([0, 60, 120, 180, 240], [80, 85, 90, 100, 100])
    assert (without["minutes"], without.get("humidity")) == ([0], None), "none was read within the hour"


@pytest.mark.parametrize(("typed", "kept"), [("84F", 28.89), ("84°F", 28.89), ("29,4", 29.4)])
def test_a_shelf_read_in_fahrenheit_or_with_a_comma_is_kept_in_celsius(
    shelf: Door, typed: str, kept: float
) -> None:
    shelf.well("log", "climate_read", "S1", f"air_c={typed}")
    assert shelf("show", "S1", "--json").json["entries"][0]["entry"]["air_c"] == kept


def test_read_again_nothing_is_written_twice(shelf: Door) -> None:
    read(shelf, rows(0, 20))
    again = read(shelf, rows(0, 20))
    assert again.out.splitlines() == [
        "S1: nothing new in this file.",
        "240 readings lie in times that were logged already, and were left out.",
    ]
    assert logged(shelf) == 1


def test_of_a_file_that_overlaps_only_the_new_part_is_written(shelf: Door) -> None:
    read(shelf, rows(6, 10))
    both = read(shelf, rows(0, 20), "--json").json
    assert (both["new"], both["known"], len(both["written"])) == (16 * 12, 4 * 12, 2)
    assert read(shelf, rows(0, 20), "--json").json["new"] == 0
    stretches = [one["entry"] for one in shelf("show", "S1", "--json").json["entries"] if "minutes" in one["entry"]]
    times = [
        datetime.fromisoformat(one["at"]) + timedelta(minutes=minute)
        for one in stretches
        for minute in one["minutes"]
    ]
    assert len(times) == len(set(times))
    assert (min(times), max(times)) == (BEGUN, BEGUN + timedelta(hours=19, minutes=55))


def test_another_file_for_the_same_time_is_told(shelf: Door) -> None:
    read(shelf, rows(0, 4))
    told = read(shelf, rows(0, 4, 31.0)).out
    assert "48 of them differ from what was logged: another logger, or another shelf?" in told


def test_a_dry_run_writes_nothing(shelf: Door) -> None:
    said = read(shelf, rows(0, 4), "--dry-run")
    assert "48 new readings" in said.out
    assert "1 entry could be written; nothing was (--dry-run)." in said.err
    assert logged(shelf) == 0


def test_readings_of_another_year_are_told_with_it(shelf: Door) -> None:
    said = read(shelf, "Time,Temp °C\n26-04-12 07:15,29.4\n26-04-12 08:15,29.4\n")
    assert said.out.startswith("S1: 2 new readings, 26 Apr 2012, 29.4 to 29.4 °C")


@pytest.mark.parametrize("written", ["'{}'", '"{}"', " {} ", "{}"])
def test_a_path_may_stand_in_quotes(shelf: Door, tmp_path: Path, written: str) -> None:
    file = tmp_path / "shelf 1.csv"
    file.write_text(rows(0, 2), encoding="utf-8")
    assert shelf("logger", "S1", written.format(file)).code == 0
    assert shelf("logger", "S1", str(file).replace(" ", "\\ ")).code == 0


def test_what_was_taken_back_can_be_read_again(shelf: Door) -> None:
    written = read(shelf, rows(0, 4), "--json").json["written"]
    shelf.well("log", "corrected", f"replaces={written[0]['id']}")
    assert read(shelf, rows(0, 4), "--json").json["new"] == 48


@pytest.mark.parametrize(
    "words",
    [
        ("logger", "nowhere", "-"),
        ("logger", "S1", "no such file.csv"),
        ("logger", "S1", "."),
        ("logger", "wattle", "-"),
        ("logger", "S1", "-", "--unit", "K"),
        ("logger", "S1", "-", "--zone", "Nowhere/At all"),
        ("logger", "S1", "-", "--column", "Probe 7"),
    ],
)
def test_what_cannot_be_read_is_a_sentence_and_writes_nothing(shelf: Door, words: tuple[str, ...]) -> None:
    said = shelf(*words, stdin=rows(0, 2))
    assert said.code != 0
    assert said.err.strip().endswith((".", "?", ")"))
    assert "Traceback" not in said.err
    assert logged(shelf) == 0


def test_a_path_is_read_too_and_bad_lines_are_named(shelf: Door, tmp_path: Path) -> None:
    file = tmp_path / "shelf 1.csv"
    file.write_text(rows(0, 2) + "2026-04-10 02:00,---\n2026-04-10 02:05,29.", encoding="utf-8")
    said = shelf("logger", "S1", str(file))
    assert said.out.splitlines()[1:] == ["Line 27: the file ends within it.", "Line 26: no temperature (---)."]
    entry = shelf("show", "S1", "--json").json["entries"][0]["entry"]
    assert entry["logger"] == "shelf 1.csv"


def test_a_logger_s_readings_are_found_by_their_figures(shelf: Door) -> None:
    read(shelf, rows(0, 4, 32.0))
    assert "logger read" in shelf("find", "S1", "degrees>32").out
    assert "logger read" in shelf("find", "climate_logged", "air_c>32.4").out
    assert "logger read" not in shelf("find", "S1", "degrees>33").out


def test_the_incubator_shows_shelf_and_clutch(shelf: Door) -> None:
    shelf.well("log", "eggs_laid", "wattle", "count=18", "complete=true", "--at", "2026-04-09 09:00")
    shelf.well("log", "eggs_boxed", "wattle-2026-1", "count=18", "place=S1", "--at", "2026-04-09 10:00")
    read(shelf, rows(0, 48))
    text = shelf("incubator").out
    assert "S1   29.9 °C   band 28 to 31   read yesterday 23:55 AK, logger" in text
    assert "above 32 °C: 0 h" in text
    assert "S1   Wattle 1  18/18" in text
    found = shelf("incubator", "--json").json["shelves"][0]
    assert (found["now_c"], found["hot_hours"], found["logger"]) == (29.9, 0.0, True)
    assert found["clutches"][0]["early"] <= found["clutches"][0]["likely"] <= found["clutches"][0]["late"]
    assert found["clutches"][0]["rests_on"] in ("log", "partly", "no log")


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such pipes")
def test_a_pipe_that_no_one_writes_to_is_refused_and_not_waited_for(shelf: Door, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.csv")
    said = shelf("logger", "S1", str(tmp_path / "pipe.csv"))
    assert (said.code, logged(shelf)) == (5, 0)
    assert said.err.endswith("pipe.csv is no file that was saved: for what another program writes, give -.\n")


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such device")
def test_a_device_without_end_is_refused(shelf: Door) -> None:
    assert "/dev/zero is no file that was saved" in shelf("logger", "S1", "/dev/zero").err


def test_no_file_named_is_asked_for(shelf: Door) -> None:
    assert shelf("logger", "S1", "").err.endswith("Which file? Give the logger's file.\n")


def test_one_reading_is_said_as_one(shelf: Door) -> None:
    one = "time,temp °C\n2026-04-10 07:00,29.5\n"
    assert read(shelf, one).out == "S1: 1 new reading, 10 Apr, 29.5 to 29.5 °C (temp °C).\n"
    assert read(shelf, one).out.endswith("1 reading lies in a time that was logged already, and was left out.\n")
