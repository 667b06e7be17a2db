"""A male who digs a nest may be a female."""

from __future__ import annotations

import pytest

from tests.due.matters.found import DIG, ROOM, found, the

NAME = "male digs nest"
DUG = ROOM + f"2026-04-01\n18:00 karri {DIG}\n2026-04-03\n18:00 karri {DIG}\n"


def test_his_sex_is_asked_about_for_two_weeks() -> None:
    assert the(DUG, "2026-04-04", NAME).says == "Karri: is he a male? Dug a nest 1 to 3 Apr."
    assert found(DUG, "2026-04-17", NAME) == ["watch male digs nest karri"]
    assert found(DUG, "2026-04-18", NAME) == []
    assert found(DUG.replace("karri behaviour", "wattle behaviour"), "2026-04-04", NAME) == []


@pytest.mark.parametrize("line", ["vet_seen", "vet_called said=wait"])
def test_a_vet_answers_it(line: str) -> None:
    assert found(DUG + f"2026-04-04\n08:00 karri {line}\n", "2026-04-05", NAME) == []


def test_settled_as_a_female_her_days_of_digging_count() -> None:
    settled = DUG + "2026-04-08\n18:00 karri sex_settled sex=F\n"
    assert found(settled, "2026-04-08 19:00", NAME, "digging without eggs") == ["vet digging without eggs karri"]
    eggs = DUG + "2026-04-08\n18:00 karri eggs_laid clutch=k-1 count=2\n"
    assert found(eggs, "2026-04-08 19:00", NAME) == []


FOUND = "2026-03-01 AK\n08:00 b3 enclosure_set_up name=B3\n08:01 pup arrived name=Pup place=b3\n"


@pytest.mark.parametrize(
    "said",
    [
        "pedigree_noted sex=M sire=karri",
        "pedigree_noted hatched=2026-01-10",
        "sex_settled sex=M",
        "arrived name=Pup sex=M place=b3",
        "arrived name=Pup hatched=2026-01-10 place=b3",
    ],
)
def test_neither_papers_nor_a_keepers_word_answer_days_of_digging(said: str) -> None:
    days = "".join(f"2026-03-{day:02}\n09:00 pup {DIG}\n" for day in range(2, 11))
    page = FOUND + days + f"10:00 pup {said}\n"
    assert found(page, "2026-03-11 12:00", "digging without eggs") == ["vet digging without eggs pup"]
    heard = page + "2026-03-11\n08:00 pup vet_called said=wait\n"
    assert found(heard, "2026-03-11 12:00", "digging without eggs", NAME) == []


@pytest.mark.parametrize("said", ["sex=M", "hatched=2026-01-10"])
def test_one_that_came_as_a_male_or_young_is_taken_for_what_it_is(said: str) -> None:
    page = FOUND.replace("name=Pup ", f"name=Pup {said} ") + "".join(
        f"2026-03-{day:02}\n09:00 pup {DIG}\n10:00 pup pedigree_noted {said}\n" for day in range(2, 11)
    )
    assert found(page, "2026-03-11 12:00", "digging without eggs") == []
