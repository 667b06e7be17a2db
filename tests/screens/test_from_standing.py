"""What a screen worked out from a standing stands until that is another one, and no two standings are compared."""

from __future__ import annotations

from rounds.screens.from_standing import FromStanding
from rounds.standing.fold import Standing


class NeverCompared(Standing):
    """A standing of a large colony: to compare it would open all its pages."""

    def __eq__(self, other: object) -> bool:
        raise AssertionError("two standings were compared")

    __hash__ = None


def test_it_is_worked_out_again_for_another_standing_and_when_what_it_rests_on_has_changed() -> None:
    made: list[str] = []
    found = FromStanding[str]()

    def worked() -> str:
        made.append(f"{len(made)}")
        return made[-1]

    one, other = NeverCompared(), NeverCompared()
    assert [found.of(one, "wattle", 80, by=worked) for _ in range(3)] == ["0", "0", "0"]
    assert found.of(one, "sedge", 80, by=worked) == "1"
    assert found.of(other, "sedge", 80, by=worked) == "2"
    assert found.of(one, "sedge", 80, by=worked) == "3"


def test_what_could_not_be_worked_out_is_tried_again() -> None:
    found, standing = FromStanding[int](), NeverCompared()
    answers = iter((ValueError(), 7))

    def worked() -> int:
        answer = next(answers)
        if isinstance(answer, ValueError):
            raise answer
        return answer

    for expected in ("raised", 7):
        try:
            assert found.of(standing, by=worked) == expected
        except ValueError:
            assert expected == "raised"
