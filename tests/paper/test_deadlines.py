"""Above and beside the matters: how long a deadline is away, and what is put off."""

from __future__ import annotations

import pytest

from rounds.paper.matters import matters_text
from rounds.paper.words import left_beside
from tests.notation import at

DEADLINE = at("2026-04-10 10:00")


@pytest.mark.parametrize(
    ("says", "moment", "told"),
    [
        ("Stopped laying 20 h ago at 14.", "2026-04-10 08:00", "2 h left"),
        ("Stopped laying 20 h ago at 14.", "2026-04-10 18:00", "8 h past"),
        ("Stopped laying 30 h ago at 14. Vet 8 h overdue.", "2026-04-10 18:00", ""),
        ("Weighing overdue.", "2026-04-10 08:00", "2 h left"),
    ],
)
def test_how_far_a_deadline_is_past_is_said_once(says: str, moment: str, told: str) -> None:
    assert left_beside(says, DEADLINE, at(moment)) == told


def test_without_a_deadline_nothing_is_left() -> None:
    assert left_beside("Dull.", None, DEADLINE) == ""


@pytest.mark.parametrize(
    ("today", "put_off", "told"),
    [
        (0, 0, "Nothing needs attention."),
        (0, 1, "1 matter put off. Nothing else needs attention."),
        (0, 2, "2 matters put off. Nothing else needs attention."),
        (3, 1, "3 today   (1 put off)"),
    ],
)
def test_nothing_needs_attention_is_not_said_of_what_is_only_put_off(today: int, put_off: int, told: str) -> None:
    found = {"colony": "Shed", "counts": {"today": today}, "put_off": put_off, "matters": []}
    assert told in matters_text(found, DEADLINE)
    assert told == "Nothing needs attention." or "Nothing needs attention." not in matters_text(found, DEADLINE)
