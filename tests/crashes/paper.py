"""Stories of what is no entry, and must be there once it was said to be: a text typed, a paper written."""

from __future__ import annotations

from typing import Final

from rounds import folders, system
from rounds.desk.unfinished import Unfinished, UnfinishedFile
from tests.crashes.record import Acknowledged, Begun, Excused
from tests.crashes.stage import Stage

#: What such things are called among the entries' ids.
_TYPED: Final = "typed: "
_PAPER: Final = "paper: "


def a_text_kept_while_it_is_typed(stage: Stage) -> None:
    """Words come one by one and are kept; then they are written as an entry and forgotten."""
    recorder = stage.recorder
    assert recorder is not None
    file = UnfinishedFile(folders.state(), stage.colony, "rack")
    file.take()
    before: tuple[str, ...] = ()
    for _ in range(4):
        stage.wait()
        text = "w" * stage.rng.randrange(5, 1_500)
        now = (f"{_TYPED}{text}",)
        recorder.tell(Begun(now))
        recorder.tell(Excused(before))
        file.keep([Unfinished("AK", stage.clock(), "room", "Note", {"note": text}, text)])
        recorder.tell(Acknowledged(now))
        before = now
    recorder.tell(Excused(before))
    file.keep([])
    file.close()


def a_hand_over_put_on_paper(stage: Stage) -> None:
    """The sheet is written to a file twice, and each time it is said where it lies."""
    recorder = stage.recorder
    assert recorder is not None
    for _ in range(2):
        content = b"handed over\n" * stage.rng.randrange(10, 500)
        name = (f"{_PAPER}{len(content)}",)
        recorder.tell(Begun(name))
        system.write_new_file(stage.root, "hand-over", ".txt", content)
        recorder.tell(Acknowledged(name))


def kept_beside(stage: Stage) -> set[str]:
    """What is found of such things."""
    file = UnfinishedFile(folders.state(), stage.colony, "rack")
    typed, _ = file.take()
    file.close()
    papers = [path.read_bytes() for path in stage.root.glob("hand-over*.txt")]
    whole = {len(paper) for paper in papers if paper == b"handed over\n" * (len(paper) // 12)}
    return {f"{_TYPED}{one.words}" for one in typed} | {f"{_PAPER}{size}" for size in whole if size}
