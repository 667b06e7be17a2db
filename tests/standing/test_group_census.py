"""The census of a group and of a clutch's young: every term, and sums that hold in whatever order sheets come."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from rounds.standing.clutch_young import young_of
from rounds.standing.fold import fold
from rounds.standing.group import group
from tests.notation import logbook, standing

PAGE = """
2026-03-01 AK
08:00  t1  enclosure_set_up  name=T1
08:00  t2  enclosure_set_up  name=T2
08:00  wattle  arrived  name=Wattle sex=F place=t2
08:00  wattle  eggs_laid  clutch=w-1 count=24 complete=true
2026-05-01
08:00  w-1  hatched  count=20 into=hatch
08:00  group/hatch  arrived  name=Hatch count=20 place=t1 clutch=w-1 hatched=2026-05-01
"""


def census(page: str, who: str = "group/hatch") -> str:
    return group(standing(PAGE + page), who).census.says


def test_every_term_stands_in_the_sum() -> None:
    page = """
    2026-05-02
    08:00  group/hatch  died  count=2
    2026-06-01
    08:00  group/small  arrived  name=Small count=0 place=t2 clutch=w-1
    08:00  group/hatch  split_off  into=small count=5
    2026-07-01
    08:00  group/hatch  left  how=sold count=3 to=Ann
    08:00  group/hatch  singled_out  animal=mallee
    08:00  mallee  arrived  name=Mallee place=t2 clutch=w-1
    2026-07-02
    08:00  group/hatch  count_settled  count=8
    """
    now = standing(PAGE + page)
    assert (
        group(now, "group/hatch").census.says
        == "20 arrived = 8 alive + 2 died + 3 left + 1 singled out + 5 split off + 1 not found"
    )
    assert group(now, "group/small").census.says == "5 split in = 5 alive"
    assert young_of(now, "clutch/w-1").says == "20 hatched = 14 alive + 2 died + 3 left + 1 not found"


def test_merged_young_are_counted_in_the_other_group_and_the_first_is_one_no_more() -> None:
    page = """
    2026-06-01
    08:00  group/small  arrived  name=Small count=4 place=t2
    09:00  group/small  merged  into=hatch count=4
    """
    now = standing(PAGE + page)
    assert group(now, "group/hatch").census.says == "20 arrived + 4 merged in = 24 alive"
    small = group(now, "group/small")
    assert (small.count, small.here, small.place) == (0, False, None)
    assert now.living_in("enclosure/t2") == ("animal/wattle",)
    assert young_of(now, "clutch/w-1").says == "20 hatched + 4 from elsewhere = 24 alive"


def test_a_group_whose_last_one_got_a_name_is_gone_from_its_place() -> None:
    page = """
    2026-06-01
    08:00  group/pair  arrived  name=Pair count=1 place=t2
    09:00  group/pair  singled_out  animal=mallee
    09:00  mallee  arrived  name=Mallee place=t1
    """
    assert standing(PAGE + page).living_in("enclosure/t2") == ("animal/wattle",)


def test_a_group_that_died_whole_and_came_again_counts_those_that_came() -> None:
    page = """
    2026-06-01
    08:00  group/hatch  died
    2026-06-02
    08:00  group/hatch  arrived  name=Hatch count=3 place=t1
    """
    assert census(page) == "23 arrived = 3 alive + 20 died"


def test_a_count_alone_changes_nothing_and_a_settled_one_heals_itself() -> None:
    assert census("2026-06-01\n08:00 group/hatch counted count=17\n") == "20 arrived = 20 alive"
    settled = "2026-06-01\n08:00 group/hatch count_settled count=17\n"
    assert census(settled) == "20 arrived = 17 alive + 3 not found"
    # Another desk's sheet comes later: two of the three had died before.
    late = settled + "2026-05-30\n08:00 group/hatch died count=2\n"
    assert census(late) == "20 arrived = 17 alive + 2 died + 1 not found"
    assert (
        census("2026-06-01\n08:00 group/hatch count_settled count=22\n") == "20 arrived + 2 found more = 22 alive"
    )


def test_a_group_never_counted_is_known_once_its_count_is_settled() -> None:
    page = "2026-06-01\n08:00 group/bought arrived name=Bought place=t2\n08:10 group/bought died count=1\n"
    assert census(page, "group/bought") == "0 alive + 1 died (never said how many arrived)"
    assert (
        census(page + "08:20 group/bought count_settled count=6\n", "group/bought")
        == "7 arrived = 6 alive + 1 died"
    )


def test_two_desks_that_merge_and_bury_the_same_young_are_told_by_how_many() -> None:
    page = """
    2026-06-01
    08:00  group/small  arrived  name=Small count=4 place=t2
    09:00  group/small  died  count=1
    09:30  group/small  merged  into=hatch count=4
    """
    small = group(standing(PAGE + page), "group/small").census
    assert (small.over, small.says) == (1, "4 arrived = 0 alive + 1 died + 4 merged, 1 too many")


def test_young_that_hatched_into_no_group_are_in_the_sum_of_the_clutch() -> None:
    now = standing(PAGE + "2026-05-02\n08:00 w-1 hatched count=2\n")
    assert young_of(now, "clutch/w-1").says == "22 hatched = 20 alive + 2 in no group yet"


LINES = (
    "group/hatch arrived name=Hatch count=3 place=t1",
    "group/hatch arrived name=Hatch place=t1",
    "group/small arrived name=Small count=5 place=t2",
    "group/hatch died count=2",
    "group/hatch died",
    "group/small left how=sold count=1",
    "group/small left how=lent",
    "group/hatch split_off into=small count=4",
    "group/small split_off into=hatch count=1",
    "group/small split_off into=small count=1",
    "group/hatch merged into=small count=6",
    "group/small merged into=hatch",
    "group/hatch singled_out animal=mallee",
    "group/hatch count_settled count=7",
    "group/small count_settled count=0",
    "group/small counted count=2",
)


@given(st.lists(st.tuples(st.sampled_from(LINES), st.integers(0, 59)), max_size=14), st.randoms())
def test_came_is_alive_and_went_in_any_order_of_arrival(lines: list[tuple[str, int]], shuffled: object) -> None:
    page = logbook(PAGE + "2026-06-01\n" + "".join(f"09:{minute:02d} {line}\n" for line, minute in lines))
    now = fold(page)
    shuffled.shuffle(page)  # type: ignore[attr-defined]
    again = fold(page)
    for who in ("group/hatch", "group/small"):
        one, other = group(now, who).census, group(again, who).census
        assert one.terms == other.terms
        if one.known:
            assert one.came + one.over == one.alive + one.went
        if group(now, who).gone is not None:
            assert group(now, who).place is None


def test_a_group_of_which_no_one_said_how_many_came_is_gone_once_it_is_merged() -> None:
    page = """
    2026-06-01
    08:00  group/small  arrived  name=Small place=t2
    09:00  group/small  merged  into=hatch count=4
    """
    small = group(standing(PAGE + page), "group/small")
    assert (small.here, small.place) == (False, None)
