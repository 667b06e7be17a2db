"""Whatever a foreign sheet says of eggs and egg boxes, nothing that shows them falls over."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from rounds.audit import findings
from rounds.desk.adding_up import without
from rounds.desk.slips import vanishing
from rounds.desk.validation import judged
from rounds.due.lines import lines_at
from rounds.due.reckon import matters
from rounds.logbook.entries import (
    Candled,
    EggBoxMadeUp,
    EggBoxShelved,
    EggBoxWeighed,
    EggsBoxed,
    EggsLaid,
    EggsLost,
    EggsSeen,
    Entry,
    Hatched,
)
from rounds.logbook.words import EGG_LOOKS
from rounds.paper.boxes import boxes, boxes_text
from rounds.paper.subject_head import head_text, head_values
from rounds.rules.settings import Settings
from rounds.screens.record.egg_rows import egg_rows
from rounds.screens.views.eggs import egg_lines
from rounds.standing.fold import fold
from tests.due.matters.found import HOUSE
from tests.notation import logbook

PLACES = ("enclosure/k1", "enclosure/k2", "enclosure/s1", "enclosure/nowhere")
CLUTCHES = ("clutch/a-1", "clutch/b-1")
ROOM = logbook(
    """
2026-03-01 AK
08:00 enclosure/k1 enclosure_set_up name=K1 what="egg box"
08:00 enclosure/k2 enclosure_set_up name=K2 what="egg box"
08:00 enclosure/s1 enclosure_set_up name=S1 what="incubator shelf"
08:01 wattle arrived name=Wattle sex=F
"""
)
_season = st.integers(0, 92 * 24 * 60).map(
    lambda minutes: datetime(2026, 3, 1, tzinfo=UTC) + timedelta(minutes=minutes)
)
_ENDS = (datetime(1, 1, 1, tzinfo=UTC), datetime(9999, 12, 31, 23, 59, tzinfo=UTC))
_moment = st.one_of(st.sampled_from(_ENDS), _season, _season, _season)
_count = st.one_of(st.integers(0, 30), st.just(100_000))
_grams = st.one_of(st.floats(0, 600), st.just(50_000.0), st.just(0.0))
_some = st.one_of(st.none(), _grams)
_place = st.one_of(st.none(), st.sampled_from(PLACES))
_KINDS: dict[type[Entry], dict[str, st.SearchStrategy[Any]]] = {
    EggsLaid: {"clutch": st.sampled_from(CLUTCHES), "count": _count, "slugs": _count},
    EggsBoxed: {"count": _count, "place": _place, "out_of": _place, "up_marked": st.booleans()},
    EggsLost: {"count": _count, "place": _place, "how": st.sampled_from(["removed", "failed"])},
    Hatched: {"count": _count, "place": _place, "eggs": st.one_of(st.none(), _count)},
    Candled: {"fertile": _count, "clear": _count, "place": _place},
    EggsSeen: {"signs": st.lists(st.sampled_from(EGG_LOOKS), max_size=3).map(tuple), "place": _place},
    EggBoxMadeUp: {
        "medium": st.sampled_from(["vermiculite", "sphagnum"]),
        "tare_grams": _some,
        "dry_grams": _some,
        "ratio": st.one_of(st.none(), st.floats(0.001, 10)),
        "target_grams": _some,
        "shelf": _place,
    },
    EggBoxShelved: {"shelf": st.sampled_from(PLACES)},
    EggBoxWeighed: {
        "grams": _grams,
        "added_grams": _grams,
        "clutch": st.one_of(st.none(), st.sampled_from(CLUTCHES)),
    },
}
_ABOUT = {"animal": ("animal/wattle",), "clutch": CLUTCHES, "enclosure": PLACES}


@st.composite
def _entries(draw: st.DrawFn) -> list[Entry]:
    found: list[Entry] = []
    for number in range(draw(st.integers(1, 16))):
        kind = draw(st.sampled_from(sorted(_KINDS, key=lambda one: one.__name__)))
        members = {name: draw(values) for name, values in _KINDS[kind].items()}
        about = draw(st.sampled_from(_ABOUT[kind.of[0]]))
        found.append(kind(id=f"e{number:02d}", at=draw(_moment), by="AK", about=about, **members))
    return found


@given(_entries(), _season)
def test_nothing_that_shows_eggs_falls_over(written: list[Entry], now: datetime) -> None:
    standing = fold([*ROOM, *written])
    settings = Settings(name="Shed", house=HOUSE, zone=HOUSE.zone)
    for line in boxes_text(boxes(standing, settings, now), now).splitlines():
        assert len(line) <= 80, line
    for place in PLACES[:3]:
        boxes_text(boxes(standing, settings, now, place), now)
        lines_at(standing, HOUSE, now, place)
        rows = egg_rows(standing, HOUSE, place)
        egg_lines(rows, rows[0].key if rows else "", now, 80, 8, lambda _: (), str)
        head_text({"sort": "enclosure", "subject": place, **head_values(standing, HOUSE, now, place)}, now)
    for clutch in CLUTCHES:
        head_text({"sort": "clutch", "subject": clutch, **head_values(standing, HOUSE, now, clutch)}, now)
    matters(standing, HOUSE, now)
    findings([*ROOM, *written])
    for entry in written[:3]:
        judged(standing, HOUSE, entry)
        vanishing(without(standing, [entry], now), [entry], standing)
