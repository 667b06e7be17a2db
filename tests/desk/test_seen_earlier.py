"""What was seen earlier and is written down now is held against what there was then."""

from __future__ import annotations

import pytest

from rounds.desk.validation import judged
from rounds.desk.young_door import count_doubt
from rounds.logbook.entries import Counted
from rounds.rules.default import default_house
from tests.notation import VIENNA, logbook, standing

HOUSE = default_house(VIENNA)
PAGE = """
2027-04-01 AK
08:00  k1  enclosure_set_up  name=K1 what="egg box"
08:00  y1  enclosure_set_up  name=Y1
08:00  ida  arrived  name=Ida sex=F
2027-04-10
08:00  ida  eggs_laid  clutch=ida-1 count=14 complete=true
08:00  ida-1  eggs_boxed  count=12 place=k1
08:00  group/s  arrived  name=Schlupf count=11 place=y1 hatched=2027-04-01
"""
LATER = """
2027-04-26
08:00  ida-1  eggs_lost  count=2 place=k1
08:00  group/s  died  count=3
"""


@pytest.mark.parametrize(
    ("line", "asked"),
    [
        ("ida-1  candled  fertile=11 clear=1 place=k1", ""),
        ("ida-1  eggs_seen  signs=dented count=12 place=k1", ""),
        ("ida-1  candled  fertile=13 place=k1", "13 eggs, but 12 are in K1"),
        ("group/s  counted  count=11", ""),
        ("group/s  weighed  grams=3 number=11", ""),
        ("group/s  counted  count=8", "8 counted, 11 reckoned"),
        ("group/s  weighed  grams=3 number=12", "12 on the scale, but only 11"),
    ],
)
def test_a_count_of_before_is_held_against_what_there_was_then(line: str, asked: str) -> None:
    text = f"2027-04-20 AK\n08:00  {line}\n"
    entry = logbook(PAGE + text)[-1]
    now = standing(PAGE + text + LATER)
    doubts = judged(now, HOUSE, entry).doubts
    if isinstance(entry, Counted):
        doubts = tuple(filter(None, (count_doubt(now, entry, frozenset()),)))
    assert any(asked in one for one in doubts) if asked else doubts == ()
