"""Promise 4: one entry more gives the same as all from nothing, and the order of arrival makes no difference."""

from __future__ import annotations

import random
from datetime import timedelta

import msgspec
from hypothesis import given
from hypothesis import strategies as st

from rounds.logbook.entries import Corrected, Entry, Weighed
from rounds.standing.fold import Gathering, Standing, fold
from rounds.standing.page import RESERVE
from tests.any_entries import START, entries


@given(entries(), st.randoms(use_true_random=False))
def test_the_order_in_which_entries_arrive_makes_no_difference(written: list[Entry], chance: random.Random) -> None:
    shuffled = chance.sample(written, len(written))
    assert fold(shuffled) == fold(written)
    assert fold(shuffled).digest() == fold(written).digest()


@given(entries(), entries())
def test_one_entry_more_gives_the_same_as_all_from_nothing(before: list[Entry], after: list[Entry]) -> None:
    later = [msgspec.structs.replace(entry, id="x" + entry.id) for entry in after]
    standing = fold(before)
    for number, entry in enumerate(later):
        standing = standing.after(entry)
        assert standing == fold([*before, *later[: number + 1]])
        assert dict(standing.places) == dict(fold([*before, *later[: number + 1]]).places)


@given(entries(), st.integers(1, 5))
def test_an_entry_that_arrives_again_changes_nothing(written: list[Entry], times: int) -> None:
    assert fold(written * times) == fold(written)
    assert fold(written).after_all(written) == fold(written)


@given(entries(), st.integers(0, 40))
def test_gathering_in_parts_is_gathering_at_once(written: list[Entry], cut: int) -> None:
    gathering = Gathering()
    gathering.add(written[cut:])
    gathering.add(written[:cut])
    assert gathering.standing() == fold(written)


def weighings(many: int) -> list[Entry]:
    return [
        Weighed(id=f"w{number:04}", at=START + timedelta(days=number), by="AK", about="animal/wattle", grams=400.0)
        for number in range(many)
    ]


def taken_back(entry: Entry) -> Corrected:
    return Corrected(id=f"c{entry.id}", at=entry.at, by="AK", about=entry.about, replaces=entry.id)


@given(st.integers(0, 3 * Weighed.keep), st.integers(0, RESERVE), st.randoms(use_true_random=False))
def test_taking_back_as_many_as_the_reserve_shows_the_older_ones_again(
    many: int, back: int, chance: random.Random
) -> None:
    written = weighings(many)
    standing = fold(written)
    corrections = [taken_back(entry) for entry in chance.sample(written, min(back, many))]
    assert standing.after_all(corrections) == fold([*corrections, *written])
    assert not standing.after_all(corrections).short


def test_taking_back_more_than_the_reserve_is_said_and_not_guessed() -> None:
    written = weighings(3 * Weighed.keep)
    corrections = [taken_back(entry) for entry in written[-RESERVE - 1 :]]
    assert fold(written).after_all(corrections).short == {"animal/wattle"}
    assert fold([*corrections, *written]).short == frozenset()


def test_an_animal_that_is_no_subject_of_ours_opens_no_page() -> None:
    foreign = Weighed(id="w", at=START, by="AK", about="animal/../../etc", grams=400.0)
    assert fold([foreign]) == Standing() == Standing().after(foreign)
