"""A shelf's stop tells which clutches incubate there."""

from __future__ import annotations

from rounds.paper.words import clutch_words
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
    assert clutch_words(eggs, at("2026-04-12")) == "15 eggs of Wattle, laid 10 Mar, day 33, 2 lost"


def test_a_clutch_moved_to_another_shelf_or_hatched_out_stands_there_no_more() -> None:
    moved = standing(PAGE + "2026-03-21\n09:00 wattle-1 eggs_boxed count=15 place=s2\n")
    assert not clutches_in(moved, "enclosure/s1")
    assert [one.subject for one in clutches_in(moved, "enclosure/s2")] == ["clutch/wattle-1"]
    out = standing(PAGE + "2026-05-11\n09:00 wattle-1 hatched count=15\n")
    assert not clutches_in(out, "enclosure/s1")
