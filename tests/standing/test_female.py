"""A female's breeding year, as the page says it."""

from __future__ import annotations

import pytest

from rounds.logbook.entries.base import SUBJECT
from rounds.standing.animal import animal
from rounds.standing.breeding import Days
from rounds.standing.female import Female, female
from tests.notation import at, standing

ROOM = """
2026-03-01 AK
08:00 b3 enclosure_set_up name=B3
08:00 b4 enclosure_set_up name=B4
08:00 l1 enclosure_set_up name=L1 what="lay box"
08:01 wattle arrived name=Wattle sex=F hatched=2023-03-01 place=b3
08:02 karri arrived name=Karri sex=M hatched=2022-03-01 place=b4
"""
DUG = 'wattle behaviour_seen behaviour="nest digging"'


def her(text: str, days: Days | None = None) -> Female:
    return female(standing(ROOM + text), "animal/wattle", days or Days())


def phase(text: str, now: str) -> str:
    return her(text).phase(at(now))


def test_she_goes_from_mated_to_laid() -> None:
    text = "2026-03-10\n10:00 wattle mating_seen sire=karri"
    assert phase(text, "2026-03-20") == "mated"
    text += "\n2026-03-25\n10:00 wattle felt_for_eggs found=eggs"
    assert phase(text, "2026-03-26") == "gravid"
    text += f"\n2026-04-01\n10:00 {DUG}"
    assert phase(text, "2026-04-01") == "nesting"
    text += "\n12:00 wattle lay_box_in box=l1\n12:00 wattle moved to=l1"
    assert phase(text, "2026-04-01 13:00") == "in lay box"
    text += "\n2026-04-03\n10:00 wattle eggs_laid clutch=wattle-1 count=4"
    assert phase(text, "2026-04-03") == "laying"
    text += "\n12:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true"
    assert phase(text, "2026-04-04") == "laid"
    assert phase(text, "2026-05-01") == "resting"


def test_a_mating_counts_for_twice_the_longest_window() -> None:
    mated = "2026-03-10\n10:00 wattle mating_seen sire=karri"
    assert phase(mated, "2026-06-02 23:59") == "mated", "84 days"
    assert phase(mated, "2026-06-03 00:00") == "resting"
    felt_heavy = f"{mated}\n2026-05-20\n10:00 wattle condition_seen body=heavy"
    assert phase(felt_heavy, "2026-06-02") == "gravid"
    assert phase(felt_heavy, "2026-06-03") == "resting", "a heavy body alone makes nobody gravid"


def test_put_together_ends_when_they_are_parted() -> None:
    text = "2026-03-10\n10:00 wattle put_together mate=karri"
    assert her(text).with_male_now is not None
    assert her(text + "\n2026-03-12\n10:00 wattle parted").with_male_now is None


@pytest.mark.parametrize(
    "apart",
    ["karri moved to=b4", "wattle moved to=l1", "karri died", "wattle left how=sold", "karri left how=lent"],
)
def test_put_together_ends_too_when_one_of_them_goes_elsewhere(apart: str) -> None:
    text = f"""
    2026-03-10
    10:00 karri moved to=b3
    10:00 wattle put_together mate=karri
    2026-03-12
    10:00 {apart}
    """
    found = her(text)
    assert found.with_male_now is None
    assert found.last_with_male(at("2026-03-20")) == at("2026-03-12 10:00")


def test_a_pair_put_together_without_a_move_is_together_until_somebody_says_otherwise() -> None:
    assert her("2026-03-10\n10:00 wattle put_together mate=karri").with_male_now is not None


def test_a_lay_box_set_into_her_tub_does_not_move_with_her() -> None:
    text = "2026-03-10\n10:00 wattle lay_box_in depth_cm=20"
    assert her(text).has_lay_box
    assert not her(text + "\n2026-03-12\n10:00 wattle moved to=b4").has_lay_box


def test_a_lay_box_she_was_set_into_is_hers_while_she_is_in_it() -> None:
    text = "2026-03-10\n10:00 wattle lay_box_in box=l1\n10:00 wattle moved to=l1"
    assert her(text).has_lay_box
    assert not her(text + "\n2026-03-12\n10:00 wattle moved to=b3").has_lay_box
    assert not her(text.partition("\n10:00 wattle moved")[0] + "\n2026-03-12\n10:00 wattle lay_box_out").has_lay_box


def test_a_lay_box_of_the_tub_is_there_for_all_in_it() -> None:
    assert her("2026-03-10\n10:00 enclosure/b3 lay_box_in").has_lay_box
    assert not her("2026-03-10\n10:00 enclosure/b3 lay_box_in\n11:00 enclosure/b3 lay_box_out").has_lay_box


@pytest.mark.parametrize("who_in", ["wattle", "enclosure/b3", "sedge"])
@pytest.mark.parametrize("who_out", ["wattle", "enclosure/b3", "sedge"])
def test_a_lay_box_is_found_however_it_was_addressed_in_and_out(who_in: str, who_out: str) -> None:
    text = "2026-03-05\n10:00 sedge arrived name=Sedge sex=F place=b3\n2026-03-10\n"
    text += f"10:00 {who_in} lay_box_in depth_cm=20\n"
    assert her(text).has_lay_box
    assert not her(text + f"11:00 {who_out} lay_box_out\n").has_lay_box
    assert her(text + f"11:00 {who_out} lay_box_out\n12:00 {who_in} lay_box_in\n").has_lay_box


def test_scratching_on_the_day_after_laying_closes_the_nest() -> None:
    # Common practice, no source.
    laid = "2026-04-03\n10:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true"
    now = at("2026-04-05")
    assert her(f"{laid}\n18:00 {DUG}").digging(now) is None
    assert her(f"{laid}\n2026-04-04\n10:00 {DUG}").digging(now) is None
    again = her(f"{laid}\n2026-04-04\n10:01 {DUG}").digging(now)
    assert again is not None
    assert again.since == at("2026-04-04 10:01")
    short = her(f"{laid.replace('count=20', 'count=9')}\n18:00 {DUG}").digging(now)
    assert short is not None, "nine eggs are not believed to be all"


TWO_DAYS = f"2026-04-03\n10:00 {DUG}\n2026-04-04\n10:00 {DUG}"


def test_digging_runs_on_through_a_pause_until_the_gap_is_longer_and_it_was_not_for_the_vet_yet() -> None:
    patient = Days(dig_vet_day=21)
    assert her(TWO_DAYS, patient).digging(at("2026-04-18")) is not None
    assert her(TWO_DAYS, patient).digging(at("2026-04-19")) is None
    assert her(TWO_DAYS, patient).phase(at("2026-04-19")) == "resting"
    for_the_vet = her(TWO_DAYS).digging(at("2026-06-18"))
    assert for_the_vet is not None, "after day 7 no silence ends it"
    assert for_the_vet.day(at("2026-06-18")) == 77


def test_digging_of_one_day_alone_ends_by_itself_where_nothing_else_speaks_for_eggs() -> None:
    once = f"2026-04-03\n10:00 {DUG}"
    assert her(once).digging(at("2026-04-17")) is not None
    assert her(once).digging(at("2026-04-18")) is None
    felt = once + "\n2026-04-04\n10:00 wattle felt_for_eggs found=eggs"
    mated = "2026-03-10\n10:00 wattle mating_seen\n" + once
    for page in (felt, mated):
        assert her(page).digging(at("2026-06-18")) is not None


def test_digging_after_a_long_pause_is_a_new_run_only_where_it_was_not_for_the_vet_yet() -> None:
    twice = TWO_DAYS + f"\n2026-05-03\n10:00 {DUG}"
    one = her(twice).digging(at("2026-05-03"))
    assert one is not None
    assert one.since == at("2026-04-03 10:00")
    two = her(twice, Days(dig_vet_day=21)).digging(at("2026-05-03"))
    assert two is not None
    assert two.since == at("2026-05-03 10:00")


@pytest.mark.parametrize("contact", ["vet_seen", "vet_called said=wait"])
def test_a_vet_answers_a_run_of_digging_and_its_days_count_on_when_she_digs_again(contact: str) -> None:
    heard = f"2026-04-03\n10:00 {DUG}\n2026-04-04\n10:00 wattle {contact}"
    assert her(heard).digging(at("2026-04-05")) is None
    again = her(f"{heard}\n2026-04-05\n10:00 {DUG}").digging(at("2026-04-05"))
    assert again is not None
    assert again.since == at("2026-04-03 10:00")
    much_later = her(f"{heard}\n2026-05-05\n10:00 {DUG}").digging(at("2026-05-05"))
    assert much_later is not None
    assert much_later.since == at("2026-05-05 10:00")


def test_digging_a_vet_heard_of_goes_on_after_a_pause_as_long_as_the_gap_and_no_longer() -> None:
    heard = f"2026-04-03\n10:00 {DUG}\n2026-04-04\n10:00 wattle vet_seen"
    within = her(f"{heard}\n2026-04-17\n10:00 {DUG}").digging(at("2026-04-17"))
    assert within is not None
    assert within.since == at("2026-04-03 10:00")
    later = her(f"{heard}\n2026-04-18\n10:00 {DUG}").digging(at("2026-04-18"))
    assert later is not None
    assert later.since == at("2026-04-18 10:00")


def test_digging_written_down_when_it_was_over_is_over_and_within_the_gap_it_is_not() -> None:
    late = f"2026-04-03\n10:00 {DUG} written={{}}\n2026-04-04\n10:00 {DUG} written={{}}"
    in_time, too_late = "2026-04-18T10:00:00+02:00", "2026-04-19T10:00:00+02:00"
    assert her(late.format(in_time, in_time)).digging(at("2026-04-25")) is not None
    assert her(late.format(too_late, too_late)).digging(at("2026-04-25")) is None


@pytest.mark.parametrize(
    "noted",
    [
        "wattle egg_check_done present=digging",
        "wattle condition_seen signs=digging",
        'wattle behaviour_seen behaviour="trial nest"',
        'enclosure/b3 behaviour_seen behaviour="nest digging"',
    ],
)
def test_digging_is_hers_however_it_was_entered(noted: str) -> None:
    found = her(f"2026-04-03\n10:00 {noted}").digging(at("2026-04-05"))
    assert found is not None
    assert found.day(at("2026-04-05")) == 3


def test_a_clear_check_takes_no_digging_and_no_eggs_felt_away() -> None:
    text = f"2026-04-03\n10:00 {DUG}\n11:00 wattle felt_for_eggs found=eggs\n2026-04-04\n"
    text += '10:00 wattle egg_check_done absent="digging,eggs felt"\n11:00 wattle felt_for_eggs found=none'
    assert her(text).digging(at("2026-04-04 12:00")) is not None
    assert her(text).felt is not None


def test_company_opens_a_window_from_its_first_day_to_its_last() -> None:
    text = "2026-03-10\n10:00 wattle put_together mate=karri\n2026-03-14\n10:00 wattle parted"
    (window,) = her(text).windows(at("2026-04-01"))
    assert (window.why, str(window.opens), str(window.closes)) == ("with a male", "2026-03-24", "2026-04-25")
    (going_on,) = her(text.partition("\n2026-03-14")[0]).windows(at("2026-04-01"))
    assert str(going_on.closes) == "2026-05-13", "while they are together the last day is today"


def test_a_mating_seen_in_a_pairing_counts_by_its_day() -> None:
    text = "2026-03-10\n10:00 wattle put_together mate=karri\n2026-03-11\n10:00 wattle mating_seen\n2026-03-13\n"
    (window,) = her(text + "10:00 wattle parted").windows(at("2026-04-01"))
    assert (window.why, str(window.opens), str(window.closes)) == ("mated", "2026-03-25", "2026-04-22")


def test_after_a_clutch_there_is_the_window_of_the_next_by_stored_sperm() -> None:
    text = "2026-04-03\n10:00 wattle eggs_laid clutch=wattle-1 count={} complete=true"
    (window,) = her(text.format(20)).windows(at("2026-04-10"))
    assert (window.why, str(window.opens), str(window.closes)) == ("stored sperm", "2026-04-24", "2026-05-15")
    assert her(text.format(9)).windows(at("2026-04-10")) == (), "a short clutch is not believed"


def test_her_own_weight_is_the_median_of_the_last_three_before_the_mating() -> None:
    text = """
    2026-03-02
    08:00 wattle weighed grams=480
    2026-03-03
    08:00 wattle weighed grams=400
    2026-03-04
    08:00 wattle weighed grams=402
    2026-03-05
    08:00 wattle weighed grams=404
    2026-03-10
    10:00 wattle behaviour_seen behaviour=copulation toward=karri
    2026-03-20
    08:00 wattle weighed grams=450
    2026-04-01
    10:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true
    """
    assert her(text.partition("2026-04-01")[0]).own_weight(at("2026-03-25")) == 402
    assert her(text).weight_before_last_clutch() == 402


def test_without_a_mating_noted_it_is_the_weight_from_before_she_can_have_been_gravid() -> None:
    # 42 days before the first egg of 1 May it was 20 March.
    text = """
    {}
    10:00 wattle weighed grams=400
    2026-04-20
    08:00 wattle weighed grams=460
    2026-05-01
    10:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true
    """
    assert her(text.format("2026-03-20")).weight_before_last_clutch() == 400
    assert her(text.format("2026-03-21")).weight_before_last_clutch() is None
    assert her(text.format("2026-03-21"), Days(window_closes=40)).weight_before_last_clutch() == 400


def test_her_own_weight_before_a_follow_up_clutch_is_none_in_which_the_clutch_before_was() -> None:
    # Mated once in March; two clutches came of it, and on the scale she was gravid with either.
    text = """
    2026-03-08
    08:00 wattle weighed grams=420
    2026-03-10
    10:00 wattle mating_seen sire=karri
    2026-04-01
    08:00 wattle weighed grams=475
    2026-04-04
    10:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true
    2026-04-20
    08:00 wattle weighed grams=470
    2026-{}
    10:00 wattle eggs_laid clutch=wattle-2 count=20 complete=true
    """
    for laid in ("05-10", "05-25"):
        page = her(text.format(laid))
        assert page.weight_without_eggs(page.clutches[-1]) == 420
        assert page.weight_before_last_clutch() == 420


def test_of_one_never_with_a_male_it_is_that_of_four_weeks_ago_and_older() -> None:
    text = "2026-03-02\n08:00 wattle weighed grams=400\n2026-03-20\n08:00 wattle weighed grams=460"
    assert her(text).own_weight(at("2026-03-29")) is None
    assert her(text).own_weight(at("2026-03-30")) == 400


def signs(text: str) -> list[tuple[str, str, str, bool]]:
    """Each sign that stands: when first and when last seen, and whether a look since did not find it."""
    one = animal(standing(ROOM + text), "animal/wattle")
    return [
        (sign.sign, f"{sign.entry.at:%d %H}", f"{sign.last.at:%d %H}", sign.gone is not None) for sign in one.danger
    ]


def test_a_danger_sign_stands_until_a_vet_has_seen_her_or_was_spoken_to() -> None:
    text = "2026-04-03\n10:00 wattle egg_check_done present=straining,tremor"
    assert signs(text) == [("straining", "03 10", "03 10", False), ("tremor", "03 10", "03 10", False)]
    text += "\n2026-04-04\n10:00 wattle egg_check_done absent=straining present=tremor"
    assert signs(text) == [("straining", "03 10", "03 10", True), ("tremor", "03 10", "04 10", False)]
    for contact in ("vet_seen", "vet_called"):
        heard = animal(standing(ROOM + text + f"\n11:00 wattle {contact}"), "animal/wattle")
        assert (heard.danger, heard.danger_since) == ((), None)


def test_a_sign_that_comes_back_has_stood_since_it_was_first_seen() -> None:
    text = """
    2026-04-03
    10:00 wattle condition_seen signs=lethargy
    2026-04-04
    10:00 wattle egg_check_done absent=lethargy
    2026-04-06
    10:00 wattle condition_seen signs=lethargy
    """
    assert signs(text) == [("lethargy", "03 10", "06 10", False)]
    assert animal(standing(ROOM + text), "animal/wattle").danger_since == at("2026-04-03 10:00")


def test_seen_before_a_clear_look_and_written_after_it_it_stands() -> None:
    text = "2026-04-04\n08:00 wattle egg_check_done absent=tremor\n"
    text += "2026-04-03\n19:00 wattle egg_check_done present=tremor"
    assert signs(text) == [("tremor", "03 19", "03 19", True)]


def test_an_animal_that_was_only_ever_named_by_others_lived_nowhere() -> None:
    page = ROOM + "2026-04-01\n10:00 wattle put_together mate=stranger\n10:01 stranger weighed grams=400"
    assert animal(standing(page), "animal/stranger").stays == ()
    assert female(standing(page), "animal/wattle", Days()).with_male_now is not None


def test_eggs_laid_now_belong_to_the_clutch_begun_else_to_one_named_by_dam_year_and_number() -> None:
    assert her("").next_clutch(2026) == "clutch/wattle-2026-1"
    begun = "2026-04-01\n10:00 wattle eggs_laid clutch=clutch/wattle-2026-1 count=8\n"
    assert her(begun).next_clutch(2026) == "clutch/wattle-2026-1"
    done = begun + "12:00 wattle eggs_laid clutch=clutch/wattle-2026-1 count=20 complete=true"
    assert her(done).next_clutch(2026) == "clutch/wattle-2026-2"
    assert her(done).next_clutch(2027) == "clutch/wattle-2027-1"


def test_the_clutch_of_a_dam_with_a_long_id_has_an_id_that_can_be_written() -> None:
    dam = "animal/" + "a" * 60
    named = female(standing(ROOM), dam, Days()).next_clutch(2026)
    assert SUBJECT.fullmatch(named)
    assert named == f"clutch/{'a' * 40}-2026-1"
