"""What holds however often, and whenever, she is weighed."""

from __future__ import annotations

from datetime import timedelta

import pytest

from rounds.standing.animal import animal
from tests.due.matters.found import ROOM, found, the
from tests.due.matters.test_readings_disagree import OWN, weighed
from tests.notation import at, standing


def every(hours: float, grams: list[float]) -> str:
    """Weighed every so many hours from 27 March on."""
    moments = [at("2026-03-27 08:00") + timedelta(hours=hours * number) for number in range(len(grams))]
    return "".join(
        f"{moment:%Y-%m-%d}\n{moment:%H:%M} sedge weighed grams={one}\n"
        for moment, one in zip(moments, grams, strict=True)
    )


@pytest.mark.parametrize("hours", [2.9, 11, 13, 23])
def test_a_loss_is_found_however_often_she_is_weighed(hours: float) -> None:
    page = OWN + every(hours, [350.0 + number % 2 for number in range(round(80 / hours))])
    assert found(page, "2026-03-31", "weight loss") == ["today weight loss sedge"]


@pytest.mark.parametrize("times", [1, 2, 3])
def test_a_slip_of_1_g_is_no_matter_and_as_a_second_weighing_is_the_vets_until_corrected(times: int) -> None:
    page = OWN + weighed("2026-03-27", *[(f"19:0{number}", 1) for number in range(times)])
    assert found(page, "2026-03-27 20:00", "weight loss") == []
    page += weighed("2026-03-28", ("08:00", 1))
    assert found(page, "2026-03-28 09:00", "weight loss") == ["vet weight loss sedge"]
    last = animal(standing(page), "animal/sedge").weights[-1]
    page += f"08:10 sedge corrected replaces={last.id}\n"
    assert found(page, "2026-03-28 09:00", "weight loss") == []


def test_a_loss_for_the_vet_stands_though_she_is_read_five_times_at_her_own_weight() -> None:
    page = OWN + weighed("2026-03-27", ("08:00", 338)) + weighed("2026-03-29", ("08:00", 335))
    page += "".join(f"08:1{number} sedge weighed grams=400\n" for number in range(5))
    assert found(page, "2026-03-29 09:00", "weight loss") == ["vet weight loss sedge"]
    assert found(page, "2026-04-27", "weight loss") == ["vet weight loss sedge"]


def test_a_hatchling_weighed_three_times_a_week_and_growing_is_no_matter() -> None:
    page = ROOM + "2026-03-01\n08:00 group/hatch arrived name=Hatch count=1 hatched=2026-02-20 place=b3\n"
    for number in range(14):
        moment = at("2026-03-02 08:00") + timedelta(days=7 / 3 * number)
        page += weighed(f"{moment:%Y-%m-%d}", ("08:00", round(3 * 1.1 ** (number / 3), 2)), who="group/hatch")
    assert found(page, "2026-04-02", "not growing", "weight loss") == []


def test_dull_a_minute_before_midnight_and_after_it_is_not_said_to_be_again() -> None:
    page = (
        ROOM + "2026-03-05\n23:55 karri condition_seen look=dull\n2026-03-06\n{} karri condition_seen look=dull\n"
    )
    assert the(page.format("00:05"), "2026-03-06 04:00", "looks dull").says == "Karri: dull 5 Mar 23:55."
    assert (
        the(page.format("03:00"), "2026-03-06 04:00", "looks dull").says == "Karri: dull 5 Mar 23:55, again 6 Mar."
    )
