"""What an animal is now, as its page says it."""

from __future__ import annotations

import pytest

from rounds.logbook.entries import VetCalled
from rounds.standing.animal import Animal, animal
from tests.notation import at, standing

CAME = """
2026-03-01 AK
08:00 enclosure/b3 enclosure_set_up name=B3
08:01 wattle arrived name=Wattle sex=F place=enclosure/b3 quarantine=true
"""


def wattle(page: str) -> Animal:
    return animal(standing(CAME + page), "animal/wattle")


def test_quarantine_lasts_until_an_entry_ends_it() -> None:
    assert wattle("").quarantine_since == at("2026-03-01 08:01")
    assert wattle("2026-04-01\n08:00 wattle quarantine_ended").quarantine_since is None


def test_after_a_return_quarantine_begins_again_though_the_first_one_was_ended() -> None:
    back = "2026-04-01\n08:00 wattle quarantine_ended\n2026-05-01\n08:00 wattle left how=lent\n2026-06-01\n"
    again = wattle(back + "08:00 wattle arrived name=Wattle sex=F place=enclosure/b3 quarantine=true")
    assert again.quarantine_since == at("2026-06-01 08:00")
    ended = back + "08:00 wattle arrived name=Wattle sex=F place=enclosure/b3 quarantine=true\n2026-07-01\n"
    assert wattle(ended + "08:00 wattle quarantine_ended").quarantine_since is None
    assert wattle(back + "08:00 wattle arrived name=Wattle sex=F place=enclosure/b3").quarantine_since is None


def test_a_call_is_about_the_danger_signs_of_the_days_before_it_of_which_no_vet_has_heard() -> None:
    page = """
    2026-04-01
    10:00 wattle condition_seen signs=lethargy
    2026-04-02
    10:00 wattle egg_check_done present=straining
    2026-04-08
    10:00 wattle condition_seen look=dull
    11:00 wattle vet_called
    12:00 wattle condition_seen signs=lethargy
    """
    her = wattle(page)
    (call,) = her.own(VetCalled)
    assert [f"{entry.at:%d}" for entry in her.danger_before(call, 7)] == ["01", "02"]
    assert [f"{entry.at:%d}" for entry in her.danger_before(call, 6)] == ["02"]
    seen = wattle(page.replace("2026-04-02", "2026-04-01\n11:00 wattle vet_seen\n2026-04-02"))
    assert [f"{entry.at:%d}" for entry in seen.danger_before(call, 7)] == ["02"]


@pytest.mark.parametrize(
    ("page", "sex"),
    [
        ("", "F"),
        ("2026-04-01\n08:00 wattle sex_settled sex=M", "M"),
        ("2026-04-01\n08:00 wattle sex_settled sex=?", "?"),
        ("2026-04-01\n08:00 wattle sex_settled sex=M\n2026-05-01\n08:00 wattle arrived name=Wattle sex=F", "F"),
        ("2026-04-01\n08:00 wattle sex_settled sex=M\n2026-05-01\n08:00 wattle arrived name=Wattle sex=?", "M"),
        ("2026-04-01\n08:00 wattle sex_settled sex=?\n2026-05-01\n08:00 wattle arrived name=Wattle sex=?", "F"),
        ("2026-05-01\n08:00 wattle arrived name=Wattle sex=?", "F"),
    ],
)
def test_the_sex_is_as_last_settled_or_as_it_came_and_a_question_mark_takes_nothing_back(
    page: str, sex: str
) -> None:
    assert wattle(page).sex == sex


def test_one_of_whom_only_the_sex_was_ever_written_has_it() -> None:
    assert animal(standing("2026-04-01\n08:00 stray sex_settled sex=M"), "animal/stray").sex == "M"
    assert animal(standing("2026-04-01\n08:00 stray weighed grams=400"), "animal/stray").sex == "?"


def test_a_move_to_where_it_lives_begins_no_new_stay() -> None:
    page = "2026-04-01\n08:00 wattle moved to=enclosure/b4\n2026-04-02\n08:00 wattle moved to=enclosure/b4\n"
    assert [(stay.enclosure, stay.since, stay.until) for stay in wattle(page).stays] == [
        ("enclosure/b3", at("2026-03-01 08:01"), at("2026-04-01 08:00")),
        ("enclosure/b4", at("2026-04-01 08:00"), None),
    ]
    back = page + "2026-04-03\n08:00 wattle moved to=enclosure/b3\n"
    assert [stay.enclosure for stay in wattle(back).stays] == ["enclosure/b3", "enclosure/b4", "enclosure/b3"]


def test_brumation_counts_from_when_it_began_by_what_was_written_by_then() -> None:
    page = "2026-04-01\n08:00 wattle brumation_began written=2026-04-03T08:00:00+02:00\n2026-04-10\n"
    her = wattle(page + "08:00 wattle brumation_ended\n")
    written = at("2026-04-03 08:00")
    assert her.brumated_at(at("2026-04-01 08:00"), written)
    assert not her.brumated_at(at("2026-04-01 07:59"), written)
    assert not her.brumated_at(at("2026-04-01 08:00"), at("2026-04-03 07:59"))
    assert not her.brumated_at(at("2026-04-02 08:00"))
    assert her.brumated_at(written)
    assert her.brumated_at(at("2026-04-10 07:59"))
    assert not her.brumated_at(at("2026-04-10 08:00"))


def test_a_treatment_lasts_to_its_day_or_until_it_was_ended_and_begins_again_with_the_next() -> None:
    page = "2026-04-01\n10:00 wattle vet_seen under_treatment_until=2026-04-10\n"
    assert wattle(page).under_treatment(at("2026-04-10 23:59")) is not None
    assert wattle(page).under_treatment(at("2026-04-11 00:00")) is None
    ended = page + "2026-04-05\n10:00 wattle treatment_ended\n"
    assert wattle(ended).under_treatment(at("2026-04-06")) is None
    again = ended + "2026-04-06\n10:00 wattle vet_seen under_treatment_until=2026-04-20\n"
    assert wattle(again).under_treatment(at("2026-04-07")) is not None


def test_a_call_closes_a_referral_whose_appointment_has_passed_and_none_that_is_to_come() -> None:
    page = "2026-04-01\n10:00 wattle referred appointment=2026-04-10\n{}\n11:00 wattle vet_called\n"
    assert wattle(page.format("2026-04-10")).with_the_vet is not None
    assert wattle(page.format("2026-04-11")).with_the_vet is None
    assert wattle(page.replace(" appointment=2026-04-10", "").format("2026-04-02")).with_the_vet is None
