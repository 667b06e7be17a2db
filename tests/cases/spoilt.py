"""Other things in the place of a sheet while the app is open on it, and what a desk remembers, spoilt."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from tests.cases.going_back import A_LOOK, TYPED, gone, of_three, three_saved
from tests.cases.sheet import weights_in
from tests.cases.verdict import Verdict, case
from tests.cases.window import Window

Turning = Callable[[Path], None]


def into_folder(sheet: Path) -> None:
    sheet.unlink()
    sheet.mkdir()


def into_empty(sheet: Path) -> None:
    os.truncate(sheet, 0)


def into_link(sheet: Path) -> None:
    elsewhere = sheet.parents[3] / "elsewhere.jsonl"
    elsewhere.write_bytes(b"not ours\n")
    sheet.unlink()
    sheet.symlink_to(elsewhere)


def into_pipe(sheet: Path) -> None:
    sheet.unlink()
    os.mkfifo(sheet)


TURNINGS: dict[str, tuple[str, Turning]] = {
    "2e": ("taken away", Path.unlink),
    "2f": ("replaced by a folder", into_folder),
    "2g": ("replaced by a link", into_link),
    "2h": ("replaced by a pipe", into_pipe),
    "2i": ("cut to nothing", into_empty),
}


def turned(name: str) -> None:
    """List the case of one such turning."""
    words, turning = TURNINGS[name]

    @case(name, f"the open sheet is {words}, nothing more is typed, quit")
    def trial(rounds: Path, folder: Path) -> Verdict:
        desk = three_saved(rounds, folder)
        turning(desk.sheet)
        desk.window.watch(A_LOOK)
        code = desk.window.leave()
        lost = gone(desk.home)
        alien = desk.sheet.parents[3] / "elsewhere.jsonl"
        through = alien.exists() and alien.read_bytes() != b"not ours\n"
        wrote = "; it wrote through the link" if through else ""
        return Verdict(
            not lost and code == 0 and not through,
            f"sheet {words} under a running desk, then quit: {of_three(lost)}{wrote}",
        )


for _name in TURNINGS:
    turned(_name)


def cut(file: Path) -> None:
    content = file.read_bytes()
    file.write_bytes(content[: len(content) // 2])


def rubbish(file: Path) -> None:
    file.write_bytes(b"\xff\x00{]" * 300)


def one_bit(file: Path) -> None:
    content = bytearray(file.read_bytes())
    for place in range(5, len(content), 97):
        content[place] ^= 4
    file.write_bytes(content)


SPOILING: dict[str, Turning] = {
    "cut in half": cut,
    "rubbish": rubbish,
    "bits flipped": one_bit,
    "empty": into_empty,
    "a folder": into_folder,
    "taken away": Path.unlink,
}


@case("2p", "every file of the state folder and the cache is spoilt, a sheet goes back, then starts")
def state_spoilt(rounds: Path, folder: Path) -> Verdict:
    found: list[str] = []
    for word, spoil in SPOILING.items():
        desk = three_saved(rounds, folder / word.replace(" ", "-"))
        desk.window.leave()
        before = {path: path.read_bytes() for path in desk.home.sheets()}
        for top in (desk.home.state, desk.home.folder / ".cache"):
            for file in [path for path in top.rglob("*") if path.is_file()]:
                spoil(file)
        ran = [desk.home.run("log", "noted", "room", "note=n"), desk.home.check(), desk.home.run("today")]
        with Window(desk.home) as window:
            window.take_over()
            window.press("454\r")
            saved = window.sees("weighed 454 g", patience=8)
            window.leave()
        ran.append(desk.home.check())
        lost = [weight for weight in (*TYPED, 454.0) if weight not in weights_in(desk.home.colony)]
        kept = all(path.read_bytes().startswith(content) for path, content in before.items())
        doubled = len(desk.home.entries()) != len({entry["id"] for entry in desk.home.entries()})
        if any(one.traceback or one.code not in (0, 1) for one in ran) or not saved:
            found.append(f"{word}: {'a fault' if saved else 'a key was not saved'}")
        if lost or not kept or doubled:
            found.append(f"{word}: {len(lost)} weights gone{'' if kept else ', a sheet rewritten'}")
    return Verdict(
        not found,
        f"state and cache spoilt in {len(SPOILING)} ways: {'; '.join(found) or 'nothing gone, every key saved'}",
    )
