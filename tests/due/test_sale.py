"""What stands against selling or giving away an animal or some of a group; what is asked about first."""

from __future__ import annotations

import pytest

from rounds.desk.validation import judged
from rounds.rules.default import default_house
from tests.notation import VIENNA, logbook, standing

HOUSE = default_house(VIENNA)
ROOM = """
2026-01-01 AK
08:00  t1  enclosure_set_up  name=T1
08:00  t2  enclosure_set_up  name=T2
08:00  mallee  arrived  name=Mallee hatched=2026-01-01 place=t1
08:00  group/hatch  arrived  name=Hatch count=10 hatched=2026-01-01 place=t2
2026-03-01
08:00  mallee  weighed  grams=20
08:00  group/hatch  weighed  grams=18 number=10
"""
SOLD = "2026-03-10\n12:00 mallee left how=sold to=Ann\n"


def verdict(line: str, before: str = "") -> tuple[str, tuple[str, ...]]:
    """Why the last line may not be written, and what is asked about it."""
    *page, entry = logbook(ROOM + before + line)
    found = judged(standing(ROOM + before), HOUSE, entry)
    assert page
    return found.refused, found.doubts


def test_one_that_is_old_and_heavy_enough_may_go() -> None:
    assert verdict(SOLD) == ("", ())


@pytest.mark.parametrize(
    ("before", "why"),
    [
        (
            "2026-03-02\n08:00 mallee vet_seen treatment=drops under_treatment_until=2026-03-20\n",
            "Mallee is not sold: under treatment until 20 Mar (vet seen, 2 Mar).",
        ),
        (
            "2026-03-02\n08:00 mallee arrived name=Mallee place=t1 quarantine=true\n",
            "Mallee is not sold: in quarantine since 2 Mar.",
        ),
        (
            "2026-03-02\n08:00 mallee held_back why=breeding\n",
            "Mallee is not sold: held back since 2 Mar. "
            "Set free first: i, y, f (rounds log released animal/mallee).",
        ),
        (
            '2026-03-02\n08:00 mallee reserved whom="Bo Chan"\n',
            "Mallee is not sold: reserved for Bo Chan since 2 Mar. "
            "Set free first: i, y, f (rounds log released animal/mallee).",
        ),
        (
            "2026-03-02\n08:00 mallee weighed grams=4.9\n",
            "Mallee is not sold: 4.9 g, 5 g at least (house rule sale.least_grams). Local codes may ask for more.",
        ),
    ],
)  # fmt: skip
def test_it_is_refused_with_the_reason_and_the_rule(before: str, why: str) -> None:
    refused, _ = verdict(SOLD, before)
    assert refused == why
    given, _ = verdict(SOLD.replace("sold", "given"), before)
    assert given == why.replace("sold", "given", 1)


@pytest.mark.parametrize("how", ["returned", "lent"])
def test_returned_and_lent_are_no_sales(how: str) -> None:
    before = "2026-03-02\n08:00 mallee held_back\n08:00 mallee weighed grams=2\n"
    assert verdict(SOLD.replace("sold", how), before)[0] == ""


def test_on_the_day_it_is_old_enough_it_may_go_and_not_the_day_before() -> None:
    young = ROOM.replace("hatched=2026-01-01 place=t1", "hatched=2026-01-13 place=t1").replace(
        "08:00  mallee  arrived", "08:00  mallee  noted note=x\n2026-01-13\n08:00  mallee  arrived"
    )

    def said(day: str) -> str:
        return judged(standing(young), HOUSE, logbook(young + SOLD.replace("2026-03-10", day))[-1]).refused

    # 13 Jan + 56 days = 10 Mar.
    assert said("2026-03-10") == ""
    assert "55 days old, 56 days at least (house rule sale.least_age_days)" in said("2026-03-09")


def test_a_month_of_hatching_counts_from_its_last_day() -> None:
    came = "2026-03-05\n08:00 pup arrived name=Pup hatched=2026-02-01 hatched_about=true place=t1\n"
    came += "08:10 pup weighed grams=9\n"
    # Hatched on 28 Feb at the latest, so not 56 days old on 20 Apr (51), though it may be.
    refused = verdict("2026-04-20\n08:00 pup left how=sold to=Ann\n", came)[0]
    assert "51 days old" in refused


def test_of_a_group_so_many_are_free_as_are_not_kept_for_another() -> None:
    kept = "2026-03-02\n08:00 group/hatch reserved whom=Bo count=4\n08:00 group/hatch held_back count=2\n"
    sale = "2026-03-10\n12:00 group/hatch left how=sold count={} to={}\n"
    assert verdict(sale.format(4, "Ann"), kept)[0] == ""
    assert verdict(sale.format(5, "Ann"), kept)[0] == (
        "Hatch is not sold: 4 reserved for Bo, 2 held back, 4 of 10 are free. Set free first: i, y, f "
        "(rounds log released group/hatch)."
    )
    assert verdict(sale.format(8, "bo"), kept)[0] == ""
    assert "6 held back" not in verdict(sale.format(9, "Bo"), kept)[0] != ""


def test_a_reservation_ends_with_those_who_left_for_it() -> None:
    before = "2026-03-02\n08:00 group/hatch reserved whom=Bo count=4\n"
    before += "2026-03-03\n08:00 group/hatch left how=sold count=3 to=Bo\n"
    sale = "2026-03-10\n12:00 group/hatch left how=sold count={} to=Ann\n"
    assert verdict(sale.format(6), before)[0] == ""
    assert (
        verdict(sale.format(7), before)[0] == "Hatch is not sold: 1 reserved for Bo, 6 of 7 are free. "
        "Set free first: i, y, f (rounds log released group/hatch)."
    )


def test_no_name_for_one_who_is_reserved_is_asked_about() -> None:
    before = "2026-03-02\n08:00 mallee reserved whom=Bo\n"
    assert verdict("2026-03-10\n12:00 mallee left how=sold\n", before) == (
        "",
        ("Mallee is reserved for Bo. To whom does it go? Fill in “to” (to=…).",),
    )


def test_an_open_vet_matter_is_said_first() -> None:
    before = "2026-03-02\n08:00 mallee referred to=vet why=limp\n"
    (asked,) = verdict(SOLD, before)[1]
    assert asked == "Mallee: referred to a vet on 2 Mar, no vet has seen it. Let it go all the same?"
    dull = "2026-03-07\n08:00 mallee condition_seen look=dull\n2026-03-09\n08:00 mallee condition_seen look=dull\n"
    refused, asked_too = verdict(SOLD, dull)
    assert not refused
    assert any(one.startswith("For the vet: Mallee") for one in asked_too)


def test_with_a_danger_sign_that_no_vet_has_heard_of_it_is_not_sold() -> None:
    sign = '2026-03-09\n08:00 mallee condition_seen signs="tremor"\n'
    refused = "Mallee is not sold: tremor 9 Mar, no vet has seen it or was phoned."
    assert verdict(SOLD, sign)[0] == refused
    bright = sign + "2026-03-09\n18:00 mallee condition_seen look=bright\n"
    assert verdict(SOLD, bright)[0] == refused
    phoned = sign + "2026-03-09\n09:00 mallee vet_called said=well\n"
    assert verdict(SOLD, phoned)[0] == ""
    lent = SOLD.replace("sold to=Ann", "lent to=Ann")
    assert verdict(lent, sign)[0] == ""
    late = SOLD.replace("12:00 mallee", "12:00 mallee").rstrip() + " written=2026-03-12T08:00:00+01:00\n"
    refused, asked = verdict(late, sign)
    assert not refused
    assert any("tremor 9 Mar" in one and "sold all the same?" in one for one in asked)


def test_one_whose_age_is_not_known_is_asked_about_unless_grown() -> None:
    came = "2026-03-01\n08:00 tuart arrived name=Tuart place=t1\n08:10 tuart weighed grams={}\n"
    sale = "2026-03-10\n12:00 tuart left how=sold to=Ann\n"
    assert verdict(sale, came.format(12))[1] == (
        "Tuart: its age is not known; it is sold from 56 days on. Is it that old?",
    )
    assert verdict(sale, came.format(400)) == ("", ())


def test_one_singled_out_of_a_group_takes_its_treatment_and_quarantine_along() -> None:
    out = "2026-03-05\n08:00 group/hatch singled_out animal=tuart\n"
    out += "08:00 tuart arrived name=Tuart hatched=2026-01-01 place=t1\n08:10 tuart weighed grams=20\n"
    sale = "2026-03-10\n12:00 tuart left how=sold to=Ann\n"
    assert verdict(sale, out) == ("", ())
    treated = "2026-03-02\n08:00 group/hatch vet_seen treatment=drops under_treatment_until=2026-03-20\n"
    assert "under treatment until 20 Mar in Hatch, where it came from" in verdict(sale, treated + out)[0]
    # Treated only after it had left the group: that is not its own.
    assert verdict(sale, out + treated.replace("2026-03-02", "2026-03-06"))[0] == ""
    quarantined = "2026-03-02\n08:00 group/hatch arrived name=Hatch count=0 place=t2 quarantine=true\n"
    assert "in quarantine in Hatch, where it came from" in verdict(sale, quarantined + out)[0]


@pytest.mark.parametrize(
    ("line", "asked"),
    [
        ("mallee condition_seen look=dull", "Mallee: dull 9 Mar 08:00. Let it go all the same?"),
        ("mallee brumation_began", "Mallee brumates. Let it go all the same?"),
        ("mallee felt_for_eggs found=eggs", "Mallee: gravid (eggs felt 9 Mar). Let her go all the same?"),
        (
            "mallee mating_seen",
            "Mallee: may be gravid (mated: window 23 Mar to 20 Apr). Let her go all the same?",
        ),
    ],
)
def test_an_animal_that_is_not_well_a_sleeper_and_a_gravid_female_are_asked_about(line: str, asked: str) -> None:
    before = f"2026-03-02\n08:00 mallee sex_settled sex=F\n2026-03-09\n08:00 {line}\n"
    assert asked in verdict(SOLD, before)[1]
