"""The tables of docs/house-rules.md, made from the rules themselves so that they cannot differ."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from rounds.rules.default import Default

BEGIN: Final = "<!-- the tables from here on are made from rounds/rules/defaults -->"
END: Final = "<!-- end of the tables -->"


def tables(defaults: Mapping[str, Default]) -> str:
    """Every default rule by topic: key, what it says, value, the sense it has to make, grade, source."""
    lines: list[str] = []
    for topic in sorted({default.topic for default in defaults.values()}):
        lines += [
            f"### {topic.replace('_', ', ')}",
            "",
            "| key | rule | default | from … to | grade | source |",
            "|---|---|---|---|---|---|",
        ]
        for key, default in defaults.items():
            if default.topic != topic:
                continue
            rule = default.rule
            span = "stands" if rule.least is None else f"{rule.least:g} … {rule.most:g}"
            span += f", below `{default.below}`" if default.below else ""
            key_cell = f"`{key}`" + (" †" if rule.calendar else "")
            cells = (key_cell, rule.says, rule.shown(), span, rule.grade, rule.source)
            lines.append("| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |")
        lines.append("")
    return "\n".join(lines)


def with_tables(page: str, defaults: Mapping[str, Default]) -> str:
    """The page with its tables as the rules have them now. Raises `ValueError` when the marks are missing."""
    before, begin, rest = page.partition(BEGIN)
    _, end, after = rest.partition(END)
    if not begin or not end:
        raise ValueError("docs/house-rules.md lacks the marks between which the tables stand")
    return f"{before}{BEGIN}\n\n{tables(defaults)}{END}{after}"
