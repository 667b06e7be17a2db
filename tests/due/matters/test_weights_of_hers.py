"""Weights of a female who may be gravid, or has laid: what was read again, and by whom a vet had heard of it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.due.evidence import evidence
from rounds.standing.female import female
from tests.due.matters.found import HOUSE, ROOM, all_found, found, the
from tests.due.matters.test_readings_disagree import due, weighed, words
from tests.notation import at, standing

LAID = ROOM + (
    "2026-02-01\n08:00 sedge weighed grams=400\n2026-02-02\n08:00 sedge mating_seen\n"
    "2026-03-10\n08:00 sedge weighed grams=500\n08:30 sedge eggs_laid clutch=s-1 count=20 complete=true\n"
)
HEAVY = LAID + weighed("2026-03-12", ("20:00", 460)) + weighed("2026-03-13", ("09:00", 460))
CALLED = HEAVY + "10:00 sedge vet_called\n"


@pytest.mark.parametrize("grams", [459, 460, 461])
def test_heavy_again_after_a_call_is_the_vets_again_whatever_the_last_gram(grams: float) -> None:
    assert found(HEAVY, "2026-03-13 09:30", "heavy after laying") == ["vet heavy after laying sedge"]
    again = CALLED + "".join(f"14:0{minute} sedge weighed grams={grams}\n" for minute in range(3))
    assert found(again, "2026-03-13 15:00", "heavy after laying") == ["today heavy after laying sedge"]
    again += weighed("2026-03-15", ("08:00", 458))
    assert found(again, "2026-03-15 09:00", "heavy after laying") == ["vet heavy after laying sedge"]


def test_weighed_again_tomorrow_as_asked_counts() -> None:
    page = LAID + weighed("2026-03-12", ("20:00", 460))
    assert (
        "Weigh her again tomorrow, and feel for eggs if practised."
        in the(page, "2026-03-12 21:00", "heavy after laying").do
    )
    page += weighed("2026-03-13", ("07:00", 459))
    assert found(page, "2026-03-13 08:00", "heavy after laying") == ["vet heavy after laying sedge"]


def test_readings_that_differ_are_no_all_clear_after_laying_and_no_second_heavy_weighing() -> None:
    page = LAID + weighed("2026-03-12", ("20:00", 460))
    same = page + "20:01 sedge weighed grams=400\n"
    assert found(same, "2026-03-12 21:00", "heavy after laying") == ["today heavy after laying sedge"]
    later = page + weighed("2026-03-14", ("08:00", 400), ("08:01", 460))
    assert found(later, "2026-03-14 09:00", "heavy after laying") == ["today heavy after laying sedge"]
    clear = page + weighed("2026-03-14", ("08:00", 400), ("08:01", 401))
    assert found(clear, "2026-03-14 09:00", "heavy after laying") == []


def test_heavy_for_the_vet_says_of_which_day_when_she_weighs_less_now() -> None:
    page = HEAVY + weighed("2026-03-15", ("08:00", 401))
    assert the(page, "2026-03-15 09:00", "heavy after laying").says == (
        "Sedge may hold eggs: still 460 g after laying on 13 Mar, 15 % above her own."
    )


@settings(max_examples=80, deadline=None)
@given(
    before=st.sampled_from([[], [460.0], [400.0]]),
    readings=st.lists(st.sampled_from([4.0, 380.0, 400.0, 430.0, 440.0, 460.0, 520.0]), min_size=1, max_size=4),
    more=st.sampled_from([4.0, 380.0, 400.0, 430.0, 440.0, 460.0, 520.0]),
)
def test_no_reading_takes_heavy_after_laying_down_while_they_differ(
    before: list[float], readings: list[float], more: float
) -> None:
    page = LAID + "".join(weighed("2026-03-12", ("08:00", grams)) for grams in before)
    page += weighed("2026-03-14", *zip(("08:00", "08:01", "13:00", "18:30"), readings, strict=False))
    read_on = page + f"23:55 sedge weighed grams={more}\n"
    if words(read_on, "2026-03-15 02:00") == "weigh again":
        assert _level(read_on) >= _level(page)


def _level(page: str) -> int:
    told = [one for one in all_found(page, "2026-03-15 02:00") if one.rule == "heavy after laying"]
    return max((int(one.level) for one in told), default=0)


# A gain

MATED = ROOM + weighed("2026-02-01", ("08:00", 400)) + "2026-02-10\n08:00 sedge mating_seen\n"
BRIGHT = "".join(
    f"2026-03-{day:02}\n09:00 sedge egg_check_done\n09:01 sedge condition_seen look=bright\n"
    for day in range(1, 26)
)


@pytest.mark.parametrize("second", [4020, 445])
def test_readings_that_differ_are_no_gain(second: float) -> None:
    # Her window ended on 24 March; a gain more would be for the vet.
    alone = MATED + BRIGHT + weighed("2026-03-26", ("08:00", 402))
    before = found(alone, "2026-03-26 09:00")
    assert not [one for one in before if one.startswith("vet")]
    doubted = alone + f"08:01 sedge weighed grams={second}\n"
    assert found(doubted, "2026-03-26 09:00") == before
    assert words(doubted, "2026-03-26 09:00") in ("weigh again", "not enough weighings")


def test_of_one_never_mated_a_slip_beside_her_weight_asks_for_no_look() -> None:
    page = ROOM + weighed("2026-02-01", ("08:00", 400)) + weighed("2026-03-10", ("08:00", 400), ("08:01", 4000))
    assert found(page, "2026-03-13", "egg check overdue") == []


def test_a_slip_beside_her_weight_is_not_her_own_weight() -> None:
    page = ROOM + weighed("2026-02-01", ("08:00", 400), ("08:01", 4000)) + weighed("2026-02-05", ("08:00", 402))
    page += "2026-02-10\n08:00 sedge mating_seen\n"
    her = female(standing(page), "animal/sedge", HOUSE.breeding_days)
    assert her.own_weight(at("2026-03-01")) == 402


def test_a_gain_said_for_her_rounds_down() -> None:
    page = MATED + BRIGHT + weighed("2026-03-26", ("08:00", 443.9))
    her = female(standing(page), "animal/sedge", HOUSE.breeding_days)
    says = [sign.says for sign in evidence(her, HOUSE, at("2026-03-26 09:00")).signs]
    assert "10 % above her own weight 26 Mar" in says


def test_a_weighing_after_a_call_is_judged_by_what_was_read_after_it() -> None:
    own = ROOM + "".join(weighed(f"2026-03-{day:02}", ("08:00", 400)) for day in (2, 9, 16, 23))
    low = own + weighed("2026-03-27", ("08:00", 320)) + weighed("2026-03-29", ("08:00", 320))
    called = low + "10:00 sedge vet_called\n"
    assert found(called, "2026-03-29 11:00", "weight loss") == ["today weight loss sedge"]
    again = called + "14:00 sedge weighed grams=398\n14:01 sedge weighed grams=399\n14:02 sedge weighed grams=399\n"
    assert found(again, "2026-03-29 15:00", "weight loss") == []
    assert found(called + "14:00 sedge weighed grams=321\n", "2026-03-29 15:00", "weight loss") == [
        "vet weight loss sedge"
    ]


def test_a_loss_for_the_vet_says_what_was_read_since() -> None:
    own = ROOM + "".join(weighed(f"2026-03-{day:02}", ("08:00", 400)) for day in (2, 9, 16, 23))
    page = own + weighed("2026-03-27", ("08:00", 338)) + weighed("2026-03-29", ("08:00", 335))
    assert not any("Read again" in step for step in the(page, "2026-03-29 09:00", "weight loss").do)
    page += "08:01 sedge weighed grams=380\n"
    matter = the(page, "2026-03-29 09:00", "weight loss")
    assert matter.level.word == "vet"
    assert "Read again since: 380 g. A slip? Correct it." in matter.do
    assert matter.says == "Sedge: 16 % lost in 6 days, 335 g on 29 Mar."


def test_the_walk_asks_for_no_weight_of_one_who_digs_though_her_readings_differ() -> None:
    page = MATED + weighed("2026-03-10", ("08:00", 402), ("08:01", 445))
    line = due(page, "2026-03-11 08:00")
    assert line is not None
    assert line.says == "weigh again, readings differ"
    digs = page + '18:00 sedge behaviour_seen behaviour="nest digging"\n'
    assert due(digs, "2026-03-11 08:00") is None
