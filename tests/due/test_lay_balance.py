"""The scale before and after laying beside the mass of the eggs, and how far both may be off."""

from __future__ import annotations

from math import sqrt

import pytest
from hypothesis import given, settings

from rounds.due.lay_balance import LayBalance, expected_eggs, lay_balance, regained
from rounds.due.matter import Level
from rounds.logbook.entries import Entry
from rounds.standing.female import female
from rounds.standing.fold import fold
from tests.due.matters.found import HOUSE, ROOM, found, the
from tests.due.matters.random_pages import pages
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


def test_eggs_never_weighed_count_as_the_published_mean_with_its_spread() -> None:
    # 3.81 ± 0.61 g: computed from the data of Laven et al. (husbandry.md); 2 % of either weight.
    one = weighed(HEAVY + laid(20) + after(394))
    assert one.mass.by == "the published mean egg"
    assert one.mass.grams == pytest.approx(76.2)
    assert one.mass.spread == pytest.approx(12.2)
    assert one.lost == 76
    assert one.spread == pytest.approx(sqrt(9.4**2 + 7.88**2 + 12.2**2))
    assert one.verdict == "fits"
    assert one.says == (
        "the loss accounts for the eggs: lost 76 g, 20 eggs weigh 76 g by the published mean egg, ± 35 g in all"
    )


def test_what_the_eggs_may_have_grown_since_she_was_weighed_counts_as_uncertainty() -> None:
    # Ten days of 21: up to 33 of 70 g, 17 g in the middle; a uniform spread is the range by the root of 12.
    page = BEFORE + "2026-03-27\n08:00 wattle weighed grams=440\n" + laid(20, "eggs_grams=70")
    one = weighed(page + after(405))
    assert one.days_before == 10
    assert one.grown == pytest.approx(70 * 10 / 21 / 2)
    assert one.over == pytest.approx(405 - (440 + 70 * 10 / 42 - 70))
    assert one.spread == pytest.approx(sqrt(8.8**2 + 8.1**2 + 1.4**2 + (70 * 10 / 21) ** 2 / 12))
    assert one.verdict == "fits", "she lost 35 g of 70, and may have gained 33 before"
    assert one.says.endswith("weighed 10 days before")


def test_eggs_that_were_weighed_count_as_the_scale_said() -> None:
    one = weighed(HEAVY + laid(20, "eggs_grams=70") + after(400))
    assert one.mass.by == "weighed"
    assert (one.mass.grams, one.mass.each) == (70, 3.5)
    assert one.mass.spread == pytest.approx(1.4)
    assert one.over == 0


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
    page += "2026-04-06\n08:00 wattle weighed grams=470\n"
    one = weighed(page + laid(20) + after(380))
    assert one.mass.by == "her mean egg"
    assert one.mass.each == 4.5
    assert one.mass.spread == pytest.approx(20 * 0.45 * sqrt(2))


def test_half_of_her_clutch_left_in_her_shows_on_the_scale() -> None:
    one = weighed(HEAVY + laid(10, "eggs_grams=35") + after(470))
    # She lost nothing: 35 g are missing, ± 27 g.
    assert one.verdict == "heavier"
    assert one.left == (2, 18)
    assert one.words == "about 2 to 18 eggs heavier than the eggs say"


def test_what_twice_the_error_explains_is_no_egg() -> None:
    # Twice the error is about 27 g; one egg is 3.5 g, so 28.5 g are for sure one more than it.
    for grams, verdict in ((463, "fits"), (465, "heavier"), (410, "fits"), (405, "lighter")):
        assert weighed(HEAVY + laid(10, "eggs_grams=35") + after(grams)).verdict == verdict, grams


def test_lost_more_than_the_eggs_weigh_is_said_too() -> None:
    one = weighed(HEAVY + laid(10, "eggs_grams=35") + after(390))
    assert one.verdict == "lighter"
    assert one.words == "lost 45 g more than the eggs weigh"


@pytest.mark.parametrize(
    ("page", "there"),
    [
        (BEFORE + "2026-03-27\n08:00 wattle weighed grams=470\n" + laid(20) + after(394), True),
        (BEFORE + "2026-03-26\n20:00 wattle weighed grams=470\n" + laid(20) + after(394), False),
        (HEAVY + laid(20) + "2026-04-10\n20:00 wattle weighed grams=394\n", True),
        (HEAVY + laid(20) + "2026-04-11\n08:00 wattle weighed grams=394\n", False),
        (HEAVY + laid(20), False),
        (BEFORE.replace("wattle weighed", "sedge weighed") + laid(20) + after(394), False),
    ],
    ids=["10 days before", "longer before", "4 days after", "later", "not weighed since", "not weighed before"],
)
def test_only_weights_near_the_laying_tell(page: str, there: bool) -> None:
    assert (balance(page) is not None) == there


def test_scales_that_disagree_tell_nothing() -> None:
    page = HEAVY + laid(20) + after(394) + "08:05 wattle weighed grams=470\n"
    assert balance(page) is None


def test_the_scale_alone_makes_it_a_matter_for_today_and_never_for_the_vet() -> None:
    # 10 % above her own 400 g would be 440 g: she is under it, and still 35 g heavier than the eggs say.
    page = BEFORE + "2026-04-06\n08:00 wattle weighed grams=437\n" + laid(12, "eggs_grams=42")
    heavy = page + after(432)
    matter = the(heavy, "2026-04-07 09:00", "heavy after laying")
    assert matter.level == Level.TODAY
    assert matter.says == "Wattle may hold eggs: about 4 to 18 eggs heavier than the eggs say."
    assert "42 g by the scale" in matter.do[0]
    again = heavy + after(432, "2026-04-08")
    assert found(again, "2026-04-08 09:00", "heavy after laying") == ["today heavy after laying wattle"]
    assert found(page + after(400), "2026-04-07 09:00", "heavy after laying") == []
    seen = heavy + "2026-04-07\n10:00 wattle vet_called said=wait\n"
    assert found(seen, "2026-04-07 11:00", "heavy after laying") == []
    assert found(heavy, "2026-04-20 12:00", "heavy after laying") == ["today heavy after laying wattle"]
    assert found(heavy, "2026-04-21 12:00", "heavy after laying") == []


def test_that_the_loss_accounts_for_the_eggs_takes_no_vet_matter_away() -> None:
    page = HEAVY + laid(10, "eggs_grams=25") + after(445) + after(445, "2026-04-08")
    assert weighed(page).verdict == "fits"
    assert found(page, "2026-04-08 09:00", "heavy after laying") == ["vet heavy after laying wattle"]


def test_stopped_short_the_scale_says_how_many_may_be_left() -> None:
    page = BEFORE + "2026-04-06\n08:00 wattle weighed grams=437\n"
    page += "2026-04-06\n10:00 wattle eggs_laid clutch=wattle-1 count=12 eggs_grams=42\n"
    matter = the(page + after(432), "2026-04-07 09:00", "laying stopped")
    assert "about 4 to 18 eggs heavier than the eggs say" in matter.says


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


def test_what_she_regained_is_said_beside_her_own_weight() -> None:
    page = HEAVY + laid(20) + after(360) + after(384, "2026-04-20")
    back = regained(female(standing(page), "animal/wattle", HOUSE.breeding_days))
    assert back is not None
    assert back.part == pytest.approx(0.96)
    assert back.says == "96 % of her own weight before the clutch (400 g)"
    assert regained(female(standing(HEAVY), "animal/wattle", HOUSE.breeding_days)) is None


@settings(max_examples=60, deadline=None)
@given(written=pages())
def test_no_page_makes_a_balance_raise(written: list[Entry]) -> None:
    known = fold(written)
    for subject in known.subjects("animal"):
        her = female(known, subject, HOUSE.breeding_days)
        for eggs in her.clutches:
            one = lay_balance(her, HOUSE, eggs)
            assert one is None or (one.left[0] <= one.left[1] and one.says)
        back = regained(her)
        assert back is None or back.says
        assert expected_eggs(her).says
