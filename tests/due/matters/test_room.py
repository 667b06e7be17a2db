"""The order of the room."""

from __future__ import annotations

import pytest

from rounds.due.matter import Level
from tests.due.matters.found import ROOM, all_found, found, the
from tests.notation import at

NEW = ROOM + "2026-04-01\n08:00 nell arrived name=Nell sex=F hatched=2023-01-01 place=l1 quarantine=true\n"


TESTED = "2026-05-01\n08:00 nell tested what='{}' clear={}\n"
CLEAR = TESTED.format("faecal test", "true") + TESTED.format("virus test", "true")


def test_a_quarantine_that_runs_is_no_matter_and_one_that_is_over_is() -> None:
    assert found(NEW + CLEAR, "2026-06-29", "quarantine") == []
    assert found(NEW + CLEAR, "2026-06-30", "quarantine") == ["today quarantine nell"]
    assert (
        the(NEW + CLEAR, "2026-06-30", "quarantine").says
        == "Nell: end quarantine, 90 days are over and tests clear."
    )
    ended = NEW + CLEAR + "2026-06-30\n08:00 nell quarantine_ended\n"
    assert found(ended, "2026-06-30 09:00", "quarantine") == []


def test_at_its_end_quarantine_says_which_test_is_missing_or_not_clear() -> None:
    def says(tests: str) -> str:
        return the(NEW + tests, "2026-06-30", "quarantine").says

    faecal, virus = TESTED.format("faecal test", "true"), TESTED.format("virus test", "true")
    assert says("") == "Nell: keep in quarantine, no faecal test and no virus test."
    assert says(faecal) == "Nell: keep in quarantine, no virus test."
    sent = "2026-05-02\n08:00 nell tested what='virus test'\n"
    assert says(faecal + sent) == "Nell: keep in quarantine, virus test without a result."
    bad = TESTED.format("faecal test", "false")
    assert says(bad + virus) == "Nell: keep in quarantine, faecal test not clear."
    again = "2026-06-01\n08:00 nell tested what='faecal test' clear=true\n"
    assert says(bad + virus + again) == "Nell: end quarantine, 90 days are over and tests clear."
    matter = the(NEW + bad + virus, "2026-06-30", "quarantine")
    assert any("vet" in step for step in matter.do)
    assert [entry.kind for entry in matter.entries] == ["arrived", "tested", "tested"]


def test_tests_of_an_earlier_stay_do_not_count() -> None:
    page = CLEAR.replace("nell", "wattle").replace("2026-05-01", "2026-03-02")
    page = ROOM + page + "2026-03-03\n08:00 wattle left how=lent\n2026-04-01\n"
    page += "08:00 wattle arrived name=Wattle sex=F place=l1 quarantine=true\n"
    assert "no faecal test" in the(page, "2026-06-30", "quarantine").says


def test_an_animal_in_quarantine_lives_with_no_one_who_is_not() -> None:
    assert found(NEW, "2026-04-02", "quarantine shared") == []
    shared = NEW + "2026-04-03\n08:00 sedge moved to=l1\n"
    matter = the(shared, "2026-04-03 09:00", "quarantine shared")
    assert (matter.level, matter.since) == (Level.TODAY, at("2026-04-03 08:00"))
    assert matter.says == "Part Nell from Sedge: Nell is in quarantine."
    both = NEW + "08:00 tess arrived name=Tess sex=F place=l1 quarantine=true\n"
    assert found(both, "2026-04-02", "quarantine shared") == []


def test_an_animal_without_a_place_is_found() -> None:
    page = ROOM + "2026-04-01\n08:00 nell arrived name=Nell sex=F\n"
    assert the(page, "2026-04-01 09:00", "no place").says == "Nell: not on the walk, no one will feed her."
    assert found(page + "09:00 nell moved to=b4\n", "2026-04-01 10:00", "no place") == []
    assert found(page + "09:00 nell left how=sold\n", "2026-04-01 10:00", "no place") == []


def test_so_is_one_in_an_enclosure_that_does_not_stand() -> None:
    down = ROOM + "2026-04-01\n08:00 b3 enclosure_taken_down\n"
    matter = the(down, "2026-04-01 09:00", "no place")
    assert matter.says == "Wattle: not on the walk, no one will feed her."
    assert matter.do[0] == "B3 does not stand. Write down where she lives now."
    assert matter.since == at("2026-04-01 08:00")
    never = ROOM + "2026-04-01\n08:00 group/hatch arrived name=Hatch count=3 place=z9\n"
    assert the(never, "2026-04-01 09:00", "no place").says == "Hatch: not on the walk, no one will feed them."


def test_two_animals_dead_within_two_weeks_concern_the_room() -> None:
    one = ROOM + "2026-04-01\n08:00 wattle died\n"
    assert found(one, "2026-04-02", "deaths in room") == []
    two = one + "2026-04-10\n08:00 sedge died\n"
    assert the(two, "2026-04-11", "deaths in room").says == "2 animals died within 14 days: Wattle and Sedge."
    assert found(two, "2026-04-16", "deaths in room") == []


def test_a_group_that_died_out_is_not_passed_over_in_silence() -> None:
    page = (
        ROOM + "08:10 group/hatch arrived name=Hatch count=9 place=b5\n2026-04-01\n08:00 group/hatch died count=3\n"
    )
    assert found(page, "2026-04-02", "deaths in room") == []
    out = page + "2026-04-02\n08:00 group/hatch died\n"
    assert found(out, "2026-04-02 09:00", "deaths in group", "deaths in room") == ["today deaths in room room"]
    assert "Hatch" in the(out, "2026-04-02 09:00", "deaths in room").says


@pytest.mark.parametrize(
    ("end", "says"),
    [
        ("group/hatch left how=sold to=ann", "3 animals died within 14 days: Hatch."),
        ("group/hatch count_settled count=0", "9 animals died or were not found within 14 days: Hatch."),
    ],
)
def test_deaths_in_a_group_that_is_no_more_stay_deaths(end: str, says: str) -> None:
    page = (
        ROOM + "08:10 group/hatch arrived name=Hatch count=9 place=b5\n2026-04-01\n08:00 group/hatch died count=3\n"
    )
    told = the(page + f"2026-04-02\n08:00 {end}\n", "2026-04-02 09:00", "deaths in room")
    assert (told.says, len(told.entries)) == (says, 2 - ("sold" in end))


GROUPS = ROOM + "".join(
    f"08:1{number} group/h{number} arrived name=H{number} count=8 hatched=2026-02-20 place=b{number + 2}\n"
    for number in (1, 2, 3)
)


def test_young_that_die_one_here_and_one_there_are_held_together_against_the_published_rate() -> None:
    # 24 young: by 82 of 96 in 183 days (Wild et al. 2023) 0.2 deaths in 12 days lived: p < .05 for two already.
    page = GROUPS + "2026-03-10\n08:00 group/h1 died count=1\n"
    assert found(page, "2026-03-15 08:00", "deaths in room", "deaths in group") == []
    page += "2026-03-12\n08:00 group/h2 died count=1\n2026-03-14\n08:00 group/h3 died count=1\n"
    told = the(page, "2026-03-15 08:00", "deaths in room")
    assert told.says == "3 young died in 3 groups within 14 days, 0.2 expected: H1, H2 and H3."
    assert told.level == Level.TODAY
    assert found(page, "2026-03-28 08:00", "deaths in room") == ["today deaths in room room"]
    assert found(page, "2026-03-29 08:00", "deaths in room") == []
    large = page.replace("count=8", "count=80")
    assert found(large, "2026-03-15 08:00", "deaths in room") == []


def test_one_that_died_in_a_group_and_one_with_a_name_add_up_in_the_same_fortnight() -> None:
    page = GROUPS + "08:30 tuart arrived name=Tuart hatched=2026-02-20 place=b3\n"
    page += "08:40 old arrived name=Old hatched=2020-02-20 place=b4\n2026-03-10\n08:00 group/h1 died count=1\n"
    old = page + "2026-03-12\n08:00 old died\n"
    assert found(old, "2026-03-15 08:00", "deaths in room", "deaths in group") == []
    page += "2026-03-12\n08:00 tuart died\n"
    told = the(page, "2026-03-15 08:00", "deaths in room")
    assert told.says == "2 young died within 14 days, 0.2 expected: H1 and Tuart."
    assert found(page, "2026-03-30 08:00", "deaths in room") == []


def test_deaths_in_a_group_that_no_sheet_registered_count_in_the_room() -> None:
    page = ROOM + "2026-04-01\n08:00 group/lost died count=8\n"
    assert the(page, "2026-04-02", "deaths in room").says == "8 animals died within 14 days: lost."


def test_who_has_left_or_died_has_no_matters() -> None:
    page = ROOM + "2026-04-01\n08:00 wattle egg_check_done present=straining\n09:00 wattle {}\n"
    for end in ("died", "left how=sold"):
        assert not [one for one in found(page.format(end), "2026-04-01 10:00") if one.endswith("wattle")]
    back = page.format("left how=lent") + "2026-05-01\n08:00 wattle arrived name=Wattle sex=F place=b3\n"
    assert "vet now danger sign wattle" in found(back, "2026-05-01 09:00")


def test_what_is_said_of_the_room_is_twelve_words_at_most() -> None:
    # The verdict first; what is cut at 80 columns is the reason.
    down = ROOM + "2026-04-01\n08:00 b3 enclosure_taken_down\n"
    shared = NEW + "2026-04-03\n08:00 sedge moved to=l1\n"
    for page, now in (
        (NEW, "2026-06-30"),
        (NEW + CLEAR, "2026-06-30"),
        (down, "2026-04-02"),
        (shared, "2026-04-04"),
    ):
        for matter in all_found(page, now):
            if matter.rule in ("quarantine", "quarantine shared", "no place", "climate not read", "lamp due"):
                assert len(matter.says.split()) <= 12, matter.says
