"""Young at the door: whatever is written there, the sums hold; what would break one is refused."""

from __future__ import annotations

import shlex
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rounds.audit import findings
from rounds.desk.adding_up import without
from rounds.desk.validation import judged
from rounds.desk.young_door import sums_broken
from rounds.logbook import plain
from rounds.logbook.entries import Entry, Left, Merged, Reserved
from rounds.rules.default import default_rules
from rounds.rules.house import House
from rounds.standing.clutch_young import young_of
from rounds.standing.fold import Standing, fold
from rounds.standing.group import group
from tests.notation import VIENNA, at, logbook

HOUSE = House({key: default.rule for key, default in default_rules().items()}, VIENNA, currency="AUD")
PAGE = """
2026-03-01 AK
08:00  t1  enclosure_set_up  name=T1
08:00  t2  enclosure_set_up  name=T2
08:00  wattle  arrived  name=Wattle sex=F place=t2
08:00  wattle  eggs_laid  clutch=w-1 count=24 complete=true
2026-05-01
08:00  w-1  hatched  count=12 into=hatch
08:00  group/hatch  arrived  name=Hatch count=12 place=t1 clutch=w-1 hatched=2026-05-01
08:00  group/small  arrived  name=Small count=0 place=t2 clutch=w-1 hatched=2026-05-01
08:00  group/hatch  weighed  grams=8
08:00  group/small  weighed  grams=8
"""
#: What two desks may write, each any number of times. A line with “;” is one save of several entries.
LINES = (
    "w-1 hatched count=3 into=hatch; group/hatch arrived name=Hatch count=3 place=t1 clutch=w-1",
    "group/hatch arrived name=Hatch count=2 place=t1 clutch=w-1",
    "group/hatch died count=1",
    "group/hatch died count=5",
    "group/small died",
    "group/hatch left how=sold count=4 to=Ann",
    "group/hatch left how=lent",
    "group/hatch split_off into=small count=5",
    "group/small split_off into=hatch count=2",
    "group/small merged into=hatch",
    "group/hatch merged into=small",
    "group/hatch singled_out animal=a{}; a{} arrived name=A{} place=t1 clutch=w-1",
    "group/hatch counted count=6",
    "group/hatch count_settled count=6",
    "group/small count_settled count=3",
)
STEPS = st.lists(st.tuples(st.sampled_from(LINES), st.booleans()), max_size=14)


def entries(line: str, number: int) -> list[Entry]:
    """The entries of one save, on the day so many days after the hatching."""
    found = []
    for place, part in enumerate(line.replace("{}", str(number)).split(";")):
        about, kind, *words = shlex.split(part)
        moment = at(f"2026-07-{1 + number:02d} 09:00")
        found.append(plain.entry(kind, about, words, id=f"20260701-{number:03d}{place}", at=moment, by="AK"))
    return found


def through_the_door(standing: Standing, wanted: Sequence[Entry]) -> list[Entry]:
    """What is written of a save: all of it as it was judged, or nothing."""
    after, written = standing, []
    for entry in wanted:
        found = judged(after, HOUSE, entry)
        if found.refused:
            return []
        written.append(found.entry)
        after = after.after(found.entry)
    return [] if sums_broken(standing, after, written)[0] else written


def holds(standing: Standing) -> None:
    """Every sum of the room, added up by hand from its terms."""
    total = young_of(standing, "clutch/w-1")
    groups = [group(standing, one).census for one in ("group/hatch", "group/small")]
    assert [one.over for one in groups] == [0, 0]
    for one in groups:
        came = one.arrived + one.split_in + one.merged_in + one.found
        went = one.died + one.left + one.singled_out + one.split_off + one.merged_away + one.not_found
        assert came == one.alive + went
    assert sum(one.split_in + one.merged_in for one in groups) == sum(
        one.split_off + one.merged_away for one in groups
    )
    assert total.unhatched == total.over == 0
    assert total.hatched + total.elsewhere + total.found == (
        total.in_no_group + total.alive + total.died + total.left + total.not_found + total.unregistered
    )


@given(STEPS)
def test_sums_hold_whatever_goes_through_the_door(steps: list[tuple[str, bool]]) -> None:
    standing = fold(logbook(PAGE))
    written: list[Entry] = []
    for number, (line, _) in enumerate(steps):
        saved = through_the_door(standing, entries(line, number))
        standing = standing.after_all(saved)
        written += saved
        holds(standing)
    # Taking back goes through the door too.
    for wrong in reversed(written):
        after = without(standing, [wrong], at("2026-08-01 09:00"))
        if not sums_broken(standing, after, [wrong])[0]:
            holds(after)


@given(STEPS)
def test_two_desks_that_merge_late_hold_or_the_audit_tells(steps: list[tuple[str, bool]]) -> None:
    page = logbook(PAGE)
    desks = {True: fold(page), False: fold(page)}
    everything = list(page)
    for number, (line, which) in enumerate(steps):
        saved = through_the_door(desks[which], entries(line, number))
        desks[which] = desks[which].after_all(saved)
        everything += saved
    merged = fold(everything)
    told = [finding for finding in findings(everything) if "more went than came" in finding.sentence]
    broken = [one for one in ("group/hatch", "group/small") if group(merged, one).census.over]
    assert len(told) == len(broken)
    for who in ("group/hatch", "group/small"):
        one = group(merged, who).census
        assert one.came + one.over == one.alive + one.went


def refused(line: str, before: str = "") -> str:
    standing = fold(logbook(PAGE + before))
    (entry,) = entries(line, 3)
    return judged(standing, HOUSE, entry).refused


@pytest.mark.parametrize(
    ("line", "why"),
    [
        (
            "group/hatch died count=13",
            "Hatch: this does not add up: 12 arrived = 0 alive + 13 died, 1 too many. "
            "There are 12 now (12 arrived = 12 alive). Correct a count. Are more there? Settle the "
            "count first: i, y, a (rounds log count_settled).",
        ),
        ("group/hatch split_off into=hatch count=2", "Hatch cannot go into itself: name another group."),
        ("group/hatch split_off into=small count=0", "Hatch: none split off: there is nothing to write."),
        (
            "group/hatch merged into=small count=11",
            "Hatch: all 12 of them merge, not 11. To move some, split them off: i, y, p (rounds log split_off).",
        ),
        ("group/small merged into=hatch", "Small: none are left to merge."),
        ('group/hatch reserved whom=" "', "Hatch: reserved for whom? Give a name."),
    ],
)
def test_what_breaks_a_sum_is_refused_with_the_sum(line: str, why: str) -> None:
    assert refused(line) == why


def test_a_group_never_counted_is_counted_before_it_merges() -> None:
    more = "2026-06-01\n08:00 group/found arrived name=Found place=t2\n"
    why = "Found was never counted. Settle its count first: i, y, a (rounds log count_settled group/found)."
    assert refused("group/found merged into=hatch", more) == why
    assert refused("group/found merged into=hatch count=9", more) == why
    counted = more + "09:00 group/found count_settled count=9\n"
    assert refused("group/found merged into=hatch count=9", counted) == ""


def test_more_registered_than_hatched_is_refused_with_the_sum_of_the_clutch() -> None:
    standing = fold(logbook(PAGE))
    wanted = entries("group/small arrived name=Small count=2 place=t2 clutch=w-1", 1)
    assert sums_broken(standing, standing.after_all(wanted), wanted) == (
        "Wattle 1: 12 hatched + 2 never written as hatched = 14 alive. More young are registered than hatched. "
        "Write those that hatched first, or correct a count.",
        "clutch/w-1",
    )


def test_a_group_with_an_unanswered_sign_stays_a_group() -> None:
    sign = '2026-06-01\n08:00 group/hatch condition_seen signs="sore mouth"\n'
    assert refused("group/hatch merged into=small", sign) == (
        "Hatch: sore mouth, no vet has heard of it. It stays a group until one has."
    )
    assert refused("group/hatch split_off into=small count=11", sign) == ""
    seen = sign + "2026-06-02\n08:00 group/hatch vet_seen outcome=well\n"
    assert refused("group/hatch merged into=small", seen) == ""


def test_how_many_merge_and_the_currency_are_filled_in() -> None:
    standing = fold(logbook(PAGE))

    def filled(line: str) -> Entry:
        return judged(standing, HOUSE, entries(line, 1)[0]).entry

    merged = filled("group/hatch merged into=small")
    assert isinstance(merged, Merged)
    assert merged.count == 12
    left = filled("group/hatch left how=sold count=1 price=80 to=Ann")
    assert isinstance(left, Left)
    assert (left.price, left.currency) == (80, "AUD")
    reserved = filled("group/hatch reserved whom=Ann deposit=20 currency=EUR")
    assert isinstance(reserved, Reserved)
    assert reserved.currency == "EUR"
