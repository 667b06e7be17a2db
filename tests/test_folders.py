"""The user's own folders: where the XDG specification has them, and a sentence where there are none."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import NoReturn

import pytest

from rounds import folders
from rounds.cli import main
from rounds.errors import RoundsError

EVERY = [
    (folders.data, "XDG_DATA_HOME", ".local/share"),
    (folders.config, "XDG_CONFIG_HOME", ".config"),
    (folders.state, "XDG_STATE_HOME", ".local/state"),
    (folders.cache, "XDG_CACHE_HOME", ".cache"),
]
Folder = Callable[[dict[str, str]], Path]


@pytest.mark.parametrize(("folder", "name", "usual"), EVERY)
def test_as_asked_or_in_the_home_folder_and_a_relative_value_does_not_count(
    folder: Folder, name: str, usual: str
) -> None:
    assert folder({name: "/somewhere", "HOME": "/home/ak"}) == Path("/somewhere/rounds")
    for asked in ("relative", ""):
        assert folder({name: asked, "HOME": "/home/ak"}) == Path("/home/ak") / usual / "rounds"


@pytest.fixture
def homeless(monkeypatch: pytest.MonkeyPatch) -> None:
    def none() -> NoReturn:
        raise RuntimeError

    monkeypatch.setattr(Path, "home", none)


@pytest.mark.usefixtures("homeless")
@pytest.mark.parametrize(("folder", "name"), [one[:2] for one in EVERY])
def test_without_a_home_folder_a_sentence_says_how_to_go_on(folder: Folder, name: str) -> None:
    assert folder({name: "/somewhere"}) == Path("/somewhere/rounds")
    with pytest.raises(RoundsError, match="no home folder"):
        folder({})


@pytest.mark.usefixtures("homeless")
def test_a_command_without_a_home_folder_ends_in_that_sentence(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["today"], environment={}) == RoundsError.exit_code
    assert capsys.readouterr().err == (
        "This user has no home folder. Set HOME to the whole path of a folder of your own.\n"
    )


def test_the_home_of_a_user_nobody_knows_is_said() -> None:
    with pytest.raises(RoundsError, match="no home folder of that name"):
        folders.given("~no-such-user-here/colony")
