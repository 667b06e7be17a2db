"""Young on the plain command line: sums at the door, sales refused in words, the record and the stock."""

from __future__ import annotations

import json

import pytest

from tests.cli.conftest import Door


def lines(*entries: dict[str, object]) -> str:
    return "\n".join(json.dumps(entry) for entry in entries)


@pytest.fixture
def young(room: Door) -> Door:
    """Twenty hatched and in one group, heavy and old enough."""
    room.at("2026-04-13 08:00")
    room.well("log", "eggs_laid", "wattle", "count=22", "complete=true", "clutch=w-1", "--at", "2025-11-01 8:00")
    hatched = {
        "kind": "hatched",
        "about": "clutch/w-1",
        "count": 20,
        "into": "group/hatch",
        "at": "2026-01-01T08:00",
    }
    arrived = {
        "kind": "arrived",
        "about": "group/hatch",
        "name": "Hatch",
        "count": 20,
        "place": "enclosure/b4",
        "clutch": "clutch/w-1",
        "hatched": "2026-01-01",
        "at": "2026-01-01T08:00",
    }
    room.well("log", "-", stdin=lines(hatched, arrived))
    room.well("log", "weighed", "hatch", "grams=6", "number=20", "--sure")
    return room


def refused(room: Door, *words: str, stdin: str = "") -> str:
    said = room("log", *words, stdin=stdin)
    assert said.code == 5, said.out
    return said.err


def test_a_count_that_does_not_fit_is_asked_about_and_written_with_sure(young: Door) -> None:
    told = refused(young, "counted", "hatch", "count=18")
    assert "18 counted, 20 reckoned (20 arrived = 20 alive). What became of 2?" in told
    assert "Not found: settle the count, i, y, a (rounds log count_settled group/hatch count=18)." in told
    young.well("log", "counted", "hatch", "count=18", "--sure")
    assert "Hatch: 2 missing. Counted 18, reckoned 20." in young.well("matters").out
    young.well("log", "count_settled", "hatch", "count=18")
    assert "20 arrived = 18 alive + 2 not found" in young.well("young").out


def test_more_than_there_are_is_refused_with_the_sum_alone_and_in_one_batch(young: Door) -> None:
    assert "21 died, 1 too many" in refused(young, "died", "hatch", "count=21")
    both = lines(
        {"kind": "died", "about": "group/hatch", "count": 12},
        {"kind": "left", "about": "group/hatch", "how": "lent", "count": 9},
    )
    told = refused(young, "-", stdin=both)
    assert "12 died + 9 left, 1 too many" in told
    assert "20 arrived = 20 alive" in young.well("young").out, "none of the two was written"


def test_a_correction_that_breaks_a_sum_is_refused(young: Door) -> None:
    young.well("log", "died", "hatch", "count=15")
    shown = young.well("show", "hatch", "--json").json
    arrival = next(one["entry"] for one in shown["entries"] if one["entry"]["kind"] == "arrived")
    wrong = {"kind": "corrected", "about": "group/hatch", "replaces": arrival["id"]}
    fewer = {"kind": "arrived", "about": "group/hatch", "name": "Hatch", "count": 10, "at": "2026-01-01T08:00"}
    assert "5 too many" in refused(young, "-", stdin=lines(wrong, fewer))


def test_how_many_merge_is_filled_in_and_the_currency_of_a_price(young: Door) -> None:
    toml = young.folder / "colony.toml"
    toml.write_text('currency = "AUD"\n' + toml.read_text())
    young.well("log", "arrived", "group/small", "name=Small", "count=3", "place=b4", "--sure")
    merged = young.well("log", "merged", "small", "into=hatch", "--json", "--sure").json
    assert merged["written"][0]["count"] == 3
    sold = young.well("log", "left", "hatch", "how=sold", "count=2", "price=160", "to=Ann", "--json").json
    assert sold["written"][0]["currency"] == "AUD"
    stock = young.well("stock", "--json").json
    assert stock["coming_and_going"]["money"] == {"AUD": 160.0}
    assert stock["coming_and_going"]["unaccounted"] == 0


def test_a_sale_under_treatment_is_refused_with_sure_too(young: Door) -> None:
    young.well("log", "vet_seen", "hatch", "treatment=drops", "under_treatment_until=2026-05-01")
    said = young("log", "left", "hatch", "how=sold", "count=1", "to=Ann", "--sure")
    assert said.code == 5
    assert "Hatch is not sold: under treatment until 1 May (vet seen, 13 Apr)." in said.err


def test_a_group_weighed_whole_is_told_by_total_and_number(young: Door) -> None:
    young.at("2026-04-14 08:00")
    written = young.well("log", "weighed", "hatch", "total=127.8", "number=20", "--json").json["written"][0]
    assert (written["grams"], written["number"], "total" in written) == (6.39, 20, False)
    line = {"kind": "weighed", "about": "group/hatch", "total": 128, "number": 20}
    assert young.well("log", "-", "--json", stdin=lines(line)).json["written"][0]["grams"] == 6.4
    assert "All 20 together? Write total=127.8 number=20." in refused(
        young, "weighed", "hatch", "grams=127.8", "number=20"
    )
    assert (
        young.well("log", "weighed", "hatch", "grams=6.4", "number=20", "--json").json["written"][0]["grams"] == 6.4
    )


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("hatch", "total=43.2"), "how many were on the scale? Write total=43.2 number=18"),
        (("hatch", "total=43.2", "number=0"), "how many were on the scale?"),
        (("hatch", "total=43.2", "number=1.5"), "how many were on the scale?"),
        (("hatch", "total=heavy", "number=18"), "total is a weight in g, not “heavy”"),
        (("hatch", "total=nan", "number=18"), "total is a weight in g"),
        (("hatch", "total=43.2", "number=18", "grams=2"), "write one of the two"),
        (("wattle", "total=43.2", "number=18"), "the weight of one is grams=…"),
    ],
)
def test_a_total_that_says_no_mean_is_refused_in_words(young: Door, words: tuple[str, ...], told: str) -> None:
    assert told in refused(young, "weighed", *words)


def test_a_sale_that_is_past_is_asked_about_with_the_same_words_and_one_of_now_is_refused(young: Door) -> None:
    sold = ("log", "left", "hatch", "how=sold", "count=2", "to=Ann")
    told = refused(young, *sold[1:], "--at", "2026-02-20")
    words = "50 days old, 56 days at least (house rule sale.least_age_days)"
    assert f"Hatch: {words}. Local codes may ask for more. Was it sold all the same?" in told
    young.well(*sold, "--at", "2026-02-20", "--sure")
    assert "20 arrived = 18 alive + 2 left" in young.well("young").out
    young.at("2026-04-13 09:00")
    young.well("log", "vet_seen", "hatch", "treatment=drops", "under_treatment_until=2026-05-01")
    young.at("2026-04-13 10:00")
    assert "is not sold: under treatment" in refused(young, *sold[1:], "--at", "2026-04-13T09:30", "--sure")
    too_many = ("count=19", "--at", "2026-02-21", "--sure")
    assert "1 too many" in refused(young, "left", "hatch", "how=sold", *too_many)


def test_the_record_says_who_and_how_many_go(young: Door) -> None:
    assert young.well("record", "hatch", "--count", "2").out.startswith("2 young of Hatch")
    assert young("record", "b4").code == 5
    assert young("record", "hatch", "--count", "21").code == 5
    assert young("stock", "--year", "26").code == 2
    assert "has not come yet" in young("stock", "--year", "2100").err


def test_the_stock_of_a_year_that_begins_on_another_day(young: Door) -> None:
    told = young.well("stock", "--from", "2025-04-01", "--json").json
    assert (told["year"], told["from"], told["to"]) == (None, "2025-04-01", "2026-03-31")
    assert (told["coming_and_going"]["in"]["hatched"], told["coming_and_going"]["unaccounted"]) == (20, 0)
    assert young.well("stock", "--from", "2024-02-29", "--json").json["to"] == "2025-02-28"
    assert "1 Jan 2026 to 31 Mar 2026" in young.well("stock", "--from", "2026-01-01", "--to", "2026-03-31").out
    for wrong in (
        ("--to", "2026-03-31"),
        ("--year", "2026", "--from", "2026-04-01"),
        ("--from", "2026-04-01", "--to", "2026-03-31"),
        ("--from", "1066-01-01"),
        ("--from", "9999-12-31"),
    ):
        assert young("stock", *wrong).code == 2, wrong
    assert young("stock", "--from", "soon").code == 5


def test_the_currency_of_what_was_paid_for_stock_is_filled_in(young: Door) -> None:
    toml = young.folder / "colony.toml"
    toml.write_text('currency = "AUD"\n' + toml.read_text())
    written = young.well("log", "stock_in", "locusts", "amount=100", "price=12", "--json").json["written"][0]
    assert (written["price"], written["currency"]) == (12, "AUD")


@pytest.mark.parametrize(
    ("value", "told"), [('"dollars"', "is no currency"), ("5", "is no currency"), ('"AUS"', "AUD")]
)
def test_a_currency_that_is_none_is_told(young: Door, value: str, told: str) -> None:
    toml = young.folder / "colony.toml"
    toml.write_text(f"currency = {value}\n" + toml.read_text())
    said = young("young")
    assert said.code != 0
    assert told in said.err
    assert "three letters of ISO 4217" in said.err


def test_a_price_is_read_with_a_comma_and_told_as_its_currency_has_it(young: Door) -> None:
    sold = ("log", "left", "hatch", "how=sold", "count=1", "to=Ann", "--sure")
    assert "sold to Ann, 85.50 EUR" in young.well(*sold, "price=85,50", "currency=EUR").out
    assert "1,250 may be 1250 or 1.250: write one of the two" in young(*sold, "price=1,250").err
    assert "1.250 may be 1250 or 1.25: write one of the two" in young(*sold, "price=1.250", "currency=EUR").err
    assert "price: wanted a number, got text" in young(*sold, "price=much").err
    assert "1250000 JPY" in young.well(*sold, "price=1250000", "currency=JPY").out
    young.well(*sold, "price=85.125", "currency=KWD")
    assert "85.125 KWD" in young.well("stock").out
    doubted = young("log", "reserved", "hatch", "whom=Bo", "deposit=12.5", "currency=JPY", "count=1")
    assert "12.5 JPY, but JPY has no decimals" in doubted.err


def test_the_stock_of_a_season_from_waking_to_waking(young: Door) -> None:
    for day in ("2025-08-20", "2024-08-24"):
        young.well("log", "brumation_ended", "wattle", "--at", f"{day} 8:00", "--sure")
    told = young.well("stock", "--season", "--json").json
    assert (told["season"], told["year"], told["from"], told["to"]) == ("2025/26", None, "2025-08-20", "2026-08-19")
    assert (told["coming_and_going"]["in"]["hatched"], told["coming_and_going"]["unaccounted"]) == (20, 0)
    assert young.well("stock", "--season", "2025/26", "--json").json == told
    assert "stock of season 2024/25" in young.well("stock", "--season", "2024").out
    assert "none laid in this season" in young.well("stock", "--season", "2024").out
    assert "stock of season 2025/26" in young.well("stock", "--season", "2026").out, "none begins in 2026"
    # Before the first waking of 2024 lies a time of its own.
    young.well("log", "arrived", "Fern", "sex=F", "--at", "2024-08-01 8:00")
    assert "stock of season before 2024/25" in young.well("stock", "--season", "before 2024").out
    assert "stock of season before 2024/25" in young.well("stock", "--season", "before 2024/25").out
    assert "stock of season 2024/25" in young.well("stock", "--season", "2024").out
    for wrong in (("2030",), ("2025/27",), ("soon",), ("2025", "--year", "2025"), ("2025", "--from", "2025-04-01")):
        assert young("stock", "--season", *wrong).code == 2, wrong
