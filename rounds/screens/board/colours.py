"""Colours by what they mean, for a dark and a light ground. A word and a place stand beside each of them."""

from __future__ import annotations

from typing import Any

from textual.app import App
from textual.theme import Theme

DUSK = Theme(
    name="dusk",
    primary="#c8a15a",
    secondary="#8a7f6c",
    accent="#e0b872",
    foreground="#e8e2d6",
    background="#1b1915",
    surface="#1b1915",
    panel="#37322a",
    success="#9fb47a",
    warning="#e0a84e",
    error="#ef7d64",
    dark=True,
)
NOON = Theme(
    name="noon",
    primary="#7a5410",
    secondary="#6b6354",
    accent="#7a4d00",
    foreground="#201c14",
    background="#faf7f0",
    surface="#faf7f0",
    panel="#e6dfcf",
    success="#3f6212",
    warning="#8a4b00",
    error="#a3190c",
    dark=False,
)
_ON_DARK = {"watch": "#d9c27a", "today": "#e0a84e", "vet": "#ef7d64", "done": "#9fb47a"}
_ON_LIGHT = {"watch": "#6b5200", "today": "#8a4b00", "vet": "#a3190c", "done": "#3f6212"}


def colour_variables(theme: Theme) -> dict[str, str]:
    """The style sheet's colours of meaning on this theme's ground."""
    return _ON_DARK if theme.dark else _ON_LIGHT


def register_themes(app: App[Any]) -> None:
    """Make both grounds known, and begin on the dark one."""
    app.register_theme(DUSK)
    app.register_theme(NOON)
    app.theme = DUSK.name
