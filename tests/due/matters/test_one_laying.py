"""Eggs under another clutch within days of a clutch are the same laying."""

from __future__ import annotations

from rounds.due.checks_before_hers import checks_of_hers
from rounds.due.forecast import lay_forecast
from rounds.due.lay_balance import expected_eggs, lay_balance
from rounds.due.matter import Level
from rounds.due.matters.look import Look
from rounds.standing.female import female
from tests.due.matters.found import DIG, HOUSE, ROOM, all_found, found, the
from tests.notation import at, standing

#: Twenty eggs, said to be all; and eggs still felt.
LAID = ROOM + "2026-04-01\n18:00 wattle eggs_laid clutch=w-1 count=20 complete=true\n"
FELT = LAID + "20:00 wattle felt_for_eggs found=eggs\n"
#: Some more after 45 hours, as they may be written.
MORE = (
    "wattle eggs_laid clutch=w-2 count=2",
    "wattle eggs_laid clutch=w-2 count=2 complete=true",
    "wattle eggs_laid clutch=w-1 count=22",
    "wattle eggs_laid clutch=w-1 count=22 complete=true",
)


def test_two_eggs_more_do_not_answer_eggs_that_were_felt_whatever_they_are_called() -> None:
    before = the(FELT, "2026-04-03 14:50", "laying stopped")
    assert (before.level, before.deadline) == (Level.VET, at("2026-04-03 18:00"))
    for more in MORE:
        page = f"{FELT}2026-04-03\n15:00 {more}\n"
        after = the(page, "2026-04-03 15:10", "laying stopped")
        assert (after.level, after.deadline) == (Level.VET, at("2026-04-03 18:00")), more
        assert "eggs felt 1 Apr" in after.says
        assert "22" in after.says
        assert the(page, "2026-04-03 18:00", "laying stopped").level == Level.VET_NOW, more


def test_as_many_again_or_a_vet_do() -> None:
    many = f"{FELT}2026-04-03\n15:00 wattle eggs_laid clutch=w-2 count=10\n"
    assert found(many, "2026-04-03 15:10", "laying stopped") == ["watch laying stopped wattle"]
    for more in MORE:
        page = f"{FELT}2026-04-03\n15:00 {more}\n15:30 wattle vet_called said=wait\n"
        assert found(page, "2026-04-03 15:40", "laying stopped") in ([], ["watch laying stopped wattle"]), more


def test_eggs_that_were_forgotten_do_when_none_were_felt() -> None:
    page = LAID.replace("count=20 complete=true", "count=12")
    assert found(page, "2026-04-02 19:00", "laying stopped") == ["vet laying stopped wattle"]
    page += "2026-04-02\n19:10 wattle eggs_laid clutch=w-1 count=20 complete=true\n"
    assert found(page, "2026-04-02 19:20", "laying stopped") == []


def test_two_found_the_next_day_are_no_short_clutch() -> None:
    page = LAID + "2026-04-02\n15:00 wattle eggs_laid clutch=w-2 count=2"
    done = page + " complete=true\n2026-04-03\n09:00 wattle egg_check_done\n"
    for now in ("2026-04-02 16:00", "2026-04-03 16:00", "2026-04-04 16:00", "2026-04-09 16:00"):
        assert not [one for one in all_found(done, now) if one.level >= Level.VET], now
    # Not said to be all, laying goes on, and stops.
    assert found(page, "2026-04-02 16:00", "laying stopped") == ["watch laying stopped wattle"]
    assert found(page, "2026-04-03 15:00", "laying stopped") == ["vet laying stopped wattle"]


def test_a_clutch_after_weeks_is_another() -> None:
    page = LAID + "2026-04-22\n15:00 wattle eggs_laid clutch=w-2 count=2 complete=true\n"
    assert the(page, "2026-04-22 16:00", "laying stopped").says.startswith(
        "Wattle: stopped laying 1 h ago at 2, her"
    )
    her = female(standing(page), "animal/wattle", HOUSE.breeding_days)
    assert [[one.count for one in parts] for parts in her.layings] == [[20], [2]]


def test_it_is_one_in_every_figure() -> None:
    page = LAID + "2026-04-02\n15:00 wattle eggs_laid clutch=w-2 count=4 complete=true\n"
    stood, now = standing(page), at("2026-04-20 09:00")
    her = female(stood, "animal/wattle", HOUSE.breeding_days)
    assert her.usual_count() == 24
    assert expected_eggs(her).says == "about 24 eggs: her one clutch had 24"
    checks = {one.name: one.says for one in checks_of_hers(Look(stood, HOUSE, now, "animal/wattle"))}
    assert checks["clutches this season"] == "1 clutch of at most 3"
    forecast = lay_forecast(stood, HOUSE, now, "animal/wattle")
    assert forecast is not None
    assert forecast.opens == at("2026-04-23").date()


def test_the_scale_counts_all_of_it() -> None:
    page = ROOM + "2026-03-01\n09:00 wattle weighed grams=400\n2026-03-04\n09:00 wattle mating_seen\n"
    page += "2026-03-28\n09:00 wattle weighed grams=470\n" + LAID.removeprefix(ROOM)
    page += "2026-04-02\n15:00 wattle eggs_laid clutch=w-2 count=4 complete=true\n17:00 wattle weighed grams=385\n"
    her = female(standing(page), "animal/wattle", HOUSE.breeding_days)
    balance = lay_balance(her, HOUSE, her.clutches[-1])
    assert balance is not None
    assert (balance.eggs, balance.own, balance.verdict) == (24, 400, "fits")
    assert balance.before is not None


def test_what_she_gains_after_it_counts_for_the_next() -> None:
    page = LAID + "2026-04-02\n15:00 wattle eggs_laid clutch=w-2 count=2 complete=true\n"
    page += "2026-04-05\n09:00 wattle weighed grams=380\n2026-05-12\n09:00 wattle weighed grams=440\n"
    page += "2026-05-16\n09:00 wattle weighed grams=445\n"
    assert "17 % above her own weight" in the(page, "2026-05-16 10:00", "signs add up").says


def test_digging_before_the_rest_of_the_eggs_is_over_with_them() -> None:
    dug = LAID + f"2026-04-03\n10:00 wattle {DIG}\n2026-04-04\n10:00 wattle {DIG}\n"
    assert found(dug, "2026-04-10 12:00", "digging without eggs") == ["vet digging without eggs wattle"]
    closing = f"20:00 wattle {DIG}\n2026-04-06\n08:00 wattle {DIG}\n"
    for rest in ("clutch=w-2 count=3", "clutch=w-1 count=23"):
        page = dug + f"2026-04-05\n10:00 wattle eggs_laid {rest} complete=true\n" + closing
        assert found(page, "2026-04-13 12:00", "digging without eggs", "signs add up") == [], rest
        again = page + f"2026-04-07\n12:00 wattle {DIG}\n2026-04-08\n12:00 wattle {DIG}\n"
        assert found(again, "2026-04-14 12:00", "digging without eggs") == ["vet digging without eggs wattle"], rest


def test_come_to_the_vets_it_is_not() -> None:
    page = LAID + f"2026-04-03\n10:00 wattle {DIG}\n2026-04-04\n10:00 wattle {DIG}\n"
    page += "2026-04-11\n10:00 wattle eggs_laid clutch=w-2 count=3 complete=true\n"
    assert found(page, "2026-04-11 12:00", "digging without eggs") == ["vet digging without eggs wattle"]


def test_nor_do_a_few_eggs_after_weeks_answer_eggs_that_were_felt() -> None:
    page = FELT + "2026-04-18\n15:00 wattle eggs_laid clutch=w-2 count={}\n"
    assert found(page.format(2), "2026-04-18 15:10", "laying stopped") == ["vet now laying stopped wattle"]
    assert found(page.format("6 complete=true"), "2026-04-18 15:10", "laying stopped") == [
        "vet now laying stopped wattle"
    ]
    assert found(page.format(10), "2026-04-18 15:10", "laying stopped") == ["watch laying stopped wattle"]
    heard = FELT + "2026-04-02\n09:00 wattle vet_called said=wait\n" + page.format(2).removeprefix(FELT)
    assert found(heard, "2026-04-18 16:30", "laying stopped") == ["today laying stopped wattle"]


def test_all_of_it_stands_behind_the_matter() -> None:
    matter = the(f"{FELT}2026-04-03\n15:00 {MORE[0]}\n", "2026-04-03 15:10", "laying stopped")
    assert matter.since == at("2026-04-01 18:00")
    assert [entry.phrase() for entry in matter.entries] == [
        "20 eggs laid in all",
        "2 eggs laid so far",
        "eggs felt",
    ]


def test_said_to_be_done_too_soon_the_rest_answers_what_was_felt() -> None:
    for rest in ("clutch=w-2 count=3", "clutch=w-1 count=23"):
        page = FELT + f"2026-04-02\n05:00 wattle eggs_laid {rest} complete=true\n09:00 wattle egg_check_done\n"
        page += "2026-04-04\n18:00 wattle egg_check_done\n2026-04-22\n09:00 wattle egg_check_done\n"
        assert found(FELT, "2026-04-02 04:00", "laying stopped") == ["today laying stopped wattle"]
        for now in ("2026-04-02 06:00", "2026-04-03 08:00", "2026-04-04 20:00", "2026-04-22 10:00"):
            assert found(page, now, "laying stopped", "signs add up", "digging without eggs") == [], (rest, now)
        her = female(standing(page), "animal/wattle", HOUSE.breeding_days)
        assert her.felt is None
        assert her.usual_count() == 23


def test_not_where_it_took_a_day_or_she_was_dull() -> None:
    rest = "wattle eggs_laid clutch=w-2 count=3 complete=true\n"
    late = FELT + f"2026-04-02\n18:00 {rest}"
    assert the(late, "2026-04-02 18:10", "laying stopped").level == Level.VET
    dull = FELT + f"21:00 wattle condition_seen look=quiet\n2026-04-02\n05:00 {rest}"
    assert found(dull, "2026-04-02 12:00", "laying stopped") == ["today laying stopped wattle"]


def test_the_word_complete_takes_nothing_from_a_clock_that_ran_out() -> None:
    page = ROOM + "2026-04-01\n09:00 wattle eggs_laid clutch=w-1 count=6\n"
    page += "2026-04-02\n15:00 wattle eggs_laid clutch=w-1 count=7\n"
    assert the(page, "2026-04-03 09:10", "laying stopped").level == Level.VET_NOW
    done = page + "2026-04-03\n09:30 wattle eggs_laid clutch=w-1 count=7 complete=true\n"
    assert the(done, "2026-04-03 09:40", "laying stopped").level == Level.VET_NOW
    before = page + "2026-04-03\n08:30 wattle eggs_laid clutch=w-1 count=7 complete=true\n"
    assert the(before, "2026-04-05 09:40", "laying stopped").level == Level.VET


def test_as_many_again_after_days_are_a_clutch_of_their_own() -> None:
    for day, clock, layings in (
        ("2026-04-03", "18:00", [38]),
        ("2026-04-03", "18:30", [20, 18]),
        ("2026-04-14", "09:00", [20, 18]),
    ):
        page = LAID + f"{day}\n{clock} wattle eggs_laid clutch=w-2 count=18 complete=true\n"
        her = female(standing(page), "animal/wattle", HOUSE.breeding_days)
        assert [sum(one.count for one in parts) for parts in her.layings] == layings, day
