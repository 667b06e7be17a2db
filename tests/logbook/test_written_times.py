"""Times as people write them: what each form means, what is refused, and that what is said back reads back."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.errors import BadEntry
from rounds.logbook.times import fixed, on_wall
from rounds.logbook.written_times import read_day, read_moment, said_day, said_moment
from tests.notation import VIENNA, at

#: A Wednesday.
NOW = at("2026-11-25 14:05")
ZONES = [
    ZoneInfo(name)
    for name in (
        "Europe/Vienna",
        "Australia/Adelaide",  # no whole hour, and the year upside down
        "Australia/Lord_Howe",  # half an hour of change
        "America/St_Johns",
        "Pacific/Apia",
        "UTC",
    )
]


def read(text: str, now: datetime = NOW) -> str:
    """What a text is read as, by a keeper in Vienna."""
    return f"{read_moment(text, now, VIENNA, latest=now).moment:%Y-%m-%d %H:%M}"


@pytest.mark.parametrize(
    ("written", "meant"),
    {
        "7:30": "2026-11-25 07:30",
        "7": "2026-11-25 07:00",
        "0730": "2026-11-25 07:30",
        "6 am": "2026-11-25 06:00",
        "today 7": "2026-11-25 07:00",
        "yesterday 18": "2026-11-24 18:00",
        "yesterday 18:30": "2026-11-24 18:30",
        "yesterday at 6:30pm": "2026-11-24 18:30",
        "Yesterday, 18.30": "2026-11-24 18:30",
        "yesterday 1830": "2026-11-24 18:30",
        "3 nov 18": "2026-11-03 18:00",
        "3. Nov 18:05": "2026-11-03 18:05",
        "3rd november 18h": "2026-11-03 18:00",
        "nov 3 18": "2026-11-03 18:00",
        "3 nov 2025 18": "2025-11-03 18:00",
        "3 dec 8": "2025-12-03 08:00",
        "12.10. 8:00": "2026-10-12 08:00",
        "12.10.2025 8": "2025-10-12 08:00",
        "12.10.25 8": "2025-10-12 08:00",
        "3/4 7:30": "2026-04-03 07:30",
        "03/04/2026 7:30": "2026-04-03 07:30",
        "2026-04-12T07:15": "2026-04-12 07:15",
        "2026-04-12 18:00": "2026-04-12 18:00",
        "2026-04-12T05:20:00Z": "2026-04-12 07:20",
        "2026-04-12T07:15+05:00": "2026-04-12 04:15",
        "-2d": "2026-11-23 14:05",
        "-2d 18:00": "2026-11-23 18:00",
        "-1w": "2026-11-18 14:05",
        "-3h": "2026-11-25 11:05",
        "-30min": "2026-11-25 13:35",
        "2 days ago 18": "2026-11-23 18:00",
        "mon 8": "2026-11-23 08:00",
        "monday 8:15": "2026-11-23 08:15",
        "on Monday at 8": "2026-11-23 08:00",
        "wed 8": "2026-11-25 08:00",
        "730": "2026-11-25 07:30",
        "yesterday 730": "2026-11-24 07:30",
        "905": "2026-11-25 09:05",
        "last wed 8": "2026-11-18 08:00",
        "Tue 24 Nov 18:00": "2026-11-24 18:00",
        "29.2. 8": "2024-02-29 08:00",
        "now": "2026-11-25 14:05",
    }.items(),
)
def test_a_time_is_read_as_people_mean_it(written: str, meant: str) -> None:
    assert read(written) == meant
    assert read(f"  {written.upper()} ") == meant


@pytest.mark.parametrize(
    ("written", "meant", "remark"),
    [
        ("3 nov", "2026-11-03 12:00", "read as noon"),
        ("nov 3", "2026-11-03 12:00", "read as noon"),
        ("12.10", "2026-10-12 12:00", "read as noon"),
        ("yesterday", "2026-11-24 12:00", "read as noon"),
        ("mon", "2026-11-23 12:00", "read as noon"),
        ("2026-04-12", "2026-04-12 12:00", "read as noon"),
        ("today", "2026-11-25 14:05", "read as now"),
    ],
)
def test_an_hour_that_was_not_written_is_said(written: str, meant: str, remark: str) -> None:
    assert read(written) == meant
    assert remark in read_moment(written, NOW, VIENNA).remark


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("19:00", "today, Wed 25 Nov 19:00: that has not come yet"),
        ("wed 18", "today, Wed 25 Nov 18:00: that has not come yet"),
        ("775", "is no time"),
        ("tomorrow 8", "that has not come yet"),
        ("25 nov 2027", "that has not come yet"),
        ("30 feb", "there is no such day"),
        ("2026-02-30T07:15", "there is no such day"),
        ("3/13", "there is no month 13 (this colony writes day, then month)"),
        ("Mon 24 Nov 18:00", "24 Nov is a Tuesday"),
        ("yesterday, Wed 25 Nov 18:00", "yesterday is Tue 24 Nov"),
        ("2024", "a year or an hour? 20:24 is an hour"),
        ("2024-05", "it needs its day"),
        ("yesterday 25", "is no time"),
        ("45:00", "is no time"),
        ("13 pm", "is no time"),
        ("2026-04-12 25:00+02:00", "is no time"),
        ("7:3", "is no time"),
        ("7:30+02:00", "is no time"),
        ("in the evening", "is no time"),
        ("", "is no time"),
        ("0001-01-01 00:00", "is no time"),
    ],
)
def test_what_is_no_time_is_refused_with_a_sentence_that_says_how_to_write_one(written: str, told: str) -> None:
    with pytest.raises(BadEntry) as refused:
        read(written)
    assert told in str(refused.value)


def test_a_weekday_alone_is_today_on_its_own_day_and_now_while_noon_has_not_come() -> None:
    assert read("wed") == "2026-11-25 12:00"
    assert read("wed", at("2026-11-25 10:00")) == "2026-11-25 10:00"
    assert "read as now" in read_moment("wed", at("2026-11-25 10:00"), VIENNA).remark


@pytest.mark.parametrize("written", ["11.3.", "11.3. 8:00", "11 mar 8", "mar 11 8"])
def test_a_day_without_a_year_that_falls_far_back_is_said_with_its_year(written: str) -> None:
    tenth = at("2026-03-10 20:00")
    found = read_moment(written, tenth, VIENNA, latest=tenth)
    assert found.moment.date() == date(2025, 3, 11)
    assert "no year was given: read as 11 Mar 2025" in found.remark


@pytest.mark.parametrize("written", ["11.3.2025 8:00", "11.3.25 8", "2025-03-11 8:00", "9.3. 8:00", "-300d"])
def test_a_day_with_its_year_or_a_near_one_is_not_remarked_on(written: str) -> None:
    assert not read_moment(written, at("2026-03-10 20:00"), VIENNA).remark


def test_the_colony_says_whether_day_or_month_comes_first() -> None:
    assert read_moment("3/4 8", NOW, VIENNA, "month-day").moment.date() == date(2026, 3, 4)
    assert read_moment("03/04/2026 8", NOW, VIENNA, "month-day").moment.date() == date(2026, 3, 4)
    with pytest.raises(BadEntry, match="there is no month 25"):
        read_moment("25.12. 8", NOW, VIENNA, "month-day")


@pytest.mark.parametrize(
    ("written", "lies", "meant"),
    [
        ("3 dec", "ahead", "2026-12-03"),
        ("3 nov", "ahead", "2027-11-03"),
        ("mon", "ahead", "2026-11-30"),
        ("+2w", "ahead", "2026-12-09"),
        ("in 3 days", "ahead", "2026-11-28"),
        ("tomorrow", "ahead", "2026-11-26"),
        ("3 dec", "behind", "2025-12-03"),
        ("yesterday", "behind", "2026-11-24"),
        ("-2d", "behind", "2026-11-23"),
        ("2023-05-12", "behind", "2023-05-12"),
    ],
)
def test_a_day_lies_on_the_side_its_field_asks_for(written: str, lies: str, meant: str) -> None:
    assert str(read_day(written, NOW.date(), lies=lies).day) == meant  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("written", "meant"), [("2024-05", "2024-05-01"), ("may 2024", "2024-05-01"), ("2024", "2024-01-01")]
)
def test_a_month_or_a_year_alone_is_about_right(written: str, meant: str) -> None:
    found = read_day(written, NOW.date())
    assert (str(found.day), found.about) == (meant, True)


@pytest.mark.parametrize("written", ["3 nov 18", "7:30", "some day", "31.2.", ""])
def test_what_is_no_day_is_refused(written: str) -> None:
    with pytest.raises(BadEntry, match="hatched: “"):
        read_day(written, NOW.date(), label="hatched")


# The nights on which the clocks change


def test_the_hour_that_spring_leaves_out_is_read_with_the_offset_before_and_said() -> None:
    found = read_moment("29 mar 2:30", NOW, VIENNA)
    assert found.moment.isoformat() == "2026-03-29T03:30:00+02:00"
    assert "02:30 was left out by the room's clock" in found.remark


def test_the_hour_that_comes_twice_is_the_first_and_the_second_is_written_with_its_offset() -> None:
    first, second = read_moment("25 oct 2:30", NOW, VIENNA), read_moment("25 oct 2:30+01:00", NOW, VIENNA)
    assert first.moment.isoformat() == "2026-10-25T02:30:00+02:00"
    assert "for the second write +01:00 behind it" in first.remark
    assert second.moment.isoformat() == "2026-10-25T02:30:00+01:00"
    assert said_moment(first.moment, NOW, VIENNA) == "Sun 25 Oct 02:30"
    assert said_moment(second.moment, NOW, VIENNA) == "Sun 25 Oct 02:30+01:00"


def test_the_gap_and_the_fold_of_the_standard_are_those_instants() -> None:
    # Desruisseaux 2009, Internet Calendaring and Scheduling Core Object Specification (RFC 5545), §3.3.5: New York,
    # 11 Mar 2007 02:30 is left out and read as 07:30Z; 4 Nov 2007 01:30 comes twice and is the first, 05:30Z.
    new_york = ZoneInfo("America/New_York")
    gap, fold = (read_moment(text, NOW, new_york).moment for text in ("2007-03-11T02:30", "2007-11-04T01:30"))
    assert gap.astimezone(UTC).isoformat() == "2007-03-11T07:30:00+00:00"
    assert fold.astimezone(UTC).isoformat() == "2007-11-04T05:30:00+00:00"


def test_hours_ago_are_counted_and_days_ago_keep_the_hour_over_a_change() -> None:
    now = at("2026-10-25 12:00")  # thirteen hours after midnight
    assert read_moment("-12h", now, VIENNA).moment == at("2026-10-25 00:00") + timedelta(hours=1)
    assert read_moment("-1d", now, VIENNA).moment == at("2026-10-24 12:00")


# Whatever moment: said back it is the same

_MOMENTS = st.integers(0, 13 * 366 * 1440).map(
    lambda minutes: at("2019-01-01").astimezone(UTC) + timedelta(minutes=minutes)
)


@st.composite
def seen(draw: st.DrawFn) -> tuple[datetime, datetime, ZoneInfo]:
    """A moment, now some time after it, and the room's zone; often beside a change of the clocks."""
    zone = draw(st.sampled_from(ZONES))
    moment = draw(_MOMENTS)
    if draw(st.booleans()):
        changes = [
            day
            for number in range(366)
            if _offset(day := moment + timedelta(days=number), zone) != _offset(day + timedelta(days=1), zone)
        ]
        if changes:
            moment = changes[0] + timedelta(minutes=draw(st.integers(-180, 26 * 60)))
    moment = moment.replace(second=0, microsecond=0)
    later = moment + timedelta(minutes=draw(st.one_of(st.integers(0, 3 * 1440), st.integers(0, 900 * 1440))))
    return fixed(moment, zone), fixed(later, zone), zone


def _offset(moment: datetime, zone: ZoneInfo) -> timedelta | None:
    return moment.astimezone(zone).utcoffset()


@settings(max_examples=600)
@given(seen())
def test_what_is_said_back_reads_back_to_the_same_moment(one: tuple[datetime, datetime, ZoneInfo]) -> None:
    moment, now, zone = one
    said = said_moment(moment, now, zone)
    assert read_moment(said, now, zone, latest=now).moment == moment, said
    assert read_moment(said, now, zone, "month-day", latest=now).moment == moment, said


@settings(max_examples=600)
@given(
    seen(),
    st.sampled_from(["%Y-%m-%dT%H:%M", "%d.%m.%Y %H:%M", "%d/%m/%Y %H.%M", "%d %b %Y %H:%M", "%a %d %B %Y %H:%M"]),
)
def test_every_whole_form_means_what_the_rooms_clock_showed(
    one: tuple[datetime, datetime, ZoneInfo], form: str
) -> None:
    moment, now, zone = one
    written = moment.strftime(form)
    # The second of two hours is written with its offset; without one the first is meant.
    assert read_moment(written, now, zone).moment == on_wall(moment.date(), moment.time(), zone)


@settings(max_examples=300)
@given(seen())
def test_an_iso_time_with_its_offset_is_that_moment(one: tuple[datetime, datetime, ZoneInfo]) -> None:
    moment, now, zone = one
    assert read_moment(moment.isoformat(), now, zone, latest=now).moment == moment


@settings(max_examples=300)
@given(st.dates(date(1990, 1, 1), date(2060, 1, 1)), st.dates(date(2019, 1, 1), date(2031, 1, 1)))
def test_a_day_said_back_reads_back_to_the_same_day(day: date, today: date) -> None:
    lies = "ahead" if day > today else "behind"
    assert read_day(said_day(day, today), today, lies=lies).day == day  # type: ignore[arg-type]


@settings(max_examples=500)
@given(st.text(max_size=25))
def test_any_text_is_a_time_or_refused_with_a_sentence(text: str) -> None:
    for reader in (lambda: read_moment(text, NOW, VIENNA), lambda: read_day(text, NOW.date())):
        told = "."
        try:
            reader()
        except BadEntry as error:
            told = str(error)
        assert told.endswith(".")


def test_noon_is_written_as_a_word_too() -> None:
    assert read_moment("yesterday noon", NOW, VIENNA).moment.time() == time(12)


def test_a_moment_without_an_offset_is_no_moment() -> None:
    with pytest.raises(ValueError, match="no moment"):
        fixed(datetime(2026, 4, 12, 8, 0))  # noqa: DTZ001
