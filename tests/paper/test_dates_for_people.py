"""Pages for people have one style for dates: no ISO date stands on them, matters' keys aside."""

from __future__ import annotations

import re
from datetime import date

from rounds.logbook.entries import AppointmentMade
from rounds.paper.going_along import going_along, going_along_text
from rounds.paper.stock import stock, stock_text
from rounds.paper.subject_head import head_text, head_values
from tests.notation import logbook, standing
from tests.paper.test_young import NOW, PAGE, SETTINGS

ISO = re.compile(r"\d{4}-\d{2}-\d{2}")


def head(subject: str, page: str = PAGE) -> list[str]:
    now = standing(page)
    return head_text({"sort": "animal", **head_values(now, SETTINGS.house, NOW, subject)}, NOW)


def test_no_page_of_a_young_or_of_the_year_has_an_iso_date() -> None:
    now = standing(PAGE)
    told = [
        *head("animal/mallee"),
        *head("animal/wattle"),
        going_along_text(going_along(now, SETTINGS, NOW, "group/hatch"), NOW),
        stock_text(stock(now, SETTINGS, NOW, date(2026, 1, 1), date(2026, 12, 31)), NOW),
    ]
    assert [one for one in told if ISO.search(one)] == []
    assert "hatched 10 Apr   dam Wattle" in " ".join(told)
    assert "10 Apr 2026 (2 m)" in told[-2]


def test_the_window_of_last_season_is_not_told_of_a_female_at_rest() -> None:
    # Her next clutch was to come by 15 March.
    assert "1 clutch: 24 eggs" in head("animal/wattle", PAGE.replace("place=t2 origin", "place=t1 origin"))


def test_an_appointment_says_its_day_as_keepers_do() -> None:
    *_, entry = logbook('2026-06-20 AK\n08:00 room appointment_made on=2026-06-25 clock=10:30 whom="the vet"\n')
    assert isinstance(entry, AppointmentMade)
    assert entry.phrase() == "appointment on 25 Jun at 10:30, the vet"
