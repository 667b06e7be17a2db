"""A sheet that goes back in time, vanishes or turns into something else while the app is open on it."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import NamedTuple

from tests.cases.home import Home, enclosures, wait_for
from tests.cases.sheet import grams, weights_in
from tests.cases.verdict import Verdict, case, tells
from tests.cases.window import AT_WORK, Window

#: What is typed in the app. The older copy holds the first alone.
TYPED = (451.0, 452.0, 453.0)
#: Longer than the app takes to look at its folder, in s (docs/trust.md: within two seconds).
A_LOOK = 2.6


class Desk(NamedTuple):
    """A desk with its app open, three weights saved, and the copy that was made after the first."""

    home: Home
    window: Window
    sheet: Path
    older: bytes


def begun(rounds: Path, folder: Path) -> Home:
    """A colony that was set up at another desk."""
    colony = folder / "colony"
    Home(rounds, folder / "home-of-set-up", colony).begin(enclosures(3))
    return Home(rounds, folder / "home", colony)


def three_saved(rounds: Path, folder: Path) -> Desk:
    """Type three weights at the first stop; keep what the sheet was after the first."""
    home = begun(rounds, folder)
    window = Window(home)
    window.take_over()
    older = b""
    for weight in TYPED:
        window.press(f"{weight:.0f}\r")
        window.must_see(f"weighed {weight:.0f} g")
        sheet = next(path for path in home.sheets() if weight in grams(path))
        older = older or sheet.read_bytes()
    return Desk(home, window, sheet, older)


def gone(home: Home) -> list[float]:
    """The typed weights that no sheet holds any more."""
    there = weights_in(home.colony)
    return [weight for weight in TYPED if weight not in there]


def of_three(lost: list[float]) -> str:
    """`2 of 3 acknowledged weights gone (452, 453)`."""
    named = f" ({', '.join(f'{weight:.0f}' for weight in lost)})" if lost else ""
    return f"{len(lost) or 'none'} of 3 acknowledged weights gone{named}"


def put_back(desk: Desk) -> None:
    """The older copy is renamed over the sheet, as a copier does."""
    draft = desk.sheet.with_name(".older")
    draft.write_bytes(desk.older)
    draft.replace(desk.sheet)


@case("2a", "an older copy of the sheet is renamed over it, nothing more is typed, quit")
def goes_back(rounds: Path, folder: Path) -> Verdict:
    desk = three_saved(rounds, folder)
    put_back(desk)
    desk.window.watch(A_LOOK)
    desk.window.leave()
    lost = gone(desk.home)
    return Verdict(not lost, f"sheet goes back under a running desk, then quit: {of_three(lost)}")


@case("2b", "an older copy is renamed over the sheet, and quit in the same moment", quick=True)
def goes_back_at_quit(rounds: Path, folder: Path) -> Verdict:
    desk = three_saved(rounds, folder)
    put_back(desk)
    desk.window.leave()
    lost = gone(desk.home)
    return Verdict(not lost, f"sheet goes back, quit at once: {of_three(lost)}")


@case("2c", "an older copy is renamed over the sheet while rounds is closed, then a start")
def goes_back_while_closed(rounds: Path, folder: Path) -> Verdict:
    desk = three_saved(rounds, folder)
    desk.window.leave()
    put_back(desk)
    said = desk.home.run("today").err
    with Window(desk.home) as window:
        window.take_over()
        window.watch(A_LOOK)
        said += window.text
        window.leave()
    lost = gone(desk.home)
    told = tells(said, "missing", "lost", "gone", "went back", "older", "again", "452", "wrote")
    return Verdict(not lost, f"own sheet goes back while closed, then a start: {of_three(lost)}; {said_so(told)}")


@case("2d", "another desk's sheet goes back, then a start finds less than it knew")
def another_goes_back(rounds: Path, folder: Path) -> Verdict:
    desk = three_saved(rounds, folder)
    desk.window.leave()
    reader = Home(rounds, folder / "reader", desk.home.colony)
    with Window(reader) as window:  # this one reads the three weights and keeps them in its cache
        window.take_over()
        window.watch(1)
        window.leave()
    put_back(desk)
    shutil.rmtree(desk.home.folder)  # the desk that wrote them is never started again
    wait_for(0.1)
    check = reader.check()
    with Window(reader) as window:
        window.take_over()
        window.watch(A_LOOK)
        shown = window.text
        window.leave()
    told = tells(
        shown + check.said, "missing", "went back", "less than", "fewer", "older copy", "not there any more"
    )
    offered = tells(shown + check.said, "452") or tells(shown + check.said, "write", "offer", "bring")
    lost = gone(desk.home)
    return Verdict(
        told,
        f"another desk's sheet goes back, then a start: {of_three(lost)} on disk; {said_so(told)}"
        f"{', the lines are offered' if told and offered else ''}; check ends with {check.code}",
    )


@case("2m", "another desk's sheet goes back under a running app that had read it, nothing is typed")
def another_goes_back_meanwhile(rounds: Path, folder: Path) -> Verdict:
    desk = three_saved(rounds, folder)
    desk.window.leave()
    reader = Home(rounds, folder / "reader", desk.home.colony)
    shutil.rmtree(desk.home.folder)  # the desk that wrote them is never started again
    with Window(reader) as window:
        window.take_over()
        window.watch(1)
        put_back(desk)
        window.watch(A_LOOK)
        shown = window.text
        window.leave()
    with Window(reader) as window:
        window.must_see("Enter take over", *AT_WORK)
        window.watch(A_LOOK)
        at_start = window.text
    words = ("missing", "went back", "shorter", "not there any more")
    meanwhile, later = (tells(text, *words) for text in (shown, at_start))
    lost = gone(desk.home)
    return Verdict(
        not lost or meanwhile or later,
        f"another desk's sheet goes back under an open reader: {of_three(lost)} on disk; "
        f"{'said at once' if meanwhile else 'said at the next start' if later else 'it says nothing'}",
    )


@case("2n", "two windows of one machine, their sheets exchanged for each other under them")
def exchanged(rounds: Path, folder: Path) -> Verdict:
    desk = three_saved(rounds, folder)
    with Window(desk.home) as second:
        second.take_over()
        second.press("461\r")
        second.must_see("weighed 461 g")
        other = next(path for path in desk.home.sheets() if 461.0 in grams(path))
        third = other.with_name(".third")
        desk.sheet.rename(third)
        other.rename(desk.sheet)
        third.rename(other)
        desk.window.watch(A_LOOK)
        second.watch(0.5)
        desk.window.press("454\r")
        desk.window.must_see("weighed 454 g")
        second.press("462\r")
        second.must_see("weighed 462 g")
        second.leave()
    desk.window.leave()
    wanted = [*TYPED, 454.0, 461.0, 462.0]
    counted = [
        entry["grams"] for entry in desk.home.entries() if entry["kind"] == "weighed" and entry["grams"] > 450
    ]
    lost = [weight for weight in wanted if weight not in counted]
    twice = len(counted) - len(set(counted))
    sheets = len(desk.home.sheets())
    return Verdict(
        not lost and not twice and sheets < 12,
        f"two sheets exchanged under two windows: {len(lost) or 'none'} of 6 weights gone, "
        f"{twice or 'none'} counted twice, {sheets} sheets at the end",
    )


@case("2o", "the older copy is put back again and again while weights are typed")
def again_and_again(rounds: Path, folder: Path) -> Verdict:
    desk = three_saved(rounds, folder)
    wanted = list(TYPED)
    for number in range(12):
        weight = 460.0 + number
        desk.window.press(f"{weight:.0f}\r")
        if desk.window.sees(f"weighed {weight:.0f} g", patience=6):
            wanted.append(weight)
        newest = max(desk.home.sheets(), key=lambda path: path.stat().st_mtime_ns)
        draft = newest.with_name(".older")
        draft.write_bytes(desk.older)
        draft.replace(newest)
        desk.window.watch(0.3)
    desk.window.watch(A_LOOK)
    desk.window.leave()
    there = weights_in(desk.home.colony)
    lost = [weight for weight in wanted if weight not in there]
    twice = len(there) - len(set(there)) - sum(weight == 450.0 for weight in there) + 1
    return Verdict(
        not lost and not twice,
        f"the older copy put back 12 times over the newest sheet: {len(lost) or 'none'} of {len(wanted)} weights "
        f"gone, {twice or 'none'} counted twice, {len(desk.home.sheets())} sheets at the end",
    )


def said_so(told: bool) -> str:
    """Whether the program spoke of it."""
    return "it says so" if told else "it says nothing"


@case("2j", "the state folder is deleted while the app runs")
def state_deleted(rounds: Path, folder: Path) -> Verdict:
    desk = three_saved(rounds, folder)
    shutil.rmtree(desk.home.state)
    desk.window.press("454\r")
    saved = desk.window.sees("weighed 454 g", patience=8)
    second = desk.home.run("log", "weighed", "wattle", "grams=455")
    desk.window.press("456\r")
    saved = desk.window.sees("weighed 456 g", patience=8) and saved
    desk.window.leave()
    wanted = [*TYPED, *((454.0, 456.0) if saved else ()), *((455.0,) if second.code == 0 else ())]
    there = weights_in(desk.home.colony)
    lost = [weight for weight in wanted if weight not in there]
    writers = {path.name for path in desk.home.sheets() if grams(path)[-1:] == [456.0]}
    shared = any(455.0 in grams(path) and 456.0 in grams(path) for path in desk.home.sheets())
    both = "; two writers on one sheet" if shared else ""
    return Verdict(
        not lost and saved and not shared and bool(writers),
        f"state folder deleted while running: {len(lost) or 'none'} of {len(wanted)} gone, "
        f"{'every key saved' if saved else 'a key was not saved'}{both}",
    )


@case("2k", "the colony's folder is moved while the app runs, and back")
def colony_moved(rounds: Path, folder: Path) -> Verdict:
    desk = three_saved(rounds, folder)
    moved = folder / "moved"
    desk.home.colony.rename(moved)
    desk.window.press("454\r")
    acknowledged = desk.window.sees("weighed 454 g", patience=3)
    refused = tells(desk.window.text, "not saved")
    moved.rename(desk.home.colony)
    if refused:
        desk.window.press("r")
        desk.window.watch(1)
        desk.window.press("\r")
        acknowledged = desk.window.sees("weighed 454 g", patience=8)
    desk.window.watch(A_LOOK)
    desk.window.press("q")
    desk.window.ends(3)
    lost = gone(desk.home) + ([454.0] if acknowledged and 454.0 not in weights_in(desk.home.colony) else [])
    said = "it said “Not saved” meanwhile" if refused else "nothing was said meanwhile"
    return Verdict(not lost, f"colony moved away and back under a running desk: {len(lost) or 'none'} gone; {said}")


@case("2l", "conflict copies of one's own sheet appear while the app runs")
def conflict_copies(rounds: Path, folder: Path) -> Verdict:
    desk = three_saved(rounds, folder)
    copy = desk.sheet.with_name(f"{desk.sheet.stem} (conflict copy).jsonl")
    copy.write_bytes(desk.sheet.read_bytes())
    put_back(desk)
    desk.window.watch(A_LOOK)
    desk.window.press("454\r")
    desk.window.sees("weighed 454 g", patience=8)
    desk.window.leave()
    counted = [
        entry["grams"] for entry in desk.home.entries() if entry["kind"] == "weighed" and entry["grams"] > 450
    ]
    wanted = [*TYPED, 454.0]
    twice = len(counted) - len(set(counted))
    lost = [weight for weight in wanted if weight not in counted]
    return Verdict(
        not lost and not twice,
        f"older version wins, newer kept as a conflict copy: {len(lost) or 'none'} of 4 gone, "
        f"{twice or 'none'} counted twice",
    )
