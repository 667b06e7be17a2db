"""When a clutch will hatch: the published days, the readings of its shelf, the colony's own clutches."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.due.hatching import Forecast, floor, hatch_forecast, learned_k
from rounds.logbook.entries import ClimateLogged, Entry
from rounds.rules.default import default_house
from rounds.standing.fold import fold
from tests.notation import VIENNA, at, logbook

HOUSE = default_house(VIENNA)
CLUTCH = "clutch/wattle-2026-1"
LAID = at("2026-03-02 09:00")
PAGE = """
    2026-03-01 AK
    08:00  s1      enclosure_set_up  name=S1 what="incubator shelf"
    08:00  s2      enclosure_set_up  name=S2 what="incubator shelf"
    08:00  k1      enclosure_set_up  name=K1 what="egg box"
    08:01  wattle  arrived  name=Wattle sex=F
    2026-03-02 AK
    09:00  wattle  eggs_laid  clutch=clutch/wattle-2026-1 count=20 complete=true
    10:00  clutch/wattle-2026-1  eggs_boxed  count=20 place=s1
"""


def logged(celsius: float | list[float], days: int, *, shelf: str = "s1", begun: datetime = LAID) -> list[Entry]:
    """A logger on a shelf: a stretch a day, at one temperature or at these in turn."""
    swing = celsius if isinstance(celsius, list) else [celsius] * 2
    step = 1_440 // len(swing)
    return [
        ClimateLogged(
            id=f"log-{shelf}-{day:03}",
            at=begun + timedelta(days=day),
            by="AK",
            about=f"enclosure/{shelf}",
            minutes=tuple(step * place for place in range(len(swing))),
            air_c=tuple(swing),
        )
        for day in range(days)
    ]


def forecast(*more: Entry, page: str = PAGE, now: str = "2026-04-10 12:00", clutch: str = CLUTCH) -> Forecast:
    found = hatch_forecast(fold([*logbook(page), *more]), HOUSE, at(now), clutch)
    assert found is not None
    return found


def days(found: Forecast) -> tuple[int, int, int]:
    """The window in days from laying."""
    laid = found.begun.date()
    return (found.early - laid).days, (found.likely - laid).days, (found.late - laid).days


# Published days at a steady temperature: 28.9 °C (84 °F) 55–75 days (Grenard 1999, De Vosjoli Manual, as quoted)
# and about eight weeks (common practice); 26 °C 89–96, 29 °C mean 62 (as quoted), 30 °C 60–70 (Dörnath 2014).


def test_at_84_fahrenheit_held_steady_it_agrees_with_the_published_days_and_with_eight_weeks() -> None:
    early, likely, late = days(forecast(*logged(260 / 9, 39)))
    assert 55 <= likely <= 75
    assert early <= 56 <= late
    assert early <= 55
    assert late >= 75


@pytest.mark.parametrize(("celsius", "band"), [(26.0, (89, 96)), (29.0, (62, 62)), (30.0, (60, 70))])
def test_the_window_meets_the_published_days_at_each_temperature(celsius: float, band: tuple[int, int]) -> None:
    early, _, late = days(forecast(*logged(celsius, 39)))
    assert early <= band[1]
    assert late >= band[0]


def test_the_slope_is_that_of_another_agamid() -> None:
    # Harlow & Taylor 2000, Amphibolurus muricatus: 26 °C 67.2 days, 28 53.9, 30 46.7: a check, not the species.
    likely = {celsius: days(forecast(*logged(celsius, 39)))[1] for celsius in (26.0, 28.0, 30.0)}
    assert likely[26.0] / likely[30.0] == pytest.approx(67.2 / 46.7, rel=0.1)
    assert likely[28.0] / likely[30.0] == pytest.approx(53.9 / 46.7, rel=0.1)


def test_a_clutch_has_a_forecast_from_day_0_boxed_or_not() -> None:
    boxed = forecast(now="2026-03-02 12:00")
    assert (boxed.day, boxed.basis) == (0, "no log")
    assert boxed.says == "likely 29 Apr, by the published days, no temperatures read; no own clutch yet"
    early, _, late = days(boxed)
    assert early <= 50
    assert late >= 80  # Austrian federal sheet: 50–80 days, no temperature given
    fresh = forecast(page=PAGE.rsplit("10:00", 1)[0], now="2026-03-02 09:30")
    assert days(fresh) == days(boxed)


def test_readings_by_hand_once_a_day_count_like_a_log() -> None:
    read = "".join(
        f"    {LAID.date() + timedelta(days=day)} AK\n    09:00  s1  climate_read  air_c=30\n"
        for day in range(1, 39)
    )
    by_hand = forecast(page=PAGE + read)
    assert by_hand.basis == "log"
    assert days(by_hand) == days(forecast(*logged(30.0, 39)))


def test_lowest_and_highest_of_each_day_count_by_the_sine() -> None:
    read = "".join(
        f"    {LAID.date() + timedelta(days=day)} AK\n    09:00  s1  climate_read  air_low_c=27 air_high_c=31\n"
        for day in range(1, 39)
    )
    assert days(forecast(page=PAGE + read)) == days(forecast(*logged(29.0, 39)))


def test_above_the_top_it_is_not_faster_still() -> None:
    assert days(forecast(*logged(34.0, 39))) == days(forecast(*logged(32.0, 39)))


def test_eggs_that_were_moved_count_each_shelf_for_its_time() -> None:
    moved = PAGE + "    2026-03-22 AK\n    09:00  clutch/wattle-2026-1  eggs_boxed  count=20 place=s2\n"
    both = [*logged(30.0, 39), *logged(26.0, 39, shelf="s2")]
    _, likely, _ = days(forecast(*both, page=moved))
    # 20 days at 30 °C, the rest of 668 °C days at 26 °C.
    assert likely == pytest.approx(20 + (668 - 20 * 12) / 8, abs=1)


def test_an_egg_box_takes_its_eggs_from_shelf_to_shelf() -> None:
    page = PAGE.replace("place=s1", "place=k1") + "    10:01  k1  egg_box_made_up  medium=vermiculite shelf=s1\n"
    both = [*logged(30.0, 39), *logged(26.0, 39, shelf="s2")]
    assert days(forecast(*both, page=page)) == days(forecast(*both))
    moved = page + "    2026-03-22 AK\n    09:00  k1  egg_box_shelved  shelf=s2\n"
    _, likely, _ = days(forecast(*both, page=moved))
    assert likely == pytest.approx(20 + (668 - 20 * 12) / 8, abs=1)


def test_a_gap_is_bridged_by_the_shelf_s_own_mean_and_said() -> None:
    whole = logged(30.0, 39)
    gap = forecast(*whole[:10], *whole[15:])
    assert days(gap) == days(forecast(*whole))
    assert gap.basis == "partly"
    assert "h without readings bridged" in gap.says


def test_hours_above_the_alarm_and_under_the_band_are_counted() -> None:
    # Each day from 29 up to 33 °C in 4 h and down in 4 h: a quarter of these 8 h is above 32.
    found = forecast(*logged([29.0, 29.0, 29.0, 33.0, 29.0, 29.0], 10), now="2026-03-12 09:00")
    assert found.sums.hot_hours == pytest.approx(10 * 2.0, abs=0.2)
    assert found.sums.cold_hours == 0
    assert forecast(*logged(27.0, 10), now="2026-03-12 09:00").sums.cold_hours == pytest.approx(9.5 * 24, abs=0.5)


def own(number: int, hatch_days: int) -> str:
    """A completed clutch of the year before, on a shelf of its own."""
    laid = date(2025, 3, 2)
    name = f"clutch/wattle-2025-{number}"
    return (
        f"    {laid} AK\n    09:00  wattle  eggs_laid  clutch={name} count=20 complete=true\n"
        f"    10:00  {name}  eggs_boxed  count=20 place=s2\n"
        f"    {laid + timedelta(days=hatch_days)} AK\n    09:00  {name}  hatched  count=20\n"
    )


LAST_YEAR = logged(29.0, 80, shelf="s2", begun=at("2025-03-02 09:00"))


def test_own_completed_clutches_move_the_forecast_towards_them_and_narrow_it() -> None:
    without = forecast(*logged(29.0, 39), *LAST_YEAR)
    slow = PAGE + "".join(own(number, 68) for number in range(1, 5))
    four = forecast(*logged(29.0, 39), *LAST_YEAR, page=slow)
    assert (without.own, four.own) == (0, 4)
    assert days(without)[1] < days(four)[1] < 68
    width = [days(one)[2] - days(one)[0] for one in (without, four)]
    assert width[1] < width[0]
    assert four.says.endswith("4 own clutches")


@pytest.mark.parametrize("place", ["s1", "s2", ""])
def test_an_own_clutch_in_two_boxes_teaches_by_the_box_that_hatched_first(place: str) -> None:
    name, words = "clutch/wattle-2025-1", f" place={place}" if place else ""
    two = own(1, 60).replace(
        "count=20 place=s2", f"count=10 place=s1\n    10:05  {name}  eggs_boxed  count=10 place=s2"
    )
    two = two.replace("hatched  count=20", f"hatched  count=2{words}")
    cool = logged(26.0, 80, begun=at("2025-03-02 09:00"))
    (learned,) = learned_k(fold([*logbook(PAGE + two), *cool, *LAST_YEAR]), HOUSE).own
    assert learned.development == pytest.approx((26 if place == "s1" else 29) * 60 - 18 * 60, rel=0.01)


def test_eggs_moved_from_one_box_into_another_had_the_warmth_of_the_first_until_then() -> None:
    moved = PAGE + "    2026-04-01 AK\n    09:00  clutch/wattle-2026-1  eggs_boxed  count=8 place=s2 out_of=s1\n"
    readings = [*logged(30.0, 30), *logged(26.0, 39, shelf="s2")]
    standing = fold([*logbook(moved), *readings])
    found = hatch_forecast(standing, HOUSE, at("2026-04-01 09:00"), CLUTCH, "enclosure/s2")
    assert found is not None
    assert found.sums.development == pytest.approx(12 * 30, rel=0.01)


def test_an_own_clutch_of_which_no_temperatures_are_known_teaches_nothing() -> None:
    assert forecast(*logged(29.0, 39), page=PAGE + own(1, 68)).own == 0


def test_a_shelf_read_by_hand_twice_a_day_has_no_gap_and_its_clutch_teaches() -> None:
    page = '    2026-01-01 AK\n    08:00  s1  enclosure_set_up  name=S1 what="incubator shelf"\n'
    page += "    08:01  wattle  arrived  name=Wattle sex=F\n"
    for number, laid in ((1, date(2026, 1, 2)), (2, date(2026, 2, 10))):
        clutch = f"clutch/wattle-2026-{number}"
        page += f"    {laid} AK\n    09:00  wattle  eggs_laid  clutch={clutch} count=20 complete=true\n"
        page += f"    10:00  {clutch}  eggs_boxed  count=20 place=s1\n"
    for day in range(68):
        page += f"    {date(2026, 1, 3) + timedelta(days=day)} AK\n"
        page += "    07:00  s1  climate_read  air_c=29\n    19:00  s1  climate_read  air_c=29\n"
    page += "    2026-03-08 AK\n    09:00  clutch/wattle-2026-1  hatched  count=20\n"
    found = forecast(page=page, now="2026-03-11 12:00", clutch="clutch/wattle-2026-2")
    assert (found.own, "without readings" in found.says) == (1, False)


def test_in_a_large_colony_the_clutches_that_have_hatched_teach_among_many_that_have_not() -> None:
    laid = "eggs_laid  clutch=clutch/d"
    others = "".join(
        f"    2026-03-{1 + number % 28:02} AK\n    12:00  dam-{number}  {laid}-{number} count=20\n"
        for number in range(200)
    )
    page = PAGE + "".join(own(number, 68) for number in range(1, 5)) + others
    assert forecast(*logged(29.0, 39), *LAST_YEAR, page=page).own == 4


def test_a_slip_of_the_pen_teaches_nothing() -> None:
    assert forecast(*logged(29.0, 39), *LAST_YEAR, page=PAGE + own(1, 5)).own == 0


def test_the_window_is_never_narrower_than_its_floor_however_many_clutches_agree() -> None:
    page = PAGE + "".join(own(number, 61) for number in range(1, 31))
    found = forecast(*logged(29.0, 39), *LAST_YEAR, page=page)
    assert found.own == 30
    early, likely, late = days(found)
    assert likely - early >= 0.05 * likely - 1
    assert late - likely >= 0.05 * likely - 1


def test_the_floor_is_twelve_percent_and_falls_with_own_clutches_to_five() -> None:
    assert floor(HOUSE, 0) == pytest.approx(0.12)
    assert floor(HOUSE, 4) == pytest.approx(0.12 / 2**0.5)
    assert floor(HOUSE, 12) == pytest.approx(0.06)
    assert floor(HOUSE, 1000) == pytest.approx(0.05)


@given(st.integers(0, 500))
def test_more_own_clutches_never_widen_the_floor(own_clutches: int) -> None:
    assert floor(HOUSE, own_clutches + 1) <= floor(HOUSE, own_clutches)


def test_the_window_ends_at_the_longest_incubation_however_cold_it_was() -> None:
    cold = forecast(*logged(20.0, 39))
    assert days(cold)[2] == HOUSE.days("breeding.longest_incubation_days")
    never = forecast(*logged(10.0, 39))
    assert days(never)[2] == 96


@settings(max_examples=40)
@given(st.lists(st.floats(15, 32), min_size=2, max_size=4), st.floats(0, 4))
def test_warmer_is_never_later_and_the_window_is_in_order(swing: list[float], warmer: float) -> None:
    cool = forecast(*logged(swing, 20), now="2026-03-22 12:00")
    warm = forecast(*logged([one + warmer for one in swing], 20), now="2026-03-22 12:00")
    for one in (cool, warm):
        assert one.early <= one.likely <= one.late
    assert warm.early <= cool.early
    assert warm.likely <= cool.likely
    assert warm.late <= cool.late


WILD = st.datetimes(
    datetime.fromisoformat("0001-01-02"), datetime.fromisoformat("9999-12-30"), timezones=st.just(VIENNA)
)


@settings(max_examples=60)
@given(
    st.lists(
        st.tuples(WILD, st.lists(st.integers(0, 2000), max_size=5), st.lists(st.floats(-20, 80), max_size=5)),
        max_size=4,
    ),
    WILD,
    WILD,
)
def test_whatever_a_sheet_holds_the_forecast_raises_nothing(
    stretches: list[tuple[datetime, list[int], list[float]]], laid: datetime, now: datetime
) -> None:
    entries = logbook(PAGE)
    entries = [
        type(one)(**{**{name: getattr(one, name) for name in one.__struct_fields__}, "at": laid}) for one in entries
    ]
    wild = [
        ClimateLogged(
            id=f"w{place}", at=begun, by="?", about="enclosure/s1", minutes=tuple(minutes), air_c=tuple(air)
        )
        for place, (begun, minutes, air) in enumerate(stretches)
    ]
    standing = fold([*entries, *wild])
    found = hatch_forecast(standing, HOUSE, now, CLUTCH)
    assert found is None or found.early <= found.late
    assert learned_k(standing, HOUSE).own == ()


def test_no_forecast_of_what_is_no_clutch_or_all_out() -> None:
    assert hatch_forecast(fold(logbook(PAGE)), HOUSE, at("2026-04-10"), "clutch/none") is None
    out = PAGE + "    2026-05-01 AK\n    09:00  clutch/wattle-2026-1  hatched  count=20\n"
    assert hatch_forecast(fold(logbook(out)), HOUSE, at("2026-05-02"), CLUTCH) is None


# A probe inside the egg box

BOXED = PAGE.replace("place=s1", "place=k1").replace(
    "    2026-03-02 AK\n",
    "    08:02  k1  egg_box_made_up  medium=perlite target_grams=300 shelf=s1\n    2026-03-02 AK\n",
)


def boxed(now: datetime, *entries: Entry) -> Forecast:
    told = hatch_forecast(fold([*logbook(BOXED, VIENNA), *entries]), HOUSE, now, CLUTCH)
    assert told is not None
    return told


def test_a_probe_in_the_egg_box_counts_before_the_shelfs_and_it_is_said() -> None:
    now = LAID + timedelta(days=20)
    shelf, box = logged(29.0, 20), logged(30.0, 20, shelf="k1")
    alone, both = boxed(now, *shelf), boxed(now, *shelf, *box)
    assert both.mean_c == pytest.approx(30, abs=0.01)
    assert both.likely < alone.likely
    assert "read in its box" in both.says
    assert "in its box" not in alone.says
    assert both.sums.development == pytest.approx(boxed(now, *box).sums.development)
    assert both.likely == boxed(now, *box).likely


def test_the_probe_counts_for_its_own_time_alone_where_the_shelf_was_read_on_without_it() -> None:
    now = LAID + timedelta(days=20)
    shelf = logged(29.0, 20)
    early = boxed(now, *shelf, *logged(30.0, 10, shelf="k1"))
    assert early.mean_c == pytest.approx(29.5, abs=0.06)
    late = boxed(now, *shelf, *logged(30.0, 10, shelf="k1", begun=LAID + timedelta(days=10)))
    assert late.mean_c == pytest.approx(29.5, abs=0.06)
    assert late.likely < early.likely, "what the box is now counts for the days to come"


def test_one_reading_alone_in_the_box_changes_nothing_where_the_shelf_is_logged() -> None:
    now = LAID + timedelta(days=20)
    page = BOXED + "    2026-03-10 AK\n    09:00  k1  climate_read  air_c=31.5\n"
    alone = boxed(now, *logged(29.0, 20))
    told = hatch_forecast(fold([*logbook(page, VIENNA), *logged(29.0, 20)]), HOUSE, now, CLUTCH)
    assert told is not None
    assert (told.likely, told.sums) == (alone.likely, alone.sums)
