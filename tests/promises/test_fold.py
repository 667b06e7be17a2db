"""Promise 4: one entry more gives the same as all from nothing, and the order of arrival makes no difference."""

from __future__ import annotations

import random
from datetime import date, timedelta

import msgspec
import pytest
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


def crowded_days(draw: st.DataObject) -> list[Entry]:
    """Weights of some days, many a day, as a stuck key or a scale that logs by itself writes them."""
    found: list[Entry] = []
    for day in range(draw.draw(st.integers(0, 12))):
        for minute in range(draw.draw(st.integers(1, 9))):
            at = START + timedelta(days=day, minutes=minute)
            found.append(Weighed(id=f"d{day:02}{minute:02}", at=at, by="AK", about="animal/wattle", grams=400.0))
    return found


@given(st.data(), st.randoms(use_true_random=False))
def test_days_with_many_weights_push_no_other_day_off_the_page(data: st.DataObject, chance: random.Random) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Weighed, "keep", 4)
        patch.setattr(Weighed, "a_day", 3)
        for room in ("page", "fold"):
            patch.setattr(f"rounds.standing.{room}.RESERVE", 2)
        written = crowded_days(data)
        back = [taken_back(entry) for entry in written if chance.random() < 0.3]
        every = chance.sample([*written, *back], len(written) + len(back))
        shown = fold([*back, *written]).page("animal/wattle")
        gone = {one.replaces for one in back}
        days: dict[date, list[Entry]] = {}
        for entry in written:
            if entry.id not in gone:
                days.setdefault(entry.at.date(), []).append(entry)
        assert list(shown.of(Weighed)) == [one for day in sorted(days)[-4:] for one in days[day][-3:]]
        gathering = Gathering()
        for entry in every:
            gathering.add([entry])
        standing = fold([])
        for number, entry in enumerate(every):
            standing = standing.after(entry)
            if not standing.short:
                assert standing == fold(
                    [*(one for one in every[: number + 1] if isinstance(one, Corrected)), *every[: number + 1]]
                )
        for known in (standing, fold(every), gathering.standing()):
            assert known.short or known.page("animal/wattle") == shown


def test_forty_weights_in_each_of_six_shifts_leave_all_six_on_the_page() -> None:
    written: list[Entry] = [
        Weighed(
            id=f"s{day}{n:02}",
            at=START + timedelta(days=7 * day, seconds=n),
            by="AK",
            about="animal/wattle",
            grams=400.0 - day,
        )
        for day in range(6)
        for n in range(40)
    ]
    assert {entry.grams for entry in fold(written).page("animal/wattle").of(Weighed)} == {
        395,
        396,
        397,
        398,
        399,
        400,
    }


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
