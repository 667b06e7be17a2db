"""How a subject stands, at the head of its page: the same on paper and on the screen."""

from __future__ import annotations

from rounds.due.reckon import matters_about
from rounds.paper.subject import subject_page, subject_text
from rounds.paper.subject_head import head_text, head_values
from rounds.rules.settings import Settings
from rounds.screens.views.subject import subject_head
from tests.due.stops import house_with
from tests.notation import VIENNA, at, logbook, standing

PAGE = """
2025-03-01 AK
08:00 enclosure/b3 enclosure_set_up name=B3
08:01 wattle arrived name=Wattle sex=F place=enclosure/b3
08:02 karri arrived name="Old Karri" sex=M place=enclosure/b3
2026-03-01
08:00 sedge arrived name=Sedge sex=F place=enclosure/b3 hatched=2025-06-01 dam=wattle sire=karri traits=leatherback
2026-04-01
08:00 sedge egg_check_done
"""
NOW = at("2026-04-03 08:00")
PAST = "hatched 1 Jun 2025   dam Wattle   sire Old Karri   leatherback"


def test_parents_are_named_by_their_names_on_paper_and_on_the_screen() -> None:
    known, house = standing(PAGE), house_with()
    paper = head_text({"sort": "animal", **head_values(known, house, NOW, "animal/sedge")}, NOW)
    assert PAST in paper
    assert any("last egg check 2 days ago" in text for text in paper)
    lines = subject_head(known, house, NOW, "animal/sedge", list(reversed(logbook(PAGE))), 160)
    screen = ["".join(span.text for span in line) for line in lines]
    assert f"{PAST}   last egg check 2 days ago" in screen[1]


FAMILY = """
2026-01-01 AK
08:00 enclosure/b3 enclosure_set_up name=B3
08:01 wattle arrived name=Wattle sex=F place=enclosure/b3
08:02 karri arrived name=Karri sex=M
08:02 jarrah arrived name=Jarrah sex=M
2026-01-10
08:00 wattle mating_seen sire=karri
2026-02-01
08:00 wattle eggs_laid clutch=clutch/wattle-1 count=20 complete=true
2026-04-01
08:00 young arrived name=Young sex=F clutch=clutch/wattle-1 traits="het leatherback,red"
"""


def head(page: str) -> str:
    known, house = standing(page), house_with()
    return head_text({"sort": "animal", **head_values(known, house, NOW, "animal/young")}, NOW)[2]


def test_the_parents_of_a_young_are_those_of_its_clutch_and_a_sire_not_written_down_is_said_to_be_reckoned() -> (
    None
):
    assert head(FAMILY) == "dam Wattle   sire Karri, by who was with her   het leatherback   red"
    two = FAMILY.replace("2026-02-01", "2026-01-12\n08:00 wattle mating_seen sire=jarrah\n2026-02-01")
    assert "dam Wattle   sire Jarrah or Karri" in head(two)
    assert "dam Wattle   sire Jarrah   het" in head(FAMILY.replace("complete=true", "complete=true sire=jarrah"))


def test_traits_settled_since_stand_in_place_of_the_words_of_the_arrival() -> None:
    assert head(f"{FAMILY}\n09:00 young traits_settled shows=leatherback").endswith("red   leatherback")
    assert head(f"{FAMILY}\n09:00 young traits_settled without=leatherback").endswith("red   without leatherback")


def test_what_is_for_the_vet_stands_above_every_forecast_on_paper() -> None:
    page = PAGE.replace("2026-04-01\n", "2026-03-20\n08:00 wattle mating_seen\n2026-04-01\n")
    page += "08:05 wattle egg_check_done present=straining\n"
    known, settings = standing(page), Settings(name="Quandong shed", zone=VIENNA, house=house_with())
    matters = matters_about(known, settings.house, NOW, ["animal/wattle"])
    text = subject_text(subject_page(known, settings, NOW, "animal/wattle", logbook(page), matters), NOW)
    lines = text.splitlines()
    assert lines[2].startswith("VET NOW  Wattle: straining 1 Apr 08:05")
    assert text.count("straining 1 Apr 08:05") == 1
    assert text.index("VET NOW") < text.index("forecast:")
