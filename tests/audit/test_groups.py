"""What two desks wrote of the same young: told as a doubt, and what may well be so is left alone."""

from __future__ import annotations

import pytest

from tests.audit.test_checks import found, only

YOUNG = """
    2026-03-02 AK
    07:00 group/one arrived name=One count=9 place=b4
    07:00 group/two arrived name=Two count=5 place=b4
"""


def two_desks(first: str, second: str, by: str = "EM", clock: str = "20:00") -> str:
    return YOUNG + f"2026-03-20 AK\n09:00 {first}\n2026-03-20 {by}\n{clock} {second}\n"


@pytest.mark.parametrize(
    ("first", "second", "words"),
    [
        ("group/one died count=2", "group/one died count=2", "The same 2, at two desks?"),
        ("group/one count_settled count=7", "group/one died count=2", "The same 2, at two desks?"),
        ("group/one died count=1", "group/one count_settled count=7", "The same one, at two desks?"),
        ("group/one left how=sold to=Ann count=2", "group/one left how=sold to=ann count=2", "The same 2"),
        ("group/one merged into=two count=9", "group/two merged into=one count=5", "Which of the two was it?"),
    ],
)
def test_the_same_young_at_two_desks_are_a_doubt(first: str, second: str, words: str) -> None:
    level, sentence = only(two_desks(first, second))
    assert level == "doubt"
    assert words in sentence
    if "merged" not in first:
        assert found(two_desks(first, second, by="AK")) == [], "one keeper knows what was written"


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("group/one died count=1", "group/one died count=1"),
        ("group/one died count=2", "group/one died count=3"),
        ("group/one left how=sold to=Ann count=2", "group/one left how=sold to=Bo count=2"),
        ("group/one died count=2", "group/one left how=sold to=Bo count=2"),
        ("group/one died count=2", "group/two died count=2"),
    ],
)
def test_what_two_keepers_may_well_write_is_left_alone(first: str, second: str) -> None:
    assert found(two_desks(first, second)) == []


def test_more_than_a_walk_apart_they_are_others() -> None:
    assert found(two_desks("group/one died count=2", "group/one died count=2", clock="21:01")) == []


@pytest.mark.parametrize(("by", "level"), [("EM", "doubt"), ("AK", "said")])
def test_a_sale_taken_back_at_one_desk_and_put_right_at_the_other_is_a_doubt(by: str, level: str) -> None:
    # The room has five entries and the young two: the sale is 7 counted from 0, the one in its place 8.
    page = YOUNG + (
        "2026-03-20 AK\n09:00 group/one left how=sold count=4 to=Ann\n"
        "09:01 group/one left how=sold count=3 to=Ann\n"
        "10:00 group/one corrected replaces=20260320-00007 instead=20260320-00008\n"
        f"2026-03-20 {by}\n10:05 group/one corrected replaces=20260320-00007\n"
    )
    told = [one for one in found(page) if "was corrected twice" in one[1]]
    assert [one[0] for one in told] == [level]
    assert ("Is that right?" in told[0][1]) == (level == "doubt")
