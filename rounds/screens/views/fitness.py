"""The checks before pairing as lines: the word, what was found, and the house rule behind it. Pure."""

from __future__ import annotations

from rounds.due.fitness import Check, Fitness
from rounds.rules.house import House
from rounds.screens.board.board import BLANK, Line, Span, fit, line, wrap

_STYLES = {"no": "today", "not known": "quiet", "yes": "good"}


def fit_lines(found: Fitness, house: House, width: int) -> list[Line]:
    """The sum, each check, then each house rule with its grade and source."""
    lines = [line(" ", Span(one, "ask")) for one in wrap(f"{found.says}.", width - 2)]
    for check in found.checks:
        lines += _check_lines(check, width)
    lines += [BLANK, line(" ", Span("house rules behind it", "quiet"))]
    for key in dict.fromkeys(key for check in found.checks for key in check.house):
        lines += [line("   ", Span(one, "quiet")) for one in wrap(house.rule(key).cite(), width - 4)]
    return lines


def _check_lines(check: Check, width: int) -> list[Line]:
    first, *rest = wrap(f"{check.name}: {check.says}", width - 14) or [""]
    shown = [line(" ", Span(fit(check.answer, 10), _STYLES[check.answer]), " ", first)]
    return [*shown, *(line(" " * 12, one) for one in rest)]
