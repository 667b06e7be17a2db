"""A page of plain text, 80 columns wide: headings, hanging paragraphs and columns."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from rounds.paper.plain_text import cut, padded, shown, width, wrapped

COLUMNS: Final = 80


class Page:
    """Lines as they are added. Whatever is put on it is made safe to show."""

    def __init__(self) -> None:
        self.lines: list[str] = []

    def blank(self) -> None:
        """An empty line, unless there is one."""
        if self.lines and self.lines[-1]:
            self.lines.append("")

    def title(self, left: str, right: str = "") -> None:
        """A line with something at each end, and a rule below it."""
        right = shown(right)
        head = cut(shown(left), COLUMNS - width(right) - 2 * bool(right))
        self.lines += [
            head + " " * (COLUMNS - width(head) - width(right)) + right if right else head,
            "=" * COLUMNS,
        ]

    def heading(self, text: str) -> None:
        """The name of a part."""
        self.blank()
        self.lines.append(cut(shown(text.upper()), COLUMNS))

    def text(self, text: str, first: str = "", after: str | None = None) -> None:
        """A paragraph; `first` leads its first line and the others hang under it, or under `after`."""
        if text:
            self.lines += wrapped(shown(text), COLUMNS, first, after)

    def note(self, text: str, lead: str = "  ") -> None:
        """A keeper's own words, with their own lines."""
        for line in shown(text, lines=True).split("\n"):
            self.lines += wrapped(line, COLUMNS, lead) if line.strip() else [""]

    def bullets(self, texts: Iterable[str], lead: str = "") -> None:
        """A list, one thing a paragraph."""
        for text in texts:
            self.text(text, f"{lead}- ")

    def table(self, rows: Sequence[Sequence[str]], most: Sequence[int], lead: str = "") -> None:
        """Columns no wider than `most` each; the last takes what is left and is broken between words."""
        plain = [[shown(cell) for cell in row] for row in rows]
        wide = [
            min(limit, max((width(row[place]) for row in plain), default=0)) for place, limit in enumerate(most)
        ]
        for row in plain:
            head = lead + "".join(padded(cell, columns) + "  " for cell, columns in zip(row, wide, strict=False))
            last = row[len(wide)] if len(row) > len(wide) else ""
            self.lines += [line.rstrip(" ") for line in wrapped(last, COLUMNS, head)]

    def __str__(self) -> str:
        return "\n".join(self.lines) + "\n"
