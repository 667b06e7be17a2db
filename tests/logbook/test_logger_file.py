"""Loggers' files as they are found: separators, clocks, units, columns, and what is wrong in them."""

from __future__ import annotations

import contextlib
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rounds.errors import BadEntry
from rounds.logbook import logger_table
from rounds.logbook.logger_columns import Asked, NeedsColumn, NeedsUnit
from rounds.logbook.logger_file import LoggerFile, read_logger
from rounds.logbook.logger_order import NeedsOrder
from rounds.logbook.times import DateOrder
from tests.notation import VIENNA, at

NOW = at("2026-11-30 12:00")


def read(
    text: str | bytes,
    *,
    zone: ZoneInfo = VIENNA,
    order: DateOrder = "day-month",
    now: datetime = NOW,
    **asked: str,
) -> LoggerFile:
    """A file as it is read."""
    content = text.encode() if isinstance(text, str) else text
    return read_logger(content, zone, order, now, Asked(**asked))  # type: ignore[arg-type]


def said(file: LoggerFile) -> list[str]:
    """The readings as `12 Apr 07:15 29.4 80`."""
    found = []
    for one in file.readings:
        when = datetime.fromtimestamp(one.at, VIENNA)
        damp = "" if one.humidity is None else f" {one.humidity:g}"
        found.append(f"{when.day} {when:%b %H:%M} {one.air_c:g}{damp}")
    return found


TWO = ["12 Apr 07:15 29.4", "12 Apr 07:20 29.5"]


@pytest.mark.parametrize(
    "text",
    [
        "Time,Temp (°C)\n2026-04-12 07:15,29.4\n2026-04-12 07:20,29.5\n",
        "Time;Temp (°C)\n2026-04-12 07:15;29,4\n2026-04-12 07:20;29,5\n",
        "Time\tTemp (°C)\n2026-04-12 07:15\t29,4\n2026-04-12 07:20\t29,5\n",
        'Time,"Temp (°C)"\n"2026-04-12 07:15","29,4"\n"2026-04-12 07:20","29,5"\n',
        "Time,Temp (°C)\n2026-04-12 07:15,29,4\n2026-04-12 07:20,29,5\n",
        "Time,Temp (°C)\r\n2026-04-12 07:15,29.4\r\n2026-04-12 07:20,29.5\r\n",
        "Time,Temp (°C)\r2026-04-12 07:15,29.4\r2026-04-12 07:20,29.5\r",
        "Time,Temp (°C)\n2026-04-12T07:15:00,29.4\n2026-04-12T07:20:00,29.5",
        "Time,Temp (°C)\n2026-04-12T07:15:00+02:00,29.4\n2026-04-12T07:20:00+02:00,29.5\n",
        "Time,Temp (°C)\n2026-04-12T05:15:00Z,29.4\n2026-04-12T05:20:00Z,29.5\n",
        "Date Time, GMT+00:00;Temp (°C)\n12.04.2026 05:15;29,4\n12.04.2026 05:20;29,5\n",
        "Time,Temp (°C)\n1775970900,29.4\n1775971200,29.5\n",
        "Time,Temp (°C)\n1775970900000,29.4\n1775971200000,29.5\n",
        "Date;Time;Temp (°C)\n12.04.2026;07:15:00;29,4\n12.04.2026;07:20:00;29,5\n",
        "Date,Time,Temp (°C)\n12/04/26,7:15 AM,29.4\n12/04/26,7:20 AM,29.5\n",
        "Time,Temp (°C)\n12 Apr 2026 07:15,29.4\n12 Apr 2026 07:20,29.5\n",
        'Time,Temp (°C)\n"Apr 12, 2026 7:15 AM",29.4\n"Apr 12, 2026 7:20 AM",29.5\n',
        "Time,Temp (°F)\n2026-04-12 07:15,84.92\n2026-04-12 07:20,85.1\n",
        "Time,Temp\n2026-04-12 07:15,29.4 °C\n2026-04-12 07:20,29.5 °C\n",
        "Time,Temp\n2026-04-12 07:15,84.92F\n2026-04-12 07:20,85.10F\n",
        "Time;Temp\n;°C\n2026-04-12 07:15;29,4\n2026-04-12 07:20;29,5\n",
        "#,Time,Temp (°C)\n1,2026-04-12 07:15,29.4\n2,2026-04-12 07:20,29.5\n",
        "Time,Temp (°C)\n2026-04-12 07:20,29.5\n2026-04-12 07:15,29.4\n",
        "Time,Temp (°C)\n\n2026-04-12 07:15,29.4\n\n\n2026-04-12 07:20,29.5\n\n",
        "Time,Temp (°C)\n2026-04-12 07:15,29.4\n2026-04-12 07:15,29.4\n2026-04-12 07:20,29.5\n",
        "Logger: shelf 1\nSerial no.: 00042\nInterval: 5 min\nTime,Temp (°C)\n"
        "2026-04-12 07:15,29.4\n2026-04-12 07:20,29.5\n",
        "Unit: C\n2026-04-12 07:15,29.4\n2026-04-12 07:20,29.5\n",
        "2026-04-12 07:15 29.4°C\n2026-04-12 07:20 29.5°C\n",
        "Time,Temp °C\n07:15:00 12/04/2026,29.4\n07:20:00 12/04/2026,29.5\n",
        "Time;Temp °C\n12-Apr-2026 07:15;29,4\n12-Apr-26 07:20;29,5\n",
        "Time;Temp °C\n20260412071500;29,4\n20260412 072000;29,5\n",
        "time,temp_c\n2026-04-12T07:15:00.000+0200,29.4\n2026-04-12T07:20:00.000+0200,29.5\n",
        "Time,Temp (°C),,,\n2026-04-12 07:15,29.4,,,\n2026-04-12 07:20,29.5,,,\n",
        "Time,Temp °C\nSun 12 Apr 2026 07:15,29.4\nSunday 12/04/2026 07:20,29.5\n",
        "1,Time,Celsius(°C),Dew Point(°C),Serial Number\n1,12/04/2026 07:15:00,29.4,25.6,010012345\n"
        "2,12/04/2026 07:20:00,29.5,25.6\n3,12/04/2026 07:20:00,29.5,25.6\n",
        'Title: shelf\n"#","Date Time, GMT+02:00","Temp, °C (S/N: 123, S/N: 123)","Stopped"\n'
        "1,12/04/26 07:15:00 AM,29.4,\n2,12/04/26 07:20:00 AM,29.5,\n",
    ],
)
def test_the_same_two_readings_however_they_are_written(text: str) -> None:
    assert said(read(text)) == TWO


@pytest.mark.parametrize("coding", ["utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_the_letters_may_be_saved_as_anything(coding: str) -> None:
    text = "Zeit;Temperatur (°C);rel. Feuchte (%)\n12.04.2026 07:15;29,4;80\n12.04.2026 07:20;29,5;81\n"
    assert said(read(text.encode(coding))) == ["12 Apr 07:15 29.4 80", "12 Apr 07:20 29.5 81"]


def test_a_twelve_hour_clock_has_its_midnight_and_its_noon() -> None:
    rows = "12/04/2026 12:05 AM,28\n12/04/2026 1:05 AM,29\n12/04/2026 12:05 p.m.,30\n12/04/2026 1:05:30 PM,31\n"
    found = said(read("Time,Temp °C\n" + rows))
    assert found == ["12 Apr 00:05 28", "12 Apr 01:05 29", "12 Apr 12:05 30", "12 Apr 13:05 31"]


def test_three_four_is_read_as_the_colony_writes_it_and_never_guessed() -> None:
    text = "Time,Temp °C\n03/04/2026 07:15,29.4\n"
    assert said(read(text)) == ["3 Apr 07:15 29.4"]
    assert said(read(text, order="month-day")) == ["4 Mar 07:15 29.4"]


def test_a_month_that_is_none_is_told_with_the_other_order() -> None:
    with pytest.raises(BadEntry, match=r"Line 2: there is no such month .* --date-order month-day"):
        read("Time,Temp °C\n03/25/2026 07:15,29.4\n")
    with pytest.raises(NeedsOrder, match=r"Line 3: there is no such month"):
        read("Time,Temp °C\n03/04/2026 07:15,29.4\n03/25/2026 07:15,29.4\n")
    told = read("Time,Temp °C\n25/03/2026 07:15,29.4\n03/25/2026 07:15,29.4\n").told
    assert told == (
        "Line 3: there is no month 25 (read as day, then month).",
        "If the file writes month, then day, add --date-order month-day.",
    ), "a line in the colony's own order proves it: the other is damaged"


@pytest.mark.parametrize(
    ("days", "order", "other"),
    [
        (["11/01/2026", "11/02/2026", "11/03/2026"], "day-month", "month-day"),
        (["11/02/26", "11/01/26"], "day-month", "month-day"),
        (["01.11.2026", "02.11.2026", "03.11.2026", "04.11.2026"], "month-day", "day-month"),
        ([f"11/{day:02}/2026" for day in range(1, 29)], "day-month", "month-day"),
    ],
)
def test_days_a_month_apart_are_asked_about_before_they_are_written_into_other_months(
    days: list[str], order: DateOrder, other: DateOrder
) -> None:
    text = "Time,Temp °C\n" + "".join(f"{day} {hour:02}:00,29.4\n" for day in days for hour in (6, 18))
    with pytest.raises(NeedsOrder, match=f"--date-order {other}"):
        read(text, order=order)
    assert {one.split()[1] for one in said(read(text, order=other))} == {"Nov"}
    content = text.encode()
    told = read_logger(content, VIENNA, order, NOW, Asked(order=other))
    assert len(told.readings) == 2 * len(days)


def test_days_in_the_colony_s_order_are_not_asked_about() -> None:
    for days in (["28/10/2026", "01/11/2026", "02/11/2026"], ["03/04/2026"], ["05/05/2026", "06/06/2026"]):
        read("Time,Temp °C\n" + "".join(f"{day} 07:00,29.4\n" for day in days))


def test_days_that_have_not_come_may_be_in_the_other_order() -> None:
    told = read("Time,Temp °C\n04/12/2026 07:15,29.4\n").told
    assert told == (
        "Line 2: the time has not come yet: check the logger's clock.",
        "If the file writes month, then day, add --date-order month-day.",
    )


def test_lines_below_the_readings_are_told_and_do_no_harm() -> None:
    found = read("Time,Temp °C\n2026-04-12 07:15,29.4\n2026-04-12 07:20,29.5\nMax,29.5\nMin,29.4\n")
    assert said(found) == TWO
    assert found.told == ("Lines 4 to 5: no time.",)


def test_of_several_channels_the_keeper_says_which() -> None:
    text = "Time,Probe 1 °C,Probe 2 °C,Humidity %\n2026-04-12 07:15,29.4,31.0,80\n2026-04-12 07:20,29.5,31.1,81\n"
    with pytest.raises(NeedsColumn, match=r"2 Probe 1 °C .*3 Probe 2 °C") as asked:
        read(text)
    assert [key for key, _ in asked.value.columns] == ["2", "3"]
    assert said(read(text, column="Probe 2")) == ["12 Apr 07:15 31 80", "12 Apr 07:20 31.1 81"]
    assert said(read(text, column="2")) == ["12 Apr 07:15 29.4 80", "12 Apr 07:20 29.5 81"]
    with pytest.raises(BadEntry, match="No one column is “Probe 3”"):
        read(text, column="Probe 3")


def test_dew_point_battery_and_line_numbers_are_no_temperature_of_the_shelf() -> None:
    text = (
        "No.,Time,Temperature(°C),Relative Humidity(%),Dew Point(°C),Battery (V)\n"
        "1,2026-04-12 07:15,29.4,80,25.6,3.0\n2,2026-04-12 07:20,29.5,81,25.9,3.0\n"
    )
    assert said(read(text)) == ["12 Apr 07:15 29.4 80", "12 Apr 07:20 29.5 81"]


def test_a_file_that_does_not_say_its_unit_is_asked_about() -> None:
    text = "Time,Temperature\n2026-04-12 07:15,84.2\n"
    with pytest.raises(NeedsUnit, match="°C or °F"):
        read(text)
    assert said(read(text, unit="F")) == ["12 Apr 07:15 29"]
    with pytest.raises(BadEntry, match="no unit"):
        read(text, unit="K")


@pytest.mark.parametrize("nothing", ["---", "ERR", "", "NaN", "-999.9", "N/A", "OFL"])
def test_a_line_without_a_value_is_told_by_its_number_and_the_others_are_kept(nothing: str) -> None:
    text = f"Time,Temp °C,x\n2026-04-12 07:15,29.4,1\n2026-04-12 07:20,{nothing},1\n2026-04-12 07:25,29.6,1\n"
    found = read(text, column="2")
    assert said(found) == ["12 Apr 07:15 29.4", "12 Apr 07:25 29.6"]
    assert found.told == (f"Line 3: no temperature ({nothing or 'empty'}).",)
    assert found.bad == 1


def test_each_trouble_names_its_lines_in_one_sentence() -> None:
    rows = [f"2026-04-12 07:{minute:02},{'---' if minute in (3, 4, 5, 9) else 29.4}" for minute in range(12)]
    rows += ["2026-04-12 07:30,120", "2026-12-01 07:00,29", "2000-01-01 00:05,29", "07:31,x"]
    told = read("Time,Temp °C\n" + "\n".join(rows) + "\n").told
    assert set(told) == {
        "Lines 5 to 7, 11: no temperature (---).",
        "Line 14: 120 °C is no temperature of a shelf.",
        "Line 15: the time has not come yet: check the logger's clock.",
        "Line 16: the year 2000: the logger's clock was not set.",
        "Line 17: no time.",
    }


@pytest.mark.parametrize(
    "cut", ["2026-04-12 07:2", "2026-04-12 07:20,", "2026-04-12 07:20,29.", "2026-04-12 07:20,2"]
)
def test_a_file_cut_in_a_line_loses_that_line_alone(cut: str) -> None:
    found = read("Time,Temp °C\n2026-04-12 07:10,29.3\n2026-04-12 07:15,29.4\n" + cut)
    assert said(found) == ["12 Apr 07:10 29.3", "12 Apr 07:15 29.4"]
    assert found.told == ("Line 4: the file ends within it.",)


def test_out_of_order_is_put_in_order_and_two_values_for_a_time_are_told() -> None:
    text = (
        "Time,Temp °C\n2026-04-12 07:20,29.5\n2026-04-12 07:30,29.7\n2026-04-12 07:15,29.4\n2026-04-12 07:20,30.5\n"
    )
    found = read(text)
    assert said(found) == ["12 Apr 07:15 29.4", "12 Apr 07:20 29.5", "12 Apr 07:30 29.7"]
    assert found.told == ("Line 5: another temperature for a time that was read already; the first counts.",)


# The room's clock, Europe/Vienna: 29 March 2026 leaves out 02:00 to 03:00, 25 October shows it twice.


def utc(file: LoggerFile) -> list[str]:
    return [f"{datetime.fromtimestamp(one.at, ZoneInfo('UTC')):%H:%M}" for one in file.readings]


def test_the_hour_that_comes_twice_is_told_apart_by_the_order_of_the_readings() -> None:
    clocks = ["01:30", "02:00", "02:30", "02:00", "02:30", "03:00"]
    rows = "".join(f"2026-10-25 {clock},{29 + place / 10:.1f}\n" for place, clock in enumerate(clocks))
    assert utc(read("Time,Temp °C\n" + rows)) == ["23:30", "00:00", "00:30", "01:00", "01:30", "02:00"]
    newest_first = "".join(
        f"2026-10-25 {clock},{29 + place / 10:.1f}\n" for place, clock in reversed(list(enumerate(clocks)))
    )
    assert utc(read("Time,Temp °C\n" + newest_first)) == ["23:30", "00:00", "00:30", "01:00", "01:30", "02:00"]


def test_an_hourly_logger_shows_that_hour_twice_too() -> None:
    rows = "".join(
        f"2026-10-25 {clock},29.{place}\n" for place, clock in enumerate(("01:00", "02:00", "02:00", "03:00"))
    )
    assert utc(read("Time,Temp °C\n" + rows)) == ["23:00", "00:00", "01:00", "02:00"]


def test_the_hour_that_is_left_out_is_told_and_the_logger_s_own_clock_can_be_given() -> None:
    rows = "".join(f"2026-03-29 {clock},29.4\n" for clock in ("01:30", "02:00", "02:30", "03:00"))
    found = read("Time,Temp °C\n" + rows)
    assert utc(found) == ["00:30", "01:00"]
    assert found.told == (
        "Lines 3 to 4: the room's clock left this hour out.",
        "If the logger does not change its clock in spring, add --zone with its offset, such as +01:00.",
    )
    assert utc(read_logger(("Time,Temp °C\n" + rows).encode(), VIENNA, "day-month", NOW, Asked(zone="+01:00"))) == [
        "00:30",
        "01:00",
        "01:30",
        "02:00",
    ]


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "empty"),
        (b"\n\n ,, \n", "empty"),
        (b"PK\x03\x04....", "save it as CSV"),
        (b"only words\nand more words\n", "No line of the file"),
        (b"Time,Temp C\nyesterday,29.4\ntoday,29.5\n", "No "),
        (b"a,b\n1,2\n3,4\n", "No line of the file has a time and a temperature"),
        (b"Time,Temp C\n07:15,29.4\n07:20,29.5\n", "No column of the file holds a day and an hour"),
    ],
)
def test_what_is_no_logger_s_file_is_refused_in_a_sentence(content: bytes, says: str) -> None:
    with pytest.raises(BadEntry, match=says):
        read(content)


@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused(content: bytes) -> None:
    with contextlib.suppress(BadEntry):
        assert read(content, unit="C").lines > 0


LINES = st.lists(
    st.sampled_from(
        [
            *("Time,Temp °C", "2026-04-12 07:15,29.4", "2026-10-25 02:30,29.4", "9999-12-31 23:59,29.4"),
            *(
                "2026-04-12 07:15,1e308",
                ",,,",
                '"',
                "2026-04-12 07:15,",
                "99999999999999,29.4",
                "0001-01-01 00:00,1",
            ),
            *(
                "12/13/2026 11:00,29",
                "2026-04-12 24:00,29",
                "2026-04-12 25:00,29",
                "2026-04-12 07:15\t29.4",
                "x" * 200,
            ),
            "2026-02-30 10:00,29",
        ]
    ),
    max_size=12,
)


@given(LINES)
def test_any_lines_are_read_or_refused_and_no_reading_lies_ahead(lines: list[str]) -> None:
    with contextlib.suppress(BadEntry):
        times = [one.at for one in read("\n".join(lines)).readings]
        assert times == sorted(set(times))
        assert all(moment <= NOW.timestamp() for moment in times)


def test_a_whole_file_in_the_other_unit_is_told_in_one_sentence() -> None:
    warm = "".join(f"2026-04-01 {hour:02}:00,{80 + hour / 10}\n" for hour in range(24))
    file = read("time,temp\n2026-03-31 23:00,29\n" + warm, unit="C")
    assert [one.air_c for one in file.readings] == [29.0, 80.0]
    assert list(file.told) == ["Lines 4 to 26: 80.1 to 82.3 °C is no temperature of a shelf."]


def test_a_file_in_celsius_that_is_called_fahrenheit_is_not_written_as_frost() -> None:
    text = "Time,Temp\n2026-04-12 07:15,29.4\n2026-04-12 07:20,33.5\n"
    with pytest.raises(BadEntry, match=r"Read as °F, the warmest of this file is 0.83 °C. Is it in °C"):
        read(text, unit="F")
    assert len(read(text, unit="C").readings) == len(read(text.replace("33.5", "59"), unit="F").readings) == 2


def test_a_cell_in_the_other_unit_is_told_and_not_taken_for_this_one() -> None:
    file = read("time,temp\n2026-04-01 00:00,29.0°C\n2026-04-01 01:00,50.0°F\n", unit="C")
    assert [one.air_c for one in file.readings] == [29.0]
    assert list(file.told) == ["Line 3: °F in a column of °C."]


def test_troubles_without_end_are_told_in_few_sentences() -> None:
    odd = "".join(f"2026-04-01 {hour:02}:00,oops{hour}\n" for hour in range(20))
    even = "".join(f"2026-04-02 {hour:02}:00,29.5\n" for hour in range(24))
    told = read(f"time,temp °C\n{even}{odd}").told
    assert len(told) == 13
    assert told[-1] == "Lines 38 to 45: could not be read either."


def test_two_thousand_columns_are_not_all_listed() -> None:
    names = ",".join(f"t{number}" for number in range(2_000))
    line = ",".join(["29.5"] * 2_000)
    with pytest.raises(NeedsColumn) as refused:
        read(f"time,{names}\n2026-04-01 00:00,{line}\n2026-04-01 01:00,{line}\n")
    assert str(refused.value).endswith("; and 1980 more.")
    assert len(refused.value.columns) == 2_000


def test_an_offset_that_is_none_is_told_and_not_read_by_the_rooms_clock() -> None:
    file = read("time,temp °C\n2026-04-01T00:00:00+02:00,29\n2026-04-01T01:00:00+99:99,29\n")
    assert len(file.readings) == 1
    assert list(file.told) == ["Line 3: +99:99 is no offset of a clock."]


@pytest.fixture
def _few_letters(monkeypatch: pytest.MonkeyPatch) -> None:
    """A file is large from fewer letters on."""
    monkeypatch.setattr(logger_table, "_SAMPLED", 10_000)


def large(head: str, unit: str = "") -> str:
    """A file that counts as large: a reading a minute, so that most of it lies between its begin and its end."""
    start = at("2024-01-01 00:00")
    times = (start + timedelta(minutes=one) for one in range(4_000))
    return f"{head}\n" + "".join(f"{one:%Y-%m-%d %H:%M},29.{one.minute % 10}{unit}\n" for one in times)


@pytest.mark.usefixtures("_few_letters")
def test_a_large_file_is_asked_about_by_its_begin_and_read_whole_once_told() -> None:
    text = large("Time,Value")
    with pytest.raises(NeedsUnit):
        read(text)
    file = read(text, unit="C")
    assert (len(file.readings), file.bad, file.column) == (4_000, 0, "Value")
    assert read(large("Time,Value", " °C")).unit == "C"
    with pytest.raises(NeedsColumn):
        read(text.replace(",29.", ",28.1,29."))
    with pytest.raises(BadEntry, match="is no unit"):
        read(text, unit="K")


@pytest.mark.usefixtures("_few_letters")
def test_what_stands_far_above_the_readings_of_a_large_file_is_heard_too() -> None:
    above = "".join(f"# remark {one}\n" for one in range(2_000))
    assert read(above + "Unit: C\n" + large("Time,Value")).unit == "C"


def test_a_line_of_a_million_cells_is_one_line() -> None:
    text = (
        "Time,Temp (°C)\n2026-03-01 10:00,29.4\n2026-03-01 10:10," + "1," * 1_000_000 + "\n2026-03-01 10:20,29.6\n"
    )
    file = read(text)
    assert [reading.air_c for reading in file.readings] == [29.4, 1.0, 29.6]


@pytest.mark.parametrize("nothing", ["NaN", "---", "n/a"])
def test_a_first_reading_without_a_value_is_no_name_of_a_column(nothing: str) -> None:
    text = f"Time,Value\n2026-03-01 10:00,{nothing}\n2026-03-01 10:10,29.4\n"
    file = read(text, unit="C")
    assert file.column == "Value"
    assert file.told == (f"Line 2: no temperature ({nothing}).",)
    assert [reading.air_c for reading in file.readings] == [29.4]


@pytest.mark.parametrize("order", ["day-month", "month-day"])
def test_a_day_that_is_none_in_either_order_does_not_send_the_keeper_to_the_other(order: DateOrder) -> None:
    told = read("Time,Temp (C)\n13/14/2026 10:00,29.4\n0/14/2026 11:00,29.4\n", order=order).told
    assert told == ("Lines 2 to 3: there is no such day, in either order.",)
