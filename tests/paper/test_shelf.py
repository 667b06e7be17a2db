"""A shelf's stop tells which clutches incubate there."""

from __future__ import annotations

import pytest

from rounds.paper.clutch_words import clutch_words
from rounds.standing.clutch import clutches_in
from tests.notation import at, standing

PAGE = """
2026-03-10 AK
08:00  s1      enclosure_set_up  name=S1 what="incubator shelf"
08:01  s2      enclosure_set_up  name=S2 what="incubator shelf"
08:02  wattle  arrived  name=Wattle sex=F
17:00  wattle  eggs_laid  clutch=wattle-1 count=18 slugs=1 complete=true
18:00  wattle-1   eggs_boxed  count=17 place=s1
2026-03-20
09:00  wattle-1   eggs_lost  count=2 why=mould
"""


def test_a_clutch_stands_where_its_eggs_incubate_with_what_is_left() -> None:
    now = standing(PAGE)
    (eggs,) = clutches_in(now, "enclosure/s1")
    says = clutch_words(eggs, at("2026-04-12"), "enclosure/s1")
    assert says == "15 eggs of Wattle, laid 10 Mar, day 33, 2 lost since"


LAID = PAGE.partition("18:00")[0]
TWO = LAID + "18:00 wattle-1 eggs_boxed count=9 place=s1\n18:05 wattle-1 eggs_boxed count=8 place=s2\n"


@pytest.mark.parametrize(
    ("page", "first", "second"),
    [
        (
            TWO,
            "9 eggs of Wattle, laid 10 Mar, day 33, 8 more in S2",
            "8 eggs of Wattle, laid 10 Mar, day 33, 9 more in S1",
        ),
        (
            LAID + "18:00 wattle-1 eggs_boxed count=9 place=s1\n18:05 wattle-1 eggs_boxed count=8\n",
            "9 eggs of Wattle, laid 10 Mar, day 33, 8 more",
            "",
        ),
        (
            TWO + "2026-03-20\n09:00 wattle-1 eggs_lost count=2\n",
            "15 eggs of Wattle in S1 and S2 together, day 33, 2 lost since",
            "15 eggs of Wattle in S1 and S2 together, day 33, 2 lost since",
        ),
        (
            PAGE + "2026-03-25\n09:00 wattle-1 eggs_boxed count=8 place=s2\n",
            "",
            "8 eggs of Wattle, day 33, boxed again, 7 of 15 not accounted for",
        ),
        (
            LAID + "18:00 wattle-1 eggs_boxed count=9 place=s1\n",
            "9 eggs of Wattle, laid 10 Mar, day 33, 8 not boxed",
            "",
        ),
        (
            PAGE + "2026-03-25\n09:00 wattle-1 eggs_boxed count=15 place=s2\n",
            "",
            "15 eggs of Wattle, laid 10 Mar, day 33",
        ),
    ],
)
def test_each_stop_tells_its_own_share_and_never_a_made_up_one(page: str, first: str, second: str) -> None:
    now = standing(page)
    for place, says in (("enclosure/s1", first), ("enclosure/s2", second)):
        told = [clutch_words(one, at("2026-04-12"), place) for one in clutches_in(now, place)]
        assert told == ([says] if says else [])
        assert all(len(words) <= 71 for words in told), "a stop has room for 71 letters"


def test_a_clutch_moved_to_another_shelf_or_hatched_out_stands_there_no_more() -> None:
    moved = standing(PAGE + "2026-03-21\n09:00 wattle-1 eggs_boxed count=15 place=s2\n")
    assert not clutches_in(moved, "enclosure/s1")
    assert [one.subject for one in clutches_in(moved, "enclosure/s2")] == ["clutch/wattle-1"]
    out = standing(PAGE + "2026-05-11\n09:00 wattle-1 hatched count=15\n")
    assert not clutches_in(out, "enclosure/s1")
