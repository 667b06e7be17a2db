"""Young counted together stay where they are when some of them die or leave."""

from __future__ import annotations

from rounds.logbook.entries import Fed
from rounds.standing.enclosure import enclosure
from rounds.standing.group import group
from tests.notation import standing

YOUNG = """
2026-03-01 AK
08:00  b7       enclosure_set_up  name=B7
09:00  group/young  arrived           name=Young place=b7 count=9
2026-03-02 AK
09:00  group/young  arrived           name=Young place=b7 count=7
2026-03-10 AK
08:00  group/young  died              count=1
2026-03-12 AK
08:00  group/young  left              how=sold count=4
2026-03-13 AK
08:00  enclosure/b7  fed               food=insects
"""


def test_food_given_to_the_tub_counts_for_those_that_are_left() -> None:
    young = group(standing(YOUNG), "group/young")
    assert young.count == 11
    assert [stay.until for stay in young.stays] == [None]
    assert len(young.counting(Fed)) == 1


def test_a_group_that_left_as_a_whole_lives_there_no_more() -> None:
    now = standing(YOUNG + "14:00  group/young  left  how=given\n")
    assert not group(now, "group/young").here
    assert [stay.until is None for stay in group(now, "group/young").stays] == [False]
    assert enclosure(now, "enclosure/b7").living == ()
