"""A stop's lines fit: nothing is marked as cut that is whole."""

from __future__ import annotations

from rounds.paper.words import resident
from rounds.rules.default import default_house
from rounds.screens.views.stop import resident_lines
from tests.notation import VIENNA, at, standing

PAGE = """
2026-03-10 AK
08:00  b3      enclosure_set_up  name=B3
08:01  wattle  arrived  name=Wattle sex=F place=b3 hatched=2023-01-01
08:02  karri   arrived  name=Karri sex=M place=b3 hatched=2022-01-01
"""


def test_animals_never_weighed_fit_their_line_at_80_columns() -> None:
    now, house = at("2026-03-10 12:00"), default_house(VIENNA)
    here = standing(PAGE)
    told = [resident(here, house, who, now) for who in here.living_in("enclosure/b3")]
    for line in resident_lines(told, "animal/wattle", 80, 20, unknown=True):
        text = "".join(span.text for span in line)
        assert len(text) <= 80
        assert "…" not in text
