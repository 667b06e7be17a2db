"""The females on paper and as values: who is due first, what is told of each, nothing beyond 80 columns."""

from __future__ import annotations

import json
from datetime import datetime

from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.logbook import plain
from rounds.logbook.entries import Entry
from rounds.paper.females import females, females_text
from rounds.rules.settings import Settings
from rounds.standing.fold import fold
from tests.due.matters.found import DIG, ROOM
from tests.due.matters.random_pages import moments, pages
from tests.due.stops import house_with
from tests.notation import VIENNA, at, standing

PAGE = (
    ROOM
    + "2026-03-05\n08:00 wattle weighed grams=400\n2026-03-12\n10:00 wattle mating_seen sire=karri\n"
    + "2026-03-20\n10:00 sedge put_together mate=karri\n2026-03-22\n10:00 sedge parted\n"
)
SETTINGS = Settings(name="Quandong shed", zone=VIENNA, house=house_with())


def told(page: str, now: str) -> list[dict[str, object]]:
    """The females as values."""
    found = females(standing(page), SETTINGS, at(now))
    json.dumps(found)
    return list(found["females"])


def text(page: str, now: str) -> str:
    return females_text(females(standing(page), SETTINGS, at(now)), at(now))


def test_who_lays_comes_first_then_who_is_due_first_then_the_others() -> None:
    page = PAGE + "2026-03-21\n10:00 fern arrived name=Fern sex=F\n10:01 acacia arrived name=Acacia sex=F\n"
    assert [her["name"] for her in told(page, "2026-03-25")] == ["Wattle", "Sedge", "Acacia", "Fern"]
    laying = page + "2026-04-08\n10:00 sedge eggs_laid clutch=sedge-1 count=4\n"
    assert [her["name"] for her in told(laying, "2026-04-08 12:00")] == ["Sedge", "Wattle", "Acacia", "Fern"]


def test_no_forecast_is_read_before_what_is_for_the_vet() -> None:
    page = PAGE + '2026-03-25\n10:00 sedge egg_check_done present="straining"\n'
    assert [her["name"] for her in told(page, "2026-03-26")] == ["Sedge", "Wattle"]
    lines = text(page, "2026-03-26").splitlines()
    first = next(place for place, line in enumerate(lines) if line.startswith("Sedge "))
    assert lines[first + 1].startswith("  VET NOW   Sedge: straining 25 Mar 10:00.")
    assert told(page, "2026-03-26")[1]["for_the_vet"] == []


def test_who_is_dead_or_gone_or_a_male_is_not_listed() -> None:
    page = PAGE + "2026-03-25\n10:00 sedge died\n10:05 wattle left how=lent\n"
    assert told(page, "2026-03-26") == []
    assert "No female is here." in text(page, "2026-03-26")


def test_of_one_who_is_due_all_is_told_on_paper() -> None:
    page = PAGE + f"2026-03-30\n08:00 wattle weighed grams=450\n17:00 wattle {DIG}\n"
    assert text(page, "2026-03-30 18:00").split("\n\n")[1].splitlines() == [
        "Wattle   B3   3 y   450 g   nesting",
        "  mated     12 Mar with Karri",
        "  forecast  due since 29 Mar, likely by 6 Apr, waiting 18 days (from the house's",
        "            window: no interval of the colony yet)",
        "  expected  10 or more eggs are usual",
        "  lay box   none",
        "  gravid?   likely gravid",
        "  for       has dug since 30 Mar; 12 % above her own weight 30 Mar; mated 12",
        "            Mar, due 29 Mar to 20 Apr",
    ]


def test_after_a_clutch_the_scale_and_what_she_regained_are_told() -> None:
    page = PAGE + "2026-04-06\n08:00 wattle weighed grams=470\n"
    page += "2026-04-06\n10:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true eggs_grams=70\n"
    page += "2026-04-07\n08:00 wattle weighed grams=380\n"
    shown = " ".join(text(page, "2026-04-08").split())
    assert (
        "scale her weight accounts for the eggs, give or take 6: 380 g, her own weight 400 g, 20 eggs out, ± 33 g"
        in shown
    )
    assert "regained 380 g, 95 % of her 400 g before the last clutch" in shown
    assert "next clutch due 27 Apr to 18 May" in shown
    (wattle,) = [her for her in told(page, "2026-04-08") if her["name"] == "Wattle"]
    clutches = wattle["clutches"]
    assert isinstance(clutches, list)
    (clutch,) = clutches
    assert (clutch["eggs"], clutch["eggs_grams"], clutch["balance"]["verdict"]) == (20, 70, "fits")


@settings(max_examples=60, deadline=None)
@given(written=pages(), now=moments)
def test_on_any_page_the_paper_is_80_columns_wide_and_the_values_are_json(
    written: list[Entry], now: datetime
) -> None:
    found = females(fold(written), SETTINGS, now)
    json.dumps(found)
    assert max(map(len, females_text(found, now).splitlines())) <= 80


def test_the_scale_and_what_she_regained_are_told_of_a_clutch_of_this_season_alone() -> None:
    page = PAGE + "2026-04-08\n10:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true\n"
    page += "2026-04-12\n10:00 wattle weighed grams=395\n"
    assert "  scale " in text(page, "2026-04-13")
    assert "  regained " in text(page, "2026-04-13")
    page += "2026-11-01\n10:00 wattle brumation_began\n2027-02-01\n10:00 wattle brumation_ended\n"
    assert "  scale " not in text(page, "2027-02-20")
    assert "  regained " not in text(page, "2027-02-20")


ENDS = (
    "0001-01-01T00:00:00+14:00",
    "0001-01-02T00:00:00+00:00",
    "2026-04-01T12:00:00+02:00",
    "9999-12-31T23:59:59-12:00",
)
LINES = (
    "mating_seen",
    "put_together mate=he",
    "parted",
    "eggs_laid clutch=c-1 count=12 complete=true eggs_grams=40",
    "eggs_laid clutch=c-2 count=3",
    "weighed grams=400",
    "weighed grams=500",
    "felt_for_eggs found=eggs",
    "vet_seen carrying=false",
    "ate how=refused",
)


@settings(max_examples=80, deadline=None)
@given(
    written=st.lists(st.tuples(st.sampled_from(LINES), st.sampled_from(ENDS)), max_size=8),
    now=st.sampled_from(ENDS).map(datetime.fromisoformat),
)
def test_entries_of_the_first_and_the_last_day_of_the_calendar_are_told_too(
    written: list[tuple[str, str]], now: datetime
) -> None:
    lines = [("arrived name=F sex=F", "animal/f", ENDS[0]), ("arrived name=He sex=M", "animal/he", ENDS[0])]
    lines += [(line, "animal/f", moment) for line, moment in written]
    entries = [
        plain.entry(kind, about, words, id=f"{number:03}", at=datetime.fromisoformat(moment), by="AK")
        for number, (line, about, moment) in enumerate(lines)
        for kind, *words in [line.split()]
    ]
    found = females(fold(entries), SETTINGS, now)
    assert females_text(found, now)
