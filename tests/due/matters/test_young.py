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


def test_a_slow_run_of_deaths_is_for_today_before_two_fall_into_a_fortnight() -> None:
    # 14 young: by 82 of 96 in 183 days (Wild et al. 2023) 0.3 deaths in 34 days: p < .05 for three, not for two.
    deaths = [f"2026-{day}\n08:00 group/hatch died count=1\n" for day in ("03-05", "03-20", "04-04")]
    two = HATCH + "".join((deaths[0], deaths[2]))
    assert found(two, "2026-04-05", "deaths in group") == []
    apart = "".join(f"2026-{day}\n08:00 group/hatch died count=1\n" for day in ("03-05", "03-26", "04-16"))
    assert found(HATCH + apart, "2026-04-16 09:00", "deaths in group") == ["today deaths in group hatch"]
    matter = the(HATCH + "".join(deaths), "2026-04-04 09:00", "deaths in group")
    assert matter.level == Level.TODAY
    assert matter.says == "Hatch: 3 young died in 34 days, 0.3 expected; 11 left."
    # Days without a death speak for the others: it ends when the rate explains so many, or after a fortnight.
    assert found(HATCH + "".join(deaths), "2026-04-10", "deaths in group") == ["today deaths in group hatch"]
    assert found(HATCH + "".join(deaths), "2026-04-19", "deaths in group") == []


def test_two_in_a_fortnight_are_for_today_in_a_large_group_too() -> None:
    many = HATCH.replace("count=14", "count=200") + "2026-04-01\n08:00 group/hatch died count=2\n"
    assert the(many, "2026-04-02", "deaths in group").says == "Hatch: 2 young died within 14 days; 198 left."


def test_young_not_found_count_as_dead_there() -> None:
    page = (
        HATCH + "2026-04-01\n08:00 group/hatch died count=1\n2026-04-03\n08:00 group/hatch count_settled count=12\n"
    )
    assert the(page, "2026-04-03 09:00", "deaths in group").says == (
        "Hatch: 2 young died or were not found within 14 days; 12 left."
    )


def test_growth_begins_again_when_the_group_was_sorted() -> None:
    small = "08:10 group/small arrived name=Small count=0 hatched=2026-02-20 place=b4\n"
    page = HATCH + small + weighed(("2026-03-20", 4.0), ("2026-03-27", 4.4))
    sorted_out = "2026-03-28\n08:00 group/hatch split_off into=small count=7 why=large\n"
    # The large ones are gone: the mean fell, and none of them is thinner.
    after = weighed(("2026-03-29", 3.6), ("2026-04-05", 3.9), ("2026-04-11", 4.1))
    assert found(page + sorted_out + after, "2026-04-11", "not growing") == []
    later = weighed(("2026-03-29", 3.6), ("2026-04-12", 3.6))
    assert found(page + sorted_out + later, "2026-04-12", "not growing") == ["today not growing hatch"]


def test_the_smallest_at_six_tenths_of_the_mean_falls_behind_until_it_is_sorted() -> None:
    page = HATCH + "2026-03-20\n08:00 group/hatch weighed grams=5 number=14 smallest={}\n"
    assert found(page.format("3.01"), "2026-03-20 09:00", "falls behind") == []
    behind = page.format("3")
    assert (
        the(behind, "2026-03-20 09:00", "falls behind").says == "Hatch: the smallest weighs 3 g, the mean is 5 g."
    )
    small = "2026-03-21\n08:00 group/small arrived name=Small count=0 hatched=2026-02-20 place=b4\n"
    split = small + "08:00 group/hatch split_off into=small count=2\n"
    assert found(behind + split, "2026-03-21 09:00", "falls behind") == []


def test_the_smallest_falls_behind_since_the_first_reading_of_a_shift_that_says_so() -> None:
    page = HATCH + "2026-03-20\n08:00 group/hatch weighed grams=5\n"
    page += "08:10:00 group/hatch weighed grams=5 number=14 smallest={}\n"
    again = page + "08:10:04 group/hatch weighed grams=5 number=14 smallest={}\n"
    behind = the(again.format("2.9", "3"), "2026-03-20 09:00", "falls behind")
    assert (behind.since, behind.says) == (
        at("2026-03-20 08:10"),
        "Hatch: the smallest weighs 3 g, the mean is 5 g.",
    )
    assert the(again.format("4", "3"), "2026-03-20 09:00", "falls behind").since == at("2026-03-20 08:10:04")
    assert found(again.format("3", "4"), "2026-03-20 09:00", "falls behind") == [], "the last reading holds"
    week = again.format("3", "3") + "2026-03-27\n08:00 group/hatch weighed grams=6 smallest=3.5\n"
    assert the(week, "2026-03-27 09:00", "falls behind").since == at("2026-03-27 08:00")


def test_a_young_animal_is_held_against_its_siblings_of_the_same_days() -> None:
    page = ROOM + "08:00 wattle eggs_laid clutch=w-1 count=20 complete=true\n"
    page += "08:10 group/hatch arrived name=Hatch count=9 hatched=2026-02-20 place=b5 clutch=w-1\n"
    page += "08:10 pup arrived name=Pup hatched=2026-02-20 place=b5 clutch=w-1\n"
    page += "2026-03-20\n08:00 group/hatch weighed grams=5 number=9\n"
    assert found(page + "2026-03-27\n08:00 pup weighed grams=3.1\n", "2026-03-27 09:00", "falls behind") == []
    behind = page + "2026-03-27\n08:00 pup weighed grams=3\n"
    assert the(behind, "2026-03-27 09:00", "falls behind").says == "Pup: 3 g, its siblings 5 g (median of 9)."
    later = page + "2026-03-28\n08:00 pup weighed grams=3\n"
    assert found(later, "2026-03-28 09:00", "falls behind") == [], "eight days lie between"


def test_a_count_that_does_not_fit_stands_until_one_does() -> None:
    fewer = HATCH + "2026-04-01\n08:00 group/hatch counted count=12\n"
    matter = the(fewer, "2026-04-01 09:00", "count does not fit")
    assert (matter.level, matter.says) == (Level.TODAY, "Hatch: 2 missing. Counted 12, reckoned 14.")
    assert found(fewer + "09:00 group/hatch died count=2\n", "2026-04-01 10:00", "count does not fit") == []
    assert found(fewer + "09:00 group/hatch counted count=14\n", "2026-04-01 10:00", "count does not fit") == []
    assert (
        found(fewer + "09:00 group/hatch count_settled count=12\n", "2026-04-01 10:00", "count does not fit") == []
    )
    more = HATCH + "2026-04-01\n08:00 group/hatch counted count=15\n"
    assert found(more, "2026-04-01 09:00", "count does not fit") == ["watch count does not fit hatch"]


def test_counted_again_and_as_many_missing_they_are_missing_since_the_first_count() -> None:
    first, again = "2026-04-01\n08:00 group/hatch counted count=12\n", "{} group/hatch counted count={}\n"
    for moment, count, since in (
        ("08:00:05", 12, "08:00"),
        ("2026-04-03\n08:00", 12, "08:00"),
        ("08:00:05", 11, "08:00:05"),
        ("08:20 group/hatch died count=1\n09:00", 12, "09:00"),
    ):
        page = HATCH + first + again.format(moment, count)
        day = "2026-04-03" if "2026-04-03" in moment else "2026-04-01"
        assert the(page, f"{day} 10:00", "count does not fit").since == at(f"2026-04-01 {since}"), (moment, count)
    fitted = HATCH + first + again.format("09:00", 14) + again.format("10:00", 12)
    assert the(fitted, "2026-04-01 11:00", "count does not fit").since == at("2026-04-01 10:00")


def test_a_count_that_fitted_is_not_asked_about_when_some_left_later() -> None:
    page = (
        HATCH
        + "2026-04-01\n08:00 group/hatch counted count=14\n2026-04-02\n08:00 group/hatch left how=lent count=3\n"
    )
    assert found(page, "2026-04-02 09:00", "count does not fit") == []


def test_a_sign_stays_open_when_a_foreign_sheet_put_the_young_with_others() -> None:
    page = HATCH + '2026-04-01\n08:00 group/hatch condition_seen signs="sore mouth"\n'
    page += "08:00 group/other arrived name=Other count=3 hatched=2026-02-20 place=b4\n"
    page += "2026-04-02\n08:00 group/hatch merged into=other count=14\n"
    assert found(page, "2026-04-02 09:00", "danger sign") == ["vet danger sign hatch"]
    assert found(page + "09:00 group/hatch vet_seen outcome=well\n", "2026-04-02 10:00", "danger sign") == []
