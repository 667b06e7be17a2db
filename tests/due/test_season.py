"""The season: what was seen of every female, what comes next, and her clutches below her."""

from __future__ import annotations

from rounds.due.reckon import matters
from rounds.due.season import Row, season
from rounds.paper.season import monday, season_text, season_values
from rounds.rules.default import default_house
from rounds.rules.settings import Settings
from tests.notation import VIENNA, at, standing

HOUSE = default_house(VIENNA)
SETTINGS = Settings(name="Shed", zone=VIENNA, house=HOUSE)
ROOM = """
    2024-03-01 AK
    08:00  a1      enclosure_set_up  name=A1
    08:00  a2      enclosure_set_up  name=A2
    08:00  s1      enclosure_set_up  name=S1 what="incubator shelf"
    08:10  wattle  arrived  name=Wattle sex=F place=a2 hatched=2022-02-01
    08:10  sedge   arrived  name=Sedge sex=F place=a1 hatched=2022-02-01
    08:10  karri   arrived  name=Karri sex=M hatched=2021-02-01
"""


def rows(more: str, now: str, page: str = ROOM) -> dict[str, Row]:
    """The season's lines by name."""
    here, moment = standing(page + more), at(now)
    return {row.name: row for row in season(here, HOUSE, moment, matters(here, HOUSE, moment))}


def marks(row: Row) -> list[tuple[str, str, str, int]]:
    """What is drawn of a line."""
    return [(one.what, f"{one.first:%d %b}", f"{one.last:%d %b}", one.number) for one in row.marks]


def test_females_stand_in_walking_order_and_males_not_at_all() -> None:
    assert list(rows("", "2026-01-10 08:00")) == ["Sedge", "Wattle"]


def test_a_mating_opens_a_window_across_new_year() -> None:
    found = rows("2026-12-10 AK\n09:00 wattle mating_seen\n", "2026-12-20 08:00")["Wattle"]
    assert marks(found) == [
        ("window", "27 Dec", "18 Jan", 0),
        ("likely", "03 Jan", "03 Jan", 0),
        ("mated", "10 Dec", "10 Dec", 0),
    ]
    assert found.says == "due 27 Dec to 18 Jan"
    assert found.comes is not None
    assert (str(found.comes.first), str(found.comes.last)) == ("2026-12-27", "2027-01-18")
    assert found.why.endswith("from the house's window: no interval of the colony yet")


def test_an_open_window_says_its_end_and_one_gone_by_that_it_ended() -> None:
    mated = "2026-12-10 AK\n09:00 wattle mating_seen\n"
    assert rows(mated, "2027-01-02 08:00")["Wattle"].says == "due 27 Dec to 18 Jan"
    assert rows(mated, "2027-01-19 08:00")["Wattle"].says == "overdue since 19 Jan"
    assert rows(mated, "2027-01-23 08:00")["Wattle"].says == "window ended 21 Jan"


def test_digging_and_laying_are_said_before_any_window() -> None:
    digs = """
    2026-12-10 AK
    09:00 wattle mating_seen
    2027-01-02 AK
    09:00 wattle behaviour_seen behaviour="nest digging"
    """
    found = rows(digs, "2027-01-03 08:00")["Wattle"]
    assert found.says == "has dug since 2 Jan"
    assert ("digging", "02 Jan", "02 Jan", 0) in marks(found)
    laying = digs + "2027-01-04 AK\n09:00 wattle eggs_laid clutch=wattle-2027-1 count=9\n"
    assert rows(laying, "2027-01-04 10:00")["Wattle"].says == "laying, 9 so far"


def test_a_clutch_in_the_incubator_stands_below_its_dam_and_the_next_window_beside_the_last() -> None:
    laid = """
    2026-12-10 AK
    09:00 wattle mating_seen
    2027-01-04 AK
    09:00 wattle eggs_laid clutch=wattle-2027-1 count=20 slugs=2 complete=true
    10:00 clutch/wattle-2027-1 eggs_boxed count=18 place=s1
    """
    found = rows(laid, "2027-01-10 08:00")
    assert list(found) == ["Sedge", "Wattle", "18 eggs"]
    assert ("window", "24 Dec", "03 Jan", 0) in marks(found["Wattle"])
    assert ("laid", "04 Jan", "04 Jan", 20) in marks(found["Wattle"])
    assert found["Wattle"].says == "due 25 Jan to 15 Feb"
    eggs = found["18 eggs"]
    assert (eggs.dam, eggs.place) == ("animal/wattle", "enclosure/s1")
    assert marks(eggs)[0][:2] == ("incubating", "04 Jan")
    assert eggs.says == "hatches 22 Feb to 25 Mar"
    assert eggs.why.startswith("likely 3 Mar, by the published days")
    out = laid + "    2027-03-10 AK\n    09:00 clutch/wattle-2027-1 hatched count=18\n"
    gone = rows(out, "2027-03-20 08:00")["18 young"]
    assert gone.says == "hatched 10 Mar"
    assert ("hatched", "10 Mar", "10 Mar", 18) in marks(gone)
    assert "18 young" not in rows(out, "2027-08-20 08:00")


def test_eggs_of_a_dam_that_is_gone_come_last_with_her_name() -> None:
    gone = """
    2027-01-04 AK
    09:00 sedge eggs_laid clutch=sedge-2027-1 count=20 complete=true
    10:00 clutch/sedge-2027-1 eggs_boxed count=20 place=s1
    2027-01-05 AK
    09:00 sedge died
    """
    assert list(rows(gone, "2027-01-10 08:00")) == ["Wattle", "20 eggs of Sedge"]


def test_one_too_young_says_until_when_by_the_calendar() -> None:
    young = "2026-01-01 AK\n09:00 fern arrived name=Fern sex=F place=a1 hatched=2025-03-31\n"
    assert rows(young, "2026-01-10 08:00")["Fern"].says == "too young until Mar 2027"


def test_brumation_is_drawn_while_it_lasts() -> None:
    asleep = "2026-06-01 AK\n09:00 wattle brumation_began\n"
    found = rows(asleep, "2026-07-10 08:00")["Wattle"]
    assert (marks(found), found.says) == ([("brumation", "01 Jun", "10 Jul", 0)], "brumating since 1 Jun")
    woke = asleep + "2026-08-20 AK\n09:00 wattle brumation_ended\n"
    assert marks(rows(woke, "2026-09-10 08:00")["Wattle"]) == [("brumation", "01 Jun", "20 Aug", 0)]
    # An end that no one noted makes no sleep of a year of it: her page tells of two winters as well.
    again = asleep.replace("2026", "2025") + asleep
    two = [("brumation", "01 Jun", "01 Jun", 0), ("brumation", "01 Jun", "10 Jul", 0)]
    assert marks(rows(again, "2026-07-10 08:00")["Wattle"]) == two


def test_a_sign_beats_a_forecast_on_paper_too() -> None:
    sick = "2026-12-10 AK\n09:00 wattle mating_seen\n2026-12-20 AK\n08:00 wattle egg_check_done present=lethargy\n"
    here, now = standing(ROOM + sick), at("2026-12-20 08:00")
    found = season(here, HOUSE, now, matters(here, HOUSE, now))
    text = season_text(season_values(here, SETTINGS, now, found, monday(now.date(), -8), 18), now)
    line = next(one for one in text.splitlines() if "Wattle" in one)
    assert "VET NOW lethargy" in line
    assert "due" not in line
    # The weeks around a day are no season of the colony: that has its name from its wakings.
    assert "season, 19 Oct 2026 to 21 Feb 2027" in text
    assert all(len(one) <= 80 for one in text.splitlines())


def test_what_is_dated_ahead_of_the_clock_does_not_count_yet() -> None:
    assert rows("2027-12-10 AK\n09:00 wattle mating_seen\n", "2026-12-20 08:00")["Wattle"].marks == ()


def test_a_clutch_that_no_one_wrote_of_for_two_incubations_is_of_no_season() -> None:
    boxed = "2026-01-10 AK\n08:00 wattle eggs_laid clutch=w-1 count=20 complete=true\n"
    boxed += "09:00 clutch/w-1 eggs_boxed count=20\n"
    assert "20 eggs" in rows(boxed, "2026-04-20 08:00"), "overdue, and in the incubator still"
    assert list(rows(boxed, "2027-04-20 08:00")) == ["Sedge", "Wattle"]


BOXES = """
    2024-03-01 AK
    08:00  k1      enclosure_set_up  name=K1 what="egg box"
    08:00  k2      enclosure_set_up  name=K2 what="egg box"
    2026-09-01 AK
    08:00  wattle  eggs_laid  clutch=clutch/wattle-1 count=20 complete=true
    09:00  clutch/wattle-1  eggs_boxed  count=12 place=enclosure/k1
    09:10  clutch/wattle-1  eggs_boxed  count=8 place=enclosure/k2
"""


def test_a_clutch_in_two_boxes_names_both() -> None:
    here, now = standing(ROOM + BOXES), at("2026-09-05 08:00")
    found = season(here, HOUSE, now, ())
    (eggs,) = [row for row in found if row.dam is not None]
    assert eggs.boxes == ("enclosure/k1", "enclosure/k2")
    told = season_values(here, SETTINGS, now, found, monday(now.date(), -8), 18)
    assert "  20 eggs K1 K2 " in season_text(told, now)


def test_boxes_that_have_no_room_by_name_are_counted_and_an_empty_one_is_not() -> None:
    long = BOXES.replace("name=K2", "name=Kitchen")
    here, now = standing(ROOM + long), at("2026-09-05 08:00")
    told = season_values(here, SETTINGS, now, season(here, HOUSE, now, ()), monday(now.date(), -8), 18)
    assert "   20 in 2 boxes " in season_text(told, now)
    lost = "2026-09-06 AK\n08:00 clutch/wattle-1 eggs_lost count=12 place=enclosure/k1\n"
    here, now = standing(ROOM + long + lost), at("2026-09-06 09:00")
    (eggs,) = [row for row in season(here, HOUSE, now, ()) if row.dam is not None]
    assert eggs.boxes == ("enclosure/k2",)
