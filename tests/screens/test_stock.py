"""What came in and went out, on the screen: by seasons, by years, and the ones before."""

from __future__ import annotations

from pathlib import Path

from tests.screens.rack import colony, opened
from tests.screens.test_young import ROOM

WOKE = ROOM.replace(
    "    2026-04-10 AK", "    2026-02-20 AK\n    08:00  wattle  brumation_ended\n    2026-04-10 AK", 1
)


async def test_a_season_and_a_year_are_a_key_apart(tmp_path: Path) -> None:
    async with opened(colony(tmp_path, WOKE), "2026-06-21 09:00", keeper="AK") as rack:
        await rack.press("v", "o")
        await rack.sees("in and out, season 2026", "20 hatched")
        assert (await rack.text()).split("\n")[0].endswith(" 2 + 20 in - 0 out = 22 ")
        assert (await rack.text()).split("\n")[2] == "CLUTCHES"
        await rack.press("s")
        await rack.sees("in and out, 2026", "20 hatched")
        await rack.press("minus")
        await rack.sees("in and out, 2025", "none laid in this year")
        await rack.press("plus", "plus")
        await rack.sees("in and out, 2026")
        await rack.press("backspace")
        await rack.sees_not("in and out")


async def test_without_a_season_there_are_years(tmp_path: Path) -> None:
    async with opened(colony(tmp_path, ROOM.split("08:30")[0]), "2026-06-21 09:00", keeper="AK") as rack:
        await rack.press("v", "o")
        await rack.sees("in and out, 2026")
        await rack.press("s")
        await rack.sees("No season is known yet")
