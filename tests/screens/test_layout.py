"""Every screen on every size of terminal, whatever stands in names and notes."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from pathlib import Path

import pytest
from rich.cells import cell_len

from rounds.desk.desk import Desk
from rounds.logbook.drafts import Draft, draft
from rounds.logbook.entries import (
    Arrived,
    BehaviourSeen,
    EggCheckDone,
    EggsLaid,
    EnclosureSetUp,
    HandedOver,
    MatingSeen,
    Noted,
    Weighed,
)
from rounds.screens.screen import RoundScreen
from tests.screens.rack import Clock, Rack, colony, opened

SIZES = [(80, 24), (120, 40), (40, 12)]
#: What could style a screen, move its cursor, turn a line round, or run over its edge.
NAMES = {
    "markup": "[red]Wattle[/red] [bold]",
    "escape": "\x1b[31mKarri\x1b[2J\x07",
    "turned": "\u202eSedge\u2066\u200b",
    "wide": "大龍" * 50,
    "emoji": "🦎👨\u200d👩\u200d👧🇦🇹" * 20,
    "lines": "Fern\r\nof\tthe\u2028shed\x85",
    "long": "Quandong " * 22,
    "marks": "Ha\u0301\u0302\u0303\u0304\u0305\u0306kea",
}
LONG_NOTE = "[blink]" + "sand on the glass \x1b[1m" * 600
#: From the walk to each screen and each question, and the keys that lead back.
WAYS: dict[str, tuple[Sequence[str], Sequence[str]]] = {
    "walk": ((), ()),
    "next stop": (("right",), ("left",)),
    "weight": (("4",), ("escape",)),
    "behaviour": (("b",), ("escape",)),
    "egg check": (("e",), ("escape",)),
    "egg check weight": (("e", "enter"), ("escape",)),
    "lay box": (("l",), ("escape",)),
    "lay box medium": (("l", "enter"), ("escape",)),
    "food": (("f",), ("escape",)),
    "climate": (("c",), ("escape",)),
    "note": (("n", *"x" * 150), ("escape",)),
    "leave out": (("o",), ("escape",)),
    "reason": (("o", "1"), ("escape",)),
    "more": (("i",), ("escape",)),
    "a group of kinds": (("i", "b"), ("escape",)),
    "a form": (("i", "b", "e"), ("escape",)),
    "a form filled": (
        ("i", "v", "s", *"a vet of a long name " * 6, "enter", "down", "down", "space"),
        ("escape",),
    ),
    "ticks in a form": (("i", "s", "c", "down", "down"), ("escape",)),
    "jump": (("j",), ("escape",)),
    "jump to nothing": (("j", *"zzzz" * 30), ("escape",)),
    "commands": (("f5",), ("escape",)),
    "set up": (("f2",), ("escape",)),
    "an enclosure": (("f2", "e"), ("escape",)),
    "an animal": (("f2", "a", "x", "enter", *"q"), ("escape",)),
    "take back": (("z",), ("escape",)),
    "page": (("p",), ("backspace",)),
    "correct": (("p", "x"), ("escape", "backspace")),
    "attention": (("a",), ("backspace",)),
    "a matter": (("a", "enter"), ("backspace", "backspace")),
    "act": (("a", "enter", "d"), ("escape", "backspace", "backspace")),
    "put off": (("a", "down", "down", "down", "o"), ("escape", "backspace")),
    "season": (("v", "s"), ("backspace",)),
    "season, years on": (("v", "s", *["right"] * 30, "down"), ("backspace",)),
    "the room": (("v", "r"), ("backspace",)),
    "the room, next": (("v", "r", "right", "down", "n"), ("backspace",)),
    "a sheet for the vet": (("p", "t", "pagedown"), ("backspace", "backspace")),
    "hand over": (("h",), ("backspace",)),
    "not signed": (("h", "s"), ("escape", "backspace")),
    "help": (("question_mark",), ("backspace",)),
}


def _set_up(number: int, name: str) -> Draft:
    return draft(EnclosureSetUp, f"enclosure/e{number}", name=name, what="open tub", where=name, rack=name)


@pytest.fixture
def nasty(tmp_path: Path) -> Path:
    """A colony whose names and notes are all of this kind."""
    folder = colony(tmp_path / "colony")
    desk = Desk.open(folder, clock=Clock("2026-03-01 08:00"), keeper="AK\x1b[5m")
    try:
        desk.record(*(_set_up(number, name) for number, name in enumerate(NAMES.values())))
        desk.record(
            *(
                draft(
                    Arrived,
                    f"animal/{who}",
                    name=name,
                    sex="M" if who == "long" else "F",
                    place=f"enclosure/e{number // 3}",
                    origin=name,
                    traits=(name,),
                    # Who is in quarantine is walked last: the first stop keeps its place.
                    quarantine=number > 2,
                )
                for number, (who, name) in enumerate(NAMES.items())
            )
        )
        for grams in (400, 410, 405, 400, 330):
            desk.record(*(draft(Weighed, f"animal/{who}", grams=grams) for who in NAMES))
        desk.record(
            draft(MatingSeen, "animal/wide", sire="animal/long", note=LONG_NOTE[:10_000]),
            draft(BehaviourSeen, "enclosure/e0", behaviour="nest digging", note=LONG_NOTE[:10_000]),
            draft(EggCheckDone, "animal/markup", present=("lethargy", "prolapse")),
            draft(EggsLaid, "animal/emoji", clutch="clutch/emoji-2026-1", count=11),
            *(draft(Noted, f"animal/{who}", note=LONG_NOTE[:10_000]) for who in NAMES),
            draft(HandedOver, "room", note=LONG_NOTE[:2_000], sheet="\n".join([LONG_NOTE[:500]] * 5)),
        )
    finally:
        desk.close()
    return folder


def check(rack: Rack, where: str) -> None:
    """The board fits its screen, and holds nothing that a terminal would act on."""
    screen = rack.app.screen
    assert isinstance(screen, RoundScreen)
    width, height = rack.app.size
    lines = screen.board.text.split("\n")
    assert len(lines) <= height, f"{where}: {len(lines)} lines on {height}"
    for number, text in enumerate(lines):
        assert cell_len(text) <= width, f"{where}: {text!r} is wider than {width}"
        strip = screen.board.render_line(number)
        assert strip.cell_length == width, where
        for letter in strip.text:
            assert unicodedata.category(letter) not in ("Cc", "Cf", "Zl", "Zp", "Co", "Cs"), f"{where}: {text!r}"
        for segment in strip:
            assert segment.control is None, where
    if screen.ask is None:
        assert any("? help" in text or "back" in text for text in lines[-2:]), f"{where}: no keys in {lines[-2:]}"


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
async def test_no_line_is_too_wide_and_the_keys_are_in_sight_on_every_screen(
    size: tuple[int, int], nasty: Path
) -> None:
    async with opened(nasty, "2026-03-12 07:00", keeper="AK", size=size) as rack:
        for where, (there, back) in WAYS.items():
            await rack.press(*there)
            await rack.text()
            check(rack, where)
            await rack.press(*back)
            assert rack.screen == "WalkScreen", where
            assert rack.app.walk_screen.ask is None, where
        assert {entry.kind for entry in rack.written} == {"egg_check_done"}, "a check is on disk before her weight"


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
async def test_taking_over_fits_every_size(size: tuple[int, int], nasty: Path) -> None:
    async with opened(nasty, "2026-03-12 07:00", size=size) as rack:
        await rack.text()
        check(rack, "take over")
        await rack.press("enter")
        check(rack, "initials")
        await rack.press("e", "m", "enter")
        check(rack, "a matter to read")
        while "y read on" in rack.board_text.split("\n")[-1]:
            await rack.press("y")
            check(rack, "a matter read on")
        assert "y I have read it" in rack.board_text.split("\n")[-1]
        await rack.press("escape", "question_mark")
        await rack.text()
        check(rack, "help")


async def test_a_terminal_of_a_few_cells_breaks_nothing(nasty: Path) -> None:
    async with opened(nasty, "2026-03-12 07:00", keeper="AK", size=(12, 4)) as rack:
        for there, back in WAYS.values():
            await rack.press(*there, *back)
        await rack.pilot.resize_terminal(80, 24)
        await rack.text()
        check(rack, "walk, made larger")


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
async def test_every_sign_of_the_egg_check_is_in_sight(size: tuple[int, int], nasty: Path) -> None:
    from rounds.logbook.words import EGG_SIGNS

    async with opened(nasty, "2026-03-12 07:00", keeper="AK", size=size) as rack:
        await rack.press("e")
        await rack.sees(*EGG_SIGNS, "Enter")


async def test_markup_stands_as_it_was_written(nasty: Path) -> None:
    async with opened(nasty, "2026-03-12 07:00", keeper="AK", size=(120, 40)) as rack:
        await rack.press("j", *"[red]wattle", "enter", "p")
        await rack.sees("[red]Wattle[/red] [bold] animal lives in")


async def test_a_stop_with_sixty_residents(tmp_path: Path) -> None:
    page = "\n".join(
        [
            "2026-03-01 AK",
            '08:00 t1 enclosure_set_up name=T1 what="open tub"',
            *(f'08:10 a{number} arrived name="Animal {number}" place=t1 sex=F' for number in range(60)),
            *(f"08:20 a{number} weighed grams=4{number % 10}0" for number in range(60)),
        ]
    )
    folder = colony(tmp_path / "colony", page)
    for size in SIZES:
        async with opened(folder, "2026-03-02 07:00", keeper="AK", size=size) as rack:
            await rack.sees("60", "T1")
            if size != (40, 12):
                await rack.sees("61 here; ↑ ↓ shows the others", "due")
            for _ in range(45):
                await rack.press("down")
            await rack.text()
            check(rack, "far down")
            selected = next(line for line in rack.board_text.split("\n") if line.startswith(" > "))
            name = " ".join(selected.split()[2:4])
            await rack.press("4")
            await rack.sees(f"Weight of {name}")
            await rack.press("escape")
            for _ in range(30):
                await rack.press("down")
            await rack.sees("> ? one of them, not known which"[: size[0] - 8])


async def test_a_stop_with_thirty_matters(tmp_path: Path) -> None:
    page = "\n".join(
        [
            "2026-03-01 AK",
            '08:00 t1 enclosure_set_up name=T1 what="open tub"',
            *(f'08:10 a{number} arrived name="Animal {number}" place=t1 sex=F' for number in range(30)),
            *(f"08:15 a{number} mating_seen" for number in range(30)),
            *(f"08:20 a{number} egg_check_done present=lethargy" for number in range(30)),
        ]
    )
    folder = colony(tmp_path / "colony", page)
    for size in SIZES:
        async with opened(folder, "2026-03-02 07:00", keeper="AK", size=size) as rack:
            await rack.sees("VET NOW", "more matters here")
            check(rack, "thirty matters")
            await rack.press("a")
            for _ in range(29):
                await rack.press("down")
            await rack.text()
            check(rack, "the last matter")
            assert sum(line.startswith(" > ") for line in rack.board_text.split("\n")) == 1


async def test_without_colour_words_tell_the_levels(nasty: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened(nasty, "2026-03-12 07:00", keeper="AK", size=(120, 40)) as rack:
        assert rack.app.no_color
        await rack.press("a", "f4", "f4")
        await rack.sees("VET NOW", "TODAY", "watch")
        check(rack, "attention without colour")
        for line in range(rack.app.size.height):
            for segment in rack.app.screen._compositor.render_strips()[line]:
                color = segment.style.color if segment.style else None
                if color is not None and color.triplet is not None:
                    red, green, blue = color.triplet
                    assert max(red, green, blue) - min(red, green, blue) <= 2, segment


async def test_the_selection_is_marked_by_a_sign_and_not_by_colour_alone(nasty: Path) -> None:
    async with opened(nasty, "2026-03-12 07:00", keeper="AK") as rack:
        for keys in ((), ("a",), ("backspace", "p")):
            await rack.press(*keys)
            await rack.text()
            assert sum(line.lstrip().startswith("> ") for line in rack.board_text.split("\n")) == 1, keys
