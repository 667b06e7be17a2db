"""The pairing table and the page of a pair on paper, and the same as values."""

from __future__ import annotations

import json
from datetime import datetime
from fractions import Fraction

import pytest
from hypothesis import given, settings

from rounds.due.pairing_table import PairingTable
from rounds.logbook.entries import Entry
from rounds.paper import pairing as paper_of_pairing
from rounds.paper.pairing import MOST_PATHS, pair_page, pairing_table
from rounds.paper.pairing_text import page_text, table_text
from rounds.rules.default import default_rules
from rounds.rules.settings import settings_of
from rounds.standing.fold import fold
from tests.due.matters.random_pages import moments, pages
from tests.notation import at, standing

NOW = at("2026-04-13 18:00")
SETTINGS = settings_of(
    'name = "Quandong shed"\ntime_zone = "Europe/Vienna"\n[traits]\nalbino = "recessive"\n', default_rules()
)
ROOM = """
    2026-03-01 AK
    08:00 b1 enclosure_set_up name=B1
    08:00 ma arrived name=Mallee sex=F hatched=2020-01-01 place=b1 traits=leatherback bred_here=true
    08:00 pa arrived name=Ironbark sex=M hatched=2020-01-01 traits=leatherback,"het albino" bred_here=true
    08:00 she arrived name=Banksia sex=F hatched=2022-01-01 sire=pa dam=ma bred_here=true
    08:00 half arrived name=Karri sex=M hatched=2022-01-01 sire=pa dam=other bred_here=true
    08:00 he arrived name=Marri sex=M hatched=2022-06-01 dam=she possible_sires=half,stranger bred_here=true
    08:00 fern arrived name=Fern sex=F hatched=2025-03-01 bred_here=true
    08:00 egg arrived name=Egg sex=F hatched=2026-01-01 bred_here=true
    08:00 what arrived name=What hatched=2022-01-01 bred_here=true
    08:00 loop arrived name=Loop sex=M sire=loop hatched=2022-01-01 bred_here=true
    08:30 she weighed grams=430
    08:30 ma eggs_laid clutch=clutch/ma-1 count=21 complete=true
"""


def table(page: str = ROOM) -> PairingTable:
    return PairingTable(standing(page), SETTINGS.house, NOW)


def paper(of: str | None = None) -> str:
    return table_text(pairing_table(table(), SETTINGS, of), NOW)


def test_the_table_says_kin_and_cautions_and_who_is_not_paired_now() -> None:
    lines = paper().split("\n")
    assert lines[7] == "LOOK FIRST"
    assert lines[10:12] == [
        "Mallee    no weight; body not looked at; weight before the clutch not known",
        "Ironbark  no weight; body not looked at",
    ]
    assert lines[3:7] + lines[16:22] == [
        "young of …    Ironbark        Karri           Loop            Marri",
        "Banksia       1/4! sire × da… 1/8! half sibs  kin not known   5/16 to 1/4!",
        "Mallee        ! scaleless     unrelated       kin not known   1/8! granddam…",
        "",
        "NOT NOW",
        "Fern  too young (13 months, bred from 24)",
        "",
        "Left out: 1 too young to be asked about, 1 of unknown sex.",
        "The figure is the inbreeding of the young, by the pedigree known so far; !",
        "stands by a caution.",
    ]


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("2026-03-20\n09:00 she mating_seen sire=half", "may be gravid (mated: window 3 Apr to 1 May)"),
        ("2026-03-20\n09:00 ma moved to=b1", ""),
    ],
)
def test_a_female_who_may_be_gravid_is_not_paired_now(line: str, told: str) -> None:
    found = table(f"{ROOM}    {line}\n")
    assert [one.says for one in found.not_now("animal/she")] == [told] * bool(told)
    assert ("animal/she" in found.free[0]) is not bool(told)


def test_a_burden_is_told_of_those_not_paired_now_too() -> None:
    waits = f"{ROOM}    2026-03-20\n    09:00 ma mating_seen sire=half\n"
    told = table_text(pairing_table(table(waits), SETTINGS), NOW)
    assert "Mallee  ! scaleless with Ironbark; may be gravid" in told
    cell = table(waits).pair("animal/ma", "animal/pa")
    assert cell.not_now
    assert cell.short == "scaleless! not now"


def test_in_the_time_of_the_next_clutch_a_female_may_be_gravid_by_stored_sperm() -> None:
    told = table_text(
        pairing_table(PairingTable(standing(ROOM), SETTINGS.house, at("2026-04-12 18:00")), SETTINGS), NOW
    )
    assert "Mallee ! scaleless with Ironbark; may be gravid (next clutch: window 22 Mar to 12 Apr)" in " ".join(
        told.split()
    )


def test_of_one_female_every_male_least_kin_first() -> None:
    told = paper("animal/she")
    rows = [line.split("  ")[0] for line in told.split("\n")[4:8]]
    assert rows == ["Karri", "Ironbark", "Marri", "Loop"]
    assert "Karri     1/8  half sibs" in told
    assert "! reaches the house limit" in told


def page(dam: str, sire: str) -> str:
    return page_text(pair_page(table(), SETTINGS, f"animal/{dam}", f"animal/{sire}"), NOW)


def test_the_page_of_a_pair_says_cautions_first_then_the_paths_the_two_and_the_young() -> None:
    told = page("she", "half")
    assert told.split("\n")[2:8] == [
        "CAUTION   Half sibs, inbreeding of the young 12.5 %.",
        "",
        "KIN",
        "Half sibs. Inbreeding of the young 1/8 = 12.5 %.",
        "  1/8 by Ironbark: 1 generation above her, 1 above him",
        "",
    ]
    assert "Banksia   4 y 3 m   430 g" in told
    assert "albino (recessive): Banksia may carry it, 1/2; Karri may carry it, 1/2." in told
    assert "kin are kept apart when the inbreeding coefficient of their young would reach" in told
    assert "recommend" not in told.casefold()


def test_a_burden_on_the_young_stands_in_front_with_its_source() -> None:
    told = " ".join(page("ma", "pa").split())
    assert "CAUTION Two leatherbacks, 25 % of the young scaleless, a welfare burden." in told
    assert "Young: 1/4 scaleless, 1/2 leatherback, 1/4 without leatherback." in told
    assert "All together the young look: 1/2 leatherback, 1/4 none of these, 1/4 scaleless." in told
    assert "Di-Poï & Milinkovitch 2016" in told
    assert "last clutch 1 Mar, 21 eggs; 1 clutch in all" in told


def test_open_parents_and_loops_are_said_in_words() -> None:
    told = " ".join(page("she", "he").split())
    assert "5/16 = 31.25 % at the most, 1/4 at the least" in told
    assert "Marri: sire Karri or stranger." in told
    loop = page("she", "loop")
    assert "CAUTION   Kin not known: Loop stands as its own parent." in loop
    assert "Inbreeding of the young: not known." in loop


def test_the_values_are_ready_for_json_and_exact() -> None:
    found = json.loads(json.dumps(pair_page(table(), SETTINGS, "animal/she", "animal/he")))
    listed = [Fraction(one["share"]) for one in found["paths"]["listed"]]
    total = sum(listed, Fraction(found["paths"]["rest"]))
    assert total == Fraction(found["paths"]["sum"]) == Fraction(found["inbreeding"]) == Fraction(5, 16)
    every = json.loads(json.dumps(pairing_table(table(), SETTINGS)))
    free = [[one["subject"] for one in every[sex] if not one["not_now"]] for sex in ("females", "males")]
    assert [(one["dam"], one["sire"]) for one in every["pairs"]] == [
        (dam, sire) for dam in free[0] for sire in free[1]
    ]
    assert every["rows"][0] == ["1/4", "1/8", "kin not known", "5/16 to 1/4"]
    assert len(every["rows"]) == len(free[0])


def test_so_many_pairs_that_no_one_reads_them_are_given_by_their_figures(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(paper_of_pairing, "MOST_PAIRS", 3)
    told = paper()
    assert "Banksia       1/4!            1/8!            kin not known   5/16 to 1/4!" in told
    assert "Mallee        unrelated       unrelated       kin not known   1/8!" in told
    assert "shown by their figures alone" in told


def test_many_paths_are_cut_and_what_is_left_is_one_figure() -> None:
    lines = ["2026-03-01 AK"]
    for number in range(1, 20):
        above = f"sire=m{number - 1} dam=f{number - 1}" if number > 1 else ""
        lines += [f"08:00 {sex}{number} arrived name={sex}{number} sex={sex.upper()} {above}" for sex in "fm"]
    found = pair_page(table("\n".join(lines) + "\n"), SETTINGS, "animal/f19", "animal/m19")
    paths = found["paths"]
    assert len(paths["listed"]) == MOST_PATHS
    assert paths["more"] > 0
    shares = sum((Fraction(one["share"]) for one in paths["listed"]), Fraction(paths["rest"]))
    assert shares == Fraction(found["inbreeding"])


@settings(max_examples=80, deadline=None)
@given(page=pages(), now=moments)
def test_whatever_was_written_the_table_and_every_pair_can_be_shown(page: list[Entry], now: datetime) -> None:
    found = PairingTable(fold(page), SETTINGS.house, now)
    table_text(json.loads(json.dumps(pairing_table(found, SETTINGS))), now)
    for dam in found.dams:
        for sire in found.sires:
            values = pair_page(found, SETTINGS, dam, sire)
            page_text(json.loads(json.dumps(values)), now)
            assert Fraction(values["paths"]["sum"]) == Fraction(values["inbreeding"] or 0)
            assert (values["inbreeding"] is None) == bool(values["not_known"])
            listed = [one["percent"] for one in values["young"]]
            assert sum(listed) <= 100 + 1e-9


def test_no_one_to_pair_is_said() -> None:
    empty = PairingTable(standing("2026-03-01 AK\n08:00 she arrived name=She sex=F\n"), SETTINGS.house, NOW)
    assert "No grown male is here" in table_text(pairing_table(empty, SETTINGS), NOW)


def test_a_trait_that_the_list_does_not_name_is_said_to_be_left_out() -> None:
    page = ROOM.replace("traits=leatherback bred_here", 'traits=leatherback,"het hypo" bred_here')
    found = pair_page(table(page), SETTINGS, "animal/ma", "animal/pa")
    told = {"subject": "animal/ma", "name": "Mallee", "traits": ["het hypo"]}
    assert found["unlisted_traits"] == [told], "het albino is on the list"
    assert "Not reckoned: Mallee het hypo." in page_text(found, NOW)
    assert "Not reckoned" not in page_text(pair_page(table(), SETTINGS, "animal/ma", "animal/pa"), NOW)


def test_a_reason_beside_a_name_does_not_say_the_name_again() -> None:
    page = ROOM + '2026-04-13\n10:00 she egg_check_done present="straining"\n'
    lines = table_text(pairing_table(table(page), SETTINGS, None), NOW).split("\n")
    (told,) = [line for line in lines if line.startswith("Banksia") and "straining" in line]
    assert told.split()[:2] == ["Banksia", "straining"]
