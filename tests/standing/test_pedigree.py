"""Who is whose sire and dam by the logbook, and the kinship that follows."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rounds.standing.breeding import Days
from rounds.standing.kin_words import kin_words
from rounds.standing.pedigree import Kin, Pedigree, loop_words, pedigree
from tests.notation import standing

FAMILY = """
    2026-01-01 AK
    08:00 ma    arrived name=Ma sex=F hatched=2018-01-01
    08:00 pa    arrived name=Pa sex=M hatched=2018-01-01
    08:00 other arrived name=Other sex=M hatched=2018-01-01
"""


def known(page: str) -> Pedigree:
    return pedigree(standing(FAMILY + page), Days())


def kin(page: str, one: str = "she", other: str = "he") -> Kin:
    return known(page).kin(f"animal/{one}", f"animal/{other}")


def exactly(share: str, page: str) -> bool:
    found = kin(page)
    return found.most == found.least == Fraction(share) and not found.not_known


def test_the_newest_arrival_that_names_a_parent_counts() -> None:
    page = "09:00 she arrived name=She sex=F sire=other dam=ma\n09:00 he arrived name=He sex=M sire=pa dam=ma\n"
    assert exactly("1/8", page)
    assert exactly("1/4", page + "10:00 she arrived name=She sire=pa\n")
    # Lent and back again: an arrival that names no parents takes none away.
    assert exactly("1/8", page + "10:00 she left how=lent\n11:00 she arrived name=She\n")


CLUTCH = """
    2026-02-01
    08:00 ma put_together mate=pa
    2026-02-04
    08:00 ma parted mate=pa
    2026-03-01
    08:00 ma eggs_laid clutch=clutch/ma-1 count=20 complete=true {sire}
    2026-05-01
    08:00 she arrived name=She sex=F clutch=clutch/ma-1
    08:00 he  arrived name=He sex=M sire=pa dam=ma
"""


def test_a_clutch_names_dam_and_sire_where_the_arrival_does_not() -> None:
    assert exactly("1/4", CLUTCH.format(sire="sire=pa"))
    assert exactly("1/8", CLUTCH.format(sire="sire=other"))


def test_the_only_male_she_was_with_is_reckoned_as_the_sire() -> None:
    page = CLUTCH.format(sire="")
    assert exactly("1/4", page)
    parents = known(page).parents("animal/she")
    assert (parents.dam, parents.sires, parents.known) == ("animal/ma", ("animal/pa",), "reckoned")
    assert [entry.kind for entry in parents.entries][-1] == "put_together"


def test_of_two_males_each_may_be_the_sire_and_the_worst_is_said_first() -> None:
    found = kin(CLUTCH.format(sire="") + "    2026-02-10\n08:00 ma mating_seen sire=other\n")
    assert (found.most, found.least, found.open) == (Fraction(1, 4), Fraction(1, 8), ("animal/she",))
    # Who was with her when she laid, or just before, stands behind those of the window.
    late = CLUTCH.format(sire="") + "    2026-02-27\n08:00 ma mating_seen sire=other\n"
    assert known(late).parents("animal/she").sires == ("animal/pa", "animal/other")


def test_sperm_may_be_stored_from_a_mating_long_before() -> None:
    before = "    2025-12-01\n08:00 ma mating_seen sire=other\n"
    found = kin(CLUTCH.format(sire="") + before)
    assert (found.most, found.least) == (Fraction(1, 4), Fraction(1, 8))
    # 120 days by the house rule breeding.stored_sperm_days: not from half a year before.
    assert exactly("1/4", CLUTCH.format(sire="") + before.replace("2025-12-01", "2025-08-01"))


def test_after_many_more_pairings_of_the_dam_the_sire_is_still_reckoned() -> None:
    later = "".join(
        f"{2026 + season}-{month:02}-01\n08:00 ma put_together mate=other\n09:00 ma mating_seen sire=other\n"
        f"{2026 + season}-{month:02}-03\n08:00 ma parted mate=other\n"
        for season in range(1, 9)
        for month in range(3, 8)
    )
    assert known(CLUTCH.format(sire="") + later).parents("animal/she").sires == ("animal/pa",)


def test_a_mating_with_a_male_no_one_named_leaves_it_open() -> None:
    found = kin(CLUTCH.format(sire="") + "    2026-02-10\n08:00 ma mating_seen\n")
    assert (found.most, found.least) == (Fraction(1, 4), Fraction(1, 8))
    alone = (
        CLUTCH.format(sire="").replace("put_together mate=pa", "mating_seen").replace("parted mate=pa", "parted")
    )
    assert known(alone).parents("animal/she").sires == ()


def test_possible_sires_of_an_arrival_give_a_range() -> None:
    page = "09:00 he arrived name=He sex=M sire=pa dam=ma\n"
    found = kin(page + "09:00 she arrived name=She sex=F dam=ma possible_sires=other,pa\n")
    assert (found.most, found.least) == (Fraction(1, 4), Fraction(1, 8))
    assert exactly("1/4", page + "09:00 she arrived name=She sex=F dam=ma possible_sires=pa\n")


def test_so_many_open_sires_that_each_way_is_not_reckoned_give_bounds() -> None:
    lines = [f"09:00 n{n} arrived name=N dam=n{n - 1 if n else 'one'} possible_sires=pa,other" for n in range(6)]
    found = kin("\n".join(lines) + "\n09:00 he arrived name=He sex=M sire=pa dam=ma\n", "n5", "he")
    # All of them Pa's: 1/4 × (1 − 1/64); none of them: unrelated.
    assert (found.most, found.least, found.bounds) == (Fraction(63, 256), Fraction(0), True)


def test_in_a_loop_kinship_is_not_known_and_the_loop_is_named() -> None:
    page = (
        "09:00 she arrived name=She sire=he\n09:00 he arrived name=He dam=she\n09:00 kid arrived name=Kid sire=he\n"
    )
    found = kin(page)
    assert found.not_known in (
        "She is a young of He, He is a young of She",
        "He is a young of She, She is a young of He",
    )
    assert "is a young of" in kin(page, "kid", "ma").not_known
    assert kin(page, "ma", "pa").not_known == kin(page, "ma", "other").not_known == ""


def test_a_long_loop_is_told_in_short() -> None:
    names = [f"N{number}" for number in range(9)]
    assert loop_words(names[:2], str) == "N0 is a young of N1, N1 is a young of N0"
    assert loop_words(names, str) == (
        "N0 is a young of N1, N1 is a young of N2, N2 is a young of N3, N3 is a young of N4, "
        "and so on through 4 more, back to N0"
    )


def test_a_table_says_what_each_pair_says() -> None:
    page = CLUTCH.format(sire="") + "    2026-02-10\n08:00 ma mating_seen sire=other\n"
    page += "09:00 loop arrived name=Loop sex=F sire=loop\n"
    found = known(page)
    dams = ["animal/ma", "animal/she", "animal/loop", "animal/nobody"]
    sires = ["animal/pa", "animal/he", "animal/other"]
    table = found.table(dams, sires)
    fresh = known(page)
    for dam in dams:
        for sire in sires:
            mine, theirs = table.kin(dam, sire), fresh.kin(dam, sire)
            assert (mine.most, mine.least, mine.not_known) == (theirs.most, theirs.least, theirs.not_known)


@pytest.mark.parametrize(
    ("page", "words"),
    [
        ("she=pa,ma he=pa,ma", "full sibs"),
        ("she=pa,ma he=pa,x", "half sibs"),
        ("he=x,she", "dam × son"),
        ("she=he,x", "sire × daughter"),
        ("he=x,y y=z,she", "granddam × grandson"),
        ("she=x,y x=he,z", "grandsire × granddaughter"),
        ("she=x,y y=g,h he=g,h", "uncle × niece"),
        ("he=x,y x=g,h she=g,h", "aunt × nephew"),
        ("she=x,y y=g,h he=g,i", "half uncle × niece"),
        ("she=a,x he=b,y a=g,h b=g,h", "first cousins"),
        ("she=a,c he=b,d a=g,h b=g,h c=i,j d=i,j", "double first cousins"),
        ("she=a,x he=b,y a=g,h b=g,i", "half first cousins"),
        ("she=pa,ma he=pa,ma pa=g,h ma=g,h", "full sibs, and more"),
        ("she=a,x a=b,y b=c,z he=d,w d=c,v", "kin"),
        ("", "unrelated"),
    ],
)
def test_kin_have_the_words_breeders_use(page: str, words: str) -> None:
    parents = {young: tuple(both.split(",")) for young, _, both in (one.partition("=") for one in page.split())}
    lines = [f"09:00 {young} arrived name={young} sire={sire} dam={dam}" for young, (sire, dam) in parents.items()]
    found = pedigree(standing("2026-01-01 AK\n" + "\n".join(lines) + "\n"), Days())
    between = found.kin("animal/she", "animal/he")
    assert between.worst is not None
    assert kin_words("animal/she", "animal/he", between.worst.parents, between.most) == words
