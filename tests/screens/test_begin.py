"""A colony begun in the app, and nobody on shift yet."""

from __future__ import annotations

from pathlib import Path

from textual import events

from rounds.desk.colony_file import load
from rounds.logbook.entries import TakenOver
from rounds.screens.begin import BeginApp
from rounds.screens.screen import RoundScreen
from tests.screens.rack import begun, colony, key_event, opened


async def answered(folder: Path, *keys: str) -> tuple[BeginApp, str]:
    """The little app after these keys, and what stood on its board at last."""
    app = BeginApp(folder, "UTC")
    async with app.run_test(size=(80, 24)) as pilot:
        seconds = iter(range(1, 1_000))
        app.read_at = lambda _: float(next(seconds))  # type: ignore[method-assign, assignment]
        app.post_message(events.Paste("TUB-1\r"))
        await pilot.pause()
        for key in keys:
            app.post_message(key_event(key))
            await pilot.pause()
        screen = app.screen if app.screen_stack else None
        text = screen.board.text if isinstance(screen, RoundScreen) else ""
    return app, " ".join(text.split())


async def test_two_answers_begin_a_colony(tmp_path: Path) -> None:
    folder = tmp_path / "shed"
    await begun(folder, "Quandong shed", "Europe/Vienna")
    settings = load(folder)
    assert (settings.name, settings.zone.key) == ("Quandong shed", "Europe/Vienna")


async def test_what_is_broken_off_leaves_nothing_behind(tmp_path: Path) -> None:
    folder = tmp_path / "shed"
    for keys in (("n",), ("enter", *"Shed", "escape"), ("enter", *"Shed", "enter", "escape")):
        app, _ = await answered(folder, *keys)
        assert app.return_value is None
        assert not folder.exists(), keys


async def test_after_breaking_off_it_can_be_begun_all_the_same(tmp_path: Path) -> None:
    folder = tmp_path / "shed"
    app, _ = await answered(folder, "enter", *"Sh", "escape", "enter", *"Shed", "enter", "enter")
    assert app.return_value == folder
    assert load(folder).name == "Shed"


async def test_a_zone_that_is_none_is_told_and_asked_again(tmp_path: Path) -> None:
    folder = tmp_path / "shed"
    _, text = await answered(folder, "enter", *"Shed", "enter", "ctrl+u", *"Europe/Wien", "enter")
    assert "there is no time zone 'Europe/Wien'" in text
    assert not folder.exists()


async def test_a_folder_that_takes_nothing_is_told(tmp_path: Path) -> None:
    (tmp_path / "shed").write_text("a file")
    app, text = await answered(tmp_path / "shed", "enter", *"Shed", "enter", "enter")
    assert "is a file" in text
    assert app.return_value is None


async def test_nothing_leads_past_the_take_over(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony", "2026-03-01 AK\n08:00 b1 enclosure_set_up name=B1 tag=TUB-1")
    async with opened(folder, "2026-03-02 07:00") as rack:
        await rack.paste("TUB-1\r")
        await rack.press("question_mark")
        await rack.paste("TUB-1\r")
        await rack.press("backspace", "w", "a", "h", "j", "slash", "f2", "z", "4", "backspace", "escape")
        assert rack.screen == "TakeOverScreen"
        await rack.press("enter", *"4 ", "enter")
        await rack.sees("Initials are 1 to 12 letters")
        await rack.press("ctrl+u", *"Anna K.", "enter")
        assert [entry.by for entry in rack.of(TakenOver)] == ["Anna K."]
        assert rack.screen == "WalkScreen"


async def test_a_colony_just_begun_is_not_called_gone(tmp_path: Path) -> None:
    folder = tmp_path / "shed"
    await begun(folder, "Quandong shed", "Europe/Vienna")
    async with opened(folder, "2026-04-12 08:00") as rack:
        for _ in range(3):
            rack.app.shift.desk.news()
        assert rack.app.shift.desk.notices == []
