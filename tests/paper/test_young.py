"""The young, the record that goes along, and the stock: what stands on them, and sums that add up."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rounds.due.line import DueLine
from rounds.due.lines import lines_at
from rounds.errors import BadEntry
from rounds.paper.going_along import going_along, going_along_text
from rounds.paper.stock import calendar_year, stock, stock_text
from rounds.paper.young import young_list, young_text
from rounds.rules.default import default_rules
from rounds.rules.settings import settings_of
from rounds.screens.views.young import young_rows
from rounds.standing.fold import fold
from rounds.standing.group import group
from tests.notation import at, logbook, standing

SETTINGS = settings_of('name = "Quandong shed"\ntime_zone = "Europe/Vienna"\ncurrency = "AUD"', default_rules())
PAGE = """
2025-03-01 AK
08:00  t1  enclosure_set_up  name=T1
08:00  t2  enclosure_set_up  name=T2
08:00  wattle  arrived  name=Wattle sex=F hatched=2023-01-01 place=t2 origin=Dubbo
08:00  karri  arrived  name=Karri sex=M hatched=2022-01-01 place=t2
2026-02-01
08:00  wattle  eggs_laid  clutch=w-1 count=24 complete=true sire=karri
2026-04-10
08:00  w-1  hatched  count=20 into=hatch
08:00  group/hatch  arrived  name=Hatch count=20 place=t1 clutch=w-1 hatched=2026-04-10 bred_here=true
2026-05-01
08:00  group/hatch  weighed  grams=3.2 number=20
2026-05-03
08:00  group/hatch  died  count=2
08:00  group/hatch  vet_seen  treatment="drops for the eyes" under_treatment_until=2026-05-20 note="ask about Sedge"
2026-06-15
08:00  group/hatch  weighed  grams=6 number=18
08:00  enclosure/t1  fed  what=locusts dusted=calcium
2026-06-20
08:00  group/hatch  left  how=sold count=5 to=Ann price=400 currency=AUD
08:00  group/hatch  left  how=given count=1 to=Bo
08:00  group/hatch  singled_out  animal=mallee
08:00  mallee  arrived  name=Mallee place=t2 clutch=w-1 hatched=2026-04-10 dam=wattle sire=karri bred_here=true
08:00  mallee  sex_settled  sex=M certainty=guess how="by hand"
08:10  mallee  weighed  grams=7
08:20  mallee  shed_seen  state=clean
"""
NOW = at("2026-06-21 09:00")


def test_a_place_is_looked_up_once_however_many_clutches_have_young_there(monkeypatch: pytest.MonkeyPatch) -> None:
    looked: list[str | None] = []

    def counted(*around: Any) -> tuple[DueLine, ...]:
        looked.append(around[3])
        return lines_at(*around)

    monkeypatch.setattr("rounds.paper.young.lines_at", counted)
    more = "".join(
        f"08:00  wattle  eggs_laid  clutch=w-{n} count=9\n08:01  w-{n}  hatched  count=9 into=hatch-{n}\n"
        f"08:02  group/hatch-{n}  arrived  name=H{n} count=9 place=t1 clutch=w-{n} hatched=2026-06-20\n"
        for n in range(2, 6)
    )
    told = young_list(standing(PAGE + more), SETTINGS, NOW)
    assert len(told["clutches"]) == 5
    assert sorted(looked, key=str) == ["enclosure/t1", "enclosure/t2"]


def test_the_young_stand_with_sum_growth_and_what_is_due() -> None:
    text = young_text(young_list(standing(PAGE), SETTINGS, NOW), NOW)
    assert "dam Wattle, sire Karri" in text
    assert "20 hatched = 12 alive + 2 died + 6 left" in text
    # 3.2 g to 6 g in 45 days, compounding: (6/3.2) ** (7/45) = 1.103.
    assert "in band, 10.3 % a week" in text
    assert "M, a guess" in text
    assert "Band: 4.3 to 11.1 % a week (Wild et al. 2023)." in text
    assert "Local codes come first" in text


def test_the_record_is_one_page_and_tells_of_no_other_animal() -> None:
    text = going_along_text(going_along(standing(PAGE), SETTINGS, NOW, "animal/mallee", by="AK"), NOW)
    rows = text.split("\n")
    assert len(rows) <= 60
    assert max(map(len, rows)) <= 80
    for part in (
        "sex         male, a guess",
        "hatched     10 Apr 2026 (2 m)",
        "dam         Wattle",
        "sire        Karri",
        "origin      bred here; here since 10 Apr 2026",
        "1 May         3.2 g       mean of Hatch",
        "20 Jun        7 g",
        "shed clean",
        "vet's visit, drops for the eyes, under treatment until 20 May 2026",
    ):
        assert " ".join(part.split()) in " ".join(text.split()), part
    for secret in ("Sedge", "Ann", "400", "died"):
        assert secret not in text
    assert "Local codes come first" in text


def test_some_of_a_group_go_with_one_record() -> None:
    text = going_along_text(going_along(standing(PAGE), SETTINGS, NOW, "group/hatch", 3), NOW)
    assert text.startswith("3 young of Hatch")
    assert "locusts, dusted with calcium: once since" in text
    for count in (0, 12):
        with pytest.raises(BadEntry, match=f"Hatch: {count} to go, 11 are there"):
            going_along(standing(PAGE), SETTINGS, NOW, "group/hatch", count)
    with pytest.raises(BadEntry, match="Mallee is one animal: leave --count out"):
        going_along(standing(PAGE), SETTINGS, NOW, "animal/mallee", 2)


def test_food_is_counted_from_the_first_feeding_that_the_page_still_holds() -> None:
    # Fed each day of June: the page of the enclosure does not hold them all.
    fed = "".join(f"2026-06-{day:02}\n18:00 enclosure/t1 fed what=locusts\n" for day in range(1, 21))
    found = going_along(standing(PAGE + fed), SETTINGS, NOW, "group/hatch", 3)
    (locusts,) = [one for one in found["fed"] if one["what"] == "locusts" and not one["dusted"]]
    days = (NOW.date() - datetime.fromisoformat(found["fed_since"]).date()).days
    assert abs(days - locusts["times"]) <= 1, "one a day"
    assert "locusts: " in going_along_text(found, NOW)
    assert "in 28 days" not in going_along_text(found, NOW)


def test_the_record_of_two_clutches_young_names_no_dam_that_no_one_knows() -> None:
    page = (
        PAGE
        + """
2026-06-01
08:00 sedge arrived name=Sedge sex=F hatched=2023-03-01
08:05 sedge eggs_laid clutch=sedge-1 count=10 complete=true
08:10 group/hatch arrived name=Hatch count=4 clutch=sedge-1 dam=sedge bred_here=true
"""
    )
    found = going_along(standing(page), SETTINGS, NOW, "group/hatch", 3)
    assert (found["dam_name"], found["sire_name"]) == ("", "")


def test_the_record_tells_of_a_sire_who_is_only_reckoned_how_he_is_known() -> None:
    page = """
2025-03-01 AK
08:00 wattle arrived name=Wattle sex=F hatched=2023-03-01
08:00 karri arrived name=Karri sex=M hatched=2022-03-01
09:00 wattle put_together mate=karri
2025-03-03
09:00 wattle parted mate=karri
2025-04-01
09:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true
2025-06-10
09:00 mallee arrived name=Mallee clutch=wattle-1 hatched=2025-06-10
"""
    found = going_along(standing(page), SETTINGS, NOW, "animal/mallee")
    assert (found["dam_name"], found["sire_name"]) == ("Wattle", "Karri, by who was with her")


def test_a_full_record_is_one_page_still() -> None:
    page = PAGE + "".join(
        f"2026-06-20\n{9 + n // 6:02d}:{n % 6}5 mallee {what}\n"
        for n, what in enumerate(
            [
                *[
                    "weighed grams=7.1",
                    "shed_seen state=stuck where=tail",
                    "ate how=well",
                    "tested what='faecal test'",
                ]
                * 12,
                *["vet_seen treatment='a treatment with a long name that runs on and on over the line'"] * 12,
            ]
        )
    )
    text = going_along_text(going_along(standing(page), SETTINGS, at("2026-06-25 09:00"), "animal/mallee"), NOW)
    assert len(text.split("\n")) <= 66  # an A4 or a Letter page of plain text


def test_the_stock_of_a_year_adds_up_in_young_and_in_money() -> None:
    found = stock(standing(PAGE), SETTINGS, NOW, *calendar_year(2026))
    (clutch,) = found["clutches"]
    assert (clutch["laid"], clutch["sum"], clutch["money"]) == (
        24,
        "20 hatched = 12 alive + 2 died + 6 left",
        {"AUD": 400.0},
    )
    year = found["coming_and_going"]
    assert (year["begins"], year["in"]["hatched"], year["out"]["sold"], year["out"]["given"]) == (2, 20, 5, 1)
    assert (year["out"]["died"], year["ends"], year["unaccounted"]) == (2, 14, 0)
    text = stock_text(found, NOW)
    assert "2 + 20 in - 8 out = 14" in text
    assert "sold for  400 AUD" in text
    before = stock(standing(PAGE), SETTINGS, NOW, *calendar_year(2025))["coming_and_going"]
    assert (before["begins"], before["in"]["arrived"], before["ends"]) == (0, 2, 2)


def test_a_year_may_begin_on_any_day_and_says_which() -> None:
    days = date(2025, 4, 1), date(2026, 3, 31)
    found = stock(standing(PAGE), SETTINGS, NOW, *days)
    year = found["coming_and_going"]
    assert (found["year"], found["from"], found["to"]) == (None, "2025-04-01", "2026-03-31")
    assert year["begins"] + sum(year["in"].values()) - sum(year["out"].values()) == year["ends"]
    text = stock_text(found, NOW)
    assert "stock 1 Apr 2025 to 31 Mar 2026" in text
    following = stock(standing(PAGE), SETTINGS, NOW, date(2026, 4, 1), date(2027, 3, 31))["coming_and_going"]
    assert following["begins"] == year["ends"]


#: Each a save; those of two lines are one save of both.
EVENTS = (
    "group/hatch died count=1",
    "group/hatch left how=sold count=2 to=Ann price=20.5 currency=AUD",
    "group/hatch left how=lent count=1",
    "group/hatch singled_out animal=a{0}\n10:00 a{0} arrived name=A{0} place=t1 clutch=w-1",
    "mallee died",
    "mallee left how=lent",
    "mallee arrived name=Mallee place=t1",
    "b{0} arrived name=B{0} place=t1 origin=Dubbo",
    "b{0} arrived name=B{0} place=t1 origin=Dubbo\n11:00 b{0} left how=sold to=Ann price=90 currency=EUR",
    "group/new arrived name=New count=4 place=t2 origin=Dubbo",
    "group/hatch split_off into=new count=3",
    "group/new count_settled count=5",
    "group/hatch count_settled count=15",
)


#: Years that begin on 1 April, as a law may have them.
LAW_YEARS = [(date(year, 4, 1), date(year + 1, 3, 31)) for year in range(2025, 2029)]


@given(st.lists(st.tuples(st.sampled_from(EVENTS), st.integers(0, 1000)), max_size=25))
def test_every_year_adds_up_and_goes_on_where_the_last_one_ended(events: list[tuple[str, int]]) -> None:
    first = date(2026, 7, 1)
    saves = sorted((first + timedelta(day), line.format(number)) for number, (line, day) in enumerate(events))
    now = fold(logbook(PAGE + "".join(f"{day}\n10:00 {line}\n" for day, line in saves)))
    assume(not any(group(now, who).census.over for who in ("group/hatch", "group/new")))
    later = at("2030-01-01")
    years = [stock(now, SETTINGS, later, *calendar_year(year))["coming_and_going"] for year in range(2025, 2030)]
    parted = [stock(now, SETTINGS, later, *days)["coming_and_going"] for days in LAW_YEARS]
    for year, following in pairwise(parted):
        assert year["ends"] == following["begins"]
    years += parted
    for year, following in pairwise(years[:5]):
        assert year["ends"] == following["begins"]
    for year in years:
        assert year["begins"] + sum(year["in"].values()) - sum(year["out"].values()) == year["ends"]
        assert year["unaccounted"] == 0
        prices = [one["price"] for one in year["leavings"] if one["price"]]
        assert sum(year["money"].values()) == pytest.approx(sum(prices))


def test_young_written_on_two_desks_are_said_to_be_unaccounted_for() -> None:
    page = PAGE + "2026-06-20\n10:00 group/hatch left how=sold count=12 to=Cy\n"
    found = stock(standing(page), SETTINGS, NOW, *calendar_year(2026))
    assert found["clutches"][0]["over"] == 1
    assert "1 too many" in " ".join(stock_text(found, NOW).split())


def test_what_is_open_of_its_health_stands_before_a_sale() -> None:
    page = PAGE + "2026-06-20\n09:00  group/hatch  died  count=2\n09:30 mallee weighed grams=21\n"
    told = young_list(standing(page), SETTINGS, NOW)
    text = " ".join(young_text(told, NOW).split())
    (group_, mallee) = told["clutches"][0]["young"]
    assert group_["against_sale"] == []
    assert mallee["open_before_sale"] == []
    assert "sale TODAY: Hatch: 2 young died within 14 days; 9 left; look before a sale" in text
    assert text.count("may be sold") == 1, "of Mallee alone"
    # On the screen it stands in front, once under its name, so that 80 columns do not cut it.
    _, below = young_rows(group_, NOW, 80, False)
    assert "".join(span.text for span in below).split("   ")[1].strip() == (
        "TODAY: 2 young died within 14 days; 9 left"
    )
    assert below[-1].style == "today"
    _, *whole = young_rows(group_, NOW, 50, True)
    assert " ".join("".join(span.text for span in row).strip() for row in whole).endswith("look before a sale")


def test_a_clutch_that_incubates_is_no_sum_of_nothing() -> None:
    page = PAGE + (
        '2026-06-01\n08:00 s1 enclosure_set_up name=S1 what="incubator shelf"\n'
        "08:10 wattle eggs_laid clutch=w-2 count=21 complete=true\n08:20 w-2 eggs_boxed place=s1 count=21\n"
    )
    assert (
        stock(standing(page), SETTINGS, NOW, date(2026, 1, 1), date(2026, 12, 31))["clutches"][1]["sum"]
        == "none hatched yet, 21 eggs incubate"
    )
    for boxed, told in (
        ("20", "none hatched yet, 20 eggs incubate, 1 not boxed"),
        ("", "none hatched, 21 not boxed"),
    ):
        less = page.replace("s1 count=21", f"s1 count={boxed}") if boxed else page[: page.rindex("08:20")]
        year = stock(standing(less), SETTINGS, NOW, date(2026, 1, 1), date(2026, 12, 31))
        assert year["clutches"][1]["sum"] == told
