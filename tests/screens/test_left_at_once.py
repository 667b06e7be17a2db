"""A screen that is left before it was seen ends nothing, nor does a key that comes too late."""

from __future__ import annotations

from pathlib import Path

from textual import events

from rounds.screens.attention import AttentionScreen
from rounds.screens.hand_over import HandOverScreen
from rounds.screens.help import HelpScreen
from tests.screens.rack import colony, key_event, on_disk, opened

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


async def test_keys_behind_the_one_that_ends_the_app_are_for_no_screen(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony", ROOM)
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        before = on_disk(folder)
        rack.app.push_screen(HandOverScreen())
        rack.app.exit()
        for key in ("n", "x", "enter", "n", "x"):
            await rack.app.on_event(key_event(key))
        await rack.app.on_event(events.Paste("pasted"))
    assert on_disk(folder) == before
