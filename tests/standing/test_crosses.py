"""What the young of a pairing may show: textbook crosses, and carriers that young told of."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.standing.breeding import Days
from rounds.standing.crosses import Crosses, looks
from rounds.standing.pedigree import pedigree
from rounds.standing.traits import LEATHERBACK, Trait, Way, is_told_of, may_show, notes
from tests.notation import standing

ALBINO, PALE = Trait("albino", "recessive"), Trait("pale", "recessive")
TRAITS = (ALBINO, PALE, LEATHERBACK)
MA, PA = "animal/ma", "animal/pa"
PAIR = """
    2026-01-01 AK
    08:00 ma arrived name=Ma sex=F
    08:00 pa arrived name=Pa sex=M
"""


def crosses(page: str, *, by_young: bool = True) -> Crosses:
    found = standing(PAIR + page)
    return Crosses(found, pedigree(found, Days()), TRAITS, by_young=by_young)


def young(page: str, trait: Trait) -> dict[int, str]:
    return {copies: str(chance) for copies, chance in sorted(crosses(page).cross(MA, PA, trait).young.items())}


def carries(page: str, who: str = "ma", trait: Trait = ALBINO) -> str:
    return str(1 - crosses(page).copies(f"animal/{who}", trait).get(0, Fraction(0)))


def settled(**words: str) -> str:
    return "".join(f"09:00 {who} traits_settled {said}\n" for who, said in words.items())


# Mendel 1866: one and two factors.


def test_two_carriers_give_one_two_one() -> None:
    assert young(settled(ma="carries=albino", pa="carries=albino"), ALBINO) == {0: "1/4", 1: "1/2", 2: "1/4"}


def test_two_traits_carried_by_both_give_nine_three_three_one() -> None:
    page = settled(ma="carries=albino,pale", pa="carries=albino,pale")
    assert [(look, str(chance)) for look, chance in looks(crosses(page).of(MA, PA))] == [
        ((), "9/16"),
        (("albino",), "3/16"),
        (("pale",), "3/16"),
        (("albino", "pale"), "1/16"),
    ]


@pytest.mark.parametrize(
    ("ma", "pa", "expected"),
    [
        ("shows=albino", "shows=albino", {2: "1"}),
        ("shows=albino", "carries=albino", {1: "1/2", 2: "1/2"}),
        ("shows=albino", "without=albino", {1: "1"}),
        ("carries=albino", "without=albino", {0: "1/2", 1: "1/2"}),
        ("without=albino", "without=albino", {0: "1"}),
        ("possible=albino", "shows=albino", {1: "3/4", 2: "1/4"}),
    ],
)
def test_a_recessive_trait(ma: str, pa: str, expected: dict[int, str]) -> None:
    assert young(settled(ma=ma, pa=pa), ALBINO) == expected


def test_a_quarter_of_the_young_of_two_leatherbacks_is_scaleless() -> None:
    # Di-Poï & Milinkovitch 2016, Sci Adv 2:e1600708: leatherback is incomplete dominant, two copies are scaleless.
    page = settled(ma="shows=leatherback", pa="shows=Leatherback")
    assert young(page, LEATHERBACK) == {0: "1/4", 1: "1/2", 2: "1/4"}
    assert crosses(page).cross(MA, PA, LEATHERBACK).burdened == Fraction(1, 4)
    assert [look for look, _ in looks(crosses(page).of(MA, PA))] == [("leatherback",), (), ("scaleless",)]
    assert young(settled(ma="shows=silkback", pa="shows=leatherback"), LEATHERBACK) == {1: "1/2", 2: "1/2"}
    assert young(settled(ma="shows=leatherback"), LEATHERBACK) == {0: "1/2", 1: "1/2"}


# Possible carriers


KID = "09:30 kid arrived name=Kid sire=pa dam=ma\n"


def test_a_normal_young_of_two_carriers_carries_by_two_thirds() -> None:
    both = settled(ma="carries=albino", pa="carries=albino")
    assert carries(both + KID, "kid") == "2/3"
    assert carries(both + KID + settled(kid="normal=albino"), "kid") == "2/3"
    assert carries(settled(ma="carries=albino", pa="without=albino") + KID, "kid") == "1/2"
    assert carries(settled(ma="shows=albino") + KID, "kid") == "1"
    assert carries(KID, "kid") == "0"


def test_three_normal_test_young_leave_a_ninth() -> None:
    # Prior 1/2, mated to one that shows it: (1/2 × 1/8) / (1/2 × 1/8 + 1/2) = 1/9.
    test = settled(ma="possible=albino", pa="shows=albino")
    assert carries(test) == "1/2"
    kids = "".join(
        f"10:00 k{n} arrived name=K{n} sire=pa dam=ma\n11:00 k{n} traits_settled normal=albino\n" for n in range(3)
    )
    assert carries(test + kids) == "1/9"
    group = (
        "10:00 group/g arrived name=G sire=pa dam=ma count=3\n11:00 group/g traits_settled normal=albino count=3\n"
    )
    assert carries(test + group) == "1/9"


def test_one_that_shows_it_makes_a_possible_carrier_certain() -> None:
    page = settled(ma="possible=albino") + KID + settled(kid="shows=albino")
    assert carries(page) == carries(page, "pa") == "1"
    group = (
        "10:00 group/g arrived name=G sire=pa dam=ma count=9\n11:00 group/g traits_settled shows=albino count=1\n"
    )
    assert carries(settled(ma="possible=albino") + group) == "1"


def test_a_carrier_whose_parents_are_not_noted_has_it_from_one_of_them() -> None:
    assert carries(KID + settled(kid="carries=albino")) == carries(KID + settled(kid="carries=albino"), "pa")
    assert carries(KID + settled(kid="carries=albino")) != "0"
    # Whoever is no kin of theirs is left as it was.
    assert carries(KID + "10:00 x arrived name=X\n" + settled(kid="carries=albino"), "x") == "0"


def test_young_counted_in_a_group_and_named_since_are_counted_once() -> None:
    test = settled(ma="possible=albino", pa="shows=albino")
    clutch = "09:10 ma eggs_laid clutch=clutch/ma-1 count=3 sire=pa\n"
    group = "10:00 group/g arrived name=G clutch=clutch/ma-1 count=3\n"
    group += "11:00 group/g traits_settled normal=albino count=3\n"
    named = "12:00 kid arrived name=Kid clutch=clutch/ma-1\n13:00 kid traits_settled normal=albino\n"
    assert carries(test + clutch + group) == carries(test + clutch + group + named) == "1/9"


def test_what_cannot_all_be_true_gives_no_chances() -> None:
    page = settled(ma="without=albino") + KID + settled(kid="shows=albino")
    assert crosses(page).copies("animal/ma", ALBINO) == {0: Fraction(1)}
    assert crosses(page).cross(MA, PA, ALBINO).young == {}
    both_without = settled(ma="without=albino", pa="without=albino") + KID + settled(kid="possible=albino")
    assert crosses(both_without).copies("animal/kid", ALBINO) == {0: Fraction(1)}


def test_with_two_possible_sires_the_chances_are_shared() -> None:
    page = settled(pa="shows=albino") + "09:10 b arrived name=B sex=M\n"
    assert carries(page + "09:20 kid arrived name=Kid dam=ma possible_sires=pa,b\n", "kid") == "1/2"


def test_a_loop_in_the_pedigree_stops_nothing() -> None:
    page = settled(pa="carries=albino") + "10:00 ma arrived name=Ma sire=kid\n" + KID
    assert crosses(page).of(MA, PA)


# What is noted


@pytest.mark.parametrize(
    ("words", "status"),
    [
        ("leatherback", "shows"),
        ("Leatherback", "shows"),
        ("het albino", "carries"),
        ("possible het albino", "possible"),
        ("66 % het albino", "possible"),
        ("het albino 66%", "possible"),
        ("100 % het albino", "carries"),
        ("dh albino", "carries"),
        ("ph albino", "possible"),
        ("albino het?", "possible"),
        # What stands behind a trait before another word is of that other one.
        ("albino poss het orange", "shows"),
        ("visual albino", "shows"),
        ("not albino", "without"),
        ("albino", "shows"),
        ("silkback", "two copies"),
        ("red", None),
    ],
)
def test_the_free_words_of_an_arrival_are_read(words: str, status: str | None) -> None:
    found = notes(standing(f'2026-01-01 AK\n08:00 x arrived name=X traits="{words}"\n'), "animal/x", TRAITS)
    assert [note.status for note in found.values()] == ([status] if status else [])


# Chances that breeders write are those of Mendel's crosses: of two carriers' normal young 2/3 carry, of a carrier's
# and a normal one's 1/2 (recomputed by hand).


@pytest.mark.parametrize(
    ("words", "chance"),
    [("66 % het albino", "2/3"), ("50% het albino", "1/2"), ("poss het albino 33 %", "1/3"), ("ph albino", "1/2")],
)
def test_a_chance_that_was_written_at_the_arrival_is_the_chance(words: str, chance: str) -> None:
    page = f'08:30 kid arrived name=Kid traits="{words}"\n'
    assert carries(page, "kid") == chance
    # Parents of whom nothing is noted tell nothing else; those known to be without do.
    bought = page.replace("name=Kid", "name=Kid sire=pa dam=ma")
    assert carries(bought, "kid") == chance
    assert carries(bought + settled(ma="without=albino", pa="without=albino"), "kid") != chance


NEST = "09:10 group/nest arrived name=Nest count=10 sire=pa dam=ma\n"
OUT = "10:00 group/nest singled_out animal=kid\n10:00 kid arrived name=Kid sire=pa dam=ma\n"


def copies(page: str, trait: Trait) -> dict[int, str]:
    return {many: str(chance) for many, chance in sorted(crosses(page).copies("animal/kid", trait).items())}


def test_one_out_of_a_group_may_show_what_some_of_it_show() -> None:
    some = "09:20 group/nest traits_settled shows=leatherback count=4\n"
    mother = settled(ma="shows=leatherback")
    # Of a leatherback and a normal one: half of the young. Nobody looked at this one.
    assert copies(mother + NEST + some + OUT, LEATHERBACK) == {0: "1/2", 1: "1/2"}
    assert copies(mother + NEST + some + OUT + settled(kid="normal=leatherback"), LEATHERBACK) == {0: "1"}
    assert copies(mother + NEST + OUT, LEATHERBACK) == {0: "1"}
    # Of parents not known it is as many of the group as show it.
    unknown = (NEST + some + OUT).replace(" sire=pa dam=ma", "")
    assert copies(unknown, LEATHERBACK) == {0: "3/5", 1: "2/5"}
    assert copies(unknown.replace("shows=leatherback", "possible=albino"), ALBINO) == {0: "4/5", 1: "1/5"}


def test_one_that_shows_it_and_was_named_out_is_not_among_those_counted_any_more() -> None:
    some = NEST.replace(" sire=pa dam=ma", "") + "09:20 group/nest traits_settled shows=leatherback count=4\n"
    first = "09:50 group/nest singled_out animal=first\n09:50 first arrived name=First\n"
    shows = "09:55 first traits_settled shows=leatherback\n"
    out = OUT.replace(" sire=pa dam=ma", "")
    group = ("group/nest",)
    assert copies(some + first + out, LEATHERBACK) == {0: "3/5", 1: "2/5"}
    assert copies(some + first + shows + out, LEATHERBACK) == {0: "2/3", 1: "1/3"}
    assert may_show(standing(PAIR + some + first), group, [LEATHERBACK]).endswith("(noted of 4 young)")
    assert may_show(standing(PAIR + some + first + shows), group, [LEATHERBACK]).endswith("(noted of 3 young)")
    alone = some.replace("count=4", "count=1")
    assert may_show(standing(PAIR + alone + first + shows), group, [LEATHERBACK]) == ""
    assert copies(alone + first + shows + out, LEATHERBACK) == {0: "1"}
    # Others came in before: it may have been one of those.
    mixed = "09:30 group/other arrived name=Other count=10\n09:40 group/other merged into=group/nest count=10\n"
    assert may_show(standing(PAIR + alone + mixed + first + shows), group, [LEATHERBACK]) != ""


def test_what_all_of_a_group_show_each_of_it_shows() -> None:
    every = "09:20 group/nest traits_settled shows=leatherback count=10\n"
    nest = NEST.replace(" sire=pa dam=ma", "")
    out = OUT.replace(" sire=pa dam=ma", "")
    assert copies(nest + every + out, LEATHERBACK) == {1: "1"}
    # Others came in since: it may be one of those.
    mixed = "09:30 group/other arrived name=Other count=10\n09:40 group/other merged into=group/nest count=10\n"
    assert copies(nest + every + mixed + out, LEATHERBACK) == {0: "1/2", 1: "1/2"}
    # Split off first, with no others: they are of the same nest.
    split = "09:30 group/large arrived name=Large count=0\n09:40 group/nest split_off into=group/large count=4\n"
    assert copies(nest + every + split + out.replace("group/nest", "group/large"), LEATHERBACK) == {1: "1"}


@pytest.mark.parametrize(
    ("name", "words", "said"),
    [
        ("red", "bred here", False),
        ("red", "red", True),
        ("red", "reds, from a friend", True),
        ("trans", "translucent", False),
        # What burdens the young is believed from any word it stands in.
        ("leatherback", "superleatherbacked", True),
    ],
)
def test_a_short_name_within_another_word_is_no_trait(name: str, words: str, said: bool) -> None:
    way: Way = "incomplete dominant" if name == "leatherback" else "recessive"
    assert is_told_of(Trait(name, way, "scaleless" if name == "leatherback" else ""), words) is said


def test_the_newest_note_counts() -> None:
    page = "08:30 ma arrived name=Ma traits=albino\n" + settled(ma="carries=albino")
    assert crosses(page).copies(MA, ALBINO) == {1: Fraction(1)}


@given(st.lists(st.sampled_from(["shows", "carries", "possible", "normal", "without", ""]), min_size=6, max_size=6))
@settings(max_examples=40)
def test_chances_add_up_to_one_or_there_are_none(said: list[str]) -> None:
    who = ["ma", "pa", "k1", "k2", "g1", "g2"]
    page = "09:00 k1 arrived name=A sire=pa dam=ma\n09:00 k2 arrived name=B sire=pa dam=ma\n"
    page += "09:00 g1 arrived name=C sire=k1 dam=k2\n09:00 g2 arrived name=D sire=k1 dam=ma\n"
    page += settled(**{one: f"{word}=albino" for one, word in zip(who, said, strict=True) if word})
    for by_young in (True, False):
        cross = crosses(page, by_young=by_young).cross("animal/g1", "animal/g2", ALBINO)
        for chances in (cross.young, cross.hers.copies, cross.his.copies):
            assert sum(chances.values()) in (0, 1)
            assert all(chance > 0 for chance in chances.values())
