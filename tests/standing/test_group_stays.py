"""Young counted together stay where they are while any of them is left."""

from __future__ import annotations

import pytest

from rounds.logbook.entries import Fed
from rounds.standing.enclosure import enclosure
from rounds.standing.fold import fold
from rounds.standing.group import group
from tests.notation import logbook, standing

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


@pytest.mark.parametrize(
    ("ends", "here"),
    [
        ("14:00 group/young died count=10", True),
        ("14:00 group/young died count=11", False),
        ("14:00 group/young died count=6\n15:00 group/young left how=sold count=5", False),
        ("14:00 group/young left how=sold count=5\n15:00 group/young died count=6", False),
        ("14:00 group/young died", False),
    ],
)
def test_a_group_whose_last_one_died_lives_there_no_more(ends: str, here: bool) -> None:
    entries = logbook(YOUNG + ends)
    before = standing(YOUNG)
    assert before.living_in("enclosure/b7") == ("group/young",)
    for now in (fold(entries), before.after_all(entries[-ends.count("group/young") :])):
        assert group(now, "group/young").here is here
        assert group(now, "group/young").place == ("enclosure/b7" if here else None)
        assert now.living_in("enclosure/b7") == (("group/young",) if here else ())


def test_young_that_join_a_group_of_which_all_died_live_there_again() -> None:
    now = standing(
        YOUNG
        + "14:00 group/young died\n2026-03-20\n08:00 group/young arrived name=Young place=enclosure/b7 count=3\n"
    )
    assert now.living_in("enclosure/b7") == ("group/young",)


def test_who_died_or_left_before_they_were_registered_is_not_counted_in_them() -> None:
    page = """
    2026-03-01
    09:00 group/young arrived name=Young place=enclosure/b7 count=5
    2026-02-27
    09:00 group/young died count=1
    2026-02-28
    09:00 group/young left how=sold count=2
    2026-03-02
    09:00 group/young died count=1
    """
    young = group(standing(page), "group/young")
    assert (young.count, young.died, young.left) == (4, 1, 0)
