"""Keys of the screens that show the colony as a whole: the room, the season, and the sheet for the vet."""

from __future__ import annotations

from typing import Final

from rounds.screens.keys.register import Key

ROOM: Final = (
    Key("room-walk", "enter", "open", "walk there", "Walk to the stop of the enclosure selected", "Enter"),
    Key("room-page", "p", "page", "page", "The page of the enclosure"),
    Key("room-up", "up,k", "cursor(0, -1)", "up", "The enclosure above", "↑", reach="moves"),
    Key("room-down", "down", "cursor(0, 1)", "down", "The enclosure below", "↓", reach="moves"),
    Key("room-left", "left", "cursor(-1, 0)", "left", "The enclosure to the left", "←", reach="moves"),
    Key("room-right", "right", "cursor(1, 0)", "right", "The enclosure to the right", "→", reach="moves"),
    Key("room-page-up", "pageup", "cursor(0, -8)", "page up", "Eight rows up", "PgUp", reach="moves"),
    Key("room-page-down", "pagedown", "cursor(0, 8)", "page down", "Eight rows down", "PgDn", reach="moves"),
    Key(
        "room-next",
        "n,tab,plus,add",
        "next",
        "next matter",
        "The next enclosure with something for today or the vet, in walking order",
        "n +",
        reach="moves",
    ),
    Key("room-back", "backspace,escape", "back", "back", "Back to where you came from", "Backspace", reach="moves"),
)

SEASON: Final = (
    Key("season-open", "enter", "open", "its page", "The page of the female, or of the clutch", "Enter"),
    Key("season-up", "up,k", "cursor(-1)", "up", "The line above", "↑", reach="moves"),
    Key("season-down", "down", "cursor(1)", "down", "The line below", "↓", reach="moves"),
    Key("season-earlier", "left,minus,subtract", "weeks(-2)", "earlier", "Two weeks earlier", "← -", reach="moves"),
    Key("season-later", "right,plus,add", "weeks(2)", "later", "Two weeks later", "→ +", reach="moves"),
    Key("season-page-up", "pageup", "cursor(-12)", "page up", "A screenful up", "PgUp", reach="moves"),
    Key("season-page-down", "pagedown", "cursor(12)", "page down", "A screenful down", "PgDn", reach="moves"),
    Key("season-today", "t,home", "today", "today", "Back to this week", "t", reach="moves"),
    Key("season-there", "g", "go_there", "go there", "Walk to the stop where she is"),
    Key(
        "season-back", "backspace,escape", "back", "back", "Back to where you came from", "Backspace", reach="moves"
    ),
)

STOCK: Final = (
    Key("stock-earlier", "minus,subtract", "turn(-1)", "earlier", "The season or year before", "-"),
    Key("stock-later", "plus,add", "turn(1)", "later", "The season or year after", "+"),
    Key("stock-years", "s", "years", "season or year", "Seasons, from waking to waking, or calendar years"),
    Key("stock-up", "up,k", "scroll(-1)", "up", "A line up", "↑", reach="moves"),
    Key("stock-down", "down", "scroll(1)", "down", "A line down", "↓", reach="moves"),
    Key("stock-page-up", "pageup", "scroll(-16)", "page up", "A screenful up", "PgUp", reach="moves"),
    Key("stock-page-down", "pagedown,space", "scroll(16)", "page down", "A screenful down", "PgDn", reach="moves"),
    Key(
        "stock-back",
        "backspace,left,escape",
        "back",
        "back",
        "Back to where you came from",
        "Backspace",
        reach="moves",
    ),
)

REFERRAL: Final = (
    Key(
        "referral-write",
        "enter,t",
        "write",
        "write it",
        "Write the sheet to two files in your home folder: text, and a page to print",
        "Enter t",
        reach="acts",
    ),
    Key("referral-up", "up,k", "scroll(-1)", "up", "A line up", "↑", reach="moves"),
    Key("referral-down", "down", "scroll(1)", "down", "A line down", "↓", reach="moves"),
    Key("referral-page-up", "pageup", "scroll(-16)", "page up", "A screenful up", "PgUp", reach="moves"),
    Key(
        "referral-page-down", "pagedown,space", "scroll(16)", "page down", "A screenful down", "PgDn", reach="moves"
    ),
    Key(
        "referral-back",
        "backspace,left,escape",
        "back",
        "back",
        "Back to where you came from",
        "Backspace",
        reach="moves",
    ),
)
