"""How a subject stands, at the head of its page: the same on paper and on the screen."""

from __future__ import annotations

from rounds.paper.subject_head import head_text, head_values
from rounds.screens.views.subject import subject_head
from tests.due.stops import house_with
from tests.notation import at, logbook, standing

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
PAST = "hatched 2025-06-01   dam Wattle   sire Old Karri   leatherback"


def test_parents_are_named_by_their_names_on_paper_and_on_the_screen() -> None:
    known, house = standing(PAGE), house_with()
    paper = head_text({"sort": "animal", **head_values(known, house, NOW, "animal/sedge")}, NOW)
    assert PAST in paper
    assert any("last egg check 2 days ago" in text for text in paper)
    lines = subject_head(known, house, NOW, "animal/sedge", list(reversed(logbook(PAGE))), 160)
    screen = ["".join(span.text for span in line) for line in lines]
    assert f"{PAST}   last egg check 2 days ago" in screen[1]
