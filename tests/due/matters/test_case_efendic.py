"""An outside check: the case of Efendić et al. 2019, day by day.

Efendić et al. 2019, Induction of the oviposition in bearded dragon (Pogona vitticeps) with postovulatory egg
retention (dystocia): a case report, Vet. arhiv 89:131–142, doi 10.24099/vet.arhiv.0300. A bearded dragon laid one
egg, then none for four days while she dug, was dull and off food. 14 eggs were retained; all passed within 20 h of
treatment. On which day each sign was first seen, what her keeper wrote and whether a mating was known are
assumptions here, so they vary: one keeper writes all of it from the first day, others only a part, or late. The
program must have said *vet* long before the fourth day was over, and must not stop saying it before a vet has seen
her.
"""

from __future__ import annotations

import pytest

from rounds.due.matter import Level
from tests.due.matters.found import DIG, all_found

#: The egg comes at 8:00 on 1 May.
ROOM = """
2026-03-01 AK
08:00 b3 enclosure_set_up name=B3
08:01 wattle arrived name=Wattle sex=F hatched=2023-03-01 place=b3 bred_here=true
"""
MATING = "2026-03-27\n10:00 wattle mating_seen\n"
EGG = "2026-05-01\n08:00 wattle eggs_laid clutch=wattle-1 count=1\n"
DAYS = ("2026-05-02", "2026-05-03", "2026-05-04", "2026-05-05")
DIGS = f"09:00 wattle {DIG}\n"
DULL = "09:05 wattle condition_seen look=dull\n"
OFF_FOOD = "09:10 wattle ate how=refused\n"
TREATED = """
2026-05-05
14:00 wattle vet_seen outcome="dystocia, treated"
2026-05-06
10:00 wattle eggs_laid clutch=wattle-1 count=15 complete=true
"""


def level(page: str, now: str) -> int:
    """The worst level of what is said about her."""
    return max((matter.level for matter in all_found(page, now) if matter.about == "animal/wattle"), default=0)


def every_day(*signs: str, since: int = 0) -> str:
    """These signs written on each of the four days, or from a later one on."""
    return "".join(f"{day}\n" + "".join(signs) for day in DAYS[since:])


KEEPERS = {
    "all from the first day": every_day(DIGS, DULL, OFF_FOOD),
    "only the egg": "",
    "only the digging": every_day(DIGS),
    "only that she is dull": every_day(DULL),
    "only that she is off food": every_day(OFF_FOOD),
    "all, from the third day on": every_day(DIGS, DULL, OFF_FOOD, since=2),
}


@pytest.mark.parametrize("before", [ROOM + MATING, ROOM], ids=["mating seen", "no mating known"])
@pytest.mark.parametrize("written", KEEPERS.values(), ids=KEEPERS.keys())
def test_whatever_else_is_written_the_egg_alone_leads_to_the_vet_within_48_hours(before: str, written: str) -> None:
    # WikiVet, "Lizard and Snake Dystocia": laying begun and stopped is for the vet within 48 h of the last egg.
    page = before + EGG + written
    assert level(page, "2026-05-02 20:00") >= Level.TODAY
    assert level(page, "2026-05-03 08:00") >= Level.VET, "two days before the fourth was over"


@pytest.mark.parametrize("before", [ROOM + MATING, ROOM], ids=["mating seen", "no mating known"])
@pytest.mark.parametrize("written", KEEPERS.values(), ids=KEEPERS.keys())
def test_once_said_it_is_not_taken_back_until_a_vet_has_seen_her(before: str, written: str) -> None:
    page, said = before + EGG + written, 0
    for day in DAYS:
        for hour in range(0, 24, 3):
            now = level(page, f"{day} {hour:02d}:30")
            assert now >= min(said, Level.VET), f"{day} {hour}:30"
            said = max(said, now)
    assert said >= Level.VET


def test_to_the_keeper_who_writes_all_of_it_it_is_said_sooner() -> None:
    def first(written: str) -> str:
        hours = (f"{day} {hour:02d}:30" for day in ("2026-05-01", *DAYS) for hour in range(24))
        return next(now for now in hours if level(ROOM + MATING + EGG + written, now) >= Level.VET)

    assert first(KEEPERS["all from the first day"]) <= first(KEEPERS["only the egg"]) <= "2026-05-03 08:30"


def test_a_lethargic_female_who_has_begun_to_lay_is_for_the_vet_now() -> None:
    page = ROOM + MATING + EGG + "2026-05-02\n09:00 wattle condition_seen signs=lethargy\n"
    assert level(page, "2026-05-02 09:01") == Level.VET_NOW


def test_when_all_fourteen_have_passed_after_treatment_nothing_is_for_the_vet_any_more() -> None:
    page = ROOM + MATING + EGG + KEEPERS["all from the first day"] + TREATED
    assert level(page, "2026-05-06 10:30") < Level.VET
