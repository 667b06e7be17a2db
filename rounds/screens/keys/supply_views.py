"""The keys of the screens of supplies and of the next fourteen days."""

from __future__ import annotations

from typing import Final

from rounds.screens.keys.register import DIGITS, Key

SUPPLIES: Final = (
    Key(
        "supply-count",
        DIGITS,
        "digit",
        "count",
        "Type how much there is of the supply selected, then Enter",
        "0-9",
    ),
    Key("supply-in", "i,plus,add", "came_in", "came in", "Write how much of the supply selected came in", "i +"),
    Key("supply-new", "n", "begin", "another", "Begin another supply with its first count"),
    Key(
        "supply-page",
        "enter,p",
        "open",
        "its page",
        "The page of the supply: every count and what came in",
        "Enter",
    ),
    Key("supply-up", "up,k", "cursor(-1)", "up", "The supply above", "↑", reach="moves"),
    Key("supply-down", "down", "cursor(1)", "down", "The supply below", "↓", reach="moves"),
    Key(
        "supply-take-back",
        "z",
        "take_back",
        "take back",
        "Take back what you saved last (a correction is written; both stay readable)",
    ),
    Key(
        "supply-back",
        "backspace,left,escape",
        "back",
        "back",
        "Back to where you came from",
        "Backspace",
        reach="moves",
    ),
)

FORTNIGHT: Final = (
    Key("coming-open", "enter,p", "open", "page", "The page of whom the line is about; of several, which", "Enter"),
    Key("coming-there", "g", "go_there", "go there", "Walk to the stop where it is; of several, which"),
    Key("coming-up", "up,k", "cursor(-1)", "up", "The line above", "↑", reach="moves"),
    Key("coming-down", "down", "cursor(1)", "down", "The line below", "↓", reach="moves"),
    Key("coming-page-up", "pageup", "cursor(-12)", "page up", "A screenful up", "PgUp", reach="moves"),
    Key("coming-page-down", "pagedown", "cursor(12)", "page down", "A screenful down", "PgDn", reach="moves"),
    Key(
        "coming-back",
        "backspace,left,escape",
        "back",
        "back",
        "Back to where you came from",
        "Backspace",
        reach="moves",
    ),
)
