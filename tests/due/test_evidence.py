"""Evidence that adds up: what is passed over quickly could not have come to the vet's."""

from __future__ import annotations

from datetime import timedelta

from hypothesis import example, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from rounds.due.evidence import Case
from rounds.due.matter import Level
from rounds.logbook.entries import Entry
from rounds.standing.female import female
from rounds.standing.fold import fold
from tests.due.matters.found import HOUSE, ROOM, the
from tests.due.matters.random_pages import DAYS, LINES, OPENING, entry_of
from tests.notation import at

#: What may speak for eggs in Wattle, or against them.
_SPEAKS = (
    "weighed",
    "ate",
    "condition_seen",
    "egg",
    "mating",
    "put_together",
    "parted",
    "vet_",
    "dig",
    "nest",
    "moved",
)
_OF_HER = [line for line in LINES if line.startswith("wattle ") and any(word in line for word in _SPEAKS)]
_LATE = st.sampled_from((0, 0, 0, 0, 2, 20, 60, 300, 900))  # hours


@st.composite
def her_year(draw: st.DrawFn) -> list[Entry]:
    """A random page of Wattle, some of it written down late."""
    lines = st.tuples(st.sampled_from(_OF_HER), st.integers(0, DAYS * 24 * 60), _LATE)
    found = [entry_of(number, line, 0) for number, line in enumerate(OPENING)]
    for number, (line, minutes, late) in enumerate(draw(st.lists(lines, min_size=2, max_size=20))):
        entry = entry_of(len(OPENING) + number, line, minutes)
        found.append(replace(entry, written=entry.at + timedelta(hours=late)) if late else entry)
    return found


#: She dug once, and no one looked at her again.
DUG_ONCE = [
    *(entry_of(number, line, 0) for number, line in enumerate(OPENING)),
    entry_of(99, 'wattle behaviour_seen behaviour="nest digging"', 3 * 24 * 60),
]


@given(her_year(), st.integers(30, DAYS))
@settings(max_examples=150, deadline=None)
@example(DUG_ONCE, 60)
def test_no_sum_was_ever_larger_than_the_most_that_is_reckoned_with(entries: list[Entry], days: int) -> None:
    now = entries[0].at + timedelta(days=days)
    her = female(fold(entry for entry in entries if entry.at <= now), "animal/wattle", HOUSE.breeding_days)
    case = Case(her, HOUSE, now)
    most = max((sum(sign.points for sign in case.at(moment)) for moment in case.moments()), default=0)
    assert most <= case.most_ever()


def test_it_counts_from_the_chance_of_this_clutch_not_from_a_clutch_of_the_last_season() -> None:
    page = ROOM + "2026-03-02\n09:00 wattle eggs_laid clutch=w-1 count=20 complete=true\n"
    page += "2026-10-01\n09:00 wattle mating_seen\n2026-11-05\n09:00 wattle felt_for_eggs found=eggs\n"
    matter = the(page, "2026-11-14", "signs add up")
    assert matter.level == Level.VET
    assert matter.since == at("2026-10-01 00:00")
