"""The one register of keys: bindings, key lines, help, command palette and docs/keys.md read it.

Letters, digits, F-keys, arrows, Enter, Backspace and Tab only; a sign of the number pad stands with its
twin, because keypad signs arrive under names of their own. No everyday key is Escape: a terminal takes
a tenth of a second to tell it from an arrow.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, NamedTuple

from textual.binding import Binding, BindingType

from rounds.screens.keys.presses import Reach


class Key(NamedTuple):
    """One thing a key does: its id, its keys (all twins), the screen's action, the word, and the help."""

    id: str
    keys: str
    action: str
    word: str
    tip: str
    shows: str = ""
    #: How far it reaches: one that acts does so once, however long it is held.
    reach: Reach = "opens"

    @property
    def label(self) -> str:
        """How the key is named on screens and in docs."""
        return self.shows or shown_key(self.keys.split(",")[0])


#: The digits, which begin a weight.
DIGITS: Final = "0,1,2,3,4,5,6,7,8,9"
#: Keys that every terminal and number pad sends, by their names; signs of the number pad beside their twins.
ALLOWED: Final = frozenset(
    (
        *"abcdefghijklmnopqrstuvwxyz",
        *DIGITS.split(","),
        *(f"f{number}" for number in range(1, 13)),
        *("up", "down", "left", "right", "pageup", "pagedown", "home", "end"),
        *("enter", "backspace", "escape", "tab", "space"),
        *("question_mark", "slash", "divide", "asterisk", "multiply", "plus", "add", "minus", "subtract"),
        *("full_stop", "decimal"),
    )
)
_SHOWN: Final = {
    "question_mark": "?",
    "slash": "/",
    "divide": "/",
    "asterisk": "*",
    "multiply": "*",
    "plus": "+",
    "add": "+",
    "minus": "-",
    "subtract": "-",
    "full_stop": ".",
    "decimal": ".",
    "up": "↑",
    "down": "↓",
    "left": "←",
    "right": "→",
    "pageup": "PgUp",
    "pagedown": "PgDn",
}


def shown_key(name: str) -> str:
    """How a key is written on screens: a letter as it is, others as they stand on the keyboard."""
    return _SHOWN.get(name, name if len(name) == 1 else name.capitalize())


EVERYWHERE: Final = (
    Key("help", "question_mark,f1", "help", "help", "What the keys of this screen do", "?", reach="moves"),
    Key("walk", "w", "app.walk", "walk", "To the walk, at the stop where you left it"),
    Key("attention", "a", "app.open_screen('attention')", "attention", "All matters, worst first"),
    Key(
        "jump",
        "j,slash,divide",
        "jump",
        "jump",
        "To an enclosure, animal, clutch or supply, by a few letters or a scanned label",
        "j /",
        reach="moves",
    ),
    Key(
        "find",
        "r",
        "app.open_screen('find')",
        "find",
        "Find in all that was ever recorded: by name, kind, keeper, day, words in notes, a figure",
    ),
    Key(
        "views",
        "v",
        "app.views",
        "views",
        "Season, pairing, incubator, young, supplies, fourteen days, the room: each by its letter",
    ),
    Key("hand-over", "h", "app.open_screen('hand over')", "hand over", "See the hand-over, add notes, and sign it"),
    Key("set-up", "f2", "app.set_up", "set up", "Set up an enclosure, register an animal or a group", "F2"),
    Key("commands", "f5,ctrl+p", "commands", "commands", "What can be done here, by name", "F5 Ctrl-P"),
    Key(
        "missing",
        "f12",
        "app.missing",
        "missing",
        "Entries that stand on no sheet any more, when there are any: read them, write them again or leave them",
        "F12",
    ),
    Key("ground", "f4", "app.ground", "light or dark", "Change between dark and light ground", reach="acts"),
    Key("quit", "q", "app.leave", "quit", "Leave; all that was acknowledged is on disk already", reach="leaves"),
)

WALK: Final = (
    Key(
        "stop",
        "enter",
        "stop",
        "as planned, next",
        "Do all plain due lines as planned and go to the next stop",
        "Enter",
        reach="acts",
    ),
    Key(
        "weight",
        DIGITS,
        "digit",
        "weight",
        "Type a weight in g for the animal or the egg box selected, then Enter; of a group total/number/smallest",
        "0-9",
    ),
    Key(
        "behaviour",
        "b,asterisk,multiply",
        "behaviour",
        "behaviour",
        "Behaviour of the animal selected, or of one not known",
        "b *",
    ),
    Key(
        "egg-check",
        "e",
        "egg_check",
        "egg check",
        "The egg check of the female selected: a look, then her weight; of an egg box: candle, look, take out, box",
    ),
    Key("lay-box", "l", "lay_box", "lay box", "Lay box in, or out, for the animal selected"),
    Key(
        "count", "g", "count", "count", "Count the group selected, or the only one here: type how many, then Enter"
    ),
    Key(
        "food",
        "f",
        "food",
        "food",
        "How the animal selected took its food: well, some, refused; or food given beside the plan",
    ),
    Key("move", "m", "move", "move", "Move the animal selected, back where it was first; an egg box onto a shelf"),
    Key("more", "i", "more", "more", "Any other entry: mating, eggs laid, move, condition, vet, death …"),
    Key("climate", "c", "climate", "climate", "Basking spot, cool end, night low, UV index at this stop"),
    Key("note", "n", "note", "note", "A note about the animal selected, or the enclosure"),
    Key("leave-out", "o", "leave_out", "leave out", "Leave a due line out, with the reason"),
    Key(
        "take-back",
        "z",
        "take_back",
        "take back",
        "Take back what you saved last (a correction is written; both stay readable)",
    ),
    Key("page", "p", "page", "page", "The page of the animal selected: weights, timeline, every entry"),
    Key("up", "up,k", "cursor(-1)", "up", "Select the animal above", "↑", reach="moves"),
    Key("down", "down", "cursor(1)", "down", "Select the animal below", "↓", reach="moves"),
    Key("next", "right,plus,add", "go(1)", "next", "To the next stop; nothing is written", "→ +", reach="moves"),
    Key(
        "previous",
        "left,minus,subtract,backspace",
        "go(-1)",
        "back",
        "Back to the stop before; nothing is written",
        "← -",
        reach="moves",
    ),
    Key(
        "other-walk",
        "f3",
        "other_walk",
        "morning/evening",
        "Change between the morning and the evening walk",
        "F3",
        reach="acts",
    ),
)

ATTENTION: Final = (
    Key(
        "open",
        "enter",
        "open",
        "why, and what to do",
        "Open the matter: its entries, its rule, its source, what to do",
        "Enter",
    ),
    Key("matter-up", "up,k", "cursor(-1)", "up", "The matter above", "↑", reach="moves"),
    Key("matter-down", "down", "cursor(1)", "down", "The matter below", "↓", reach="moves"),
    Key("matter-page-up", "pageup", "cursor(-12)", "page up", "A screenful up", "PgUp", reach="moves"),
    Key("matter-page-down", "pagedown", "cursor(12)", "page down", "A screenful down", "PgDn", reach="moves"),
    Key(
        "acknowledge",
        "y",
        "acknowledge",
        "acknowledge",
        "Say that you have read it and take it on; it stays open",
        reach="acts",
    ),
    Key(
        "put-off",
        "o",
        "put_off",
        "put off",
        "Put it off until a day, with the reason; a vet matter until tomorrow, a danger sign not at all",
    ),
    Key("act", "d", "act", "do something", "Act on it from here: vet phoned or seen, lay box, egg check, weigh …"),
    Key("matter-page", "p", "page", "page", "The page of the subject"),
    Key(
        "matter-sheet", "t", "sheet", "for the vet", "The sheet for the vet about the animal; Enter there writes it"
    ),
    Key("go-there", "g", "go_there", "go there", "Walk to the stop where it is"),
    Key("back", "backspace,left,escape", "back", "back", "Back to where you came from", "Backspace", reach="moves"),
)

SUBJECT: Final = (
    Key("entry-up", "up,k", "cursor(-1)", "up", "The entry above (newer)", "↑", reach="moves"),
    Key("entry-down", "down", "cursor(1)", "down", "The entry below (older)", "↓", reach="moves"),
    Key("page-up", "pageup", "cursor(-12)", "page up", "A screenful up", "PgUp", reach="moves"),
    Key("page-down", "pagedown", "cursor(12)", "page down", "A screenful down", "PgDn", reach="moves"),
    Key("correct", "x", "correct", "correct", "Correct the entry selected, or take it back; both stay readable"),
    Key("page-move", "m", "move", "move", "Move it; back where it was is offered first"),
    Key(
        "page-take-back",
        "z",
        "take_back",
        "take back",
        "Take back what you saved last (a correction is written; both stay readable)",
    ),
    Key("write", "i", "more", "write", "Write any entry about this subject"),
    Key("subject-behaviour", "b,asterisk,multiply", "behaviour", "behaviour", "Behaviour seen", "b *"),
    Key(
        "subject-weight",
        DIGITS,
        "digit",
        "weight",
        "Type a weight in g, then Enter, of an egg box too; of a group total/number/smallest",
        "0-9",
    ),
    Key("subject-fit", "f", "fit", "before pairing", "Before pairing: each check, its figure, its house rule"),
    Key("subject-sheet", "t", "sheet", "for the vet", "The sheet for the vet; Enter there writes it"),
    Key(
        "subject-record",
        "s",
        "record",
        "record",
        "Write the record that goes along with it when it is sold or given to a text file",
        reach="acts",
    ),
    Key(
        "subject-place",
        "e",
        "place",
        "its enclosure",
        "The page of the enclosure it lives in; of an egg box, of its shelf",
    ),
    Key("subject-there", "g", "go_there", "go there", "Walk to the stop where it lives"),
    Key(
        "subject-back",
        "backspace,left,escape",
        "back",
        "back",
        "Back to where you came from",
        "Backspace",
        reach="moves",
    ),
)

FIND: Final = (
    Key("found-open", "enter", "open", "its page", "The page of whom the entry is about", "Enter"),
    Key("found-up", "up,k", "cursor(-1)", "up", "The entry above (newer)", "↑", reach="moves"),
    Key("found-down", "down", "cursor(1)", "down", "The entry below (older)", "↓", reach="moves"),
    Key("found-page-up", "pageup", "cursor(-12)", "page up", "A screenful up", "PgUp", reach="moves"),
    Key(
        "found-page-down",
        "pagedown",
        "cursor(12)",
        "page down",
        "A screenful down; at the end more are read",
        "PgDn",
        reach="moves",
    ),
    Key("change", "c", "change", "change", "Change the conditions, or look for something else"),
    Key(
        "found-back",
        "backspace,left,escape",
        "back",
        "back",
        "Back to where you came from",
        "Backspace",
        reach="moves",
    ),
)

HAND_OVER: Final = (
    Key("scroll-up", "up,k", "scroll(-1)", "up", "A line up", "↑", reach="moves"),
    Key("scroll-down", "down", "scroll(1)", "down", "A line down", "↓", reach="moves"),
    Key("sheet-up", "pageup", "scroll(-16)", "page up", "A screenful up", "PgUp", reach="moves"),
    Key("sheet-down", "pagedown", "scroll(16)", "page down", "A screenful down", "PgDn", reach="moves"),
    Key("next-notes", "n", "notes", "notes for the next", "Add notes for the next keeper"),
    Key("sign", "s", "sign", "sign", "Sign and hand over; refused while a vet-now matter is unread or on no sheet"),
    Key(
        "save-text",
        "t",
        "save_text",
        "text file",
        "Write the sheet to a text file that can be printed",
        reach="acts",
    ),
    Key("hand-over-back", "backspace,left,escape", "back", "back", "Back to the walk", "Backspace", reach="moves"),
)

TAKE_OVER: Final = (
    Key("take-up", "up,k", "scroll(-3)", "up", "Up", "↑", reach="moves"),
    Key("take-down", "down", "scroll(3)", "down", "Down", "↓", reach="moves"),
    Key("take", "enter", "take", "take over", "Read each vet matter, then begin the shift", "Enter"),
)

HELP: Final = (
    Key("help-back", "backspace,enter,left,escape,question_mark", "back", "back", "Back", "Enter", reach="moves"),
    Key("help-up", "up,k", "scroll(-1)", "up", "A line up", "↑", reach="moves"),
    Key("help-down", "down", "scroll(1)", "down", "A line down", "↓", reach="moves"),
    Key("help-page-up", "pageup", "scroll(-16)", "page up", "A screenful up", "PgUp", reach="moves"),
    Key("help-page-down", "pagedown,space", "scroll(16)", "page down", "A screenful down", "PgDn", reach="moves"),
)

#: Before a keeper is on shift there is only help, and leaving.
BEFORE_SHIFT: Final = tuple(key for key in EVERYWHERE if key.id in ("help", "commands", "ground", "quit"))


def bindings(*groups: Iterable[Key]) -> list[BindingType]:
    """The Textual bindings of these keys: an id for the user's key map, a word, a tip."""
    found: list[BindingType] = []
    for group in groups:
        for key in group:
            if key.action == "digit":
                found += [
                    Binding(
                        digit, f"digit('{digit}')", key.word, id=f"{key.id}-{digit}", tooltip=key.tip, show=False
                    )
                    for digit in key.keys.split(",")
                ]
            else:
                found.append(
                    Binding(key.keys, key.action, key.word or key.tip, id=key.id, tooltip=key.tip, show=False)
                )
    return found
