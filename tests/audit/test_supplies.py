"""Slips in counts, and food whose name is nearly that of a supply."""

from __future__ import annotations

from rounds.audit import findings
from tests.due.test_supplies import FOUR, count
from tests.notation import logbook


def told(page: str, word: str) -> list[str]:
    return [f"{one.level}: {one.sentence}" for one in findings(logbook(page)) if word in one.sentence]


def test_more_counted_than_was_there_is_doubted_until_what_came_in_is_written() -> None:
    page = FOUR + count("2026-04-01", 500) + count("2026-04-03", 900)
    (doubt,) = told(page, "can have been there")
    assert doubt.startswith("doubt: locusts: 900 pieces counted on 3 Apr 2026")
    assert "at most 500" in doubt
    came = FOUR + count("2026-04-01", 500) + count("2026-04-02", 400, kind="stock_in") + count("2026-04-03", 900)
    assert told(came, "can have been there") == []
    assert told(FOUR + count("2026-04-01", 500) + count("2026-04-01", 900), "can have been there") == []


def test_another_unit_is_doubted() -> None:
    page = FOUR + count("2026-04-01", 500) + count("2026-04-03", 90, unit="g")
    assert told(page, " in g on ") != []
    assert told(FOUR + count("2026-04-01", 5, unit="Box") + count("2026-04-03", 4, unit="box"), " in ") == []


def test_a_food_that_is_nearly_a_supply_is_named_and_another_is_not() -> None:
    fed = "2026-04-02\n08:00 wattle fed what={}\n"
    (said,) = told(FOUR + count("2026-04-01", 500) + fed.format("locust"), "no supply is called")
    assert said.startswith("said: Fed “locust” 1 time, last on 2 Apr 2026")
    assert "supply/locusts" in said
    for other in ("LOCUSTS", "kale", "''"):
        assert told(FOUR + count("2026-04-01", 500) + fed.format(other), "no supply is called") == []
    assert told(FOUR + fed.format("locust"), "no supply is called") == []


def test_an_entry_about_a_supply_that_was_never_counted_is_wrong() -> None:
    page = FOUR + "2026-04-01\n08:00 supply/locusts noted note='new seller'\n"
    (wrong,) = told(page, "supply/locusts")
    assert wrong.startswith("wrong: supply/locusts stands in 1 entry and was never counted. Write “stock_counted”")
    early = page + "2026-04-02\n08:00 locusts stock_counted amount=5\n"
    (doubt,) = told(early, "locusts")
    assert "it was first counted on 2 Apr 2026" in doubt
