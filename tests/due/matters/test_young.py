"""Young: growth, and deaths in a group."""

from __future__ import annotations

from rounds.due.matter import Level
from tests.due.matters.found import ROOM, found, the
from tests.notation import at

HATCH = ROOM + "08:10 group/hatch arrived name=Hatch count=14 hatched=2026-02-20 place=b5\n"


def weighed(*pairs: tuple[str, float], who: str = "group/hatch") -> str:
    return "".join(f"{day}\n08:00 {who} weighed grams={one}\n" for day, one in pairs)


def test_young_gain_six_percent_a_week() -> None:
    # A house rule: the means of one colony are 9 to 12 % a week, computed from Wild et al. 2023. 4.00 g → 4.49 g.
    assert found(HATCH + weighed(("2026-03-20", 4.0), ("2026-04-03", 4.5)), "2026-04-03", "not growing") == []
    slow = HATCH + weighed(("2026-03-20", 4.0), ("2026-04-03", 4.48))
    matter = the(slow, "2026-04-03", "not growing")
    assert matter.level == Level.WATCH
    assert matter.says == "Hatch: growing too slowly, 5.8 % a week (6 % or more)."


def test_no_gain_at_all_is_for_today() -> None:
    none = HATCH + weighed(("2026-03-20", 4.0), ("2026-03-27", 4.0), ("2026-04-03", 3.9))
    assert (
        the(none, "2026-04-03", "not growing").says == "Hatch: growing too slowly, no weight gained (6 % or more)."
    )
    assert found(none, "2026-04-03", "not growing") == ["today not growing hatch"]


def test_growth_is_judged_over_two_weeks_and_no_less() -> None:
    assert found(HATCH + weighed(("2026-03-20", 4.0), ("2026-04-02", 4.0)), "2026-04-03", "not growing") == []


def test_it_keeps_its_name_and_ends_when_they_grow() -> None:
    slow = HATCH + weighed(("2026-03-20", 4.0), ("2026-04-03", 4.1), ("2026-04-10", 4.2))
    assert the(slow, "2026-04-10", "not growing").since == at("2026-04-03 08:00")
    grown = slow + weighed(("2026-04-17", 4.8), ("2026-04-24", 5.4), ("2026-05-01", 6.0))
    assert found(grown, "2026-05-01", "not growing") == []


def test_one_young_animal_is_judged_alike_and_a_grown_one_is_not() -> None:
    page = ROOM + "08:10 pup arrived name=Pup hatched={} place=b5\n"
    page += weighed(("2026-03-20", 40), ("2026-04-03", 40.5), who="pup")
    assert found(page.format("2026-01-05"), "2026-04-03", "not growing") == ["watch not growing pup"]
    assert (
        "Pup: growing too slowly, 0.6 % a week" in the(page.format("2026-01-05"), "2026-04-03", "not growing").says
    )
    assert found(page.format("2026-01-01"), "2026-04-03", "not growing") == []


def test_two_deaths_in_a_group_within_two_weeks_are_for_today() -> None:
    one = HATCH + "2026-04-01\n08:00 group/hatch died count=1\n"
    assert found(one, "2026-04-02", "deaths in group") == []
    two = one + "2026-04-10\n08:00 group/hatch died count=1\n"
    matter = the(two, "2026-04-10 09:00", "deaths in group")
    assert matter.level == Level.TODAY
    assert matter.says == "Hatch: 2 young died within 14 days; 12 left."
    assert matter.since == at("2026-04-01 08:00")
    assert found(two, "2026-04-16", "deaths in group") == []


def test_several_dead_at_once_count_and_the_days_of_dying_are_one_matter() -> None:
    assert found(HATCH + "2026-04-01\n08:00 group/hatch died count=3\n", "2026-04-02", "deaths in group") != []
    long = HATCH + "".join(f"2026-04-{day:02d}\n08:00 group/hatch died count=1\n" for day in (1, 10, 20, 29))
    assert the(long, "2026-04-29 09:00", "deaths in group").since == at("2026-04-01 08:00")


def test_sold_is_not_dead() -> None:
    assert (
        found(HATCH + "2026-04-01\n08:00 group/hatch left how=sold count=3\n", "2026-04-02", "deaths in group")
        == []
    )
