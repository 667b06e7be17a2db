"""Days drawn as cells: what stands where, at every width and at the calendar's ends."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from rounds.paper.season import monday, weeks_later
from rounds.paper.timescale import _ORDER, Drawn, Timescale

SCALE = Timescale(date(2026, 10, 5), 24)
NOWHERE = date(2027, 12, 1)


def row(*marks: Drawn, now: date = NOWHERE) -> str:
    """The cells of these marks."""
    return SCALE.row(marks, now)


def test_half_a_week_is_a_cell_and_the_months_stand_above_their_first_days() -> None:
    assert SCALE.weeks == 12
    assert SCALE.ends == date(2026, 12, 27)
    assert SCALE.months() == "Oct    Nov      Dec      "[:24]
    assert SCALE.cell(date(2026, 11, 1)) == 7


def test_january_brings_its_year() -> None:
    assert Timescale(date(2026, 11, 30), 30).months().rstrip() == "Dec      Jan 2027 Feb     Mar"


def test_today_is_marked_with_its_date_and_stays_on_the_scale() -> None:
    assert SCALE.today(date(2026, 10, 7)) == "^ 7 Oct".ljust(24)
    assert SCALE.today(date(2026, 12, 26)) == "26 Dec ^".rjust(24)
    assert SCALE.today(date(2027, 2, 1)) == " " * 24


def test_a_window_is_a_bracket_from_its_first_day_to_its_last() -> None:
    assert row(Drawn("window", date(2026, 10, 12), date(2026, 10, 25))) == "  [==]".ljust(24)
    assert row(Drawn("hatches", date(2026, 10, 12), date(2026, 10, 12))) == "  []".ljust(24)


def test_a_window_that_goes_over_the_edge_shows_that_it_goes_on() -> None:
    assert row(Drawn("window", date(2026, 9, 1), date(2026, 10, 12))) == "==]".ljust(24)
    assert row(Drawn("window", date(2026, 12, 20), date(2027, 2, 1))) == "[==".rjust(24)


def test_what_was_seen_stands_above_what_was_foreseen() -> None:
    drawn = row(
        Drawn("laid", date(2026, 10, 26), date(2026, 10, 26), 22),
        Drawn("digging", date(2026, 10, 20), date(2026, 10, 20)),
        Drawn("window", date(2026, 10, 12), date(2026, 11, 20)),
        Drawn("mated", date(2026, 10, 5), date(2026, 10, 5)),
    )
    assert drawn == "m [=.=L22====]".ljust(24)


def test_today_is_a_thin_line_where_nothing_stands() -> None:
    assert row(now=date(2026, 10, 12)) == "  |".ljust(24)
    assert row(Drawn("mated", date(2026, 10, 12), date(2026, 10, 12)), now=date(2026, 10, 12)) == "  m".ljust(24)


def test_more_weeks_make_smaller_cells() -> None:
    assert Timescale.of_weeks(date(2026, 10, 5), 12, 24).half_days == 7
    assert Timescale.of_weeks(date(2026, 10, 5), 24, 24).half_days == 14
    assert Timescale.of_weeks(date(2026, 10, 5), 104, 36).cells == 26


DAYS = st.dates()


@given(
    DAYS,
    st.integers(1, 120),
    st.lists(st.tuples(st.sampled_from(_ORDER), DAYS, st.integers(-400, 4000), st.integers(0, 10**9)), max_size=8),
    DAYS,
)
def test_whatever_the_days_a_line_is_as_long_as_the_scale(
    begins: date, cells: int, marks: list[tuple[str, date, int, int]], now: date
) -> None:
    scale = Timescale(begins, cells)
    drawn = [
        Drawn(what, first, date.fromordinal(min(date.max.toordinal(), max(1, first.toordinal() + days))), number)
        for what, first, days, number in marks
    ]
    assert len(scale.row(drawn, now)) == len(scale.months()) == len(scale.today(now)) == cells


@given(DAYS, st.integers(-5200, 5200))
def test_weeks_go_as_far_as_the_calendar_and_begin_on_a_monday(day: date, weeks: int) -> None:
    found = weeks_later(monday(day), weeks)
    assert found.weekday() == 0 or found == date.min or date.max - found < timedelta(days=900)
