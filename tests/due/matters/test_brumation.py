"""Brumation begun by an animal that was not fit for it."""

from __future__ import annotations

import pytest

from rounds.due.matter import Level
from tests.due.matters.found import ROOM, found, the

NAME = "brumates unprepared"
SLEEPS = "2026-06-01\n08:00 mallee brumation_began\n"


def room(hatched: str, *lines: str) -> str:
    return ROOM + f"08:10 mallee arrived name=Mallee sex=F hatched={hatched} place=b5\n" + "".join(lines) + SLEEPS


def droppings(day: str, *words: str) -> str:
    return f'{day}\n08:00 mallee tested what="faecal test" {" ".join(words)}\n'


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        ([], "Mallee brumates: no faecal test before."),
        ([droppings("2026-04-01", "clear=true")], "Mallee brumates: no faecal test before."),
        ([droppings("2026-05-20")], "Mallee brumates: no result of its faecal test."),
        ([droppings("2026-05-20", "clear=false")], "Mallee brumates: its faecal test was not clear."),
    ],
)
def test_without_a_clear_faecal_test_of_the_last_sixty_days_it_is_watched(lines: list[str], told: str) -> None:
    matter = the(room("2023-02-01", *lines), "2026-06-03", NAME)
    assert (matter.level, matter.says) == (Level.WATCH, told)


def test_sixty_days_before_count_and_so_does_a_clear_test_since() -> None:
    assert found(room("2023-02-01", droppings("2026-04-02", "clear=true")), "2026-06-03", NAME) == []
    late = room("2023-02-01") + droppings("2026-06-05", "clear=true")
    assert found(late, "2026-06-06", NAME) == []


def test_too_young_is_too_young_until_it_wakes() -> None:
    clear = droppings("2026-05-20", "clear=true")
    young = room("2025-06-02", clear)
    assert the(young, "2026-07-20", NAME).says == "Mallee brumates: too young (11 months, from 12)."
    assert found(room("2025-06-01", clear), "2026-07-20", NAME) == []
    assert found(young + "2026-07-21\n08:00 mallee brumation_ended\n", "2026-07-21", NAME) == []


@pytest.mark.parametrize(
    ("seen", "level", "told"),
    [
        ("felt_for_eggs found=eggs", Level.TODAY, "gravid, eggs felt 25 May"),
        ('behaviour_seen behaviour="nest digging"', Level.TODAY, "has dug since 25 May"),
        ("eggs_laid clutch=m-1 count=3", Level.TODAY, "laying"),
        ("mating_seen", Level.WATCH, "mated, may be gravid, window to 15 Jul"),
    ],
)
def test_a_female_put_to_sleep_with_eggs_in_her_is_for_today(seen: str, level: Level, told: str) -> None:
    page = room("2023-02-01", droppings("2026-05-20", "clear=true"), f"2026-05-25\n08:00 mallee {seen}\n")
    matter = the(page, "2026-06-03", NAME)
    assert (matter.level, matter.says) == (level, f"Mallee brumates: {told}.")
    assert matter.do == ("Ask your vet today: wake her? Awake she needs warmth and a lay box.",)
    assert found(page + "2026-06-04\n08:00 mallee brumation_ended\n", "2026-06-05", NAME) == []
