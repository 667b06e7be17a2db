"""What a season writes, refused or asked about at the door: counts of nothing, holds of no one, days gone by."""

from __future__ import annotations

import pytest

from tests.desk.test_validation import look

SEASON = """2026-02-10
08:02 sedge eggs_laid clutch=clutch/s-1 count=9 complete=true
2026-04-01
08:00 enclosure/s1 enclosure_set_up name=S1 what="incubator shelf"
08:00 enclosure/k1 enclosure_set_up name=K1 what="egg box"
08:00 enclosure/k2 enclosure_set_up name=K2 what="egg box"
08:00 wattle eggs_laid clutch=clutch/w-1 count=12 complete=true
08:01 clutch/w-1 eggs_boxed count=12 place=k1
08:03 clutch/s-1 hatched count=4 into=group/hatch
08:04 group/hatch arrived name=Hatch count=4 clutch=clutch/s-1 place=enclosure/b4 hatched=2026-04-01
08:05 group/hatch reserved whom="Ann Lee" count=2
08:06 room appointment_made on=2026-04-03 whom=Ann clock=10:00
08:07 room appointment_made on=2026-04-03 whom=Bo clock=15:00
08:08 room appointment_made on=2026-04-04 whom=Cy
08:09 animal/rex pedigree_noted name=Rex sex=M hatched=2020-03-01
"""


@pytest.mark.parametrize(
    ("line", "how", "says"),
    [
        ("clutch/w-1 eggs_lost count=0", "refused", "none lost"),
        ("clutch/w-1 hatched count=0", "refused", "none hatched"),
        ("clutch/w-1 eggs_seen signs=dented count=0", "refused", "none seen"),
        ("clutch/w-1 eggs_seen signs=dented", "fine", ""),
        ("group/hatch held_back count=0", "refused", "none held back"),
        ("supply/locusts stock_in amount=0", "refused", "nothing came in"),
        ("clutch/w-1 hatched count=2 into=group/hatch", "asked", "cannot be told apart"),
        ("clutch/s-1 hatched count=2 into=group/hatch", "fine", ""),
        ("clutch/s-1 hatched count=2 into=group/new", "fine", ""),
        ("clutch/s-1 hatched count=2 eggs=1", "fine", ""),
        ("clutch/s-1 hatched count=3 eggs=1", "asked", "3 young of 1 egg: more than two of one egg"),
        ("clutch/s-1 hatched count=4 eggs=0", "fine", ""),
        ("clutch/s-1 hatched count=5 eggs=0", "asked", "9 young of 4 eggs: more than two of one egg"),
        ("wattle pedigree_noted sex=M", "refused", "Wattle is a female here. If not, settle the sex"),
        ("wattle pedigree_noted name=Wattle sex=F origin=Ann", "fine", ""),
        ("animal/far pedigree_noted name=wattle sex=M", "asked", "There is a Wattle already"),
        ("animal/rex arrived name=Rex sex=F", "asked", "Rex was noted as a male, by its papers. Is it a female?"),
        ("animal/rex arrived name=Rex sex=M", "fine", ""),
        ("animal/kit arrived name=Kit sire=animal/rex hatched=2020-03-01", "asked", "Rex, sire of Kit, hatched"),
        ("animal/kit arrived name=Kit sire=animal/rex hatched=2021-03-01", "fine", ""),
        ("enclosure/b3 egg_box_made_up medium=vermiculite", "refused", "live in B3: it is no egg box"),
        ("enclosure/k2 egg_box_made_up medium=vermiculite shelf=b3", "refused", "live in B3: an egg box stands"),
        ("enclosure/k2 egg_box_shelved shelf=k1", "refused", "K1 is an egg box: name the shelf"),
        ("enclosure/k2 egg_box_shelved shelf=s1", "fine", ""),
        (
            "enclosure/k2 egg_box_made_up medium=vermiculite dry_grams=120 water_grams=1201",
            "asked",
            "1201 g",
        ),
        ("enclosure/k2 egg_box_made_up medium=vermiculite dry_grams=120 water_grams=1200", "fine", ""),
        ("group/hatch singled_out animal=wattle", "refused", "Wattle is here since 1 Mar 2026, before Hatch was"),
        ("group/hatch singled_out animal=mallee", "fine", ""),
        (
            "group/hatch released whom='Ann Leigh'",
            "refused",
            "reserved for Ann Leigh. There is: 2",
        ),
        ("group/hatch released whom='ann  lee' count=1", "fine", ""),
        ("group/hatch released only_held=true", "refused", "nothing is held back. There is"),
        ("group/hatch released", "fine", ""),
        ("wattle released", "refused", "Wattle is neither held back nor reserved"),
        ("group/hatch held_back count=2", "fine", ""),
        ("group/hatch held_back count=3", "asked", "3 to hold back, 2 of 4 are free: 2 reserved for Ann Lee"),
        ("group/hatch count_settled count=6", "fine", ""),
        ("group/hatch count_settled count=7", "asked", "7 settled, but 4 are reckoned"),
        ("group/hatch traits_settled shows=leatherback count=4", "fine", ""),
        ("group/hatch traits_settled shows=leatherback count=5", "asked", "seen in 5 young, but 4 are there"),
        ("wattle traits_settled shows=leatherback without=leatherback", "refused", "said twice, shows and without"),
        ("wattle traits_settled normal=leatherback carries=leatherback", "fine", ""),
        ("room appointment_made on=2026-03-31", "asked", "31 Mar 2026 was over"),
        ("room appointment_made on=2026-04-01", "fine", ""),
        ("room appointment_made on=2027-04-02", "fine", ""),
        ("room appointment_made on=2027-04-03", "asked", "367 days away"),
        ("room appointment_ended on=2026-04-05", "refused", "no such appointment. There is: 3 Apr 2026 Ann 10:00"),
        ("room appointment_ended on=2026-04-04", "fine", ""),
        ("room appointment_ended on=2026-04-03", "asked", "2 are agreed for that day (Ann 10:00; Bo 15:00)"),
        ("room appointment_ended on=2026-04-03 whom=bo", "fine", ""),
        ("wattle appointment_ended on=2026-04-03", "refused", "no such appointment."),
        ("enclosure/s1 climate_logged minutes=0,60 air_c=29", "refused", "2 times, 1 temperatures, 0 humidities"),
        ("enclosure/s1 climate_logged minutes=0,60 air_c=29,30", "fine", ""),
    ],
)
def test_slips_of_a_season_are_refused_or_asked_about(line: str, how: str, says: str) -> None:
    found = look(f"10:00 {line}", SEASON)
    assert ("refused" if found.refused else "asked" if found.doubts else "fine") == how, found
    assert says in (found.refused or " ".join(found.doubts))


@pytest.mark.parametrize(("sold", "how"), [(4, "fine"), (3, "asked")])
def test_a_group_that_was_empty_begins_again(sold: int, how: str) -> None:
    again = SEASON + f"09:00 group/hatch left how=sold count={sold} to=Ann\n"
    told = " ".join(look("10:00 clutch/w-1 hatched count=2 into=group/hatch", again).doubts)
    assert ("cannot be told apart" in told) == (how == "asked")
    again += "09:10 clutch/w-1 hatched count=2\n09:10 group/hatch arrived name=Hatch count=2 clutch=clutch/w-1\n"
    again += "09:20 clutch/w-1 hatched count=1\n"
    again += "09:20 group/other arrived name=Other count=1 clutch=clutch/w-1 place=enclosure/b4\n"
    for line in ("group/other merged into=group/hatch", "group/hatch merged into=group/other"):
        told = " ".join(look(f"10:00 {line}", again).doubts)
        assert ("cannot be told apart" in told) == (how == "asked"), line
