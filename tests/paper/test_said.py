"""Entries in words name those they name by their names."""

from __future__ import annotations

from rounds.paper.said import said
from tests.notation import logbook
from tests.notation import standing as standing_after

PAGE = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name="B1 / left"
    08:10  wattle  arrived  name=Wattle sex=F place=b1
    08:11  karri   arrived  name="Karri the Great" sex=M place=b1
    09:00  wattle  mating_seen  sire=karri
    09:01  wattle  put_together  mate=karri
    09:02  wattle  moved  to=b1 why="karri was there"
    09:03  wattle  parted
    09:04  wattle  acknowledged  matter="danger sign animal/wattle 2026-03-01" level="vet now"
    09:05  wattle  put_off  matter="no droppings animal/wattle 2026-03-01" until=2026-03-04 reason="shedding"
    09:06  wattle  acknowledged  matter="odd"
"""


def test_ids_are_put_by_names_and_matters_by_their_rule() -> None:
    standing = standing_after(PAGE)
    told = [said(standing, entry) for entry in logbook(PAGE)[3:]]
    assert told == [
        "mating seen with Karri the Great",
        "put together with Karri the Great",
        "moved to B1 ∕ left, karri was there",
        "parted",
        "acknowledged: danger sign (vet now)",
        "no droppings: put off until 4 Mar: shedding",
        "acknowledged: odd",
    ]


def test_two_copulate_with_each_other_and_bob_toward_one_another() -> None:
    page = """
    2026-03-01 AK
    07:00  myrtle  arrived  name=Myrtle sex=F
    07:00  karri   arrived  name=Karri sex=M
    08:00  myrtle  behaviour_seen  behaviour=copulation toward=animal/karri
    08:01  karri   behaviour_seen  behaviour="head bobbing" toward=animal/myrtle
    """
    standing = standing_after(page)
    seen = [entry for entry in logbook(page) if entry.kind == "behaviour_seen"]
    assert [said(standing, entry) for entry in seen] == ["copulation with Karri", "head bobbing toward Myrtle"]
