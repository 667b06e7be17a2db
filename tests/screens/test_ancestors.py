"""An ancestor that never lived here, by keys: noted once, then named as a parent."""

from __future__ import annotations

from pathlib import Path

from rounds.logbook.entries import Arrived, PedigreeNoted
from tests.screens.rack import colony, opened

ROOM = """
    2026-02-01 AK
    08:00  a1      enclosure_set_up  name=A1
    08:10  wattle  arrived  name=Wattle sex=F place=a1 hatched=2023-03-01
"""


async def test_an_ancestor_is_noted_and_found_as_a_parent(tmp_path: Path) -> None:
    async with opened(colony(tmp_path, ROOM), "2026-06-21 09:00", keeper="AK") as rack:
        await rack.press("f2", "p")
        await rack.sees("An ancestor that never lived here")
        await rack.press(*"Old Rex", "enter", "m", "f2")
        await rack.sees("Old Rex is noted.")
        await rack.press("n")
        (old,) = rack.of(PedigreeNoted)
        assert (old.about, old.name, old.sex) == ("animal/old-rex", "Old Rex", "M")
        rack.app.open_subject("animal/wattle")
        await rack.settled()
        await rack.press("i", "m", "p")
        await rack.sees("Pedigree, from papers: Wattle")
        await rack.press("enter", "enter", *"old", "enter", "f2")
        await rack.sees("sire Old Rex")
        assert rack.of(PedigreeNoted)[-1].sire == "animal/old-rex"
        assert rack.of(Arrived) == [], "nothing that lives here"


async def test_of_a_male_his_sire_is_asked_for_and_no_female(tmp_path: Path) -> None:
    page = ROOM + "    08:20  karri   arrived  name=Karri sex=M place=a1 hatched=2023-03-01\n"
    async with opened(colony(tmp_path, page), "2026-06-21 09:00", keeper="AK") as rack:
        rack.app.open_subject("animal/karri")
        await rack.settled()
        await rack.press("i", "m", "p")
        await rack.sees("Pedigree, from papers: Karri", "sire")
        await rack.sees_not("female")
