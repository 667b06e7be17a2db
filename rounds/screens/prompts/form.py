"""A form in place: what is asked in several fields at once."""

from __future__ import annotations

from rounds.screens.board.board import Line
from rounds.screens.prompts.fields import WHEN, Clockwork, Field, Unreadable
from rounds.screens.prompts.form_keys import FormKeys
from rounds.screens.prompts.form_view import form_lines

__all__ = ["WHEN", "Clockwork", "Field", "Form", "Unreadable"]


class Form(FormKeys):
    """Asks for all fields. The answer is a dict of the members that were filled."""

    def lines(self, width: int, height: int) -> list[Line]:
        return form_lines(self, width, height)
