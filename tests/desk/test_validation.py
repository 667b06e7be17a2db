"""What is refused, asked about or turned round before it is written, on both sides of each boundary."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from msgspec.structs import replace

from rounds.desk.adding_up import without
from rounds.desk.slips import vanishing
from rounds.desk.validation import Judged, ends_a_life, judged, there_without, wrong_sex
from rounds.logbook.entries import Died, EggCheckDone, Left
from tests.due.matters.found import HOUSE
from tests.notation import logbook, standing

ROOM = """
2026-03-01 AK
08:00 enclosure/b3 enclosure_set_up name=B3
08:00 enclosure/b4 enclosure_set_up name=B4
08:01 wattle arrived name=Wattle sex=F place=enclosure/b3
08:01 sedge arrived name=Sedge sex=F place=enclosure/b3
08:01 karri arrived name=Karri sex=M place=enclosure/b3
08:01 jarrah arrived name=Jarrah sex=M place=enclosure/b3
08:01 fern arrived name=Fern sex=? place=enclosure/b3
08:01 group/young arrived name=Young place=enclosure/b3 count=5
2026-04-01
"""


def look(line: str, before: str = "") -> Judged:
    """The line as it is judged after the room and what came before."""
    page = logbook(f"{ROOM}{before}\n{line}")
    return judged(standing(f"{ROOM}{before}"), HOUSE, page[-1])


def verdict(line: str, before: str = "") -> str:
    """In one word: `fine`, `asked` or `refused`."""
    found = look(line, before)
    return "refused" if found.refused else "asked" if found.doubts else "fine"


@pytest.mark.parametrize(
    ("line", "how"),
    [
        ("10:00 wattle vet_seen again=2026-04-01", "refused"),
        ("10:00 wattle vet_seen again=2026-04-02", "fine"),
        ("10:00 wattle vet_called said=wait again=2026-05-31", "fine"),
        ("10:00 wattle vet_called said=wait again=2026-06-01", "asked"),
        ("10:00 group/young died count=0", "refused"),
        ("10:00 group/young left how=sold count=0", "refused"),
        ("10:00 group/young died count=1", "fine"),
        ("10:00 group/young died count=5", "fine"),
        ("10:00 group/young died count=6", "refused"),
        ("10:00 group/young died", "fine"),
        ("10:00 new arrived name=New place=enclosure/b3 hatched=2026-04-01", "fine"),
        ("10:00 new arrived name=New place=enclosure/b3 hatched=2026-04-02", "refused"),
        ("10:00 wattle eggs_laid clutch=clutch/w-1 count=20 slugs=20", "fine"),
        ("10:00 wattle eggs_laid clutch=clutch/w-1 count=20 slugs=21", "refused"),
        ("10:00 wattle eggs_laid clutch=clutch/w-1 count=0", "fine"),
        ("10:00 wattle eggs_laid clutch=clutch/w-1 count=40", "fine"),
        ("10:00 wattle eggs_laid clutch=clutch/w-1 count=41", "asked"),
        ("10:00 wattle eggs_laid clutch=clutch/w-1 count=20 eggs_grams=30", "fine"),
        ("10:00 wattle eggs_laid clutch=clutch/w-1 count=20 eggs_grams=29", "asked"),
        ("10:00 wattle eggs_laid clutch=clutch/w-1 count=20 eggs_grams=160", "fine"),
        ("10:00 wattle eggs_laid clutch=clutch/w-1 count=20 eggs_grams=161", "asked"),
        ("10:00 wattle eggs_laid clutch=clutch/w-1 count=0 eggs_grams=30", "fine"),
        ("10:00 wattle eggs_laid clutch=clutch/w-1 count=20 sire=wattle", "refused"),
        ("10:00 wattle eggs_laid clutch=clutch/w-1 count=20 sire=sedge", "refused"),
        ("10:00 wattle eggs_laid clutch=clutch/w-1 count=20 sire=karri", "fine"),
        ("10:00 wattle eggs_laid clutch=clutch/w-1 count=20 sire=fern", "fine"),
        ("10:00 karri eggs_laid clutch=clutch/w-1 count=20", "refused"),
        ("10:00 karri condition_seen signs=lethargy", "fine"),
        ('10:00 karri condition_seen signs="eggs felt"', "refused"),
        ('10:00 wattle condition_seen signs="eggs felt"', "fine"),
        ("10:00 wattle mating_seen sire=wattle", "refused"),
        ("10:00 wattle mating_seen sire=sedge", "refused"),
        ("10:00 karri mating_seen sire=jarrah", "refused"),
        ("10:00 karri mating_seen", "refused"),
        ("10:00 wattle mating_seen", "fine"),
        ("10:00 karri parted", "fine"),
        ("10:00 fern mating_seen sire=karri", "fine"),
        ("10:00 enclosure/b3 enclosure_taken_down", "refused"),
        ("10:00 enclosure/b4 enclosure_taken_down", "fine"),
    ],
)
def test_what_cannot_be_is_refused_and_what_hardly_is_is_asked(line: str, how: str) -> None:
    assert verdict(line) == how


@pytest.mark.parametrize("line", ["karri mating_seen sire=wattle", "fern put_together mate=wattle"])
def test_a_pair_is_written_about_her_from_whichever_side_it_was_seen(line: str) -> None:
    turned = look(f"10:00 {line}").entry
    assert turned.about == "animal/wattle"
    assert turned.subjects() == ("animal/wattle", f"animal/{line.split()[0]}")


@pytest.mark.parametrize("line", ["wattle mating_seen sire=karri", "wattle put_together mate=fern"])
def test_a_pair_written_about_her_stays_as_it_is(line: str) -> None:
    assert look(f"10:00 {line}").entry.about == "animal/wattle"


def test_what_opens_a_subject_is_not_taken_back_from_under_its_entries() -> None:
    page = standing(ROOM + "08:00 wattle weighed grams=400")
    opening = next(one for one in logbook(ROOM) if one.about == "animal/wattle")
    at = opening.at + timedelta(days=40)
    assert vanishing(without(page, [opening], at), [opening]).startswith("Wattle has other entries")
    other = next(one for one in logbook(ROOM) if one.about == "enclosure/b4")
    assert vanishing(without(page, [other], at), [other]) == ""


@pytest.mark.parametrize("moment", ["0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-12:00"])
def test_an_entry_of_the_first_or_last_day_of_the_calendar_is_judged(moment: str) -> None:
    entry = replace(logbook(f"{ROOM}\n10:00 new arrived name=New")[-1], at=datetime.fromisoformat(moment))
    assert judged(standing(ROOM), HOUSE, entry).refused == ""


def test_eggs_counted_are_not_uncounted_and_a_clutch_has_one_dam() -> None:
    before = "09:00 wattle eggs_laid clutch=clutch/w-1 count=8"
    assert verdict("10:00 wattle eggs_laid clutch=clutch/w-1 count=0", before) == "refused"
    assert verdict("10:00 wattle eggs_laid clutch=clutch/w-1 count=9", before) == "fine"
    assert verdict("08:00 wattle eggs_laid clutch=clutch/w-1 count=0", before) == "fine", "seen before them"
    assert verdict("10:00 sedge eggs_laid clutch=clutch/w-1 count=9", before) == "refused"
    none_yet = "09:00 wattle eggs_laid clutch=clutch/w-1 count=0"
    assert verdict("10:00 wattle eggs_laid clutch=clutch/w-1 count=0", none_yet) == "fine"


@pytest.mark.parametrize("end", ["wattle died", "wattle left how=sold"])
def test_what_comes_after_an_end_is_asked_and_what_was_seen_until_then_is_not(end: str) -> None:
    before = f"09:00 {end}"
    assert verdict("10:00 wattle weighed grams=400", before) == "asked"
    assert verdict("09:00 wattle weighed grams=400", before) == "fine"
    assert verdict("10:00 wattle noted note=thin", before) == "fine", "of the dead notes are made"
    back = f"{before}\n11:00 wattle arrived name=Wattle sex=F place=enclosure/b3"
    assert verdict("10:59 wattle weighed grams=400", back) == "asked"
    assert verdict("11:00 wattle weighed grams=400", back) == "fine"


def test_an_end_before_the_arrival_is_asked() -> None:
    for line in ("wattle died", "wattle left how=lent", "group/young died"):
        assert verdict(f"2026-03-01\n08:00 {line}") == "asked"
        assert verdict(f"2026-03-01\n08:01 {line}") == "fine"


def test_a_group_that_came_to_nothing_is_asked_about() -> None:
    before = "09:00 group/young died"
    assert verdict("10:00 group/young weighed grams=5", before) == "asked"
    assert verdict("09:00 group/young fed", before) == "fine"


def test_a_place_taken_down_is_asked_about_until_it_is_set_up_again() -> None:
    before = "09:00 enclosure/b4 enclosure_taken_down"
    assert verdict("09:00 enclosure/b4 cleaned", before) == "fine"
    assert verdict("10:00 enclosure/b4 cleaned", before) == "asked"
    again = f"{before}\n11:00 enclosure/b4 enclosure_set_up name=B4"
    assert verdict("10:59 enclosure/b4 cleaned", again) == "asked"
    assert verdict("11:00 enclosure/b4 cleaned", again) == "fine"


def test_a_place_is_taken_down_before_those_who_live_there_now_came() -> None:
    before = "09:00 wattle moved to=enclosure/b4"
    assert verdict("08:59 enclosure/b4 enclosure_taken_down", before) == "fine"
    assert verdict("09:00 enclosure/b4 enclosure_taken_down", before) == "refused"


SEEN = (
    "09:00 fern eggs_laid clutch=clutch/f-1 count=3",
    "09:01 fern felt_for_eggs found=eggs",
    "09:02 fern mating_seen sire=karri",
    '09:03 fern behaviour_seen behaviour="nest digging"',
    "09:04 fern egg_check_done present=digging",
    "09:05 fern lay_box_in",
    '09:06 fern condition_seen signs="eggs felt"',
    '09:07 fern egg_check_done present="eggs felt"',
)


@pytest.mark.parametrize("seen", SEEN)
def test_to_settle_that_one_is_a_male_after_signs_of_a_female_is_asked(seen: str) -> None:
    assert verdict("10:00 fern sex_settled sex=M") == "fine"
    assert verdict("10:00 fern sex_settled sex=M", seen) == "asked"
    assert verdict("10:00 fern sex_settled sex=F", seen) == "fine"


@pytest.mark.parametrize(
    "seen", ["felt_for_eggs found=none", "egg_check_done present=lethargy", "condition_seen body=heavy"]
)
def test_what_a_male_may_show_too_is_not_asked_about(seen: str) -> None:
    assert verdict("10:00 fern sex_settled sex=M", f"09:00 fern {seen}") == "fine"


def test_of_many_signs_the_newest_are_told_and_the_rest_counted() -> None:
    four, five = "\n".join(SEEN[:4]), "\n".join((*SEEN[:4], SEEN[5]))
    (told,) = look("10:00 fern sex_settled sex=M", four).doubts
    assert "more" not in told
    (told,) = look("10:00 fern sex_settled sex=M", five).doubts
    assert "and 1 more" in told
    assert "a lay box" in told
    assert "eggs laid" not in told, "the oldest"


def test_so_many_are_there_without_the_entry_itself() -> None:
    page = ROOM + "09:00 group/young died count=1\n10:00 group/young left how=sold count=2\n"
    *_, died, left = logbook(page)
    assert isinstance(died, Died)
    assert isinstance(left, Left)
    now = standing(page)
    assert there_without(now, left) == 4
    assert there_without(now, died) == 3
    assert there_without(now, left, frozenset({died.id})) == 5


@pytest.mark.parametrize(
    ("before", "line", "there"),
    [
        ("09:00 group/young died", "10:00 group/young died count=1", 0),
        ("11:00 group/young died", "10:00 group/young died count=1", 5),
        ("09:00 group/young left how=sold", "10:00 group/young died", 0),
        (
            "09:00 group/young died\n09:30 group/young arrived name=Young place=enclosure/b3 count=3",
            "10:00 group/young died",
            3,
        ),
        ("09:00 group/young died count=4\n09:30 group/young died", "10:00 group/young died count=1", 0),
        ("09:00 group/young died count=6", "10:00 group/young died count=1", 0),
    ],
)
def test_of_a_group_that_died_or_left_whole_none_is_there(before: str, line: str, there: int) -> None:
    page = f"{ROOM}{before}\n{line}\n"
    entry = next(one for one in logbook(page) if f"{one.at:%H:%M}" == "10:00")
    assert isinstance(entry, Died)
    assert there_without(standing(page), entry) == there


def test_who_died_before_the_group_was_registered_is_not_missing_from_it() -> None:
    earlier = "2026-02-01 AK\n08:00 group/young died count=3\n"
    page = f"{earlier}{ROOM}10:00 group/young died count=5\n"
    died = logbook(page)[-1]
    assert isinstance(died, Died)
    assert there_without(standing(page), died) == 5
    assert not judged(standing(f"{earlier}{ROOM}"), HOUSE, died).doubts


def test_an_egg_check_is_for_animals_that_are_no_males() -> None:
    now = standing(ROOM)
    assert wrong_sex(now, EggCheckDone, "animal/karri")
    for subject in ("animal/wattle", "animal/fern", "enclosure/b3"):
        assert wrong_sex(now, EggCheckDone, subject) == ""
    assert wrong_sex(now, Died, "animal/karri") == ""


@pytest.mark.parametrize(
    ("line", "ends"),
    [
        ("wattle died", True),
        ("wattle left how=sold", True),
        ("wattle weighed grams=400", False),
        ("group/young died count=1", False),
        ("group/young died count=2", True),
        ("group/young died", True),
        ("enclosure/b4 enclosure_taken_down", True),
    ],
)
def test_what_ends_more_than_one_of_a_group_wants_a_yes(line: str, ends: bool) -> None:
    entry = logbook(f"{ROOM}10:00 {line}")[-1]
    assert bool(ends_a_life(standing(ROOM), entry)) is ends


def test_the_last_one_of_a_group_wants_a_yes() -> None:
    two, one = "09:00 group/young died count=3\n", "09:00 group/young died count=4\n"
    entry = logbook(f"{ROOM}{one}10:00 group/young died count=1")[-1]
    assert ends_a_life(standing(ROOM + two), entry) == ""
    assert ends_a_life(standing(ROOM + one), entry)


def test_of_many_who_live_there_four_are_named_and_the_rest_counted() -> None:
    six = look("10:00 enclosure/b3 enclosure_taken_down").refused
    assert "and 2 more" in six
    gone = "09:00 fern moved to=enclosure/b4\n09:00 group/young moved to=enclosure/b4"
    assert " more " not in look("10:00 enclosure/b3 enclosure_taken_down", gone).refused


# One name for two, boxed again, quarantine


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("10:00 enclosure/b3-2 enclosure_set_up name=b3", "There is a B3 already. Another one?"),
        ("10:00 wattle-2 arrived name=WATTLE place=enclosure/b4", "There is a Wattle already, in B3. Another one?"),
        (
            "10:00 group/wattle arrived name=wattle place=enclosure/b4 count=3",
            "There is a Wattle already, in B3. Another one?",
        ),
        (
            "10:00 enclosure/b3 enclosure_set_up name=B3",
            "B3 is set up already, since 1 Mar 2026. Set it up again? "
            "Another one has an id of its own, such as enclosure/b3-2.",
        ),
    ],
)
def test_a_second_one_of_a_name_that_is_here_is_asked_about(line: str, told: str) -> None:
    assert look(line).doubts == (told,)


@pytest.mark.parametrize(
    ("line", "before"),
    [
        ("10:00 enclosure/b5 enclosure_set_up name=B5", ""),
        ("10:00 wattle-2 arrived name=Wattle place=enclosure/b4", "09:00 wattle left how=sold"),
        ("10:00 wattle arrived name=Wattle place=enclosure/b4", "09:00 wattle left how=sold"),
        ("10:00 enclosure/b4-2 enclosure_set_up name=B4", "09:00 enclosure/b4 enclosure_taken_down"),
        ("10:00 enclosure/b4 enclosure_set_up name=B4", "09:00 enclosure/b4 enclosure_taken_down"),
        ("10:00 enclosure/wattle enclosure_set_up name=Wattle", ""),
    ],
)
def test_a_name_that_is_free_is_not_asked_about(line: str, before: str) -> None:
    assert look(line, before).doubts == ()


BOXED = """
08:00 enclosure/s1 enclosure_set_up name=S1 what="incubator shelf"
08:00 enclosure/s2 enclosure_set_up name=S2 what="incubator shelf"
09:00 wattle eggs_laid clutch=clutch/w-1 count=20 slugs=1 complete=true
10:00 clutch/w-1 eggs_boxed count=19 place=enclosure/s1
2026-04-03"""


@pytest.mark.parametrize(("count", "how"), [(14, "asked"), (18, "asked"), (19, "fine"), (20, "asked")])
def test_eggs_boxed_again_that_are_not_all_that_were_left_are_asked_about(count: int, how: str) -> None:
    assert verdict(f"10:00 clutch/w-1 eggs_boxed count={count} place=enclosure/s2", BOXED) == how


def test_eggs_boxed_again_are_asked_about_with_what_was_left() -> None:
    assert look("10:00 clutch/w-1 eggs_boxed count=14 place=enclosure/s2", BOXED).doubts == (
        "Wattle 1: 19 were left in boxes and none in no box. Are the 14 boxed now all that is left?",
    )
    assert verdict("10:00 clutch/w-1 eggs_boxed count=17", f"{BOXED}\n09:00 clutch/w-1 eggs_lost count=2") == "fine"


NEW = "\n09:00 new arrived name=New sex=M place=enclosure/b4 quarantine=true\n"


@pytest.mark.parametrize(
    ("line", "doubt"),
    [
        ("10:00 wattle moved to=enclosure/b4", "New is in quarantine. Together with Wattle all the same?"),
        ("10:00 new moved to=enclosure/b3", "New is in quarantine. Together with Fern all the same?"),
        ("10:00 wattle put_together mate=new", "New: in quarantine, day 1."),
        (
            "10:00 dusk arrived name=Dusk place=enclosure/b4",
            "New is in quarantine. Together with Dusk all the same?",
        ),
        ("10:00 dusk arrived name=Dusk place=enclosure/b4 quarantine=true", ""),
        ("10:00 wattle moved to=enclosure/b3", ""),
        ("10:00 new parted mate=wattle", ""),
    ],
)
def test_an_animal_in_quarantine_is_put_with_another_only_when_that_was_asked(line: str, doubt: str) -> None:
    found = look(line, NEW).doubts
    assert [one for one in found if "quarantine" in one][:1] == ([doubt] if doubt else [])


EGGS = """
08:00 enclosure/s1 enclosure_set_up name=S1 what="incubator shelf"
08:00 enclosure/k1 enclosure_set_up name=K1 what="egg box"
08:10 enclosure/k1 egg_box_made_up medium=vermiculite tare_grams=95 dry_grams=120 ratio=1
08:20 wattle eggs_laid clutch=clutch/w-1 count=20 complete=true
08:20 sedge eggs_laid clutch=clutch/s-1 count=20 complete=true
09:00 clutch/w-1 eggs_boxed count=10 place=enclosure/s1
09:00 clutch/s-1 eggs_boxed count=10 place=enclosure/s1
"""


@pytest.mark.parametrize(
    ("line", "how"),
    [
        ("10:00 enclosure/s1 egg_box_made_up medium=perlite target_grams=300", "refused"),
        ("10:00 enclosure/k1 egg_box_shelved shelf=enclosure/k1", "refused"),
        ("10:00 enclosure/k1 egg_box_shelved shelf=enclosure/s1", "fine"),
        ("10:00 enclosure/k1 egg_box_shelved shelf=enclosure/b3", "refused"),
        ("10:00 enclosure/k2 egg_box_shelved shelf=enclosure/k1", "refused"),
        ("10:00 enclosure/k1 egg_box_made_up medium=perlite shelf=enclosure/b3", "refused"),
        ("10:00 clutch/w-1 eggs_boxed count=10 place=enclosure/b3", "asked"),
        ("10:00 enclosure/b3 egg_box_weighed grams=300", "refused"),
        ("10:00 enclosure/s1 egg_box_weighed grams=300", "refused"),
        ("10:00 enclosure/s1 egg_box_weighed grams=300 clutch=clutch/w-1", "fine"),
        # 335 g and 10 eggs of 3.81 g are 373 g; asked about from 10 % off on (house rule).
        ("10:00 clutch/w-1 eggs_boxed count=10 place=enclosure/k1 box_grams=400", "fine"),
        ("10:00 clutch/w-1 eggs_boxed count=10 place=enclosure/k1 box_grams=411", "asked"),
        # An egg weighs 2 to 6 g (house rule; 2.91 to 4.90 g: Laven et al.).
        ("10:00 clutch/w-1 eggs_boxed count=10 place=enclosure/k1 eggs_grams=60", "fine"),
        ("10:00 clutch/w-1 eggs_boxed count=10 place=enclosure/k1 eggs_grams=61", "asked"),
        ("10:00 enclosure/k1 egg_box_weighed grams=302", "fine"),
        ("10:00 enclosure/k1 egg_box_weighed grams=301", "asked"),
    ],
)
def test_slips_about_egg_boxes(line: str, how: str) -> None:
    assert verdict(line, EGGS) == how


@pytest.mark.parametrize("said", ["sex_settled sex=M", "pedigree_noted sex=M sire=karri"])
def test_a_male_by_a_word_or_by_papers_wants_to_be_sure_where_it_dug_a_nest(said: str) -> None:
    dug = "08:30 pup arrived name=Pup place=b3\n09:00 pup behaviour_seen behaviour='nest digging'"
    (doubt,) = look(f"10:00 pup {said}", dug).doubts
    assert doubt.startswith("Pup: noted as of a female: digging at a nest on ")
