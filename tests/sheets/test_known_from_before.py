"""A keeper who starts in November and writes down what last season was: an honest history passes the check."""

from __future__ import annotations

from rounds.audit import findings
from rounds.standing.fold import fold
from rounds.standing.group import group
from tests.notation import logbook

LATE = "written=2026-11-25T20:00:00+01:00"
#: Set up and registered as it stands this evening.
TODAY = """
    2026-11-25 AK
    19:00  b3      enclosure_set_up  name=B3
    19:00  b4      enclosure_set_up  name=B4
    19:00  s1      enclosure_set_up  name=S1 what="incubator shelf"
    19:10  wattle  arrived  name=Wattle sex=F place=b3 hatched=2023-02-01
    19:10  karri   arrived  name=Karri sex=M place=b4 hatched=2022-02-01
"""
#: Last season, from a paper book: written this evening, each with the day on which it was.
LAST_SEASON = f"""
    2026-02-20 AK
    08:00  wattle  brumation_ended  {LATE}
    2026-03-10 AK
    09:00  wattle  weighed  grams=455 {LATE}
    18:00  wattle  mating_seen  sire=karri {LATE}
    2026-04-12 AK
    07:00  wattle  eggs_laid  clutch=wattle-1 count=19 complete=true sire=karri {LATE}
    08:00  wattle-1   eggs_boxed  count=19 place=s1 {LATE}
    2026-06-10 AK
    08:00  wattle-1   hatched  count=16 {LATE}
    2026-06-14 AK
    08:00  wattle  vet_seen  outcome="worms" {LATE}
"""


def levels(page: str) -> dict[str, list[str]]:
    """The sentences of the findings, by level."""
    told: dict[str, list[str]] = {"wrong": [], "doubt": [], "said": []}
    for one in findings(logbook(page)):
        told[one.level].append(one.sentence)
    return told


def test_last_season_written_in_november_is_known_from_before_and_nothing_is_wrong() -> None:
    told = levels(LAST_SEASON.replace("08:00  wattle  brumation_ended", "08:00  wattle  noted") + TODAY)
    assert told["wrong"] == told["doubt"] == []
    assert any("Wattle: 5 entries known from before it arrived on 25 Nov 2026" in one for one in told["said"])
    assert any("S1 was set up only on 25 Nov 2026" in one and "known from before" in one for one in told["said"])


def test_the_same_entries_written_at_their_time_cannot_be_true_before_the_arrival() -> None:
    told = levels((LAST_SEASON + TODAY).replace(LATE, ""))
    assert any("Wattle has entries from before it arrived" in one for one in told["wrong"])
    assert any("S1 was set up only on 25 Nov 2026" in one for one in told["wrong"])


def test_one_entry_not_written_late_among_them_is_still_told() -> None:
    page = LAST_SEASON.replace(f"grams=455 {LATE}", "grams=455")
    assert any("Wattle has entries from before it arrived" in one for one in levels(page + TODAY)["wrong"])


def test_an_arrival_written_late_says_so_itself() -> None:
    page = """
    2026-03-10 AK
    09:00  wattle  weighed  grams=455
    2026-03-12 AK
    19:00  b3      enclosure_set_up  name=B3
    19:10  wattle  arrived  name=Wattle sex=F place=b3 written=2026-03-20T08:00:00+01:00
    """
    told = levels(page)
    assert told["wrong"] == told["doubt"] == []
    assert told["said"]


#: Set up and registered with the days since which they have been here: then nothing lies before.
WITH_THEIR_DAYS = f"""
    2025-09-01 AK
    12:00  b3      enclosure_set_up  name=B3 {LATE}
    12:00  b4      enclosure_set_up  name=B4 {LATE}
    12:00  b7      enclosure_set_up  name=B7 {LATE}
    12:00  s1      enclosure_set_up  name=S1 what="incubator shelf" {LATE}
    12:01  wattle  arrived  name=Wattle sex=F place=b3 hatched=2023-02-01 {LATE}
    12:01  karri   arrived  name=Karri sex=M place=b4 hatched=2022-02-01 {LATE}
    2025-11-20 AK
    08:00  wattle  brumation_began  {LATE}
"""
#: The young of that season, and those of them that died.
YOUNG = f"""
    2026-06-10 AK
    12:00  group/young  arrived  name=Young count=16 place=b7 clutch=wattle-1 bred_here=true {LATE}
    2026-07-02 AK
    08:00  group/young  died  count=2 {LATE}
    2026-08-02 AK
    08:00  group/young  left  how=sold count=9 {LATE}
"""


def test_with_the_days_since_which_they_have_been_here_only_the_late_writing_is_said() -> None:
    page = WITH_THEIR_DAYS + LAST_SEASON + YOUNG
    told = levels(page)
    assert told["wrong"] == told["doubt"] == []
    assert all("48 hours" in one for one in told["said"]), told["said"]
    young = group(fold(logbook(page)), "group/young")
    assert (young.count, young.died, young.left) == (5, 2, 9)


def test_deaths_of_earlier_young_before_the_group_was_registered_are_known_from_before() -> None:
    page = f"""
    2026-07-02 AK
    08:00  group/young  died  count=2 {LATE}
    2026-11-25 AK
    19:00  b7      enclosure_set_up  name=B7
    19:10  group/young  arrived  name=Young count=5 place=b7
    """
    told = levels(page)
    assert told["wrong"] == told["doubt"] == []
    assert any("Young: 1 entry known from before it arrived" in one for one in told["said"])
