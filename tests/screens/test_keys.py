"""The register of keys, what is made of it, and keys of the keeper's own."""

from __future__ import annotations

import ast
from collections import Counter
from pathlib import Path

import pytest
from textual import actions

import rounds.screens
from rounds.logbook.entries import BehaviourSeen, StopWalked
from rounds.screens.app import RoundsApp, screen_class
from rounds.screens.keys.docs_page import tables, with_tables
from rounds.screens.keys.key_map import KeyMap, key_map, read
from rounds.screens.keys.register import ALLOWED, DIGITS, Key
from rounds.screens.keys.screens import BY_ID, GROUPS, LISTED, SCREENS
from rounds.screens.screen import RoundScreen
from tests.screens.rack import colony, opened

SCREENS_FOLDER = Path(rounds.screens.__file__).parent
PAGE = Path(__file__).parents[2] / "docs" / "keys.md"
SCREEN_CLASSES: dict[str, type[RoundScreen]] = {name: screen_class(name) for name in SCREENS}
ROOM = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name=B1
    08:00  b2      enclosure_set_up  name=B2
    08:10  wattle  arrived  name=Wattle sex=F place=b1 hatched=2023-03-01
    08:10  karri   arrived  name=Karri sex=M place=b2 hatched=2022-03-01
    08:20  wattle  weighed  grams=450
    08:20  karri   weighed  grams=510
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


# The register


def test_every_key_has_an_id_of_its_own_a_word_and_a_tip() -> None:
    ids = Counter(key.id for keys in GROUPS.values() for key in keys)
    assert [id for id, count in ids.items() if count > 1] == []
    for key in BY_ID.values():
        assert key.word, key.id
        assert key.tip, key.id


@pytest.mark.parametrize("screen", SCREENS)
def test_no_two_keys_of_a_screen_are_the_same(screen: str) -> None:
    names = Counter(name for key in SCREENS[screen] for name in key.keys.split(","))
    assert [name for name, count in names.items() if count > 1] == []


def test_only_keys_are_used_that_every_terminal_sends() -> None:
    used = {name for key in BY_ID.values() for name in key.keys.split(",")}
    assert used - ALLOWED == {"ctrl+p"}, "beside F5, for those who look for it there"


def test_nothing_can_be_done_by_escape_or_a_key_beside_the_number_pad_alone() -> None:
    for key in BY_ID.values():
        names = set(key.keys.split(","))
        assert names - {"escape", "ctrl+p"}, key.id
        if names <= {"pageup", "pagedown", "space"}:
            action = key.action.partition("(")[0]
            others = [one.id for one in BY_ID.values() if one.action.partition("(")[0] == action]
            assert len(others) > 2, f"{key.id}: a screenful is only a quicker arrow"


@pytest.mark.parametrize("screen", SCREENS)
def test_a_screen_has_the_keys_of_the_register_and_answers_each(screen: str) -> None:
    shown = SCREEN_CLASSES[screen]
    assert screen == shown.NAME
    assert (*shown.KEYS, *shown.COMMON) == SCREENS[screen]
    for key in SCREENS[screen]:
        where, name, _ = actions.parse(key.action)
        assert callable(getattr(RoundsApp if where == "app" else shown, f"action_{name}")), key.id
    bound = {binding.id for binding in shown.BINDINGS if not isinstance(binding, tuple)}
    assert {key.id for key in SCREENS[screen] if key.keys != DIGITS} <= bound


@pytest.mark.parametrize("screen", SCREENS)
def test_every_binding_has_an_id_a_description_and_a_tooltip(screen: str) -> None:
    for binding in SCREEN_CLASSES[screen].BINDINGS:
        assert not isinstance(binding, tuple)
        assert binding.id, binding
        assert binding.description, binding
        assert binding.tooltip, binding


@pytest.mark.parametrize("screen", SCREENS)
def test_the_key_line_names_keys_that_are_there_and_ends_with_help(screen: str) -> None:
    ids = {key.id for key in SCREENS[screen]}
    footer = SCREEN_CLASSES[screen].FOOTER
    assert set(footer) <= ids
    assert len(set(footer)) == len(footer)
    if screen != "help":
        assert footer[-1] == "help"


def test_only_the_app_and_what_opens_it_import_a_screen() -> None:
    screens = {f"rounds.screens.{one.place.partition(':')[0]}" for one in LISTED} | {"rounds.screens.begin"}
    for path in sorted(SCREENS_FOLDER.rglob("*.py")):
        if path.name in ("app.py", "opening.py"):
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            imported: set[str] = set()
            if isinstance(node, ast.Import):
                imported = {one.name for one in node.names}
            elif isinstance(node, ast.ImportFrom):
                imported = {node.module or "", *(f"{node.module}.{one.name}" for one in node.names)}
            assert not imported & screens, f"{path.name} imports a screen: open it by name, through the app"


# What is made of it


def test_every_key_stands_on_the_page_with_its_id_and_its_tip() -> None:
    page = PAGE.read_text(encoding="utf-8")
    for key in BY_ID.values():
        assert f"| `{key.id}` |" in page, key.id
        assert key.tip in page, key.id


def test_a_page_without_its_marks_is_refused() -> None:
    with pytest.raises(ValueError, match="marks"):
        with_tables("# Keys")
    assert tables()


async def test_help_shows_every_key_of_the_screen_behind_it(folder: Path) -> None:
    ways: dict[str, tuple[str, ...]] = {"walk": (), "attention": ("a",), "page": ("p",), "hand over": ("h",)}
    for screen, keys in ways.items():
        async with opened(folder, "2026-03-02 07:00", keeper="AK", size=(120, 60)) as rack:
            await rack.press(*keys, "question_mark")
            await rack.sees(*(f"{key.label} {key.tip}" for key in SCREENS[screen]))
            await rack.press("backspace")
            assert rack.screen == SCREEN_CLASSES[screen].__name__


async def test_commands_by_name_offer_what_the_screen_can_do_and_do_it(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK", size=(120, 40)) as rack:
        await rack.press("ctrl+p", *"behav")
        await rack.sees("> Behaviour (b *)")
        await rack.press("enter")
        await rack.sees("Behaviour of Wattle")
        await rack.press("h", "f5", *"scanned label", "enter")
        await rack.sees("Jump to")
        await rack.press("escape", "f5", *"attention", "enter", "f5", *"acknow")
        await rack.sees("> Acknowledge (y)")
        await rack.sees_not("Egg check")
        await rack.press("escape", "f5", *"no such thing")
        await rack.sees("nothing is called that")
        await rack.press("enter", "escape")
        assert [entry.behaviour for entry in rack.of(BehaviourSeen)] == ["head bobbing"]
        assert len(rack.written) == 1


async def test_before_a_shift_commands_lead_nowhere_past_the_take_over(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", size=(120, 40)) as rack:
        await rack.press("f5")
        await rack.sees("Take over (Enter)", "Quit (q)")
        await rack.sees_not("Walk", "Hand over", "Set up")


async def test_keys_that_make_no_sense_without_a_stop_are_not_offered(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "empty"), "2026-03-02 07:00", keeper="AK", size=(120, 40)) as rack:
        await rack.press("f5", *"egg check")
        await rack.sees("nothing is called that")
        await rack.press("escape", "e", "b", "c", "n", "o", "i", "4", "l", "f", "enter")
        assert not rack.written


# Keys of the keeper's own


def test_a_key_map_by_ids_changes_labels_and_bindings() -> None:
    own = key_map({"stop": "space", "behaviour": ["b", "F6"], "jump": "/"})
    assert own.mistakes == ()
    assert own.changed == {"stop": ("space",), "behaviour": ("b", "f6"), "jump": ("slash",)}
    assert [own.label(BY_ID[id]) for id in ("stop", "behaviour", "jump", "note")] == ["Space", "b F6", "/", "n"]
    assert own.for_textual()["behaviour"] == "b,f6"


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ({"stopp": "space"}, "there is no 'stopp'; did you mean stop?"),
        ({"stop": "ctrl+x"}, "stop: 'ctrl+x' is no key that can be used"),
        ({"stop": 5}, "stop: write a key in quotes"),
        ({"stop": []}, "stop: write a key in quotes"),
        ({"stop": ["b", 5]}, "stop: '5' is no key that can be used"),
        ({"weight": "f6"}, "weight: the digits are for weights and stay"),
        ({"stop": "7"}, "stop: 7 is the key of 'weight' there"),
        ({"note": "b"}, "note: b is the key of 'behaviour' there"),
        ({"attention": "n"}, "attention: n is the key of"),
    ],
)
def test_a_mistake_in_it_is_told_in_a_sentence_and_passed_over(line: dict[str, object], told: str) -> None:
    own = key_map({**line, "page": "f8"})
    (sentence,) = own.mistakes
    assert told in sentence
    assert own.changed == {"page": ("f8",)}


def test_two_keys_can_change_places() -> None:
    own = key_map({"note": "b", "behaviour": "n"})
    assert own.mistakes == ()
    assert own.changed == {"note": ("b",), "behaviour": ("n",)}


def test_two_changed_keys_that_are_the_same_are_told_and_one_of_them_counts() -> None:
    own = key_map({"note": "f8", "behaviour": "f8"})
    assert len(own.mistakes) == 1
    assert len(own.changed) == 1


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"stop = ", "cannot be read as TOML"),
        (b"\xff\xfe", "cannot be read as TOML"),
        (b"#" * 70_000, "too large"),
    ],
)
def test_a_file_that_cannot_be_read_leaves_the_keys_as_they_are(tmp_path: Path, content: bytes, told: str) -> None:
    file = tmp_path / "keys.toml"
    file.write_bytes(content)
    own = read(file)
    assert told in own.mistakes[0]
    assert own.changed == {}


def test_no_file_and_a_folder_in_its_place(tmp_path: Path) -> None:
    assert read(tmp_path / "keys.toml").mistakes == ()
    assert "is not a file" in read(tmp_path).mistakes[0]


async def test_a_changed_key_works_the_old_one_does_not_and_every_screen_shows_it(folder: Path) -> None:
    own = key_map({"stop": "space", "attention": "f7", "help": "f9"})
    async with opened(folder, "2026-03-02 07:00", keeper="AK", key_map=own) as rack:
        await rack.sees("Space as planned, next", "F7 attention", "F9 help")
        await rack.press("enter", "a")
        assert not rack.written
        assert rack.screen == "WalkScreen"
        await rack.press("space")
        assert [entry.about for entry in rack.of(StopWalked)] == ["enclosure/b1"]
        await rack.press("f9")
        await rack.sees("Space Do all plain due lines")
        await rack.press("backspace", "f5", *"planned")
        await rack.sees("As planned, next (Space)")
        await rack.press("escape", "f7")
        assert rack.screen == "AttentionScreen"


async def test_what_is_wrong_in_the_file_is_told_at_the_start(folder: Path) -> None:
    own = KeyMap(mistakes=["keys.toml: there is no 'stopp'; docs/keys.md lists the ids."])
    async with opened(folder, "2026-03-02 07:00", keeper="AK", key_map=own) as rack:
        await rack.sees("keys.toml: there is no 'stopp'")
    async with opened(folder, "2026-03-02 07:00", key_map=own) as rack:
        await rack.sees("take over", "keys.toml: there is no 'stopp'")


def test_a_label_is_the_first_key_as_it_stands_on_the_keyboard() -> None:
    assert Key("x", "pagedown,b", "x", "x", "x").label == "PgDn"
    assert Key("x", "f3", "x", "x", "x").label == "F3"
