"""Ages as the calendar counts them, the same as those that care goes by."""

from __future__ import annotations

from datetime import date

import pytest

from rounds.logbook.times import months_between
from rounds.paper.words import age_words
from tests.notation import at


@pytest.mark.parametrize(
    ("hatched", "now", "age"),
    [
        ("2026-04-12", "2026-04-12", "0 d"),
        ("2026-02-12", "2026-04-12", "59 d"),
        ("2026-02-11", "2026-04-12", "2 m"),
        ("2026-02-10", "2026-04-12", "2 m"),
        ("2024-04-13", "2026-04-12", "23 m"),
        ("2024-04-12", "2026-04-12", "2 y"),
        ("2023-04-12", "2026-04-12", "3 y"),
        ("2023-03-12", "2026-04-12", "3 y 1 m"),
        ("2026-04-13", "2026-04-12", "not hatched yet"),
    ],
)
def test_an_age_is_counted_in_whole_months_from_the_day_it_hatched(hatched: str, now: str, age: str) -> None:
    assert age_words(date.fromisoformat(hatched), at(now)) == age


def test_what_is_fed_as_an_adult_from_a_birthday_on_is_said_to_be_that_old_on_it() -> None:
    assert months_between(date(2023, 4, 12), date(2026, 4, 12)) == 36
    assert age_words(None, at("2026-04-12")) == "age not known"
