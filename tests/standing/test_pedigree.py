"""Who is whose sire and dam by the logbook, and the kinship that follows."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.standing.breeding import Days
from rounds.standing.crosses import Crosses
from rounds.standing.kin_words import kin_words
from rounds.standing.pedigree import Kin, Pedigree, loop_words, pedigree
from rounds.standing.traits import Trait
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


def test_copulation_seen_is_a_mating_whoever_it_was_noted_of() -> None:
    page = CLUTCH.format(sire="").replace(
        "ma put_together mate=pa", "pa behaviour_seen behaviour=copulation toward=ma"
    )
    page = page.replace("08:00 ma parted mate=pa", "")
    assert known(page).parents("animal/she").sires == ("animal/pa",)
    assert exactly("1/4", page)
    # A female is no sire, whatever was noted of the two.
    fay = "08:00 ma behaviour_seen behaviour=copulation toward=fay\n08:01 fay arrived name=Fay sex=F\n"
    assert known(f"{page}    2026-02-10\n{fay}").parents("animal/she").sires == ("animal/pa",)


def test_possible_sires_of_an_arrival_give_a_range() -> None:
    page = "09:00 he arrived name=He sex=M sire=pa dam=ma\n"
    found = kin(page + "09:00 she arrived name=She sex=F dam=ma possible_sires=other,pa\n")
    assert (found.most, found.least) == (Fraction(1, 4), Fraction(1, 8))
    assert exactly("1/4", page + "09:00 she arrived name=She sex=F dam=ma possible_sires=pa\n")


def test_so_many_open_parents_that_each_way_is_not_reckoned_give_bounds() -> None:
    lines = [f"09:00 n{n} arrived name=N dam=n{n - 1 if n else 'one'} possible_sires=pa,other" for n in range(6)]
    found = kin("\n".join(lines) + "\n09:00 he arrived name=He sex=M sire=pa dam=ma\n", "n5", "he")
    # All of them Pa's: 1/4 × (1 − 1/64); none of them: unrelated.
    assert (found.most, found.least, found.bounds) == (Fraction(63, 256), Fraction(0), True)


MIXED = """
    08:00 mb arrived name=Mb sex=F hatched=2018-01-01
    2026-02-01
    08:00 ma eggs_laid clutch=clutch/ma-1 count=10 complete=true sire=pa
    08:00 mb eggs_laid clutch=clutch/mb-1 count=10 complete=true sire={sire}
    2026-04-01
    08:00 group/a arrived name=A count=5 clutch=clutch/ma-1
    08:00 group/b arrived name=B count=5 clutch=clutch/mb-1
    09:00 group/b merged into=group/a count=5
    2026-05-01
    08:00 group/a singled_out animal=she
    08:00 she arrived name=She sex=F {known}
    08:10 group/a singled_out animal=he
    08:10 he  arrived name=He sex=M {known}
"""


def test_one_out_of_a_group_of_two_clutches_may_be_of_either() -> None:
    page = MIXED.format(sire="pa", known="sire=pa")
    parents = known(page).parents("animal/she")
    assert (parents.dam, parents.dams, parents.sires) == (None, ("animal/ma", "animal/mb"), ("animal/pa",))
    # Full sibs or half sibs; she may be his dam's own.
    assert kin(page)[:2] == (Fraction(1, 4), Fraction(1, 8))
    assert kin(page, "she", "ma")[:2] == (Fraction(1, 4), Fraction(0))
    assert exactly("1/4", page + "09:00 she arrived name=She dam=ma\n09:00 he arrived name=He dam=ma\n")
    # A dam goes with the sire of her clutch: full sibs, or no kin at all.
    assert kin(MIXED.format(sire="other", known=""))[:2] == (Fraction(1, 4), Fraction(0))


def test_looks_counted_in_a_group_of_two_clutches_are_no_one_pairs_alone() -> None:
    page = MIXED.format(sire="pa", known="sire=pa") + "09:00 group/a traits_settled shows=albino count=2\n"
    found = standing(FAMILY + page)
    beliefs = Crosses(found, pedigree(found, Days()), [(albino := Trait("albino", "recessive"))])
    assert beliefs.copies("animal/ma", albino) == {0: 1}


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


# The same by another way: every way in which open parents may fall out, each by the tabular method (Emik & Terrill
# 1949, Journal of Heredity 40:51), written anew here.


def relationship(parents: dict[str, tuple[str | None, str | None]]) -> dict[str, dict[str, Fraction]]:
    """Row by row, parents before young: twice the kinship of each two."""
    rows: dict[str, dict[str, Fraction]] = {}
    for young, (sire, dam) in parents.items():
        row = {
            old: sum((rows[one][old] for one in (sire, dam) if one is not None), Fraction(0)) / 2 for old in rows
        }
        for old, figure in row.items():
            rows[old][young] = figure
        row[young] = 1 + (rows[sire][dam] / 2 if sire is not None and dam is not None else Fraction(0))
        rows[young] = row
    return rows


@st.composite
def families(draw: st.DrawFn) -> dict[str, tuple[tuple[str | None, ...], str | None]]:
    """Up to nine animals, parents before young: the males who may be the sire of each, and its dam.

    Any animal may be a sire and a dam: her own sire, her young's, both parents of one.
    """
    found: dict[str, tuple[tuple[str | None, ...], str | None]] = {}
    for number in range(draw(st.integers(2, 9))):
        any_of = st.sampled_from([None, *found])
        several = draw(st.lists(any_of, min_size=1, max_size=1 if number % 3 else 3, unique=True))
        sires: tuple[str | None, ...] = tuple(several) if None not in several else (None,)
        found[f"n{number}"] = (sires, draw(any_of))
    return found


@given(families())
@settings(max_examples=80)
def test_most_and_least_are_those_of_all_ways_by_the_tabular_method(
    family: dict[str, tuple[tuple[str | None, ...], str | None]],
) -> None:
    lines = ["2026-01-01 AK"]
    for who, (sires, dam) in family.items():
        named = [one for one in sires if one is not None]
        sire = f"possible_sires={','.join(named)}" if len(named) > 1 else "".join(f"sire={one}" for one in named)
        lines.append(f"09:00 {who} arrived name={who} {sire} {f'dam={dam}' if dam else ''}")
    found = pedigree(standing("\n".join(lines) + "\n"), Days())
    choices = [[(sire, dam) for sire in sires] for sires, dam in family.values()]
    tables = [relationship(dict(zip(family, way, strict=True))) for way in product(*choices)]
    for one in family:
        for other in family:
            figures = [table[one][other] / 2 for table in tables]
            between = found.kin(f"animal/{one}", f"animal/{other}")
            assert (between.most, between.least) == (max(figures), min(figures))
