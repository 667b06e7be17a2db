"""What goes along with an adult that is sold: what was bred from her or him, on one page, and what no one knows."""

from __future__ import annotations

from rounds.paper.going_along import going_along, going_along_text
from tests.notation import at, standing
from tests.paper.test_young import NOW, PAGE, SETTINGS

EARLIER = "".join(
    f"{2023 + place // 4}-{2 + 2 * (place % 4):02}-01 AK\n"
    f"08:00 wattle eggs_laid clutch=old-{place} count=20 slugs=1 complete=true\n"
    for place in range(8)
)
PAIRED = """
2025-12-20 AK
08:00  wattle  weighed  grams=440
2026-01-02
08:00  wattle  put_together  mate=karri
09:00  wattle  mating_seen  sire=karri
2026-01-05
08:00  wattle  parted  mate=karri
2026-02-03
08:00  wattle  weighed  grams=371
"""


def text(page: str, who: str, now: str = "2026-06-21 09:00") -> str:
    return going_along_text(going_along(standing(page), SETTINGS, at(now), f"animal/{who}", by="AK"), at(now))


def test_her_clutches_pairings_and_laying_go_along_with_her() -> None:
    told = text(PAGE + PAIRED, "wattle")
    assert "Wattle 1    laid 1 Feb, 24 eggs, sire Karri; 20 hatched" in told
    assert "paired      with Karri 2 Jan to 5 Jan, mated 2 Jan" in told
    assert "not known   what was before 1 Mar 2025, when she came" in told
    # No buyer, no price, no other's treatment.
    for other in ("Ann", "Bo", "400", "AUD", "drops", "Sedge"):
        assert other not in told


def test_the_scale_before_and_after_her_last_laying_and_eggs_that_may_be_in_her_are_said() -> None:
    told = text(PAGE + PAIRED, "wattle", "2026-02-20 09:00")
    assert "last laying 440 g before it, 371 g 3 Feb" in told
    assert "eggs now    next clutch: window 15 Feb to 3 Apr" in told


def test_with_ten_clutches_it_is_still_one_page_and_no_sire_is_made_up() -> None:
    found = going_along(standing(PAGE + EARLIER), SETTINGS, NOW, "animal/wattle")
    told = going_along_text(found, NOW)
    assert told.count("\n") <= 66, "an A4 page of 80 columns"
    assert "sire not known" in told
    assert found["bred"]["earlier"] == {"clutches": 4, "eggs": 80}
    assert "the sire of Wattle" in told


def test_of_a_male_the_clutches_he_sired_go_along() -> None:
    told = text(PAGE + PAIRED, "karri")
    assert "Wattle 1    laid 1 Feb, 24 eggs; 20 hatched" in told
    assert "with Wattle 2 Jan to 5 Jan" in told
    assert "371" not in told, "her weights are hers"


def test_young_have_no_such_part_and_an_adult_of_whom_nothing_is_noted_says_so() -> None:
    assert "\nBRED" not in text(PAGE, "mallee")
    assert going_along(standing(PAGE), SETTINGS, NOW, "group/hatch", 3)["bred"] is None
    sedge = "2026-06-20 AK\n08:00 sedge arrived name=Sedge sex=F hatched=2023-01-01 place=t1 bred_here=true\n"
    assert "here        no pairing and no clutch noted" in text(PAGE + sedge, "sedge")
