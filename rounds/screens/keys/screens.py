"""The list of screens. The app opens them from it; bindings, help, keys.toml and docs/keys.md read their keys."""

from __future__ import annotations

from typing import Final, NamedTuple

from rounds.screens.keys.pairs_and_eggs import INCUBATOR, PAIRING
from rounds.screens.keys.register import (
    ATTENTION,
    BEFORE_SHIFT,
    EVERYWHERE,
    FIND,
    HAND_OVER,
    HELP,
    SUBJECT,
    TAKE_OVER,
    WALK,
    Key,
)
from rounds.screens.keys.supply_views import FORTNIGHT, SUPPLIES
from rounds.screens.keys.wide_views import REFERRAL, ROOM, SEASON, STOCK
from rounds.screens.keys.young_keys import YOUNG


class ListedScreen(NamedTuple):
    """One screen: the name the app opens it by, its heading in docs, its keys, and its class."""

    name: str
    heading: str
    #: `file:class` in rounds/screens; imported when the screen is first opened.
    place: str
    keys: tuple[Key, ...]
    #: Keys that it shares with other screens.
    common: tuple[Key, ...] = EVERYWHERE


LISTED: Final = (
    ListedScreen("walk", "Walk", "walk:WalkScreen", WALK),
    ListedScreen("attention", "Attention", "attention:AttentionScreen", ATTENTION),
    ListedScreen("page", "Page of an animal, a group, an enclosure or a clutch", "subject:SubjectScreen", SUBJECT),
    ListedScreen("young", "Young", "young:YoungScreen", YOUNG),
    ListedScreen("find", "Find", "find:FindScreen", FIND),
    ListedScreen("pairing", "Pairing", "pairing:PairingScreen", PAIRING),
    ListedScreen("supplies", "Supplies", "supplies:SuppliesScreen", SUPPLIES),
    ListedScreen("fortnight", "The next fourteen days", "fortnight:FortnightScreen", FORTNIGHT),
    ListedScreen("incubator", "Incubator", "incubator:IncubatorScreen", INCUBATOR),
    ListedScreen("season", "Season", "season:SeasonScreen", SEASON),
    ListedScreen("stock", "In and out", "stock:StockScreen", STOCK),
    ListedScreen("room", "The room", "room:RoomScreen", ROOM),
    ListedScreen("referral", "Sheet for the vet", "referral:ReferralScreen", REFERRAL),
    ListedScreen("hand over", "Hand over", "hand_over:HandOverScreen", HAND_OVER),
    ListedScreen("take over", "Take over", "take_over:TakeOverScreen", TAKE_OVER, BEFORE_SHIFT),
    ListedScreen("help", "Help", "help:HelpScreen", HELP, ()),
)
#: What `v` offers: the letter, the name of the screen, and what is seen there.
VIEWS: Final[tuple[tuple[str, str, str], ...]] = (
    ("a", "attention", "attention: all matters, worst first"),
    ("p", "pairing", "pairing: every female with every male, kin and cautions"),
    ("u", "supplies", "supplies: what is left, how long it lasts, what to order"),
    ("f", "fortnight", "the next fourteen days"),
    ("i", "incubator", "incubator: shelves, temperatures, what hatches when"),
    ("s", "season", "season: females by weeks, egg boxes, what comes next"),
    ("r", "room", "the room: the racks as they stand, what each one needs"),
    ("y", "young", "young: groups and young by clutch"),
    ("o", "stock", "in and out: what came and went, by season or year, with sums"),
)
BY_NAME: Final = {screen.name: screen for screen in LISTED}

#: The keys by the heading they have in docs.
GROUPS: Final = {"On every screen": EVERYWHERE} | {screen.heading: screen.keys for screen in LISTED}
BY_ID: Final = {key.id: key for keys in GROUPS.values() for key in keys}
#: All keys that work on a screen, by its name.
SCREENS: Final = {screen.name: (*screen.keys, *screen.common) for screen in LISTED}
