"""Digging in a shared tub, animal not known."""

from __future__ import annotations

import pytest

from rounds.due.matter import Level
from tests.due.matters.found import DIG, ROOM, found, the

TUB = (
    ROOM
    + """
08:10 hakea arrived name=Hakea sex=F hatched=2022-03-01 place=b3
08:11 boronia arrived name=Boronia sex=F hatched=2022-03-01 place=b3
08:12 sedge moved to=b3
2026-03-10
10:00 sedge mating_seen sire=karri
2026-03-15
10:00 hakea mating_seen sire=karri
2026-01-20
10:00 boronia put_together mate=karri
2026-01-22
10:00 boronia parted
"""
)
DUG = TUB + f"2026-04-01\n17:30 enclosure/b3 {DIG}\n"


def test_digging_of_an_unknown_animal_asks_who_it_was_likeliest_first() -> None:
    matter = the(DUG, "2026-04-01 18:00", "unknown digger")
    assert matter.level == Level.TODAY
    assert matter.says == (
        "B3: one of them has dug since 1 Apr. Which? Likely Sedge, then Hakea, then Boronia, then Wattle."
    )
    assert matter.do[0] == (
        "Likeliest first: Sedge (in her window, mated 10 Mar); Hakea (in her window, mated 15 Mar); "
        "Boronia (can be gravid); Wattle (no mating known)."
    )
    assert matter.worsens == "vet from 8 Apr (after day 7)"
    assert "who" in matter.acts
    assert matter.about == matter.place == "enclosure/b3"


def test_eggs_felt_make_her_the_likeliest() -> None:
    felt = DUG.replace("2026-04-01\n", "2026-03-30\n10:00 wattle felt_for_eggs found=eggs\n2026-04-01\n")
    matter = the(felt, "2026-04-01 18:00", "unknown digger")
    assert matter.says == (
        "B3: one of them has dug since 1 Apr. Which? Likely Wattle, then Sedge, then Hakea, then Boronia."
    )
    assert matter.do[0].startswith("Likeliest first: Wattle (eggs felt); Sedge (")


def test_the_male_and_the_young_of_the_tub_are_not_named() -> None:
    page = DUG + "08:00 karri moved to=b3\n08:00 pup arrived name=Pup hatched=2026-01-01 place=b3\n"
    matter = the(page, "2026-04-01 18:00", "unknown digger")
    for name in ("Karri", "Pup"):
        assert name not in " ".join((matter.says, *matter.do))


def test_digging_noted_by_name_on_that_day_or_later_answers_it() -> None:
    assert found(DUG + f"17:45 hakea {DIG}", "2026-04-01 18:00", "unknown digger") == []
    assert found(DUG + f"08:00 hakea {DIG}", "2026-04-01 18:00", "unknown digger") == []
    assert (
        found(DUG + "2026-04-02\n08:00 hakea egg_check_done present=digging", "2026-04-02", "unknown digger") == []
    )
    assert found(DUG + "2026-04-02\n08:00 hakea eggs_laid clutch=h-1 count=2", "2026-04-02", "unknown digger") == []


def test_digging_by_name_of_the_day_before_does_not_nor_of_one_who_lives_elsewhere() -> None:
    before = TUB + f"2026-03-31\n17:30 hakea {DIG}\n2026-04-01\n17:30 enclosure/b3 {DIG}\n"
    matter = the(before, "2026-04-01 18:00", "unknown digger")
    assert "Likely Hakea, then" in matter.says
    assert "Likeliest first: Hakea (dug 31 Mar, in her window, mated 15 Mar); " in matter.do[0]
    elsewhere = DUG.replace("08:12 sedge moved to=b3", "08:12 sedge moved to=b4") + f"17:45 sedge {DIG}"
    assert found(elsewhere, "2026-04-01 18:00", "unknown digger") == ["today unknown digger b3"]


def test_who_lived_there_then_is_asked_about_though_she_was_moved_since() -> None:
    moved = DUG + "17:50 sedge moved to=b4\n"
    assert "Likely Sedge, then" in the(moved, "2026-04-01 18:00", "unknown digger").says


def test_a_correction_answers_it() -> None:
    taken_back = DUG + "17:40 enclosure/b3 corrected replaces=20260401-00014\n"
    assert the(DUG, "2026-04-01 18:00", "unknown digger").entries[0].id == "20260401-00014"
    assert found(taken_back, "2026-04-01 18:00", "unknown digger") == []


def test_where_one_female_lives_it_was_her_and_the_days_are_hers() -> None:
    page = ROOM + f"2026-03-12\n10:00 sedge mating_seen\n2026-04-01\n17:30 enclosure/b4 {DIG}\n"
    assert found(page, "2026-04-01 18:00", "unknown digger") == []
    assert the(page, "2026-04-01 18:00", "no lay box").says == "Sedge has dug since 1 Apr. No lay box."
    assert found(page, "2026-04-07", "digging without eggs") == []
    assert the(page, "2026-04-08", "digging without eggs").says == ("Sedge: day 8, no eggs. Dug 1 Apr. No lay box.")


def test_among_a_male_and_young_the_one_female_is_the_digger() -> None:
    page = ROOM + "2026-03-31\n08:00 karri moved to=b4\n08:00 pup arrived name=Pup hatched=2026-01-01 place=b4\n"
    page += f"2026-04-01\n17:30 enclosure/b4 {DIG}\n"
    assert found(page, "2026-04-01 18:00", "unknown digger") == []
    assert the(page, "2026-04-01 18:00", "no lay box").about == "animal/sedge"
    grown = page.replace("hatched=2026-01-01", "hatched=2025-01-01")
    assert found(grown, "2026-04-01 18:00", "unknown digger") == ["today unknown digger b4"], "of unknown sex too"


def test_after_day_7_one_of_them_is_to_be_seen_by_a_vet_whoever_she_is() -> None:
    assert found(DUG, "2026-04-07 23:59", "unknown digger") == ["today unknown digger b3"]
    matter = the(DUG, "2026-04-08 00:00", "unknown digger")
    assert matter.level == Level.VET
    assert matter.says == ("B3: one of them dug 1 Apr. Which? Likely Sedge, then Hakea, then Boronia, then Wattle.")
    assert matter.do[0] == "Phone a reptile vet today. Say what you saw, and when."
    assert found(DUG, "2026-06-01", "unknown digger") == ["vet unknown digger b3"], "silence takes nothing away"


@pytest.mark.parametrize("contact", ["vet_seen", "vet_called"])
def test_as_vet_it_stands_until_a_vet_has_heard_of_each_of_them(contact: str) -> None:
    three = "".join(f"08:0{minute} {who} {contact}\n" for minute, who in enumerate(("wattle", "hakea", "sedge")))
    page = DUG + "2026-04-09\n" + three
    assert found(page, "2026-04-09 09:00", "unknown digger") == ["vet unknown digger b3"]
    assert found(page + f"08:09 boronia {contact}\n", "2026-04-09 09:00", "unknown digger") == []


def test_a_digger_named_later_has_her_days_from_the_first() -> None:
    page = DUG + f"2026-04-05\n17:30 enclosure/b3 {DIG}\n2026-04-09\n08:00 hakea {{}}\n"
    for named in (DIG, "egg_check_done present=digging", "condition_seen signs=digging"):
        hers = page.format(named)
        assert found(hers, "2026-04-09 08:30", "unknown digger") == []
        matter = the(hers, "2026-04-09 08:30", "digging without eggs")
        assert (matter.about, matter.level) == ("animal/hakea", Level.VET)
        assert matter.says == "Hakea: day 9, no eggs. Has dug since 1 Apr. No lay box."


def test_a_clutch_of_one_who_lives_elsewhere_does_not_answer_it() -> None:
    page = DUG.replace("08:12 sedge moved to=b3", "08:12 sedge moved to=b4")
    page += "2026-04-02\n08:00 sedge eggs_laid clutch=s-1 count=20 complete=true\n"
    assert found(page, "2026-04-02 09:00", "unknown digger") == ["today unknown digger b3"]


def test_where_no_female_is_known_to_live_the_sexes_are_in_doubt() -> None:
    assert found(ROOM + f"2026-04-01\n17:30 enclosure/b5 {DIG}\n", "2026-04-01 18:00", "unknown digger") == [
        "watch unknown digger b5"
    ]
    assert found(ROOM + f"2026-04-01\n17:30 enclosure/l1 {DIG}\n", "2026-04-01 18:00", "unknown digger") == []


def test_where_none_may_be_gravid_it_is_asked_for_two_weeks_after_it_was_last_seen() -> None:
    page = ROOM + f"2026-04-01\n17:30 enclosure/b5 {DIG}\n"
    assert the(page, "2026-04-01 18:00", "unknown digger").says == (
        "B5: one has dug since 1 Apr, but no female is known to live there."
    )
    assert found(page, "2026-04-15", "unknown digger") == ["watch unknown digger b5"]
    assert found(page, "2026-04-16", "unknown digger") == []


def test_it_keeps_its_name_when_it_is_seen_again() -> None:
    again = DUG + f"2026-04-03\n17:30 enclosure/b3 {DIG}\n"
    assert the(again, "2026-04-03 18:00", "unknown digger").key == "unknown digger enclosure/b3 2026-04-01"
