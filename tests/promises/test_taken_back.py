"""Promise 8: what was taken back, or replaced, counts nowhere: every view is as if it was never written."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable
from datetime import datetime
from typing import Any, Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from rounds.due.reckon import matters
from rounds.logbook.entries import Corrected, Entry
from rounds.paper.boxes import boxes
from rounds.paper.females import females
from rounds.paper.fortnight import fortnight_list
from rounds.paper.incubator import incubator
from rounds.paper.supplies import supply_list
from rounds.paper.year import year_values
from rounds.paper.young import young_list
from rounds.rules.settings import Settings
from rounds.standing.fold import Standing, fold
from tests.due.matters.found import HOUSE
from tests.due.matters.random_pages import LINES, OPENING, entry_of, moments, pages
from tests.notation import VIENNA

SETTINGS: Final = Settings(name="Quandong shed", zone=VIENNA, house=HOUSE)
ANIMALS: Final = ("animal/wattle", "animal/sedge", "animal/karri", "animal/pup")
VIEWS: Final[dict[str, Callable[[Standing, datetime], Any]]] = {
    "matters": lambda standing, now: matters(standing, HOUSE, now),
    "boxes": lambda standing, now: boxes(standing, SETTINGS, now),
    "females": lambda standing, now: females(standing, SETTINGS, now),
    "fortnight": lambda standing, now: fortnight_list(standing, SETTINGS, now),
    "incubator": lambda standing, now: incubator(standing, SETTINGS, now),
    "supplies": lambda standing, now: supply_list(standing, SETTINGS, now),
    "young": lambda standing, now: young_list(standing, SETTINGS, now),
    "year": lambda standing, now: [year_values(standing, HOUSE, now, who) for who in ANIMALS],
}


def taken_back(wrong: Entry, number: str = "") -> Corrected:
    return Corrected(
        id=f"x{number}{wrong.id}",
        at=wrong.at,
        by="EM",
        about=wrong.about,
        replaces=wrong.id,
        also=wrong.subjects()[1:],
    )


def same_to_a_keeper(one: Standing, other: Standing, now: datetime) -> None:
    for name, view in VIEWS.items():
        assert view(one, now) == view(other, now), name


@settings(max_examples=60, deadline=None)
@given(pages(), moments, st.randoms(use_true_random=False))
def test_as_if_it_was_never_written_in_whatever_order_it_arrives(
    page: list[Entry], now: datetime, chance: random.Random
) -> None:
    wrong = [one for one in page[len(OPENING) :] if chance.random() < 0.3]
    every: list[Entry] = [*page, *map(taken_back, wrong), *(taken_back(one, "again") for one in wrong[:2])]
    chance.shuffle(every)
    one_by_one = fold([])
    for entry in every:
        one_by_one = one_by_one.after(entry)
    kept = fold(entry for entry in page if entry not in wrong)
    same_to_a_keeper(fold(every), kept, now)
    same_to_a_keeper(one_by_one, kept, now)


#: A crowded season: every line that keepers might write, one after the other.
CROWDED: Final = [
    entry_of(number, line, minutes=number * 240)
    for number, line in enumerate([*OPENING, *(line for line in LINES if not line.startswith(("sedge", "karri")))])
]
WRITTEN: Final = sorted({type(entry) for entry in CROWDED[len(OPENING) :]}, key=lambda kind: kind.__name__)


@pytest.mark.parametrize("kind", WRITTEN, ids=lambda kind: kind.__name__)
def test_of_each_kind_nothing_is_left(kind: type[Entry]) -> None:
    wrong = [entry for entry in CROWDED[len(OPENING) :] if type(entry) is kind]
    kept = fold(entry for entry in CROWDED if entry not in wrong)
    now = CROWDED[-1].at
    same_to_a_keeper(fold([*map(taken_back, wrong), *CROWDED]), kept, now)


def instead(wrong: Entry, number: str) -> Iterable[Entry]:
    """The right one in its place, and the correction that names it."""
    right = replace(wrong, id=f"r{number}{wrong.id}", note=f"right {number}")
    return right, replace(taken_back(wrong, number), instead=right.id)


@pytest.mark.parametrize("kind", WRITTEN, ids=lambda kind: kind.__name__)
def test_of_two_corrections_that_meet_one_counts_on_every_desk(kind: type[Entry]) -> None:
    wrong = next(entry for entry in CROWDED[len(OPENING) :] if type(entry) is kind)
    mine, theirs = list(instead(wrong, "1")), list(instead(wrong, "2"))
    here = fold(CROWDED).after_all(mine).after_all(theirs)
    there = fold(CROWDED).after_all(theirs).after_all(mine)
    assert here == there
    assert here.digest() == there.digest() == fold([*theirs, *CROWDED, *mine]).digest()
