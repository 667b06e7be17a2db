"""Who is together and should not be."""

from __future__ import annotations

import pytest

from rounds.due.matter import Level
from tests.due.matters.found import DIG, ROOM, all_found, found, the
from tests.notation import at

TOGETHER = ROOM + "2026-04-01\n09:00 wattle put_together mate=karri\n"
RULE = "should not be together"


def test_a_grown_pair_put_together_is_no_matter() -> None:
    assert found(TOGETHER, "2026-04-02", RULE, "young would suffer", "pair together long") == []


@pytest.mark.parametrize(
    ("reason", "words"),
    [
        ("08:00 wattle weighed grams=349", "she weighs 349 g, bred from 350 g"),
        ("08:00 wattle vet_seen under_treatment_until=2026-04-20", "she is under treatment"),
        ("08:00 karri vet_seen under_treatment_until=2026-04-20", "he is under treatment"),
        ("08:00 karri referred", "he is with the vet"),
        ("08:00 karri condition_seen signs=lethargy", "he shows a sign for the vet"),
        ("08:00 karri condition_seen signs=burn", "he shows a sign for the vet"),
        ("08:00 wattle brumation_began", "she brumates"),
        ("08:00 karri brumation_began", "he brumates"),
        ("08:00 wattle felt_for_eggs found=eggs", "she is gravid, eggs felt 1 Apr"),
        ("08:00 wattle eggs_laid clutch=w-1 count=3", "she is laying"),
        ("08:00 wattle eggs_laid clutch=w-1 count=20 complete=true", "she laid 1 Apr and rests 28 days"),
        (f"08:00 wattle lay_box_in\n08:01 wattle {DIG}", "she digs and should be alone"),
    ],
)
def test_a_pair_is_parted_when_one_of_them_is_not_fit_for_it(reason: str, words: str) -> None:
    page = TOGETHER.replace("09:00 wattle put", f"{reason}\n09:00 wattle put")
    matter = the(page, "2026-04-01 10:00", RULE)
    assert matter.level == Level.TODAY
    assert matter.says == f"Part Wattle and Karri: {words}."
    assert matter.since == at("2026-04-01 09:00")
    assert "part" in matter.acts
    parted = page + "11:00 wattle parted\n"
    assert found(parted, "2026-04-01 12:00", RULE) == []


@pytest.mark.parametrize("who", ["wattle", "karri"])
@pytest.mark.parametrize("told", ['treatment_given what="eye drops"', 'vet_seen instructions="keep quiet"'])
def test_under_treatment_by_a_treatment_given_or_an_instruction_without_an_end(who: str, told: str) -> None:
    page = ROOM + f"2026-04-01\n08:00 {who} {told}\n09:00 wattle put_together mate=karri\n"
    she = "she" if who == "wattle" else "he"
    assert the(page, "2026-04-15 07:59", RULE).says == f"Part Wattle and Karri: {she} is under treatment."
    assert found(page, "2026-04-15 08:01", RULE) == [], "two weeks later, by the house rule"
    ended = page + f"2026-04-05\n08:00 {who} treatment_ended\n"
    assert found(ended, "2026-04-05 09:00", RULE) == []


def test_a_visit_that_told_nothing_to_do_is_no_treatment() -> None:
    page = ROOM + "2026-04-01\n08:00 wattle vet_seen outcome=well\n09:00 wattle put_together mate=karri\n"
    assert found(page, "2026-04-02", RULE) == []


def test_gravid_with_a_male_in_the_tub_wants_them_parted() -> None:
    page = ROOM + "2026-03-12\n10:00 wattle mating_seen\n2026-04-01\n09:00 karri moved to=b3\n"
    assert found(page, "2026-04-01 10:00", RULE) == [], "mated only: nothing says yet that she is gravid"
    heavy = page + "11:00 wattle condition_seen body=heavy\n"
    assert the(heavy, "2026-04-01 12:00", RULE).says == (
        "Part Wattle and Karri: she is heavy, may be gravid (1 Apr)."
    )
    felt = heavy + '12:00 wattle egg_check_done present="eggs felt"\n'
    assert the(felt, "2026-04-01 13:00", RULE).says == "Part Wattle and Karri: she is gravid, eggs felt 1 Apr."
    assert found(felt + "14:00 wattle felt_for_eggs found=none\n", "2026-04-01 15:00", RULE) == [
        "today should not be together wattle"
    ], "none felt proves nothing"


def test_a_female_under_24_months_and_a_male_under_18_are_too_young() -> None:
    page = ROOM + "2026-04-01\n08:00 pup arrived name=Pup sex={} hatched={} place={}\n"
    girl = "Part Pup and Karri: she is 23 months old, bred from 24"
    assert girl in the(page.format("F", "2024-04-02", "b5"), "2026-04-01", RULE).says
    assert found(page.format("F", "2024-04-01", "b5"), "2026-04-01", RULE) == []
    boy = "Part Wattle and Pup: he is 17 months old, bred from 18"
    assert boy in the(page.format("M", "2024-10-02", "b3"), "2026-04-01", RULE).says
    assert found(page.format("M", "2024-10-01", "b3"), "2026-04-01", RULE) == []


def test_young_too_small_to_mate_are_left_in_peace() -> None:
    page = ROOM + "2026-04-01\n08:00 pip arrived name=Pip sex=F hatched=2026-01-01 place=b4\n"
    page += "08:00 pup arrived name=Pup sex=M hatched=2026-01-01 place=b4\n"
    assert [one for one in found(page, "2026-04-02", RULE) if "pip" in one] == []
    assert found(page, "2026-04-02", RULE) == ["today should not be together sedge"], (
        "a grown female with a small male"
    )


def test_living_in_one_enclosure_is_being_together() -> None:
    page = ROOM + "2026-04-01\n08:00 wattle weighed grams=300\n09:00 karri moved to=b3\n"
    assert found(page, "2026-04-01 10:00", RULE) == ["today should not be together wattle"]
    assert found(page + "11:00 karri moved to=b5\n", "2026-04-01 12:00", RULE) == []
    assert found(page + "11:00 karri died\n", "2026-04-01 12:00", RULE) == []


def test_an_arrival_in_quarantine_is_put_to_nobody() -> None:
    page = ROOM + "2026-04-01\n08:00 nell arrived name=Nell sex=F hatched=2023-01-01 place=b5 quarantine=true\n"
    assert the(page, "2026-04-01 10:00", RULE).says == "Part Nell and Karri: she is in quarantine."


def test_leatherback_to_leatherback_is_a_burden_on_the_young() -> None:
    # A quarter scaleless: Di-Poï & Milinkovitch 2016, Sci Adv 2:e1600708; Swiss Animal Protection STS.
    page = TOGETHER.replace("place=b3 bred", "place=b3 traits=leatherback,red bred")
    assert found(page, "2026-04-02", "young would suffer") == []
    both = page.replace("place=b5 bred", "place=b5 traits=Leatherback bred")
    matter = the(both, "2026-04-02", "young would suffer")
    assert matter.level == Level.TODAY
    assert matter.says == "Part Wattle and Karri: two leatherbacks, 25 % of the young scaleless."
    assert matter.house == ("pairing.scaleless_percent",)


def test_one_out_of_a_group_in_which_some_were_leatherbacks_may_be_one() -> None:
    page = TOGETHER.replace("place=b3 bred", "place=b3 traits=leatherback bred")
    nest = (
        "2026-02-01\n08:00 group/nest arrived name=Nest count=4\n"
        "09:00 group/nest traits_settled shows=leatherback count={many}\n"
        "09:30 group/nest singled_out animal=karri\n"
    )
    one = the(page + nest.format(many=2), "2026-04-02", "young would suffer")
    assert one.says == "Part Wattle and Karri: leatherback on both sides, 12.5 % of the young scaleless."
    every = the(page + nest.format(many=4), "2026-04-02", "young would suffer")
    assert every.says == "Part Wattle and Karri: two leatherbacks, 25 % of the young scaleless."
    seen = page + nest.format(many=2) + "2026-02-02\n08:00 karri traits_settled normal=leatherback\n"
    assert found(seen, "2026-04-02", "young would suffer") == []


KIN = """
2026-03-01 AK
08:00 ma arrived name=Ma sex=F hatched=2020-01-01
08:00 pa arrived name=Pa sex=M hatched=2020-01-01
08:00 she arrived name=She sex=F hatched=2022-01-01 sire=pa dam=ma
08:00 he arrived name=He sex=M hatched=2022-01-01 {}
"""


def test_close_kin_are_parted_before_they_mate() -> None:
    page = KIN.format("sire=pa dam=other") + "2026-04-01\n08:00 she put_together mate=he\n"
    assert the(page, "2026-04-02", "young would suffer").says == (
        "Part She and He: half sibs, inbreeding of the young 12.5 %."
    )


def test_a_pair_stays_together_for_three_days() -> None:
    assert found(TOGETHER, "2026-04-04", "pair together long") == []
    assert the(TOGETHER, "2026-04-05", "pair together long").says == "Wattle and Karri: together for 4 days."
    living = ROOM + "2026-04-01\n09:00 karri moved to=b3\n"
    assert found(living, "2026-04-20", "pair together long") == [], "a tub they share is no pairing"


def test_two_grown_males_in_one_enclosure_are_parted() -> None:
    page = ROOM + "2026-04-01\n08:00 jarrah arrived name=Jarrah sex=M hatched={} place=b5\n"
    matter = the(page.format("2025-04-01"), "2026-04-01 09:00", "two males")
    assert (matter.level, matter.about) == (Level.TODAY, "enclosure/b5")
    assert matter.says == "Part Jarrah and Karri: adult males in one enclosure, B5."
    assert matter.since == at("2026-04-01 08:00")
    assert {entry.about for entry in matter.entries} == {"animal/jarrah", "animal/karri"}
    assert found(page.format("2025-04-02"), "2026-04-01 09:00", "two males") == []
    assert found(page.format("2022-04-02") + "09:00 jarrah moved to=b3\n", "2026-04-01 09:30", "two males") == []


def test_biting_in_a_shared_enclosure_is_for_today_chasing_is_watched() -> None:
    shared = ROOM + "2026-04-01\n08:00 sedge moved to=b3\n10:00 {}\n"
    bite = shared.format("sedge behaviour_seen behaviour=biting toward=wattle")
    assert the(bite, "2026-04-01 11:00", "fighting").says == "Sedge: biting toward Wattle 1 Apr."
    assert found(bite, "2026-04-01 11:00", "fighting") == ["today fighting sedge"]
    tub = shared.format("enclosure/b3 behaviour_seen behaviour=chasing")
    assert the(tub, "2026-04-01 11:00", "fighting").says == "B3: chasing 1 Apr."
    assert found(tub, "2026-04-04", "fighting") == ["watch fighting b3"]
    assert found(tub, "2026-04-05", "fighting") == []
    assert found(bite + "12:00 sedge moved to=b4\n", "2026-04-01 13:00", "fighting") == []


def crowd(males: int, *last: str) -> str:
    """Wattle in B3 with so many males who came on one day, and whoever came last; she has a sire and a dam."""
    page = ROOM + "08:04 ivy arrived name=Ivy sex=F place=b4\n08:05 oak arrived name=Oak sex=M place=b5\n"
    page += "08:06 fern arrived name=Fern sex=F hatched=2023-03-01 place=b3 sire=oak dam=ivy\n"
    page += "".join(
        f"08:10 m{one} arrived name=M{one:02} sex=M hatched=2022-03-01 place=b3\n" for one in range(males)
    )
    return page + "".join(f"08:11 {one} hatched=2022-03-01 place=b3\n" for one in last)


def suffering(page: str) -> list[str]:
    """What is said of each female whose young would suffer."""
    return [matter.says for matter in all_found(page, "2026-03-02") if matter.rule == "young would suffer"]


@pytest.mark.parametrize(
    ("last", "words"),
    [
        ("zac arrived name=Zac sex=M sire=oak dam=ivy", "Zac: full sibs, inbreeding of the young 25 %"),
        ("zac arrived name=Zac sex=M sire=oak", "Zac: half sibs, inbreeding of the young 12.5 %"),
    ],
)
def test_in_a_crowd_of_males_the_one_who_is_kin_is_found(last: str, words: str) -> None:
    assert suffering(crowd(30)) == []
    assert any(words in one for one in suffering(crowd(30, last))), suffering(crowd(30, last))


def test_of_brothers_in_a_crowd_the_one_with_the_trait_is_found() -> None:
    brothers = [f"n{one} arrived name=N{one} sex=M sire=m1 dam=sedge" for one in range(9)]
    page = crowd(9, *brothers) + "08:20 fern traits_settled shows=leatherback how=seen\n"
    assert suffering(page) == []
    page += "08:21 n7 traits_settled shows=leatherback how=seen\n"
    assert suffering(page) == ["Part Fern and N7: two leatherbacks, 25 % of the young scaleless."]


def test_her_own_grandsire_is_no_brother_like_another() -> None:
    page = crowd(0, "abe arrived name=Abe sex=M sire=m1 dam=sedge", "zac arrived name=Zac sex=M sire=m1 dam=sedge")
    page += "08:30 sol arrived name=Sol sex=M place=b5 sire=zac dam=ivy\n"
    page += "08:31 rue arrived name=Rue sex=F hatched=2023-03-01 place=b3 sire=sol\n"
    assert any("Part Rue and Zac" in one for one in suffering(page)), suffering(page)
