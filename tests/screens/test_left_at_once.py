"""A screen that is left before it was seen ends nothing."""

from __future__ import annotations

from pathlib import Path

from rounds.screens.attention import AttentionScreen
from rounds.screens.help import HelpScreen
from tests.screens.rack import colony, opened

ROOM = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name=B1
"""


async def test_a_screen_left_before_its_first_frame_makes_no_field_any_more(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", ROOM), "2026-03-02 07:00", keeper="AK") as rack:
        for screen in (HelpScreen("walk"), AttentionScreen()):
            assert not screen.is_attached  # taken away again, when what was asked for at its mounting comes
            await screen.writing.make_ready()
        await rack.press("question_mark")
        await rack.sees("Keys of this screen")
