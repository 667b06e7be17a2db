"""What is worked out once and kept."""

from __future__ import annotations

import pytest

from rounds.standing.kept import cached_property


class _Counting:
    def __init__(self) -> None:
        self.asked = 0

    @cached_property
    def figure(self) -> int:
        """The figure."""
        self.asked += 1
        if self.asked == 1:
            raise ValueError("not yet")
        return self.asked


def test_a_property_is_worked_out_once_and_what_it_raised_is_not_kept() -> None:
    one = _Counting()
    with pytest.raises(ValueError, match="not yet"):
        one.figure  # noqa: B018
    assert [one.figure, one.figure] == [2, 2]


def test_each_object_keeps_its_own() -> None:
    one, other = _Counting(), _Counting()
    one.asked, other.asked = 5, 7
    assert (one.figure, other.figure) == (6, 8)


def test_of_the_class_it_is_the_property_itself_with_its_words() -> None:
    assert _Counting.figure.__doc__ == "The figure."
