"""The sire stands on every page alike; young whose day of hatching no one wrote have that of their clutch."""

from __future__ import annotations

import pytest

from rounds.desk.validation import judged
from rounds.logbook.entries import Arrived
from rounds.paper.going_along import going_along, going_along_text
from rounds.paper.subject import subject_page, subject_text
from rounds.paper.young import young_list, young_text
from rounds.rules.default import default_rules
from rounds.rules.settings import settings_of
from tests.notation import at, logbook, standing

SETTINGS = settings_of('name = "Gidgee shed"\ntime_zone = "Europe/Vienna"', default_rules())
PAGE = """
2027-09-01 AK
08:00  r1  enclosure_set_up  name=R1
08:00  ida  arrived  name=Ida sex=F hatched=2024-01-01 place=r1
08:00  max  arrived  name=Max sex=M hatched=2024-01-01
09:00  ida  put_together  mate=max
2027-09-03
08:00  ida  parted  mate=max
2027-09-28
08:00  ida  eggs_laid  clutch=ida-1 count=20 complete=true
2027-11-25
08:00  ida-1  hatched  count=9
2027-11-27
08:00  ida-1  hatched  count=6
"""
YOUNG = "2027-11-28\n08:00 group/s  arrived  name=Schlupf count=15 place=r1 clutch=ida-1\n"
NOW = at("2027-12-10 09:00")


def test_a_sire_that_no_one_wrote_is_said_on_every_page_with_how_it_is_known() -> None:
    now = standing(PAGE + YOUNG)
    said = "Max, by who was with her"
    entries = logbook(PAGE + YOUNG)
    assert f"sire {said}" in young_text(young_list(now, SETTINGS, NOW), NOW)
    assert said in going_along_text(going_along(now, SETTINGS, NOW, "group/s"), NOW)
    assert f"Ida × {said}" in subject_text(subject_page(now, SETTINGS, NOW, "clutch/ida-1", entries, ()), NOW)


def test_young_of_a_clutch_have_its_last_day_of_hatching_before_they_were_registered() -> None:
    entry = logbook(PAGE + YOUNG)[-1]
    found = judged(standing(PAGE), SETTINGS.house, entry).entry
    assert isinstance(found, Arrived)
    assert found.hatched is not None
    assert found.hatched.isoformat() == "2027-11-27"


@pytest.mark.parametrize("page", ["young", "record"])
def test_where_no_age_is_known_it_is_not_said_that_they_may_be_sold(page: str) -> None:
    now = standing(PAGE + YOUNG + "2027-12-09\n08:00 group/s  weighed  grams=7 number=15\n")
    if page == "young":
        text = young_text(young_list(now, SETTINGS, NOW), NOW)
        assert "may be sold" not in text
    else:
        text = going_along_text(going_along(now, SETTINGS, NOW, "group/s"), NOW)
    assert "age is not known; it is sold from 56 days on" in " ".join(text.split())
