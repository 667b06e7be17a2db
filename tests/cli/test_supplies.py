"""Supplies on the plain command line: counted by name, found again, refused when it is a slip."""

from __future__ import annotations

from tests.cli.conftest import Door


def test_the_first_count_opens_a_supply_and_later_ones_find_it_by_its_name(room: Door) -> None:
    room.at("2026-04-12 08:00")
    room.well("log", "stock_counted", "Fruit flies", "amount=300")
    room.well("log", "stock-in", "fruit FLIES", "amount=20")
    shown = room.well("show", "fruit flies", "--json").json
    assert (shown["subject"], shown["name"], shown["left"]) == ("supply/fruit-flies", "Fruit flies", 320)
    listed = room.well("supplies", "--json").json["supplies"]
    assert [(one["supply"], one["came_in_since"]) for one in listed] == [("supply/fruit-flies", 20)]
    assert "Fruit flies" in room.well("supplies").out
    assert "in stock 300 pieces" in room.well("find", "fruit flies").out


def test_a_name_that_is_nearly_one_is_asked_about_and_an_id_opens_another(room: Door) -> None:
    room.at("2026-04-12 08:00")
    room.well("log", "stock_counted", "locusts", "amount=300")
    said = room("log", "stock_counted", "locust", "amount=3")
    assert said.code == 5
    assert "There is no supply “locust” yet. Did you mean locusts (supply/locusts)?" in said.err
    assert "write supply/locust" in said.err
    room.well("log", "stock_counted", "supply/locust", "amount=3")
    assert len(room.well("supplies", "--json").json["supplies"]) == 2


def test_a_count_that_can_hardly_be_is_doubted_and_sure_writes_it(room: Door) -> None:
    room.at("2026-04-12 08:00")
    room.well("log", "stock_counted", "locusts", "amount=300", "--at", "2026-04-02")
    said = room("log", "stock_counted", "locusts", "amount=3000")
    assert said.code == 5
    assert "only 300 can be there. Did more come in?" in said.err
    other = room("log", "stock_counted", "locusts", "amount=30", "unit=g")
    assert "in pieces up to now, this is in g. Is it?" in other.err
    room.well("log", "stock_counted", "locusts", "amount=3000", "--sure")


def test_a_supply_is_no_animal_and_an_animal_no_supply(room: Door) -> None:
    room.at("2026-04-12 08:00")
    room.well("log", "stock_counted", "locusts", "amount=300")
    assert (
        "There is no animal or group “locusts” here, only locusts (supply/locusts)."
        in room("log", "weighed", "locusts", "grams=3").err
    )
    assert room("log", "stock_counted", "animal/wattle", "amount=3").code == 5
    assert "an hour such as 10:30" in room("log", "appointment_made", "wattle", "on=2026-04-14", "clock=25:00").err


def test_the_fortnight_is_printed_as_of_a_day_too(room: Door) -> None:
    room.at("2026-04-12 08:00")
    room.well("log", "appointment_made", "wattle", "on=2026-04-14", "clock=10:30", "whom=the vet")
    sheet = room.well("fortnight").out
    assert "Tue 14 Apr  appointment     Wattle: the vet 10:30" in sheet
    days = room.well("fortnight", "--json", "--on", "2026-04-11").json["days"]
    assert days[0]["day"] == "2026-04-11"
    assert not any(one["what"] == "appointment" for day in days for one in day["coming"])


def test_a_count_without_a_unit_is_in_that_of_the_supply(room: Door) -> None:
    toml = room.folder / "colony.toml"
    toml.write_text(toml.read_text() + '\n[supplies.kale]\nuse = "greens"\n')
    assert room.well("log", "stock_counted", "kale", "amount=900", "--json").json["written"][0]["unit"] == "g"
    room.well("log", "stock_counted", "dust", "amount=100", "unit=g")
    assert room.well("log", "stock_in", "dust", "amount=50", "--json").json["written"][0]["unit"] == "g"
    (kale, *_) = [one for one in room.well("supplies", "--json").json["supplies"] if one["name"] == "kale"]
    assert kale["need_week"] is not None
