"""A logger's file as lines of cells: its letters, what parts the cells, which lines are readings. Pure."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Sequence
from typing import Final, NamedTuple

from rounds.errors import BadEntry
from rounds.logbook.logger_times import looks_like_clock, looks_like_day, looks_like_epoch, looks_like_time

#: A larger file is refused: two months of a reading a second have 160 MB, and no logger writes that.
MOST_BYTES: Final = 64 << 20
#: No logger writes a line of so many letters: what stands behind them is not read.
_MOST_LETTERS: Final = 20_000
#: So many letters at the begin and at the end of a large file say how it is built.
_SAMPLED: Final = 200_000
#: So many lines say how the file is built.
_LOOKED_AT: Final = 400
_TIMES: Final = (looks_like_time, looks_like_day, looks_like_clock, looks_like_epoch)
_PARTS: Final = ("\t", ";", ",", "|")
_NUMBER: Final = re.compile(r"[+\-−]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?")
_BEHIND: Final = re.compile(
    r"\s*(?:°|º|˚|deg\.?|Â°|\ufffd)?\s*(?P<unit>[CcFf]|℃|℉|celsius|fahrenheit|%|% ?rh|rh)?\.?", re.I
)
#: What loggers write where they have no value.
_NOTHING: Final = frozenset(
    (
        *(
            "",
            "-",
            "--",
            "---",
            "----",
            "—",
            "nan",
            "n/a",
            "na",
            "null",
            "none",
            "err",
            "error",
            "ofl",
            "ovf",
            "ol",
        ),
        *("lo", "hi", "open", "fault", "invalid", "no data", "nodata", "#n/a", "?", "*", "**", "***"),
        *("-999", "-9999", "-127", "-999.0", "-999.9", "-127.0", "-9999.0"),
    )
)


class Row(NamedTuple):
    """A line of the file by its number, counted from 1, in cells."""

    number: int
    cells: tuple[str, ...]


class Table(NamedTuple):
    """The file: its readings as rows, the names over the columns, what stands above them, and a cut last line."""

    rows: list[Row]
    names: tuple[str, ...]
    above: str
    #: The number of cells that a reading has.
    cells: int
    #: The number of the last line, if the file ends within it; else 0.
    cut: int


def decoded(content: bytes) -> str:
    """The letters of the file, whatever it was saved as. Raises `BadEntry`."""
    if len(content) > MOST_BYTES:
        raise BadEntry(f"The file is larger than {MOST_BYTES >> 20} MB: give the logger's own file, in parts.")
    if content.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"%PDF")):
        raise BadEntry("This is a spreadsheet or a document, not a text file: save it as CSV, then read that.")
    head = content[:2_000]
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content.decode("utf-16", "replace")
    if content.startswith(b"\xef\xbb\xbf"):
        return content[3:].decode("utf-8", "replace")
    if head[1::2].count(0) > len(head) // 4:
        return content.decode("utf-16-le", "replace")
    if head[0::2].count(0) > len(head) // 4:
        return content.decode("utf-16-be", "replace")
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        if error.start >= len(content) - 3:  # cut within a letter
            return content[: error.start].decode("utf-8")
        return content.decode("cp1252", "replace")


def number(cell: str) -> float | None:
    """The figure in a cell, with a decimal point or comma, its unit behind it or not; None where there is none."""
    text = cell.strip().strip("'\"").strip()
    found = _NUMBER.match(text)
    if found is None or _BEHIND.fullmatch(text, found.end()) is None:
        return None
    try:
        value = float(found[0].replace("−", "-").replace(",", "."))
    except (ValueError, OverflowError):
        return None
    return value if abs(value) < 1e300 else None


def unit_behind(cell: str) -> str:
    """`C` or `F` where it stands behind the figure in a cell; else empty."""
    text = cell.strip()
    found = _NUMBER.match(text)
    behind = _BEHIND.fullmatch(text, found.end()) if found is not None else None
    unit = (behind["unit"] or "") if behind is not None else ""
    return "F" if unit[:1] in "fF℉" and unit else "C" if unit[:1] in "cC℃" and unit else ""


def is_nothing(cell: str) -> bool:
    """Whether a cell says that there is no value."""
    return cell.strip().strip("'\"").casefold() in _NOTHING


def table(text: str) -> Table:
    """The file in rows. Raises `BadEntry` where no line looks like readings."""
    ends = text.endswith(("\n", "\r"))
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    lines = [one.replace("\x00", "")[:_MOST_LETTERS] for one in lines]
    filled = [(place, one) for place, one in enumerate(lines, 1) if one.strip().strip(",;\t|")]
    if not filled:
        raise BadEntry("The file is empty.")
    part = _parted_by([one for _, one in filled])
    rows = [Row(place, _cells(one, part)) for place, one in filled]
    looked = [row for row in rows[-_LOOKED_AT:] if has_figures(row.cells)]
    if not looked:
        raise BadEntry("No line of the file has a time and a temperature.")
    cells = Counter(len(row.cells) for row in looked).most_common(1)[0][0]
    if part == "," and cells > 2:
        rows, cells = _with_commas(rows, cells)
    first = next(
        (
            place
            for place, row in enumerate(rows)
            if cells <= len(row.cells) <= cells + 2 and (has_figures(row.cells) or _has_no_value(row.cells))
        ),
        len(rows),
    )
    names = _names(rows[:first], cells)
    above = "\n".join(one for place, one in filled if first < len(rows) and place < rows[first].number)
    cut = rows[-1].number if not ends and rows and _is_cut(rows, cells) else 0
    return Table(rows[first:], names, above, cells, cut)


def _parted_by(lines: Sequence[str]) -> str:
    """What parts the cells: what gives most lines the same number of them, two at least."""
    sample = [*lines[:50], *lines[-_LOOKED_AT:]]
    best = ("", 0.0)
    for part in _PARTS:
        counts = Counter(many for one in sample if (many := len(_cells(one, part))) > 1)
        if counts:
            many, alike = counts.most_common(1)[0]
            # A comma in a figure parts nothing where something else does: tab and semicolon come first.
            weight = alike + (0.25 * len(sample) if part in "\t;" else 0)
            if weight > best[1] and alike * 2 >= len(sample) * 0.4:
                best = (part, weight)
    return best[0] or " "


def _cells(line: str, part: str) -> tuple[str, ...]:
    if part == " ":
        return tuple(line.split())
    if '"' in line:
        try:
            return tuple(cell.strip() for cell in next(csv.reader([line], delimiter=part, skipinitialspace=True)))
        except (csv.Error, StopIteration):
            pass
    cells = [cell.strip() for cell in line.split(part)]
    while len(cells) > 2 and not cells[-1]:
        del cells[-1]
    return tuple(cells)


def has_figures(cells: Sequence[str]) -> bool:
    """Whether there is a time among the cells, and a figure beside it."""
    times = [cell for cell in cells if any(looks(cell) for looks in _TIMES)]
    return bool(times) and any(any(sign.isdigit() for sign in cell) for cell in cells if cell not in times[:1])


def _has_no_value(cells: Sequence[str]) -> bool:
    """Whether there is a time among the cells, and beside it a word for no value: `NaN`."""
    times = [cell for cell in cells if any(looks(cell) for looks in _TIMES)]
    return bool(times) and any(cell and is_nothing(cell) for cell in cells if cell not in times[:1])


def sampled(text: str) -> tuple[str, int]:
    """The begin and the end of a large file in whole lines, to be asked about; how many stand at its begin.

    Of a small file, and of one without lines, nothing.
    """
    if len(text) <= 4 * _SAMPLED:
        return "", 0
    begin = text[:_SAMPLED].rpartition("\n")[0]
    end = text[-_SAMPLED:].partition("\n")[2]
    return (f"{begin}\n{end}", begin.count("\n")) if begin and end else ("", 0)


def _with_commas(rows: list[Row], cells: int) -> tuple[list[Row], int]:
    """Rows in which a comma is both: `2026-03-01 10:00,29,4` under a header of two names."""
    head = next((row for row in rows if 1 < len(row.cells) < cells and not has_figures(row.cells)), None)
    if head is None:  # of most files: the others are looked through line by line
        return rows, cells
    like = [row for row in rows if len(row.cells) == cells and has_figures(row.cells)]
    if not like:
        return rows, cells
    texts = [place for place in range(cells) if not all(row.cells[place].lstrip("+-").isdigit() for row in like)]
    figures = cells - len(texts)
    if figures % 2 or len(texts) + figures // 2 != len(head.cells) or texts != list(range(len(texts))):
        return rows, cells
    start = len(texts)
    joined = [
        Row(
            row.number,
            (*row.cells[:start], *map(",".join, zip(row.cells[start::2], row.cells[start + 1 :: 2], strict=False))),
        )
        if len(row.cells) == cells
        else row
        for row in rows
    ]
    return joined, len(head.cells)


def _names(above: Sequence[Row], cells: int) -> tuple[str, ...]:
    """The names over the columns: the last lines of as many cells, two at most (names, then units)."""
    found: list[tuple[str, ...]] = []
    for row in reversed(above):
        if abs(len(row.cells) - cells) > 1 or len(row.cells) < 2:
            break
        found.insert(0, (*row.cells, *[""] * cells)[:cells])
        if len(found) == 2:
            break
    if len(found) == 2 and not all(len(cell) <= 8 for cell in found[1]):
        found = found[1:]
    return tuple(" ".join(cell for cell in column if cell) for column in zip(*found, strict=True)) if found else ()


def _is_cut(rows: Sequence[Row], cells: int) -> bool:
    """Whether the last line ends before its last cell does."""
    last = rows[-1].cells
    if len(last) != cells:
        return True
    before = [row.cells[-1] for row in rows[-_LOOKED_AT:-1] if len(row.cells) == cells]
    if not last[-1]:
        return True
    if not before or number(last[-1]) is None:
        return bool(before) and not is_nothing(last[-1]) and any(sign.isdigit() for sign in before[-1])
    decimals = [_decimals(cell) for cell in before if number(cell) is not None]
    return bool(decimals) and _decimals(last[-1]) < min(decimals)


def _decimals(cell: str) -> int:
    found = re.search(r"\d[.,](\d+)", cell)
    return len(found[1]) if found else 0
