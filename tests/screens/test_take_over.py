"""The first screen of a shift: what a keeper who is new here is told, and what the last one left."""

from __future__ import annotations

from pathlib import Path

import pytest

from rounds.paper.words import CAUTION
from tests.screens.rack import colony, opened

PAGE = """
2026-03-01 AK
08:00  b3      enclosure_set_up  name=B3
08:01  wattle  arrived  name=Wattle sex=F place=b3 hatched=2023-05-01
2026-03-20 AK
06:50  room    taken_over
18:00  wattle  condition_seen  signs=prolapse
18:10  room    handed_over  note="ring the vet, yesterday she ate"
"""


@pytest.fixture
def room(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A colony that AK handed over on 20 March."""
    for name in ("STATE", "CACHE", "CONFIG"):
        monkeypatch.setenv(f"XDG_{name}_HOME", str(tmp_path / name.lower()))
    return colony(tmp_path / "room", PAGE)


async def test_a_keeper_is_told_of_salmonella_until_that_keeper_has_taken_over_once(room: Path) -> None:
    async with opened(room, "2026-03-21 07:00", offered="EM") as rack:
        await rack.sees("wash your hands after touching, feeding and cleaning", "CDC 2024")
        await rack.press("enter", "enter", "y")
        await rack.sees("morning walk", "wash your hands")
        await rack.press("right")
        assert "wash your hands" not in await rack.text()
    for initials, told in (("em", False), ("ak", False), ("jt", True)):
        async with opened(room, "2026-03-22 07:00", offered="AK") as rack:
            await rack.sees("take over")
            assert "wash your hands" not in await rack.text(), "AK has taken over before"
            await rack.press("enter", "ctrl+u", *initials)
            assert ("wash your hands" in await rack.text()) is told, initials


async def test_in_a_new_colony_it_is_told_before_anybody_is_named(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "new"), "2026-03-21 07:00") as rack:
        await rack.sees("wash your hands", CAUTION)


async def test_the_last_keepers_note_has_its_date_even_on_the_same_day(room: Path) -> None:
    # What "yesterday" means in it hangs on the day on which it was written.
    for now in ("2026-03-20 19:00", "2026-03-21 07:00"):
        async with opened(room, now) as rack:
            await rack.sees("for you, from AK, 20 Mar 18:10: ring the vet, yesterday she ate")
            await rack.sees("last hand-over: 20 Mar 18:10 by AK")


async def test_the_vets_number_stands_beside_a_vet_matter(room: Path) -> None:
    with (room / "colony.toml").open("a", encoding="utf-8") as file:
        file.write('[vet]\nname = "Dr Quoll"\nphone = "08 5550 1234"\n')
    async with opened(room, "2026-03-21 07:00") as rack:
        await rack.sees("prolapse", "Vet: Dr Quoll, 08 5550 1234", CAUTION)
