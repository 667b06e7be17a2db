"""The stories during which the power is cut: a keeper's mornings, and what goes wrong in them."""

from __future__ import annotations

import errno
import io
import os
import shutil
from contextlib import suppress
from typing import Final

from rounds.cli import main
from rounds.desk.colony_file import write_new
from rounds.desk.desk import Desk
from rounds.errors import NotSaved
from rounds.logbook.entries import Noted
from rounds.sheets.store import Sheets
from tests.crashes.paper import a_hand_over_put_on_paper, a_text_kept_while_it_is_typed
from tests.crashes.record import Acknowledged, Excused
from tests.crashes.stage import Part, Stage, failing
from tests.desks.laptops import colony, note, weight


class Story:
    """What was there before, and what happens while the power may be cut."""

    def __init__(self, told: Part, prelude: Part | None = None) -> None:
        self.name = told.__name__.replace("_", " ").strip()
        self.told = told
        self.prelude: Final = prelude or _a_room
        #: Whether there may be no colony yet.
        self.begins_nothing = prelude is _nothing
        #: Whether the disk is sound enough for a refused save to be cut off again.
        self.refuses_for_certain = told is a_full_disk_and_another_try


def _a_room(stage: Stage) -> None:
    colony(stage.colony)


def _nothing(stage: Stage) -> None:
    pass


def _a_morning_before(stage: Stage) -> None:
    _a_room(stage)
    desk = stage.desk()
    for _ in range(stage.rng.randrange(2, 5)):
        stage.at_a_stop(desk)
    desk.close(keeping=True)


def a_morning_s_walk(stage: Stage) -> None:
    desk = stage.desk()
    for _ in range(stage.rng.randrange(3, 6)):
        stage.at_a_stop(desk)
    wrong = desk.record(weight("wattle", 45.2))[0]
    stage.wait()
    desk.correct(wrong, weight("wattle", 452), because="a point too many")
    stage.wait()
    desk.take_back()
    desk.close(keeping=True)


def saves_of_many_lines(stage: Stage) -> None:
    desk = stage.desk()
    for many in (3, stage.rng.randrange(4, 9), 2):
        stage.wait()
        desk.record(*(note("y" * stage.rng.randrange(20, 1_200)) for _ in range(many)))
    desk.close()


def a_full_disk_and_another_try(stage: Stage) -> None:
    desk = stage.desk()
    stage.at_a_stop(desk)
    stage.wait()
    words = [note("z" * stage.rng.randrange(30, 900)), note("and more")]
    with failing(stage, "write", errno.ENOSPC, takes=stage.rng.choice((None, 7, 60))), suppress(NotSaved):
        desk.record(*words)
    stage.at_a_stop(desk)
    desk.record(*words)
    desk.close()


def a_sync_that_fails_and_a_second_part(stage: Stage) -> None:
    desk = stage.desk()
    stage.at_a_stop(desk)
    words = [note("z" * stage.rng.randrange(30, 900)), note("and more")]
    with failing(stage, "sync", errno.EIO), suppress(NotSaved):
        desk.record(*words)
    desk.record(*words)
    stage.at_a_stop(desk)
    desk.close()


def an_older_sheet_put_in_its_place(stage: Stage) -> None:
    desk = stage.desk()
    stage.at_a_stop(desk)
    sheet = stage.sheet()
    older = sheet.read_bytes()
    lost = stage.saves[-1:]
    stage.at_a_stop(desk)
    stage.at_a_stop(desk)
    lost = stage.saves[stage.saves.index(lost[0]) + 1 :]
    assert stage.recorder is not None
    ids = tuple(one for save in lost for one in save)
    stage.recorder.tell(Excused(ids))
    if stage.rng.random() < 0.5:
        beside = sheet.with_name(".sync-draft")
        with beside.open("xb") as file:
            file.write(older)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(sheet)
    else:
        os.truncate(sheet, len(older))
    stage.at_a_stop(desk)
    stage.recorder.tell(Acknowledged(ids))
    stage.at_a_stop(desk)
    desk.close()


def across_midnight(stage: Stage) -> None:
    stage.clock.set("2026-04-12 23:58")
    desk = stage.desk()
    for _ in range(5):
        stage.at_a_stop(desk)
        stage.wait(40)
    desk.close(keeping=True)


def _a_damaged_yesterday(stage: Stage) -> None:
    _a_morning_before(stage)
    sheet = stage.sheet()
    content = sheet.read_bytes()
    lines = content.splitlines(keepends=True)
    copy = sheet.with_name(f"{sheet.stem} (conflicted copy).jsonl")
    copy.write_bytes(content)
    lines.insert(stage.rng.randrange(len(lines)), b'{"kind":"noted","id":"flipped","crc":"00000000"}\n')
    sheet.write_bytes(b"".join(lines) + b'{"kind":"weigh')
    stage.clock.forward(days=1)


def damage_repaired(stage: Stage) -> None:
    stage.rounds("check", "--repair")


def _torn(stage: Stage) -> None:
    _a_morning_before(stage)
    sheet = stage.sheet()
    content = sheet.read_bytes()
    torn = stage.rng.choice((b'{"kind":"noted","id":"torn"', bytes(stage.rng.randrange(1, 900)), b"x" * 5_000, b""))
    sheet.write_bytes(content + torn if torn else content.removesuffix(b"\n"))


def a_torn_sheet_made_ready(stage: Stage) -> None:
    desk = stage.desk()
    stage.at_a_stop(desk)
    stage.at_a_stop(desk)
    desk.close()


def a_restore_by_lines(stage: Stage) -> None:
    stage.rounds("log", "-", stdin=(stage.root / "elsewhere" / "everything.jsonl").read_bytes())


def _lines_of_another_colony(stage: Stage) -> None:
    other = stage.root / "elsewhere"
    colony(other / "colony")
    desk = Desk.open(other / "colony", clock=stage.clock, keeper="AK")
    for _ in range(stage.rng.randrange(4, 9)):
        stage.at_a_stop(desk)
        stage.wait(stage.rng.choice((20, 30_000)))
    desk.close()
    stage.clock.forward(hours=1)
    out = io.StringIO()
    main(("--colony", str(other / "colony"), "show", "--lines"), clock=stage.clock, out=out, err=io.StringIO())
    (other / "everything.jsonl").write_text(out.getvalue(), "utf-8")
    shutil.rmtree(other / "colony")
    for folder in ("state", "cache"):
        shutil.rmtree(stage.root / folder, ignore_errors=True)
    stage.saves.clear()
    stage.entries.clear()
    write_new(stage.colony, "Quandong shed", "Europe/Vienna")


def a_new_colony(stage: Stage) -> None:
    stage.rounds("new", "--name", "Quandong shed", "--time-zone", "Europe/Vienna")
    desk = stage.desk()
    stage.wait()
    desk.record(note("the first word"))
    desk.close()


def two_windows_and_their_names(stage: Stage) -> None:
    first, second = stage.desk(), stage.desk()
    assert first.name != second.name
    for desk in (first, second, first):
        stage.at_a_stop(desk)
    second.news()
    first.close()
    again = stage.desk()
    stage.at_a_stop(again)
    again.close()
    second.close(keeping=True)


def what_is_kept_for_the_next_start(stage: Stage) -> None:
    desk = stage.desk()
    stage.at_a_stop(desk)
    desk.keep()
    stage.at_a_stop(desk)
    desk.close(keeping=True)
    stage.desk().close(keeping=True)


def _another_writer(stage: Stage) -> None:
    """This desk's sheet was put back as it was after the first save; another machine wrote on under its name."""
    _a_morning_before(stage)
    sheet = stage.sheet()
    first = sum(len(line) for line in sheet.read_bytes().splitlines(keepends=True)[: len(stage.saves[0])])
    other = stage.root / "elsewhere"
    clone = Sheets(other, sheet.name.split(".")[1])
    stage.wait(600)
    ids = [f"clone-{number}" for number in range(2)]
    notes = [Noted(id=one, at=stage.clock.now, by="LO", about="room", note="by the clone") for one in ids]
    other.mkdir()
    clone.append(notes, stage.clock.now.date())
    clone.close()
    sheet.write_bytes(sheet.read_bytes()[:first] + next(other.glob("sheets/*/*")).read_bytes())
    shutil.rmtree(other)


def another_writer_under_this_name(stage: Stage) -> None:
    desk = stage.desk()
    stage.at_a_stop(desk)
    stage.at_a_stop(desk)
    desk.close()


def one_window_keeps_what_the_other_is_writing(stage: Stage) -> None:
    writing, listening = stage.desk(), stage.desk()
    stage.at_a_stop(writing)
    recorder = stage.recorder
    assert recorder is not None

    def before(name: str, _path: str) -> None:
        if name == "sync":
            recorder.before = None
            stage.later_ns, later_ns = 0, stage.later_ns  # what it reads was written this moment
            listening.news()
            listening.keep()
            stage.later_ns = later_ns

    recorder.before = before
    stage.at_a_stop(writing)
    stage.at_a_stop(writing)
    writing.close()
    listening.close(keeping=True)


STORIES: Final = (
    Story(a_morning_s_walk),
    Story(saves_of_many_lines),
    Story(a_full_disk_and_another_try),
    Story(a_sync_that_fails_and_a_second_part),
    Story(an_older_sheet_put_in_its_place),
    Story(across_midnight),
    Story(damage_repaired, _a_damaged_yesterday),
    Story(a_torn_sheet_made_ready, _torn),
    Story(a_restore_by_lines, _lines_of_another_colony),
    Story(a_new_colony, _nothing),
    Story(two_windows_and_their_names),
    Story(what_is_kept_for_the_next_start, _a_morning_before),
    Story(one_window_keeps_what_the_other_is_writing, _a_morning_before),
    Story(another_writer_under_this_name, _another_writer),
    Story(a_text_kept_while_it_is_typed),
    Story(a_hand_over_put_on_paper),
)
