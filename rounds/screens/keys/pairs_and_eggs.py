"""The keys of the pairing table and of the incubator."""

from __future__ import annotations

from typing import Final

from rounds.screens.keys.register import DIGITS, Key

PAIRING: Final = (
    Key(
        "pair-open",
        "enter",
        "open",
        "why",
        "The page of the pair: paths, weights, last clutch, traits, cautions",
        "Enter",
    ),
    Key("pair-up", "up,k", "row(-1)", "up", "The female above", "↑", reach="moves"),
    Key("pair-down", "down", "row(1)", "down", "The female below", "↓", reach="moves"),
    Key("pair-left", "left,minus,subtract", "column(-1)", "male before", "The male before", "← -", reach="moves"),
    Key("pair-right", "right,plus,add", "column(1)", "next male", "The next male", "→ +", reach="moves"),
    Key("pair-page-up", "pageup", "row(-16)", "page up", "A screenful up", "PgUp", reach="moves"),
    Key("pair-page-down", "pagedown", "row(16)", "page down", "A screenful down", "PgDn", reach="moves"),
    Key(
        "pair-together",
        "t",
        "together",
        "put together",
        "Write that the two are put together; what speaks against it is asked about first",
    ),
    Key("pair-her-page", "e", "her_page", "her page", "The page of the female"),
    Key("pair-his-page", "m", "his_page", "his page", "The page of the male"),
    Key("pair-back", "backspace,escape", "back", "back", "Back to where you came from", "Backspace", reach="moves"),
)

INCUBATOR: Final = (
    Key("shelf-open", "enter", "open", "its page", "The page of the clutch or shelf selected", "Enter"),
    Key("shelf-up", "up,k", "cursor(-1)", "up", "The shelf or clutch above", "↑", reach="moves"),
    Key("shelf-down", "down", "cursor(1)", "down", "The shelf or clutch below", "↓", reach="moves"),
    Key("shelf-before", "p,pageup", "shelf(-1)", "shelf before", "The shelf before", "p PgUp", reach="moves"),
    Key("shelf-after", "n,pagedown", "shelf(1)", "next shelf", "The next shelf", "n PgDn", reach="moves"),
    Key("shelf-read", "c", "climate", "read the shelf", "Temperature and humidity of this shelf, read by hand"),
    Key("logger", "f", "logger", "logger's file", "Read a temperature logger's file onto this shelf"),
    Key("shelf-box", "e", "box", "egg box", "The page of the egg box that the clutch lies in"),
    Key("box-weight", DIGITS, "digit", "box weight", "Type the weight of the egg box selected, then Enter", "0-9"),
    Key("shelf-there", "g", "go_there", "go there", "Walk to the box, or to the shelf"),
    Key(
        "shelf-back",
        "backspace,left,escape",
        "back",
        "back",
        "Back to where you came from",
        "Backspace",
        reach="moves",
    ),
)
