"""Fit to pair: each check on both sides of its boundary, and how they add up."""

from __future__ import annotations

from datetime import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from rounds.due.before_pairing import before_brumation, cautions_before
from rounds.due.fitness import Check, Fitness, fit_to_pair
from rounds.due.matter import Level
from rounds.due.reckon import matters_about
from rounds.logbook.entries import Entry
from rounds.rules.changes import changed_rules
from rounds.rules.default import default_rules
from rounds.rules.house import House
from rounds.standing.animal import animal
from rounds.standing.fold import fold
from tests.due.matters.found import HOUSE, ROOM
from tests.due.matters.random_pages import moments, pages
from tests.notation import VIENNA, at, logbook, standing

#: Wattle and Karri on 1 May: grown, weighed, looked at, well.
WELL = (
    ROOM
    + """
2026-04-01
08:00 wattle weighed grams=440
08:05 karri weighed grams=470
2026-04-15
08:00 wattle weighed grams=442
08:05 karri weighed grams=468
2026-04-29
08:00 wattle weighed grams=445
08:01 wattle condition_seen body=good look=bright
08:05 karri weighed grams=472
08:06 karri condition_seen body=good look=bright
2026-04-30
"""
)


def house(**changed: object) -> House:
    """The house with some rules changed, `__` for the dot."""
    values = {key.replace("__", "."): value for key, value in changed.items()}
    return House(changed_rules(default_rules(), values), VIENNA)


def fit(page: str, now: str = "2026-05-01 12:00", who: str = "wattle", rules: House = HOUSE) -> Fitness:
    return fit_to_pair(standing(page), rules, at(now), f"animal/{who}")


def check(found: Fitness, name: str) -> Check:
    (one,) = [one for one in found.checks if one.name == name]
    return one


@pytest.mark.parametrize("who", ["wattle", "karri"])
def test_a_grown_animal_that_is_well_is_fit_by_these_checks(who: str) -> None:
    found = fit(WELL, who=who)
    assert (found.answer, found.says) == ("yes", "fit by these checks")
    assert all(one.says and one.answer == "yes" for one in found.checks), "a figure behind each"


@pytest.mark.parametrize(
    ("line", "name", "says"),
    [
        ("08:00 wattle weighed grams=349", "weight", "not now: too light (349 g, bred from 350 g)"),
        (
            "08:00 wattle vet_seen under_treatment_until=2026-05-20",
            "not under treatment",
            "not now: under treatment to 20 May",
        ),
        ("08:00 wattle treatment_given what=drops", "not under treatment", "not now: under treatment"),
        ("08:00 wattle referred", "not under treatment", "not now: with the vet"),
        ("08:00 wattle condition_seen body=thin", "condition", "not now: thin"),
        ("08:00 wattle condition_seen look=dull", "condition", "not now: looked dull 30 Apr"),
        ("08:00 wattle brumation_began", "awake", "not now: brumates"),
        ("08:00 wattle eggs_laid clutch=w-1 count=3", "not gravid or laying", "not now: laying"),
        ("08:00 wattle felt_for_eggs found=eggs", "not gravid or laying", "not now: gravid"),
        (
            "08:00 wattle put_together mate=karri",
            "apart since the last pairing",
            "not now: with Karri since 30 Apr",
        ),
        (
            "08:00 wattle put_together mate=karri\n09:00 wattle parted",
            "apart since the last pairing",
            "not now: apart from Karri until 7 May",
        ),
    ],
)
def test_what_speaks_against_a_pairing_is_said_with_its_figure(line: str, name: str, says: str) -> None:
    found = fit(WELL + line + "\n")
    assert check(found, name).answer == "no"
    assert says.removeprefix("not now: ") in found.says
    assert found.says.startswith("not now: ")


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("08:00 karri brumation_began", "brumates"),
        ("08:00 karri condition_seen look=dull", "looked dull 30 Apr"),
        ("08:00 karri treatment_given what=drops", "under treatment"),
        ("08:00 wattle put_together mate=karri", "with Wattle since 30 Apr"),
        ("08:00 wattle put_together mate=karri\n09:00 wattle parted", "apart from Wattle until 7 May"),
    ],
)
def test_a_male_is_looked_at_too(line: str, says: str) -> None:
    found = fit(WELL + line + "\n", who="karri")
    assert found.answer == "no"
    assert says in found.says


@pytest.mark.parametrize(
    ("hatched", "answer", "says"),
    [
        ("2024-05-01", "yes", "24 months, bred from 24"),
        ("2024-05-02", "no", "23 months, bred from 24"),
    ],
)
def test_a_female_is_old_enough_to_the_day(hatched: str, answer: str, says: str) -> None:
    page = WELL.replace("name=Wattle sex=F hatched=2023-03-01", f"name=Wattle sex=F hatched={hatched}")
    found = check(fit(page), "age")
    assert (found.answer, found.says) == (answer, says)
    assert found.house == ("breeding.female_least_months",)


@pytest.mark.parametrize(("hatched", "answer"), [("2024-11-01", "yes"), ("2024-11-02", "no"), ("2030-01-01", "no")])
def test_a_male_is_old_enough_to_the_day(hatched: str, answer: str) -> None:
    page = WELL.replace("name=Karri sex=M hatched=2022-03-01", f"name=Karri sex=M hatched={hatched}")
    assert check(fit(page, who="karri"), "age").answer == answer


def test_what_was_never_noted_is_not_known_and_no_yes() -> None:
    found = fit(ROOM + "2026-04-30\n08:00 new arrived name=New sex=F place=b3 bred_here=true\n", who="new")
    assert found.answer == "not known"
    assert {one.name for one in found.of("not known")} == {
        "age",
        "weight",
        "weight does not fall",
        "condition",
        "awake",
    }
    assert found.says == "not known: age not known, no weight, and 2 more"


@pytest.mark.parametrize(("now", "answer"), [("2026-05-29 12:00", "yes"), ("2026-05-30 12:00", "not known")])
def test_a_weight_counts_for_thirty_days(now: str, answer: str) -> None:
    found = fit(WELL, now)
    assert check(found, "weight").answer == answer
    assert check(found, "condition").answer == answer
    assert ("no weight in 30 days" in found.says) == (answer == "not known")


def test_a_weight_that_was_too_light_stays_so_until_another_says_otherwise() -> None:
    page = WELL + "08:00 wattle weighed grams=340\n"
    assert check(fit(page, "2026-07-01 12:00"), "weight").answer == "no"


@pytest.mark.parametrize(
    ("ended", "answer", "says"),
    [
        ("2026-04-10", "yes", "woke 10 Apr, 3 weeks ago; first fed 12 Apr"),
        ("2026-04-11", "no", "woke 11 Apr, 2 weeks ago; paired from day 21"),
        ("2026-04-30", "no", "woke 30 Apr, 1 day ago; paired from day 21"),
    ],
)
def test_paired_three_weeks_after_waking_at_the_soonest(ended: str, answer: str, says: str) -> None:
    page = WELL.replace(
        "2026-04-15\n",
        f"{ended}\n08:00 wattle brumation_ended\n2026-04-12\n09:00 wattle ate how=well\n2026-04-15\n",
    ).replace("2026-04-01\n", "2026-01-20\n08:00 wattle brumation_began\n2026-04-01\n", 1)
    found = check(fit(page), "awake")
    assert (found.answer, found.says) == (answer, says)


def test_awake_and_no_food_noted_since_is_not_known() -> None:
    page = WELL.replace(
        "2026-04-01\n", "2026-03-20\n08:00 wattle brumation_began\n09:00 wattle brumation_ended\n2026-04-01\n", 1
    )
    assert check(fit(page), "awake").answer == "not known"
    assert check(fit(page + "08:00 enclosure/b3 fed\n"), "awake").answer == "yes"


def test_an_end_that_was_never_noted_is_brumation_still() -> None:
    page = WELL.replace("2026-04-01\n", "2026-03-05\n08:00 wattle brumation_began\n2026-04-01\n", 1)
    assert check(fit(page), "awake").answer == "no"


def test_who_arrived_awake_lately_woke_nobody_knows_when() -> None:
    page = WELL + "08:00 new arrived name=New sex=F hatched=2023-01-01 place=b3 bred_here=true\n"
    assert check(fit(page, "2026-05-20 12:00", "new"), "awake").answer == "not known"
    assert check(fit(page, "2026-05-21 12:00", "new"), "awake").answer == "yes"


@pytest.mark.parametrize(("now", "answer"), [("2026-05-06 23:59", "no"), ("2026-05-07 00:01", "yes")])
def test_apart_for_a_week_after_a_pairing(now: str, answer: str) -> None:
    page = WELL + "08:00 wattle put_together mate=karri\n09:00 wattle parted\n"
    for who in ("wattle", "karri"):
        assert check(fit(page, now, who), "apart since the last pairing").answer == answer


LAID = WELL.replace(
    "2026-04-15\n", "2026-04-02\n08:00 wattle eggs_laid clutch=w-1 count=20 complete=true\n2026-04-15\n"
)


@pytest.mark.parametrize(("now", "answer"), [("2026-04-29 12:00", "no"), ("2026-04-30 12:00", "yes")])
def test_she_rests_four_weeks_after_a_clutch(now: str, answer: str) -> None:
    assert check(fit(LAID, now), "rest since the last clutch").answer == answer


@pytest.mark.parametrize(
    ("grams", "answer", "says"),
    [
        (418, "yes", "418 g, 95 % of 440 g before it; asked for 95 %"),
        (417, "no", "417 g, 94 % of 440 g before it; asked for 95 %"),
    ],
)
def test_recovered_from_a_clutch_at_a_part_of_her_own_weight_before_it(grams: int, answer: str, says: str) -> None:
    page = LAID.replace("2026-04-02\n", "2026-04-01\n09:00 wattle mating_seen sire=karri\n2026-05-10\n")
    found = check(
        fit(f"{page}\n2026-06-20\n08:00 wattle weighed grams={grams}\n", "2026-06-21 12:00"),
        "recovered from the last clutch",
    )
    assert (found.answer, found.says) == (answer, says)


@pytest.mark.parametrize(
    "rested",
    [
        "2026-06-20\n08:00 wattle brumation_began\n2026-07-20\n08:00 wattle brumation_ended\n",
        "2026-08-10\n08:00 wattle ate how=well\n",
    ],
    ids=["brumated", "laid none for 120 days"],
)
def test_after_a_long_rest_recovery_from_the_clutch_before_is_no_question_any_more(rested: str) -> None:
    page = LAID.replace("2026-04-02\n", "2026-04-01\n09:00 wattle mating_seen sire=karri\n2026-05-10\n")
    page += "\n2026-06-10\n08:00 wattle weighed grams=400\n"
    assert check(fit(page, "2026-06-19 12:00"), "recovered from the last clutch").answer == "no"
    found = check(fit(page + rested, "2026-09-08 12:00"), "recovered from the last clutch")
    assert (found.answer, found.says) == ("yes", "a long rest since the last clutch")


def test_clutches_of_a_season_are_held_against_the_limit_of_the_house() -> None:
    page = ROOM
    for number, on in enumerate(("2026-03-10", "2026-04-10", "2026-05-10"), 1):
        page += f"{on}\n08:00 wattle eggs_laid clutch=w-{number} count=20 complete=true\n"
        found = check(fit(page, f"{on} 12:00"), "clutches this season")
        assert found.says == f"{number} clutch{'es' * (number > 1)} of at most 3"
        assert found.answer == ("no" if number == 3 else "yes")
    more = house(breeding__season_clutches=4)
    assert check(fit(page, "2026-05-10 12:00", rules=more), "clutches this season").answer == "yes"
    gap = "2026-09-08 12:00"  # 121 days after the last one
    assert check(fit(page, gap), "clutches this season").says == "0 clutches of at most 3"
    assert check(fit(page, gap), "clutches last season").answer == "yes"
    fewer = house(breeding__season_clutches=2)
    assert check(fit(page, gap, rules=fewer), "clutches last season").answer == "no"


def test_a_rest_year_is_kept_only_where_the_house_sets_one() -> None:
    page = ROOM.replace("2026-03-01", "2023-03-01").replace("hatched=2023", "hatched=2020")
    for year in (2024, 2025):
        page += f"{year}-04-10\n08:00 wattle eggs_laid clutch=w-{year} count=20 complete=true\n"
    assert check(fit(page), "rest year").says == "bred 2 seasons in a row, no rest year is set"
    assert check(fit(page), "rest year").answer == "yes"
    for after, answer in ((2, "no"), (3, "yes")):
        assert check(fit(page, rules=house(breeding__rest_after_seasons=after)), "rest year").answer == answer


def test_seasons_are_counted_however_often_her_eggs_were_written_down_while_she_laid() -> None:
    page = ROOM.replace("2026-03-01", "2019-03-01").replace("hatched=2023", "hatched=2016")
    for year in range(2021, 2026):
        for clutch in (3, 5, 7):
            page += f"{year}-{clutch:02}-10\n"
            page += "".join(
                f"{8 + eggs // 4:02}:00 wattle eggs_laid clutch=w-{year}-{clutch} count={eggs}\n"
                for eggs in range(4, 21, 4)
            )
            page += f"14:00 wattle eggs_laid clutch=w-{year}-{clutch} count=20 complete=true\n"
    assert check(fit(page), "rest year").says == "bred 5 seasons in a row, no rest year is set"


def test_a_sign_for_the_vet_comes_before_every_figure() -> None:
    found = fit(WELL + "08:00 wattle weighed grams=340\n08:10 wattle condition_seen signs=burn\n")
    assert found.says.startswith("not now: for the vet")


@pytest.mark.parametrize(
    ("lines", "answer", "says"),
    [
        (
            "2026-04-30\n08:00 wattle droppings_seen look=runny\n20:00 wattle droppings_seen look=runny\n",
            "not known",
            "",
        ),
        ("2026-04-02\n08:00 wattle shed_seen state=stuck\n2026-04-30\n", "no", "stuck shed"),
        (
            "2026-01-20\n08:00 wattle weighed grams=520\n09:00 wattle brumation_began\n"
            "2026-04-05\n08:00 wattle brumation_ended\n09:00 wattle ate how=well\n2026-04-30\n",
            "no",
            "brumation loss",
        ),
    ],
)
def test_an_open_matter_of_its_health_is_not_fit(lines: str, answer: str, says: str) -> None:
    first, _, rest = lines.partition("\n")
    page = ROOM.replace("2026-03-01 AK", "2026-01-02 AK") if first < "2026-03-01" else ROOM
    page += WELL.removeprefix(ROOM).removesuffix("2026-04-30\n") + f"{first}\n{rest}"
    found = fit(page)
    assert check(found, "nothing else of its health open").answer == answer
    assert found.answer == answer
    assert says in found.says


@settings(max_examples=80, deadline=None)
@given(written=pages(), now=moments)
def test_whom_a_matter_parts_no_check_calls_fit(written: list[Entry], now: datetime) -> None:
    (together,) = logbook(f"{now:%Y-%m-%d} AK\n00:00 wattle put_together mate=karri\n")
    known = fold([*written, replace(together, id="together")])
    for subject in known.subjects("animal"):
        for matter in matters_about(known, HOUSE, now, [subject]):
            if matter.rule == "should not be together":
                males = [one for one in known.subjects("animal") if animal(known, one).sex == "M"]
                answers = [fit_to_pair(known, HOUSE, now, one).answer for one in (subject, *males)]
                assert "no" in answers, matter.says


@given(pages(), moments)
@settings(max_examples=60, deadline=None)
def test_fit_to_pair_never_raises_and_no_danger_sign_is_fit(entries: list[Entry], now: datetime) -> None:
    stood = fold(entries)
    for who in ("animal/wattle", "animal/sedge", "animal/karri", "animal/pup", "animal/nobody"):
        found = fit_to_pair(stood, HOUSE, now, who)
        assert found.says
        grave = [one for one in matters_about(stood, HOUSE, now, (who,)) if one.level >= Level.VET]
        one = animal(stood.upto(now), who)
        if grave or one.danger:
            assert found.answer == "no"
            assert found.checks[0].answer == "no", "the gravest first"
    cautions_before(stood, HOUSE, now, "animal/wattle", "animal/karri")
    before_brumation(stood, HOUSE, now, "animal/wattle")


@given(st.integers(300, 400))
@settings(max_examples=20, deadline=None)
def test_a_heavier_female_is_never_less_fit_by_her_weight(grams: int) -> None:
    order = ["no", "not known", "yes"]
    lighter, heavier = (
        order.index(check(fit(f"{WELL}08:00 wattle weighed grams={one}\n"), "weight").answer)
        for one in (grams, grams + 5)
    )
    assert lighter <= heavier
