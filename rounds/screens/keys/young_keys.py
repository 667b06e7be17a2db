"""The keys of the young."""

from __future__ import annotations

from typing import Final

from rounds.screens.keys.register import DIGITS, Key

YOUNG: Final = (
    Key("young-page", "enter,p", "page", "page", "The page of the group or the young animal", "Enter"),
    Key("young-up", "up,k", "cursor(-1)", "up", "The one above", "↑", reach="moves"),
    Key("young-down", "down", "cursor(1)", "down", "The one below", "↓", reach="moves"),
    Key("young-page-up", "pageup", "cursor(-6)", "page up", "Some up", "PgUp", reach="moves"),
    Key("young-page-down", "pagedown", "cursor(6)", "page down", "Some down", "PgDn", reach="moves"),
    Key("young-count", "c", "count", "count", "How many of the group are there"),
    Key(
        "young-weight",
        DIGITS,
        "digit",
        "weight",
        "Type a weight in g, then Enter; of a group total/number, or total/number/smallest",
        "0-9",
    ),
    Key("young-split", "s", "split", "split", "Some of the group into another one, sorted by size"),
    Key("young-merge", "m", "merge", "merge", "All of the group into another one"),
    Key("young-name", "n", "single_out", "name one", "One of the group becomes an animal with a name"),
    Key("young-reserve", "o", "reserve", "reserve", "Hold back, reserve for somebody, or set free again"),
    Key(
        "young-sell",
        "l",
        "sell",
        "sold, given",
        "It leaves: sold, given, returned or lent, to whom, at which price",
    ),
    Key("young-sex", "x", "sex", "sex", "Its sex, and how sure that is"),
    Key("young-died", "d", "died", "died", "It died, or some of the group did"),
    Key("young-write", "i", "more", "write", "Any other entry about it"),
    Key(
        "young-record",
        "t",
        "record",
        "record",
        "Write the record that goes along with it to a text file",
        reach="acts",
    ),
    Key("young-take-back", "z", "take_back", "take back", "Take back what you saved last (both stay readable)"),
    Key("young-there", "g", "go_there", "go there", "Walk to the stop where it lives"),
    Key(
        "young-back",
        "backspace,left,escape",
        "back",
        "back",
        "Back to where you came from",
        "Backspace",
        reach="moves",
    ),
)
