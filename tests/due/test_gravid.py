"""Gravid or not: what speaks for it, what against, what proves nothing; no false certainty."""

from __future__ import annotations

from datetime import datetime

from hypothesis import given, settings

from rounds.due.gravid import GravidOrNot, gravid_or_not
from rounds.logbook.entries import Entry
from rounds.standing.female import female
from rounds.standing.fold import fold
from tests.due.matters.found import DIG, HOUSE, ROOM
from tests.due.matters.random_pages import moments, pages
from tests.notation import at, standing

WEIGHED = "2026-03-05\n08:00 wattle weighed grams=400\n2026-03-11\n08:00 wattle weighed grams=400\n"
MATED = ROOM + WEIGHED + "2026-03-12\n10:00 wattle mating_seen sire=karri\n"


def told(page: str, now: str, who: str = "wattle") -> GravidOrNot:
    """What is said of one female."""
    found = gravid_or_not(female(standing(page), f"animal/{who}", HOUSE.breeding_days), HOUSE, at(now))
    assert found is not None
    return found


def says(part: tuple[object, ...]) -> list[str]:
    return [one.says for one in part]  # type: ignore[attr-defined]


def test_a_mating_alone_says_that_she_may_be() -> None:
    found = told(MATED, "2026-03-20")
    assert found.verdict == "may be gravid"
    assert found.chance is not None
    assert found.chance.says == "mated 12 Mar, due 29 Mar to 20 Apr"
    assert says(found.speaks_for) == []
    assert says(found.proves_nothing) == ["no gain can be told: not weighed before and since"]


def test_a_gain_over_her_own_weight_speaks_for_it_from_the_house_rule_on() -> None:
    # 10 % of 400 g; half of it and less speaks against.
    assert says(told(MATED + "2026-03-26\n08:00 wattle weighed grams=440\n", "2026-03-26").speaks_for) == [
        "10 % above her own weight 26 Mar"
    ]
    some = told(MATED + "2026-03-26\n08:00 wattle weighed grams=439\n", "2026-03-26")
    assert says(some.proves_nothing) == ["9 % above her own weight 26 Mar"]
    little = told(MATED + "2026-03-26\n08:00 wattle weighed grams=420\n", "2026-03-26")
    assert says(little.proves_nothing) == ["5 % above her own weight 26 Mar"]
    none = told(MATED + "2026-03-26\n08:00 wattle weighed grams=419\n", "2026-03-26")
    assert says(none.against) == ["no gain: 4 % above her own weight 26 Mar"]
    lost = told(MATED + "2026-03-26\n08:00 wattle weighed grams=380\n", "2026-03-26")
    assert says(lost.against) == ["no gain: 5 % under her own weight 26 Mar"]


def test_eggs_felt_settle_it_as_far_as_a_hand_can_and_a_vet_further() -> None:
    page = MATED + "2026-03-26\n08:00 wattle felt_for_eggs found=eggs\n"
    assert told(page, "2026-03-27").verdict == "gravid: eggs felt 26 Mar"
    vet = page + "2026-03-28\n08:00 wattle vet_seen carrying=true\n"
    assert told(vet, "2026-03-29").verdict == "gravid: a vet found eggs 28 Mar"
    assert says(told(vet, "2026-03-29").speaks_for)[0] == "a vet found eggs 28 Mar"


def test_that_none_were_felt_proves_nothing_and_takes_nothing_away() -> None:
    page = MATED + "2026-03-26\n08:00 wattle felt_for_eggs found=none\n"
    found = told(page, "2026-03-27")
    assert "no eggs felt 26 Mar" in says(found.proves_nothing)
    assert says(found.against) == []
    assert found.verdict == "may be gravid"
    both = (
        MATED
        + "2026-03-25\n08:00 wattle felt_for_eggs found=eggs\n2026-03-26\n08:00 wattle felt_for_eggs found=none\n"
    )
    assert told(both, "2026-03-27").verdict == "gravid: eggs felt 25 Mar"


def test_digging_and_a_gain_make_it_likely() -> None:
    page = MATED + f"2026-03-30\n08:00 wattle weighed grams=450\n17:00 wattle {DIG}\n"
    found = told(page, "2026-03-30 18:00")
    assert found.verdict == "likely gravid"
    assert says(found.speaks_for) == ["has dug since 30 Mar", "12 % above her own weight 30 Mar"]
    assert says(told(page, "2026-04-02").speaks_for)[0] == "dug 30 Mar"


def test_off_food_speaks_for_it_and_eating_proves_nothing() -> None:
    page = MATED + "2026-03-28\n08:00 wattle ate how=refused\n2026-03-29\n08:00 wattle ate how=refused\n"
    assert "off food since 28 Mar" in says(told(page, "2026-03-30").speaks_for)
    ate = page + "2026-03-30\n08:00 wattle ate how=well\n"
    assert "off food since 28 Mar" not in says(told(ate, "2026-03-30").speaks_for)
    assert "ate 30 Mar" in says(told(ate, "2026-03-30").proves_nothing)


def test_unmated_and_without_a_male_it_is_said_that_she_may_lay_all_the_same() -> None:
    found = told(ROOM, "2026-03-20")
    assert found.verdict == "nothing seen speaks for eggs"
    assert says(found.against) == ["no mating and no male is known; she may lay without one"]


def test_a_window_that_ended_speaks_against_it_with_its_danger_beside_it() -> None:
    found = told(MATED, "2026-04-24")
    assert says(found.against) == ["window ended 23 Apr, no eggs, waiting 43 days; eggs held back look the same"]
    assert found.verdict == "may be gravid"


def test_a_vet_who_found_none_speaks_against_it() -> None:
    page = MATED + "2026-03-30\n08:00 wattle vet_seen carrying=false\n"
    assert "a vet found no eggs 30 Mar" in says(told(page, "2026-03-31").against)


def test_nothing_is_said_of_a_male_nor_of_one_too_young() -> None:
    known = standing(ROOM + "2026-03-02\n08:00 pup arrived name=Pup sex=F hatched=2026-01-01\n")
    for who in ("karri", "pup"):
        assert gravid_or_not(female(known, f"animal/{who}", HOUSE.breeding_days), HOUSE, at("2026-03-20")) is None


@settings(max_examples=80, deadline=None)
@given(written=pages(), now=moments)
def test_on_any_page_something_is_said_and_nothing_twice(written: list[Entry], now: datetime) -> None:
    known = fold(written)
    for subject in known.subjects("animal"):
        her = female(known, subject, HOUSE.breeding_days)
        found = gravid_or_not(her, HOUSE, now)
        if found is None:
            continue
        assert found.verdict
        lines = says((*found.speaks_for, *found.against, *found.proves_nothing))
        assert len(lines) == len(set(lines))
        if her.felt is not None and her.laying is None:
            assert found.verdict.startswith("gravid: ")


def test_after_slugs_only_no_sperm_is_said_to_be_stored() -> None:
    laid = ROOM + "2026-03-01\n09:00 wattle eggs_laid clutch=w-1 count=16 slugs={} complete=true\n"
    sound, slugs = told(laid.format(0), "2026-03-10").chance, told(laid.format(16), "2026-03-10").chance
    assert sound is not None
    assert slugs is not None
    assert sound.says == "laid 1 Mar, sperm may be stored, due 22 Mar to 12 Apr"
    assert slugs.says == "laid 1 Mar, slugs only: no male is needed for that, due 22 Mar to 12 Apr"
