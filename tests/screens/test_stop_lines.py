"""A stop's lines fit: nothing is marked as cut that is whole."""

from __future__ import annotations

from rounds.due.line import DueLine
from rounds.due.lines import lines_at
from rounds.logbook.words import Care
from rounds.paper.words import resident
from rounds.rules.default import default_house
from rounds.screens.board.board import fitting
from rounds.screens.views import stop
from rounds.screens.views.stop import resident_lines
from tests.notation import VIENNA, at, standing

PAGE = """
2026-03-10 AK
08:00  b3      enclosure_set_up  name=B3
08:01  wattle  arrived  name=Wattle sex=F place=b3 hatched=2023-01-01
08:02  karri   arrived  name=Karri sex=M place=b3 hatched=2022-01-01
"""


def _due(care: Care, says: str, about: str = "enclosure/b3", late: int = 0) -> DueLine:
    day = at("2026-03-10 12:00").date()
    return DueLine(care=care, about=about, place="enclosure/b3", says=says, due=day, late_days=late, plain=False)


def test_animals_never_weighed_fit_their_line_at_80_columns() -> None:
    now, house = at("2026-03-10 12:00"), default_house(VIENNA)
    here = standing(PAGE)
    told = [resident(here, house, who, now) for who in here.living_in("enclosure/b3")]
    for line in resident_lines(told, "animal/wattle", 80, 20, unknown=True):
        text = "".join(span.text for span in line)
        assert len(text) <= 80
        assert "…" not in text


def test_what_is_due_and_late_for_no_one_is_not_marked_as_cut() -> None:
    now, house = at("2026-03-10 12:00"), default_house(VIENNA)
    here = standing(PAGE)
    due = [*lines_at(here, house, now, "enclosure/b3"), _due("lamp", "lamp: change it, or read the UV index " * 3)]
    for width in (60, 80, 120):
        for row in stop.due_lines(due, here, "enclosure/b3", width, 20):
            cut = "".join(span.text for span in fitting(row, width))
            whole = "".join(span.text for span in row)
            assert cut.rstrip() == whole.rstrip(), "nothing is cut off a second time"


def test_what_is_due_never_touches_the_name_behind_it() -> None:
    here = standing(PAGE)
    due = _due(
        "part", "part: from Karri, together 3 days; then 7 days apart before the next time", "animal/wattle", 1
    )
    (row,) = stop.due_lines([due], here, "enclosure/b3", 80, 1)
    text = "".join(span.text for span in row)
    assert "… Wattle" in text
    assert "1 day late" in text
    row, below = stop.due_lines([due], here, "enclosure/b3", 80, 20)
    assert "then 7 days     Wattle  1 day late" in "".join(span.text for span in row)
    assert "".join(span.text for span in below).strip() == "apart before the next time"


def test_an_animal_that_brumates_is_said_to_once() -> None:
    now, house = at("2026-06-10 12:00"), default_house(VIENNA)
    here = standing(PAGE + "09:00 wattle weighed grams=450\n2026-06-01 AK\n08:00 wattle brumation_began\n")
    told = [resident(here, house, "animal/wattle", now)]
    (line,) = resident_lines(told, "animal/wattle", 80, 20, unknown=False)
    assert "".join(span.text for span in line).count("brumating") == 1


def test_what_is_to_be_done_goes_on_below_sooner_than_be_cut() -> None:
    here = standing(PAGE)
    due = [
        _due("hatch watch", "look, 24 h after laying", "animal/wattle"),
        _due("weigh", "and feel for eggs if practised, 24 h after laying", "animal/wattle"),
    ]
    told = ["".join(span.text for span in line) for line in stop.due_lines(due, here, "enclosure/b3", 80, 8)]
    assert all(len(one) <= 80 and "…" not in one for one in told)
    assert " ".join(" ".join(told).split()).endswith("and feel for eggs if practised, 24 h after Wattle laying")
    # Where no row is left for it, each line keeps its own.
    told = ["".join(span.text for span in line) for line in stop.due_lines(due, here, "enclosure/b3", 80, 2)]
    assert len(told) == 2
    assert "and feel for eggs if practised" in told[1]
