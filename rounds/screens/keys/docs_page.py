"""The tables of docs/keys.md, made from the register of keys so that they cannot differ."""

from __future__ import annotations

from typing import Final

from rounds.screens.keys.register import shown_key
from rounds.screens.keys.screens import GROUPS

BEGIN: Final = "<!-- the tables from here on are made from rounds/screens/keys/register.py -->"
END: Final = "<!-- end of the tables -->"


def tables() -> str:
    """Every key by the screen it belongs to: the keys, the word on the key line, what it does, and its id."""
    lines: list[str] = []
    for heading, keys in GROUPS.items():
        lines += [f"### {heading}", "", "| keys | word | what it does | id |", "|---|---|---|---|"]
        for key in keys:
            names = dict.fromkeys(shown_key(name) for name in key.keys.split(","))
            shown = "0–9" if key.shows == "0-9" else " ".join(f"`{name}`" for name in names)
            lines.append(f"| {shown} | {key.word} | {key.tip} | `{key.id}` |")
        lines.append("")
    return "\n".join(lines)


def with_tables(page: str) -> str:
    """The page with its tables as the register has them now. Raises `ValueError` when the marks are missing."""
    before, begin, rest = page.partition(BEGIN)
    _, end, after = rest.partition(END)
    if not begin or not end:
        raise ValueError("docs/keys.md lacks the marks between which the tables stand")
    return f"{before}{BEGIN}\n\n{tables()}{END}{after}"
