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
