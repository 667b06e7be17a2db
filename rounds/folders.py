"""The user's own folders, as the XDG Base Directory Specification has them: a relative value does not count.

Every function takes the environment that says where they are (the process's own when none is given), and raises
`RoundsError` when neither it nor the user's entry names a home folder.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

from rounds.errors import RoundsError

Environment = Mapping[str, str]


def home(environment: Environment | None = None) -> Path:
    """The home folder: HOME, else the one in the user's entry."""
    asked = _absolute(environment, "HOME")
    if asked is not None:
        return asked
    try:
        found = Path.home()
    except RuntimeError:
        found = Path()
    if not found.is_absolute():
        raise RoundsError("This user has no home folder. Set HOME to the whole path of a folder of your own.")
    return found


def data(environment: Environment | None = None) -> Path:
    """For colonies: `$XDG_DATA_HOME/rounds`, else `~/.local/share/rounds`."""
    return _folder(environment, "XDG_DATA_HOME", ".local/share")


def config(environment: Environment | None = None) -> Path:
    """For the keeper's own keys: `$XDG_CONFIG_HOME/rounds`, else `~/.config/rounds`."""
    return _folder(environment, "XDG_CONFIG_HOME", ".config")


def state(environment: Environment | None = None) -> Path:
    """For what belongs to this machine, not the colony: `$XDG_STATE_HOME/rounds`, else `~/.local/state/rounds`."""
    return _folder(environment, "XDG_STATE_HOME", ".local/state")


def cache(environment: Environment | None = None) -> Path:
    """For what can be made again: `$XDG_CACHE_HOME/rounds`, else `~/.cache/rounds`."""
    return _folder(environment, "XDG_CACHE_HOME", ".cache")


def given(text: str) -> Path:
    """A folder as a keeper typed it, `~` and `~name` among it."""
    try:
        found = Path(text).expanduser()
        if text.startswith("~") and not found.is_absolute():  # HOME names no whole path
            raise RuntimeError
        return found
    except RuntimeError as error:
        raise RoundsError(f"“{text[:60]}”: there is no home folder of that name. Give the whole path.") from error


def _folder(environment: Environment | None, name: str, usual: str) -> Path:
    return (_absolute(environment, name) or home(environment) / usual) / "rounds"


def _absolute(environment: Environment | None, name: str) -> Path | None:
    asked = (os.environ if environment is None else environment).get(name, "")
    return Path(asked) if asked and Path(asked).is_absolute() else None
