"""The incubator on the screen: shelves with their temperatures, keys to read one, to read a file, to go there."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from rounds.logbook.entries import ClimateLogged, ClimateRead
from tests.notation import at
from tests.screens.rack import Rack, colony, opened

ROOM = """
    2026-03-01 AK
    08:00  s1      enclosure_set_up  name=S1 what="incubator shelf"
    08:00  s2      enclosure_set_up  name=S2 what="incubator shelf"
    08:00  k1      enclosure_set_up  name=K1 what="egg box"
    08:00  b1      enclosure_set_up  name=B1
    08:10  wattle  arrived  name=Wattle sex=F place=b1 hatched=2023-03-01
    2026-03-02 AK
    09:00  wattle  eggs_laid  clutch=clutch/wattle-2026-1 count=18 complete=true
    09:30  k1  egg_box_made_up  medium=vermiculite shelf=s1
    10:00  clutch/wattle-2026-1  eggs_boxed  count=18 place=k1
    2026-03-03 AK
    08:00  s1  climate_read  air_c=29 humidity=80
    2026-03-04 AK
    08:00  s1  climate_read  air_c=29.4
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


def logger_file(folder: Path, name: str, text: str) -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def night(celsius: float) -> str:
    begun = at("2026-03-04 20:00")
    rows = [f"{begun + timedelta(minutes=10 * step):%Y-%m-%d %H:%M}" for step in range(60)]
    return "Time,Temp (°C)\n" + "".join(
        f"{when},{celsius if 20 < place < 40 else 29.2}\n" for place, when in enumerate(rows)
    )


def where(rack: Rack) -> tuple[str, str]:
    """The screen in front, and whom it is about or which stop it is at."""
    screen = rack.app.screen
    return type(screen).__name__, getattr(screen, "subject", "") or getattr(screen, "stop", "") or ""


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=str)
async def test_a_click_selects_a_shelf_or_a_clutch_and_a_second_opens_its_page(
    folder: Path, size: tuple[int, int]
) -> None:
    async with opened(folder, "2026-03-05 07:00", keeper="EM", size=size) as rack:
        await rack.press("v", "i")
        await rack.sees("> S1", "1 of 3")
        await rack.click("Wattle 1  18/18")
        await rack.sees("> K1 Wattle 1", "2 of 3")
        await rack.click("S2   never")
        await rack.sees("> S2 never read", "3 of 3")
        await rack.click("Wattle 1  18/18")
        await rack.click("Wattle 1  18/18")
        assert where(rack) == ("SubjectScreen", "clutch/wattle-2026-1")
        assert not rack.written


async def test_v_i_shows_each_shelf_and_when_its_clutch_hatches(folder: Path) -> None:
    async with opened(folder, "2026-03-05 07:00", keeper="EM") as rack:
        await rack.press("v", "i")
        await rack.sees(
            "2 shelves 18 eggs",
            "> S1 29.4 °C band 28 to 31 read yesterday 08:00 AK",
            "above 32 °C: 0 h below 28 °C: 0 h",
            "K1 Wattle 1 18/18",
            "S2 never read",
        )
        assert where(rack) == ("IncubatorScreen", "")
        await rack.press("down", "enter")
        assert where(rack) == ("SubjectScreen", "clutch/wattle-2026-1")
        await rack.press("backspace", "e")
        assert where(rack) == ("SubjectScreen", "enclosure/k1")
        await rack.press("backspace", "g")
        assert where(rack) == ("WalkScreen", "enclosure/k1")


async def test_a_shelf_is_read_by_hand_in_few_keys(folder: Path) -> None:
    async with opened(folder, "2026-03-05 07:00", keeper="EM") as rack:
        await rack.press("v", "i")
        await rack.press("c", *"33.2", "enter", *"80", "enter")
        (entry,) = [one for one in rack.app.shift.desk.recent if isinstance(one, ClimateRead) and one.by == "EM"]
        assert (entry.about, entry.air_c, entry.humidity) == ("enclosure/s1", 33.2, 80)
        await rack.sees("33.2 °C TOO HOT", "read 07:00 EM", "80 % humidity, dew point 29.3 °C")
        # The matter is there at once.
        await rack.press("a")
        await rack.sees("S1: incubator too hot, 33.2 °C")


async def test_a_logger_s_file_is_read_by_its_digit_and_a_hot_night_is_a_matter_at_once(
    folder: Path, home: Path
) -> None:
    logger_file(home, "readings.csv", night(33.0))
    async with opened(folder, "2026-03-05 07:00", keeper="EM") as rack:
        await rack.press("v", "i", "f")
        await rack.sees("Logger's file for S1", "1 ", "readings.csv")
        await rack.press("1", "enter")
        await rack.sees("S1: 60 new readings, 4 to 5 Mar, 29.2 to 33 °C")
        await rack.press("enter")
        await rack.sees("above 32 °C: 3 h")
        logged = [one for one in rack.app.shift.desk.recent if isinstance(one, ClimateLogged)]
        assert len(logged) == 2
        assert any(matter.rule == "eggs were too hot" for matter in rack.app.shift.matters)
        await rack.press("f", "1", "enter")
        await rack.sees("nothing new in this file")


async def test_a_folder_shows_its_files_and_what_the_file_does_not_say_is_asked(
    folder: Path, tmp_path: Path
) -> None:
    logger_file(tmp_path, "two.csv", "Time,One,Two\n2026-03-04 08:10,84.0,90\n2026-03-04 09:10,84.2,90\n")
    async with opened(folder, "2026-03-05 07:00", keeper="EM") as rack:
        await rack.press("v", "i", "f")
        await rack.write(str(tmp_path))
        await rack.press("enter")
        await rack.sees("two.csv")
        await rack.press("1", "enter")
        await rack.sees("Which column is the shelf's", "One (84.0)", "Two (90)")
        await rack.press("a")
        await rack.sees("The file is in", "°F")
        await rack.press("f")
        await rack.sees("2 new readings, 4 Mar, 28.89 to 29 °C")
        await rack.press("n")
        await rack.sees("Nothing was written.")
        assert not [one for one in rack.app.shift.desk.recent if isinstance(one, ClimateLogged)]


async def test_a_file_whose_days_are_written_the_other_way_round_is_asked_about(
    folder: Path, tmp_path: Path
) -> None:
    logger_file(tmp_path, "us.csv", "Time,Temp (°C)\n03/03/2026 08:10,29.0\n03/04/2026 09:10,29.2\n")
    async with opened(folder, "2026-03-05 07:00", keeper="EM") as rack:
        await rack.press("v", "i", "f")
        await rack.write(str(tmp_path / "us.csv"))
        await rack.press("enter")
        await rack.sees("3/4 in this file is", "3 April", "March 4")
        await rack.press("m")
        await rack.sees("2 new readings, 3 to 4 Mar")
        await rack.press("n")


async def test_a_file_that_cannot_be_read_is_a_sentence(folder: Path, tmp_path: Path) -> None:
    logger_file(tmp_path, "letter.txt", "Dear keeper,\nno readings here.\n")
    async with opened(folder, "2026-03-05 07:00", keeper="EM") as rack:
        await rack.press("v", "i", "f")
        await rack.write(str(tmp_path / "letter.txt"))
        await rack.press("enter")
        await rack.sees("No line of the file has a time and a temperature.")
        await rack.press("f")
        await rack.write(str(tmp_path / "not there.csv"))
        await rack.press("enter")
        await rack.sees("cannot be read")


async def test_without_a_shelf_it_says_how_to_set_one_up(tmp_path: Path) -> None:
    empty = colony(tmp_path / "colony", "2026-03-01 AK\n08:00  b1  enclosure_set_up  name=B1\n")
    async with opened(empty, "2026-03-05 07:00", keeper="EM") as rack:
        await rack.press("v", "i")
        await rack.sees("No shelf is set up and no eggs are to hatch. F2 sets up an incubator shelf.")
        await rack.press("c", "f", "e", "g", "enter", "down", "pagedown")


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (40, 16)])
async def test_the_cursor_is_in_sight_on_any_terminal(folder: Path, size: tuple[int, int]) -> None:
    async with opened(folder, "2026-03-05 07:00", keeper="EM", size=size) as rack:
        await rack.press("v", "i")
        for key in ("down", "down", "up", "pagedown", "pageup"):
            await rack.press(key)
            await rack.sees(" > ")


async def test_lowest_and_highest_are_asked_where_no_temperature_of_now_is_given(folder: Path) -> None:
    async with opened(folder, "2026-03-05 07:00", keeper="EM") as rack:
        await rack.press("v", "i", "c", "enter", "enter", *"27.5", "enter", *"32.5", "enter")
        (entry,) = [one for one in rack.app.shift.desk.recent if isinstance(one, ClimateRead) and one.by == "EM"]
        assert (entry.air_c, entry.air_low_c, entry.air_high_c) == (None, 27.5, 32.5)
        assert [one.rule for one in rack.app.shift.matters_about(["enclosure/s1"])] == ["eggs were too hot"]


async def test_a_temperature_may_be_typed_in_fahrenheit(folder: Path) -> None:
    async with opened(folder, "2026-03-05 07:00", keeper="EM") as rack:
        await rack.press("v", "i", "c")
        await rack.sees("f behind it: °F")
        await rack.press("8", "4", "f", "enter", "enter")
        (entry,) = [one for one in rack.app.shift.desk.recent if isinstance(one, ClimateRead) and one.by == "EM"]
        assert entry.air_c == 28.89


async def test_at_a_box_on_a_shelf_the_shelf_is_read(folder: Path) -> None:
    async with opened(folder, "2026-03-05 07:00", keeper="EM") as rack:
        rack.app.walk_to("enclosure/k1")
        await rack.settled()
        await rack.press("c", *"29.5", "enter", "enter")
        (entry,) = [one for one in rack.app.shift.desk.recent if isinstance(one, ClimateRead) and one.by == "EM"]
        assert entry.about == "enclosure/s1"


async def test_a_probe_inside_a_box_is_read_by_hand_and_by_its_file(folder: Path, home: Path) -> None:
    logger_file(home, "probe.csv", "Time,Temp °C\n2026-03-04 10:00,30.0\n2026-03-04 11:00,30.5\n")
    async with opened(folder, "2026-03-05 07:00", keeper="EM") as rack:
        rack.app.walk_to("enclosure/k1")
        await rack.settled()
        await rack.press("e", "t", *"30.1", "enter", "enter")
        (entry,) = [one for one in rack.app.shift.desk.recent if isinstance(one, ClimateRead) and one.by == "EM"]
        assert (entry.about, entry.air_c) == ("enclosure/k1", 30.1)
        await rack.press("v", "i")
        await rack.sees("inside K1 30.1 °C read 07:00 EM")
        await rack.press("down", "f")
        await rack.sees("The logger lay", "on S1", "inside K1")
        await rack.press("i", "1", "enter", "enter")
        (logged,) = [one for one in rack.app.shift.desk.recent if isinstance(one, ClimateLogged)]
        assert logged.about == "enclosure/k1"
        await rack.press("e")
        await rack.sees("inside it 30.1 °C")


async def test_the_page_of_a_shelf_with_many_boxes_has_a_row_for_each_and_its_entries_too(tmp_path: Path) -> None:
    page = ROOM + "    2026-03-04 AK\n    09:00  s1  climate_read  air_c=29.5\n"
    for box in range(2, 7):
        page += f'    09:0{box}  k{box}  enclosure_set_up  name=K{box} what="egg box"\n'
        page += f"    09:1{box}  k{box}  egg_box_made_up  medium=vermiculite shelf=s1\n"
        page += f"    09:2{box}  wattle  eggs_laid  clutch=clutch/w-{box} count=10 complete=true\n"
        page += f"    09:3{box}  clutch/w-{box}  eggs_boxed  count=10 place=k{box}\n"
    async with opened(colony(tmp_path / "many", page), "2026-03-05 07:00", keeper="EM") as rack:
        rack.app.open_subject("enclosure/s1")
        await rack.sees("K1 Wattle", "K6 Wattle", "entries, newest first", "29.5")
        await rack.sees_not("lid:")
    async with opened(colony(tmp_path / "tall", page), "2026-03-05 07:00", keeper="EM", size=(80, 60)) as rack:
        rack.app.open_subject("enclosure/s1")
        await rack.sees("lid:")


async def test_a_terminal_without_blocks_is_drawn_for_too(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "linux")
    async with opened(folder, "2026-03-05 07:00", keeper="EM") as rack:
        await rack.press("v", "i")
        text = await rack.text()
        assert not set(text) & set("▁▂▃▄▅▆▇█│")
        assert "|||" in text


async def test_a_stretch_of_a_logger_is_taken_back_on_its_page_and_can_be_read_again(
    folder: Path, home: Path
) -> None:
    logger_file(home, "readings.csv", "Time,Temp °C\n2026-03-04 10:00,29.0\n2026-03-04 11:00,33.0\n")
    async with opened(folder, "2026-03-05 07:00", keeper="EM") as rack:
        await rack.press("v", "i", "f", "1", "enter")
        await rack.sees("2 new readings")
        await rack.press("enter", "enter")
        await rack.sees("logger read: 2 readings, 29 to 33 °C")
        await rack.press("x")
        await rack.sees("take")
        await rack.press("t", "enter")
        text = await rack.text()
        assert "corrected" in text, text


async def test_the_page_of_a_shelf_draws_its_temperatures_and_names_the_logger(folder: Path, home: Path) -> None:
    logger_file(home, "readings.csv", night(31.0))
    async with opened(folder, "2026-03-05 07:00", keeper="EM") as rack:
        await rack.press("v", "i", "f", "1", "enter")
        await rack.press("enter", "enter")
        await rack.sees("now 29.2 °C band 28 to 31 read 05:50 EM, logger", "above 32 °C: 0 h", "│")
