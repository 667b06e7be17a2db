"""Supplies and the next fourteen days on paper: 80 columns of what --json has."""

from __future__ import annotations

from rounds.due.walk import Walk
from rounds.paper.fortnight import fortnight_list, fortnight_text
from rounds.paper.hand_over import Done, hand_over
from rounds.paper.hand_over_text import hand_over_text
from rounds.paper.supplies import supplies_text, supply_list
from rounds.rules.settings import Settings
from tests.due.test_supplies import FOUR, count, house_with
from tests.hostile.hostile import safe
from tests.notation import VIENNA, at, standing

HOUSE = house_with(
    locusts={"use": "insects", "young": 15, "adult": 10},
    kale={"use": "greens", "unit": "g"},
    calcium={"use": "dust", "unit": "g"},
)
SETTINGS = Settings(name="Shed", zone=VIENNA, house=HOUSE)
PAGE = FOUR + count("2026-04-01", 420) + count("2026-04-11", 60) + count("2026-04-02", 40, "kale", unit="g")


def supplies_sheet(page: str, now: str) -> str:
    moment = at(now)
    return supplies_text(supply_list(standing(page), SETTINGS, moment), moment)


def fortnight_sheet(page: str, now: str) -> str:
    moment = at(now)
    return fortnight_text(fortnight_list(standing(page), SETTINGS, moment), moment)


def test_the_sheet_begins_with_what_to_order_and_says_how_each_supply_stands() -> None:
    sheet = supplies_sheet(PAGE, "2026-04-11 09:00")
    safe(sheet)
    order, stock = sheet.index("ORDER TODAY"), sheet.index("IN STOCK")
    assert order < stock
    assert "  - locusts: 444 pieces\n" in sheet
    told = " ".join(sheet.split())
    assert "locusts runs out tomorrow 60 252 504 pieces" in told
    assert "calcium not counted yet ? ? ? g" in told
    assert "locusts 60 counted today 36 (planned 30)" in told
    assert "kale out 0" in told


def test_a_colony_without_supplies_is_told_how_to_begin() -> None:
    moment = at("2026-04-11 09:00")
    bare = Settings(name="Shed", zone=VIENNA, house=house_with())
    sheet = supplies_text(supply_list(standing(FOUR), bare, moment), moment)
    assert "No supply is known yet" in sheet
    assert "rounds log stock_counted locusts amount=800" in " ".join(sheet.split())


def test_every_day_of_the_fortnight_stands_there_and_what_is_late_is_said_under_today() -> None:
    page = (
        PAGE
        + "2026-04-08\n08:00 karri appointment_made on=2026-04-09 whom='a buyer'\n"
        + "2026-04-10\n08:00 wattle appointment_made on=2026-04-13 clock=10:30 whom='the vet'\n"
    )
    sheet = fortnight_sheet(page, "2026-04-11 09:00")
    safe(sheet)
    lines = sheet.splitlines()
    days = [line[:11].strip() for line in lines if line[:3] in ("Sat", "Sun", "Mon", "Tue", "Wed", "Thu", "Fri")]
    assert days[0] == "Sat 11 Apr"
    assert days[-1] == "Fri 24 Apr"
    assert len(days) == 14
    assert any(line.startswith("Mon 13 Apr  appointment     Wattle: the vet 10:30") for line in lines)
    first = next(line for line in lines if line.startswith("Sat 11 Apr"))
    assert first.startswith("Sat 11 Apr  OVERDUE appointment Karri (2 days late): a buyer")


def test_the_year_stands_behind_a_day_of_the_next_one() -> None:
    assert "Fri 1 Jan 2027" in fortnight_sheet(PAGE, "2026-12-29 09:00")


def test_the_hand_over_has_what_was_agreed_and_what_to_order() -> None:
    page = (
        PAGE
        + "2026-04-09\n08:00 room appointment_made on=2026-04-10 whom=electrician\n"
        + "08:01 wattle appointment_made on=2026-04-12 clock=10:30 whom='the vet'\n"
        + "08:02 karri appointment_made on=2026-05-30 whom='a buyer'\n"
    )
    moment = at("2026-04-11 09:00")
    stands = standing(page)
    done = Done(Walk(stands, SETTINGS, moment), lambda _: (), (), ())
    sheet = hand_over_text(hand_over(stands, SETTINGS, moment, done, by="AK", since=moment), moment)
    told = " ".join(sheet.split())
    assert "AGREED - 10 Apr: was it kept? the room: electrician - 12 Apr Wattle: the vet 10:30" in told
    assert "buyer" not in told
    assert "ORDER - kale: 490 g - locusts: 444 pieces" in told


def test_why_the_use_is_not_known_is_told_where_it_is_counted_in_another_unit() -> None:
    sheet = supplies_sheet(FOUR + count("2026-04-01", 420, unit="g"), "2026-04-11 09:00")
    assert "counted in g, planned in pieces" in sheet
    given_in_g = supplies_sheet(FOUR + count("2026-04-01", 40, "kale", unit="pieces"), "2026-04-11 09:00")
    assert "counted in pieces, planned in g" in given_in_g
    assert "planned in" not in supplies_sheet(PAGE, "2026-04-11 09:00")
