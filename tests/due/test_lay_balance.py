"""The scale before and after laying beside the mass of the eggs, and how far both may be off."""

from __future__ import annotations

from math import sqrt

import pytest
from hypothesis import given, settings

from rounds.due.lay_balance import LayBalance, expected_eggs, lay_balance
from rounds.due.matter import Level
from rounds.logbook.entries import Entry
from rounds.standing.female import female
from rounds.standing.fold import fold
from tests.due.matters.found import HOUSE, ROOM, found, the
from tests.due.matters.random_pages import pages
from tests.due.stops import house_with
from tests.notation import standing

BEFORE = ROOM + "2026-03-11\n08:00 wattle weighed grams=400\n2026-03-12\n10:00 wattle mating_seen\n"
HEAVY = BEFORE + "2026-04-06\n08:00 wattle weighed grams=470\n"


def laid(count: int, more: str = "") -> str:
    return f"2026-04-06\n10:00 wattle eggs_laid clutch=wattle-1 count={count} complete=true {more}\n"


def after(grams: float, day: str = "2026-04-07") -> str:
    return f"{day}\n08:00 wattle weighed grams={grams}\n"


def balance(page: str) -> LayBalance | None:
    her = female(standing(page), "animal/wattle", HOUSE.breeding_days)
    return lay_balance(her, HOUSE, her.clutches[-1])


def weighed(page: str) -> LayBalance:
    found = balance(page)
    assert found is not None
    return found


def test_weighed_after_her_last_egg_she_is_held_against_her_own_weight() -> None:
    # Her own weight is 400 g; empty she weighs 92 to 104 % of it, 392 g in the middle (house rule).
    one = weighed(HEAVY + laid(20) + after(394))
    assert (one.own, one.now) == (400, 394)
    assert one.over == pytest.approx(394 - 392)
    # 2 % of the scale; of her own weight, a median of three, by the root of 3; a band of 48 g by the root of 12.
    assert one.spread == pytest.approx(sqrt(7.88**2 + 8**2 / 3 + 48**2 / 12))
    assert one.verdict == "fits"
    assert one.says == (
        "her weight accounts for the eggs, give or take 9: 394 g, her own weight 400 g, 20 eggs out, ± 33 g"
    )


def test_not_weighed_since_she_is_reckoned_from_the_mass_of_her_eggs() -> None:
    # 3.81 ± 0.61 g: computed from the data of Laven et al. (husbandry.md).
    one = weighed(HEAVY + laid(20))
    assert one.mass.by == "the published mean egg"
    assert one.mass.grams == pytest.approx(76.2)
    assert one.mass.spread == pytest.approx(12.2)
    assert one.now == pytest.approx(470 - 76.2)
    assert one.spread == pytest.approx(sqrt(9.4**2 + 12.2**2 + 8**2 / 3 + 48**2 / 12))
    assert one.says == (
        "her weight accounts for the eggs, give or take 12: 394 g, reckoned from 76 g of eggs by the published "
        "mean egg, her own weight 400 g, 20 eggs out, ± 42 g"
    )


def test_what_the_eggs_may_have_grown_since_she_was_weighed_counts_as_uncertainty() -> None:
    # Ten days of 21: up to 33 of 70 g, 17 g in the middle; a uniform spread is the range by the root of 12.
    page = BEFORE + "2026-03-27\n08:00 wattle weighed grams=440\n" + laid(20, "eggs_grams=70")
    one, most = weighed(page), 70 * 10 / 21
    assert one.now == pytest.approx(440 + most / 2 - 70)
    assert one.spread == pytest.approx(sqrt(8.8**2 + 1.4**2 + most**2 / 12 + 8**2 / 3 + 48**2 / 12))


def test_eggs_that_were_weighed_count_as_the_scale_said() -> None:
    one = weighed(HEAVY + laid(20, "eggs_grams=70"))
    assert one.mass.by == "weighed"
    assert (one.mass.grams, one.mass.each) == (70, 3.5)
    assert one.mass.spread == pytest.approx(1.4)
    assert one.now == 400


def test_eggs_weighed_when_they_were_boxed_count_too() -> None:
    boxed = "2026-04-06\n12:00 clutch/wattle-1 eggs_boxed count=20 eggs_grams=70\n"
    assert weighed(HEAVY + laid(20) + boxed + after(400)).mass.grams == 70


def test_of_some_weighed_the_rest_counts_as_they_do() -> None:
    some = "2026-04-06\n09:00 wattle eggs_laid clutch=wattle-1 count=10 eggs_grams=35\n"
    one = weighed(HEAVY + some + laid(20) + after(400))
    assert one.mass.grams == pytest.approx(70)
    # 2 % of what lay on the scale, 10 % of the ten that did not.
    assert one.mass.spread == pytest.approx(sqrt(0.7**2 + 3.5**2))


def test_her_own_mean_egg_from_clutches_before_is_better_than_a_published_one() -> None:
    page = ROOM.replace("2026-03-01 AK", "2024-01-01 AK").replace("2023-03-01", "2021-03-01")
    page += "2025-04-06\n10:00 wattle eggs_laid clutch=wattle-0 count=20 complete=true eggs_grams=90\n"
    page += "2026-03-01\n08:00 wattle weighed grams=400\n2026-03-12\n10:00 wattle mating_seen\n"
    page += "2026-04-06\n08:00 wattle weighed grams=480\n"
    one = weighed(page + laid(20))
    assert one.mass.by == "her mean egg"
    assert one.mass.each == 4.5
    assert one.mass.spread == pytest.approx(20 * 0.45 * sqrt(2))


def test_half_of_her_clutch_left_in_her_shows_on_the_scale_before_and_after() -> None:
    # Twenty eggs of 4 g in her, ten laid: she weighs 440 g, 48 g above her empty body.
    half = BEFORE + "2026-04-06\n08:00 wattle weighed grams=480\n" + laid(10, "eggs_grams=40")
    reckoned, seen = weighed(half), weighed(half + after(440))
    assert reckoned.now == seen.now == 440
    assert seen.verdict == "heavier"
    assert seen.left == (3, 21)
    assert seen.words == "about 3 to 21 eggs heavier than the eggs say"
    assert reckoned.words == "about 3 to 21 eggs heavier than the eggs say"


def test_one_egg_beyond_twice_the_error_is_heavier() -> None:
    # 392 g empty, twice the error 34 g: from half an egg more on, 428 g.
    for grams, verdict in ((427, "fits"), (428, "heavier"), (360, "fits")):
        assert weighed(HEAVY + laid(10, "eggs_grams=40") + after(grams)).verdict == verdict, grams


def test_beyond_the_error_once_it_is_only_said_that_her_weight_may_account_for_the_eggs() -> None:
    # 17 g once, 34 g twice the error; eggs of 4 g: up to (16 + 34) / 4 in her would not show.
    for grams, words in (
        (408, "her weight accounts for the eggs, give or take 12"),
        (410, "her weight may account for the eggs, give or take 13"),
        (350, "her weight accounts for the eggs"),
    ):
        assert weighed(HEAVY + laid(10, "eggs_grams=40") + after(grams)).words == words, grams


def test_a_weight_that_fits_is_no_all_clear_where_eggs_were_felt() -> None:
    page = HEAVY + laid(20, "eggs_grams=76") + after(394)
    for line in ("felt_for_eggs found=eggs", 'condition_seen signs="eggs felt"', "vet_seen carrying=true"):
        one = weighed(page + f"09:00 wattle {line}\n")
        assert one.verdict == "eggs felt"
        assert one.says.startswith("eggs felt 7 Apr, the scale does not answer that: 394 g"), line
    assert weighed(page + "09:00 wattle felt_for_eggs found=none\n").verdict == "fits"
    heavy = HEAVY + laid(10, "eggs_grams=40") + after(440) + "09:00 wattle felt_for_eggs found=eggs\n"
    assert weighed(heavy).verdict == "heavier"


def test_while_she_lays_her_weight_accounts_for_nothing() -> None:
    some = "2026-04-06\n10:00 wattle eggs_laid clutch=wattle-1 count=20\n"
    assert weighed(HEAVY + some + after(394)).words == "not complete yet"


def test_lost_more_than_the_eggs_weigh_some_may_lie_unfound() -> None:
    one = weighed(HEAVY + laid(10, "eggs_grams=40") + after(394))
    assert one.lost == 76
    assert one.unfound is not None
    assert one.unfound[0] == pytest.approx(36)
    assert one.not_found == (3, 15)
    assert one.says.endswith("; lost 36 g more than they weigh: water, or eggs not found")
    assert "not found" not in weighed(HEAVY + laid(20, "eggs_grams=80") + after(394)).says


@pytest.mark.parametrize(
    ("page", "there"),
    [
        (BEFORE + "2026-03-27\n08:00 wattle weighed grams=470\n" + laid(20), True),
        (BEFORE + "2026-03-26\n20:00 wattle weighed grams=470\n" + laid(20), False),
        (BEFORE + laid(20) + "2026-04-10\n20:00 wattle weighed grams=394\n", True),
        (BEFORE + laid(20) + "2026-04-11\n08:00 wattle weighed grams=394\n", False),
        (BEFORE.replace("wattle weighed", "sedge weighed") + laid(20) + after(394), False),
    ],
    ids=["10 days before", "longer before", "4 days after", "later", "her own weight is not known"],
)
def test_only_weights_near_the_laying_tell(page: str, there: bool) -> None:
    assert (balance(page) is not None) == there


def test_a_weighing_whose_readings_disagree_tells_nothing() -> None:
    page = BEFORE + laid(20) + after(394) + "08:05 wattle weighed grams=470\n"
    assert balance(page) is None


def test_not_weighed_since_the_mass_of_her_eggs_makes_it_a_matter_for_today_and_a_weighing_judges_it() -> None:
    page = BEFORE + "2026-04-06\n08:00 wattle weighed grams=500\n" + laid(12, "eggs_grams=42")
    matter = the(page, "2026-04-06 11:00", "heavy after laying")
    assert matter.level == Level.TODAY
    assert matter.says == "Wattle may hold eggs: about 9 to 29 eggs heavier than the eggs say."
    assert "458 g, reckoned from 42 g of eggs by the scale, her own weight 400 g" in matter.do[0]
    assert matter.do[1] == "Weigh her now, and feel for eggs if practised."
    assert found(page + after(439), "2026-04-07 09:00", "heavy after laying") == []
    assert found(page + after(440), "2026-04-07 09:00", "heavy after laying") == ["today heavy after laying wattle"]
    assert found(page, "2026-04-20 12:00", "heavy after laying") == ["today heavy after laying wattle"]
    assert found(page, "2026-04-21 12:00", "heavy after laying") == []
    seen = page + "2026-04-06\n10:30 wattle vet_called said=wait\n"
    assert found(seen, "2026-04-06 11:00", "heavy after laying") == []


def test_a_clutch_that_her_weight_before_accounts_for_is_no_matter() -> None:
    page = BEFORE + "2026-04-06\n08:00 wattle weighed grams=470\n" + laid(20, "eggs_grams=76")
    assert found(page, "2026-04-06 11:00", "heavy after laying") == []


def test_that_her_weight_accounts_for_the_eggs_takes_no_vet_matter_away() -> None:
    # A house that takes 10 g to be nothing: the balance is blind, the rule of her own weight is not.
    page = HEAVY + laid(10, "eggs_grams=40") + after(441) + after(441, "2026-04-08")
    assert found(page, "2026-04-08 09:00", "heavy after laying") == ["vet heavy after laying wattle"]
    blind = house_with(laying={"scale_percent": 10})
    assert found(page, "2026-04-08 09:00", "heavy after laying", house=blind) == ["vet heavy after laying wattle"]


def test_stopped_short_the_balance_says_how_many_may_be_left() -> None:
    page = BEFORE + "2026-04-06\n10:00 wattle eggs_laid clutch=wattle-1 count=12 eggs_grams=42\n"
    matter = the(page + after(432), "2026-04-07 09:00", "laying stopped")
    assert "about 2 to 21 eggs heavier than the eggs say" in matter.says


def test_expected_eggs_come_from_her_own_clutches() -> None:
    page = ROOM.replace("2026-03-01 AK", "2024-01-01 AK").replace("2023-03-01", "2021-03-01")
    her = female(standing(page), "animal/wattle", HOUSE.breeding_days)
    assert expected_eggs(her).says == "10 or more eggs are usual"
    for number, count in enumerate((18, 24, 21)):
        page += (
            f"2025-0{number + 3}-06\n10:00 wattle eggs_laid clutch=wattle-{number} count={count} complete=true\n"
        )
    her = female(standing(page), "animal/wattle", HOUSE.breeding_days)
    assert expected_eggs(her).says == "about 21 eggs: her 3 clutches had 18 to 24"
    assert (expected_eggs(her).least, expected_eggs(her).most) == (18, 24)


@settings(max_examples=60, deadline=None)
@given(written=pages())
def test_no_page_makes_a_balance_raise(written: list[Entry]) -> None:
    known = fold(written)
    for subject in known.subjects("animal"):
        her = female(known, subject, HOUSE.breeding_days)
        for eggs in her.clutches:
            one = lay_balance(her, HOUSE, eggs)
            assert one is None or (one.left[0] <= one.left[1] and one.says)
        assert expected_eggs(her).says
