"""Nobody becomes its own ancestor: refused before it is written, with the loop in words."""

from __future__ import annotations

import pytest

from rounds.audit.finding import Book
from rounds.audit.kin import own_ancestor
from rounds.desk.validation import judged
from rounds.rules.default import default_house
from rounds.rules.house import House
from rounds.rules.trait_list import trait_list
from tests.due.matters.found import HOUSE
from tests.notation import VIENNA, logbook, standing

FAMILY = """
2026-03-01 AK
08:00 ma arrived name=Ma sex=F
08:00 pa arrived name=Pa sex=M
08:00 kid arrived name=Kid sex=M sire=pa dam=ma
08:00 girl arrived name=Girl sex=F sire=kid
08:00 egg arrived name=Egg sex=F clutch=clutch/girl-1
08:00 girl eggs_laid clutch=clutch/girl-1 count=10
2026-04-01
"""


def refused(line: str, house: House = HOUSE) -> str:
    """Why a line is refused after the family is written down; empty when it is not."""
    entry = logbook(f"{FAMILY}\n{line}")[-1]
    found = judged(standing(FAMILY), house, entry)
    assert found.refused == judged(standing(f"{FAMILY}\n{line}"), house, entry).refused, "asked before and after"
    return found.refused


@pytest.mark.parametrize(
    ("line", "loop"),
    [
        ("10:00 pa arrived name=Pa sire=pa", "Pa would be its own ancestor: Pa stands as its own parent."),
        (
            "10:00 pa arrived name=Pa sire=kid",
            "Pa would be its own ancestor: Pa is a young of Kid, Kid is a young of Pa.",
        ),
        (
            "10:00 pa arrived name=Pa dam=girl",
            "Pa would be its own ancestor: Pa is a young of Girl, Girl is a young of Kid, Kid is a young of Pa.",
        ),
        ("10:00 pa arrived name=Pa possible_sires=other,kid", "Pa is a young of Kid, Kid is a young of Pa."),
        ("10:00 pa arrived name=Pa clutch=clutch/girl-1", "Pa is a young of Girl, Girl is a young of Kid"),
        ("10:00 pa arrived name=Pa sire=other", ""),
        ("10:00 new arrived name=New sire=kid dam=girl", ""),
        ("10:00 group/g arrived name=G sire=kid dam=girl count=4", ""),
    ],
)
def test_a_loop_is_refused_by_name(line: str, loop: str) -> None:
    found = refused(line)
    assert loop in found
    assert found.endswith("Correct the sire or the dam that is wrong.") is bool(loop)


def test_eggs_whose_sire_is_a_young_of_theirs_are_refused() -> None:
    page = FAMILY.replace("name=Egg sex=F", "name=Egg sex=M")
    entry = logbook(f"{page}\n10:00 girl eggs_laid clutch=clutch/girl-1 count=12 sire=egg")[-1]
    assert (
        "Egg would be its own ancestor: Egg stands as its own parent."
        in judged(standing(page), HOUSE, entry).refused
    )


def test_a_correction_that_would_close_a_loop_is_refused_too() -> None:
    wrong = next(entry for entry in logbook(FAMILY) if entry.about == "animal/kid")
    for line, refuses in (("sire=girl", True), ("sire=other", False)):
        right = logbook(f"{FAMILY}\n10:00 kid arrived name=Kid {line}")[-1]
        found = judged(standing(FAMILY), HOUSE, right, frozenset({wrong.id}))
        assert ("Kid is a young of Girl, Girl is a young of Kid" in found.refused) is refuses


@pytest.mark.parametrize(
    ("lines", "loops"),
    [
        ("10:00 pa arrived name=Pa sire=kid", 1),
        ("10:00 pa arrived name=Pa possible_sires=kid", 1),
        ("10:00 pa arrived name=Pa clutch=clutch/girl-1", 1),
        ("10:00 pa pedigree_noted sire=kid", 1),
        ("10:00 kid pedigree_noted sire=other\n11:00 pa pedigree_noted sire=kid", 0),
        ("10:00 pa left how=lent\n11:00 pa arrived name=Pa", 0),
        ("10:00 kid arrived name=Kid sire=other\n11:00 pa arrived name=Pa sire=kid", 0),
        ("", 0),
    ],
)
def test_the_audit_finds_the_same_loops_on_sheets_from_elsewhere(lines: str, loops: int) -> None:
    found = list(own_ancestor(Book(logbook(f"{FAMILY}\n{lines}"))))
    assert len(found) == loops
    assert all("one of them would be its own ancestor" in one.sentence for one in found)


@pytest.mark.parametrize(
    ("members", "told"),
    [
        ("sire=ma", "Ma is a female: a sire is a male. If Ma is none, settle the sex first."),
        ("possible_sires=pa,ma", "Ma is a female: a sire is a male. If Ma is none, settle the sex first."),
        ("dam=pa", "Pa is a male: a dam is a female. If Pa is none, settle the sex first."),
        ("sire=pa dam=ma", ""),
        ("sire=unheard dam=of", ""),
    ],
)
def test_a_sire_is_a_male_and_a_dam_a_female(members: str, told: str) -> None:
    assert refused(f"10:00 new arrived name=New {members}") == told


# Traits by the colony's list

TRAITS = House(HOUSE.rules, VIENNA, traits=trait_list({"albino": "recessive"}))


def test_a_trait_that_is_not_on_the_list_is_refused_with_the_list() -> None:
    told = refused("10:00 ma traits_settled shows=albinno", TRAITS)
    assert told.startswith("Ma: 'albinno' is not on the colony's list of traits (leatherback, albino).")
    assert told.endswith("Add it to colony.toml, [traits].")
    assert refused("10:00 ma traits_settled shows=Albino carries=leatherback", TRAITS) == ""
    assert refused("10:00 ma traits_settled shows=scaleless", TRAITS) == ""
    assert refused("10:00 ma traits_settled", TRAITS) == "Ma: no trait is named."


def test_of_a_group_it_is_said_how_many_young() -> None:
    page = FAMILY + "09:00 group/g arrived name=G count=9\n"
    for words, told in (("", "G: say in how many of the young it was seen."), ("count=3", "")):
        entry = logbook(f"{page}\n10:00 group/g traits_settled shows=leatherback {words}")[-1]
        assert judged(standing(page), default_house(VIENNA), entry).refused == told
