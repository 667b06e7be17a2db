"""The pairing table and the page of a pair as 80 columns of text."""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction
from typing import Final

from rounds.due.matters.wording import beside_name
from rounds.paper.page import Page
from rounds.paper.plain_text import cut, padded, shown
from rounds.paper.values import Values
from rounds.paper.words import many

#: Columns of the name of a row, and of one mate.
NAME: Final = 12
CELL: Final = 16
ACROSS: Final = 4


def table_text(found: Values, now: datetime) -> str:
    """Four males across, whoever is not paired now below; of one animal every mate on a line, least kin first."""
    page = Page()
    page.title(f"{found['colony']}   pairing", _stamp(now))
    pairs = {(one["dam"], one["sire"]): one for one in found["pairs"]}
    if not found["females"] or not found["males"]:
        missing = "female" if not found["females"] else "male"
        page.text(f"No grown {missing} is here.")
    elif found["of"] is not None:
        _list(page, found)
    else:
        _grid(page, found, pairs)
    _below(page, found)
    return str(page)


def _grid(page: Page, found: Values, pairs: dict[tuple[str, str], Values]) -> None:
    """Those who can be paired now; the others below, each with its reason."""
    females, males = ([one for one in found[sex] if not one["not_now"]] for sex in ("females", "males"))
    if not pairs and females and males:
        page.text(
            "So many pairs are shown by their figures alone. `rounds pairing NAME` says more of one animal's."
        )
    if not females or not males:
        page.text(f"No {'female' if not females else 'male'} can be paired now.")
    limit, marked = found["limit_percent"], dict[str, str]()
    for first in range(0, len(males) if females else 0, ACROSS):
        across = males[first : first + ACROSS]
        page.blank()
        page.lines.append(("young of …".ljust(NAME + 2) + "".join(_cell(one["name"]) for one in across)).rstrip())
        for dam, figures in zip(females, found["rows"], strict=True):
            told = [
                pairs[dam["subject"], one["subject"]]["says"] if pairs else _figure_alone(figure, limit, marked)
                for one, figure in zip(across, figures[first : first + ACROSS], strict=True)
            ]
            cells = "".join(map(_cell, told))
            page.lines.append((padded(cut(shown(dam["name"]), NAME), NAME + 2) + cells).rstrip())
    asked = [one for one in (*females, *males) if one["look_first"]]
    if asked:
        page.heading("look first")
        page.table([(one["name"], "; ".join(one["look_first"])) for one in asked], (NAME,))
    waiting = [one for sex in ("females", "males") for one in found[sex] if one["not_now"]]
    if waiting:
        page.heading("not now")
        page.table(
            [
                (one["name"], "; ".join((*(f"! {told}" for told in one["burdens"]), *_unnamed(one))))
                for one in waiting
            ],
            (NAME,),
        )


def _unnamed(one: Values) -> list[str]:
    """Why one is not paired now, beside its name: a reason that begins with the name leaves it away."""
    return [beside_name(says, one["name"]) for says in one["not_now"]]


def _figure_alone(figure: str, limit: float, marked: dict[str, str]) -> str:
    """A figure with ! where it reaches the limit, in %; `marked` keeps those that were seen."""
    if figure not in marked:
        most = figure.partition(" to ")[0]
        told = most.removesuffix("%").removeprefix("under").strip()
        percent = float(told) if "%" in most else float(Fraction(told)) * 100 if told[:1].isdigit() else 0
        marked[figure] = "unrelated" if figure == "0" else f"{figure}{'!' if percent >= limit else ''}"
    return marked[figure]


def _list(page: Page, found: Values) -> None:
    his = len(found["males"]) == 1 and found["males"][0]["subject"] == found["of"]
    mates = {one["subject"]: one for one in found["females" if his else "males"]}
    own = found["males" if his else "females"][0]
    page.text(f"{own['name']} with each {'female' if his else 'male'}, least kin first")
    for why in own["not_now"]:
        page.text(f"{why}.", "  not now   ")
    page.blank()
    page.table(
        [
            (
                mates[one["dam" if his else "sire"]]["name"],
                _kin(one),
                _remark(one, mates[one["dam" if his else "sire"]]["not_now"]),
            )
            for one in found["pairs"]
        ],
        (NAME, 34),
    )


def _kin(pair: Values) -> str:
    if pair["not_known"]:
        return "kin not known"
    if pair["inbreeding"] == "0":
        return "unrelated"
    figure = (
        pair["inbreeding"] if pair["inbreeding"] == pair["least"] else f"{pair['inbreeding']} to {pair['least']}"
    )
    return f"{figure if len(figure) <= 14 else _percent(pair)}  {pair['kin']}"


def _remark(pair: Values, not_now: list[str]) -> str:
    limit = ["! reaches the house limit"] if pair["reaches_limit"] else []
    return "; ".join((*limit, *(f"! {one}" for one in pair["burdens"]), *not_now))


def _percent(pair: Values) -> str:
    return f"{int(pair['percent'] * 100) / 100:g} %"


def _below(page: Page, found: Values) -> None:
    page.blank()
    left = found["left_out"]
    told = [
        f"{left['too_young']} too young to be asked about" if left["too_young"] else "",
        f"{left['sex_unknown']} of unknown sex" if left["sex_unknown"] else "",
    ]
    if any(told):
        page.text(f"Left out: {', '.join(one for one in told if one)}.")
    page.text("The figure is the inbreeding of the young, by the pedigree known so far; ! stands by a caution.")
    for rule in found["rules"]:
        page.text(rule, "rule   ")


def page_text(found: Values, now: datetime) -> str:
    """The page of one pair."""
    page = Page()
    page.title(" × ".join(found["names"]), _stamp(now))
    for line in page_lines(found):
        if line.startswith("# "):
            page.heading(line[2:])
        else:
            lead = line[: len(line) - len(line.lstrip())]
            page.text(line.strip(), lead, lead + "  ")
    return str(page)


def page_lines(found: Values) -> list[str]:
    """What stands on the page of a pair, a line a thing, `# ` before the name of a part; the cautions first."""
    lines = [f"CAUTION   {one}" for one in found["cautions"]] or ["No caution by what is noted."]
    lines += ["# kin", f"{found['kin'][:1].upper()}{found['kin'][1:]}. {_figure(found)}"]
    lines += _path_lines(found["paths"])
    lines += found["pedigree"]
    lines += ["# the two"]
    for one in (found["female"], found["male"]):
        told = [one["name"], one["age"], one["weight"], one["trend"], one["state"], one.get("last_clutch", "")]
        lines.append("   ".join(word for word in told if word))
        lines.append(f"  {one['fit']}")
    lines += ["# traits"]
    for trait in found["traits"]:
        young = ", ".join(f"{one['chance']} {one['says']}" for one in trait["young"]) or "not known"
        lines.append(f"{trait['trait']} ({trait['way']}): {trait['female']}; {trait['male']}. Young: {young}.")
    if not found["traits"]:
        lines.append("No trait of the colony's list is noted of either.")
    elif len(found["traits"]) > 1:
        told = [f"{one['chance']} {' and '.join(one['looks']) or 'none of these'}" for one in found["young"]]
        lines.append(f"All together the young look: {', '.join(told)}.")
    if found["unlisted_traits"]:
        told = [f"{one['name']} {', '.join(one['traits'])}" for one in found["unlisted_traits"]]
        lines.append(f"Not reckoned: {'; '.join(told)}. Name the trait in [traits] of colony.toml.")
    lines += ["# rules", *found["rules"]]
    return lines


def _figure(found: Values) -> str:
    if found["not_known"]:
        return "Inbreeding of the young: not known."
    if found["inbreeding"] == "0":
        return "Inbreeding of the young 0 by the pedigree known so far."
    most = found["inbreeding"]
    if "%" not in most:
        most += f" = {_percent(found)}"
    if found["inbreeding"] == found["least"]:
        return f"Inbreeding of the young {most}."
    return f"Inbreeding of the young {most} at the most, {found['least']} at the least."


def _path_lines(paths: Values) -> list[str]:
    lines = []
    for one in paths["listed"]:
        up = f"{many(one['from_dam'], 'generation')} above her, {one['from_sire']} above him"
        ways = f", {many(one['paths'], 'path')}" if one["paths"] != 1 else ""
        inbred = f", itself inbred {one['inbreeding']}" if one["inbreeding"] != "0" else ""
        lines.append(f"  {one['share']} by {one['name']}: {up}{ways}{inbred}")
    if paths["listed"] and paths["rest"] != "0":
        more = f"{many(paths['more'], 'more line')}" if paths["more"] else "what lies further back"
        lines.append(f"  {paths['rest']} by {more}")
    return lines


def _cell(text: str) -> str:
    return padded(cut(shown(text), CELL - 1), CELL)


def _stamp(now: datetime) -> str:
    return f"{now:%a} {now.day} {now:%b %Y %H:%M}"
