"""Young counted together: counted, split, merged, singled out, held back, reserved, and made from a clutch."""

from __future__ import annotations

from collections.abc import Callable, Generator, Sequence
from typing import Any

from rounds.desk.young_door import settled_doubt
from rounds.logbook.drafts import Draft, draft
from rounds.logbook.entries import (
    Arrived,
    Counted,
    CountSettled,
    Died,
    HeldBack,
    Left,
    Merged,
    Released,
    Reserved,
    SexSettled,
    SingledOut,
    SplitOff,
)
from rounds.paper.said import said
from rounds.paper.words import full_day, many
from rounds.screens.prompts.asks import Ask, Figure, Found, Search, Talk
from rounds.screens.prompts.choices import Choice, Option
from rounds.screens.prompts.fields import Field
from rounds.screens.prompts.finding import find, finder
from rounds.screens.prompts.form import Form
from rounds.screens.prompts.saving import Save
from rounds.screens.prompts.words import Words
from rounds.screens.record.filling import clockwork
from rounds.screens.record.host import Host
from rounds.screens.record.kind_form import with_finders
from rounds.screens.record.setting_up import new_subject
from rounds.standing.animal import animal
from rounds.standing.clutch import called
from rounds.standing.clutch_young import came_from, clutches_of_group
from rounds.standing.descent import Descent, descent_of
from rounds.standing.enclosure import enclosure
from rounds.standing.fold import Standing
from rounds.standing.group import Group, group, groups_here
from rounds.standing.holding import Hold, holds
from rounds.standing.traits import may_show

#: A question or save, and what it answers.
Asking = Generator[Ask, Any, Any]
_NEW = "a new group …"
_KNOWN = ("clutch", "dam", "sire")


def count(screen: Host, subject: str, typed: str = "") -> Talk:
    """How many there are. As many as reckoned: written. Fewer or more: what became of them is asked."""
    standing = screen.shift.desk.standing
    young = group(standing, subject)
    census = young.census
    told = f"{census.alive} reckoned; Enter writes what you counted" if census.known else "Enter writes it"
    counted = yield Figure(f"How many are in {young.name}", typed=typed, whole_number=True, hint=told, most=100_000)
    drafts = [draft(Counted, subject, count=counted)]
    if census.known and counted != census.alive:
        drafts = yield from _unlike(young, counted)
    elif not census.known:
        drafts = [draft(CountSettled, subject, count=counted)]
    # Whether so many are there was asked already.
    saved = yield Save(*drafts, agreed=settled_doubt(standing, subject, counted, census.alive))
    if saved:
        now = group(screen.shift.desk.standing, subject).census
        screen.say(f"{young.name}: {', '.join(said(standing, entry) for entry in saved)}. {now.says}", "good")


def _unlike(young: Group, counted: int) -> Generator[Ask, Any, list[Draft]]:
    """What became of those missing, or where those too many come from."""
    census = young.census
    noted = draft(Counted, young.subject, count=counted)
    if counted > census.alive:
        more = counted - census.alive
        settled = yield Choice(
            f"{more} more than the {census.alive} reckoned: {census.says}",
            [
                Option("n", "only note it, and count again", False),
                Option("m", f"they are there: {more} were never counted", True),
            ],
            by_digits=False,
        )
        return [draft(CountSettled, young.subject, count=counted)] if settled else [noted]
    gone = census.alive - counted
    what = yield Choice(
        f"{gone} fewer than the {census.alive} reckoned: {census.says}. What became of them?",
        [
            Option("n", "not known yet: only note it, look, and count again", None),
            Option("d", f"{gone} died", Died),
            Option("f", f"looked for everywhere, {gone} not found", CountSettled),
            Option("s", f"{gone} sold", "sold"),
            Option("g", f"{gone} given away", "given"),
        ],
        by_digits=False,
    )
    if what is None:
        return [noted]
    if what is CountSettled:
        return [draft(CountSettled, young.subject, count=counted)]
    if what is Died:
        return [draft(Died, young.subject, count=gone), noted]
    return [draft(Left, young.subject, count=gone, how=what), noted]


def split(screen: Host, subject: str, typed: str = "") -> Talk:
    """So many of a group into another: one that is there, or a new one with its place. One save."""
    standing = screen.shift.desk.standing
    young = group(standing, subject)
    going = yield Figure(
        f"How many of the {young.count} in {young.name} go into another group",
        typed=typed,
        whole_number=True,
        hint="Sort by size: the small apart from the large. Enter goes on",
        most=100_000,
    )
    into, opening = yield from _into(screen, young, f"{young.name} small")
    why = yield Words("Which ones?", optional=True, ready=("the small ones", "the large ones", "to make room"))
    fields = {"into": into, "count": going} | ({"why": why} if why else {})
    saved = yield Save(*opening, Draft(SplitOff, subject, fields))
    if saved:
        now = screen.shift.desk.standing
        screen.say(f"{young.name}: {group(now, subject).count}, {now.name(into)}: {group(now, into).count}", "good")


def merge(screen: Host, subject: str) -> Talk:
    """All of a group into another."""
    standing = screen.shift.desk.standing
    young = group(standing, subject)
    into = yield Search(f"All {young.count} of {young.name} go into", _others(standing, young, ""), by_enter=False)
    saved = yield Save(draft(Merged, subject, into=into))
    if saved:
        now = screen.shift.desk.standing
        screen.say(f"{now.name(into)}: {group(now, into).count}, those of {young.name} among them", "good")


def single_out(screen: Host, subject: str) -> Talk:
    """One of a group becomes an animal with a name: dam, sire, clutch and hatch day come with it. One save."""
    shift = screen.shift
    standing = shift.desk.standing
    young = group(standing, subject)
    clutches = clutches_of_group(standing, young)
    may = may_show(standing, (who for who, _ in came_from(standing, subject)), shift.desk.house.traits)
    fields: list[Field] = [
        Field("name", "name", required=True),
        Field("place", "lives in", "subject", required=True, given=young.place or ""),
        Field("sex", "sex", "choice", options=("F", "M", "?"), given="?"),
        Field("certainty", "how sure", "choice", options=("sure", "likely", "guess"), given="likely"),
        Field("how", "how sexed", hint="such as by hand, by the bulges"),
        Field("traits", "traits", hint="such as leatherback; several parted by commas"),
        Field("tag", "label", hint="what a scanner reads from its label, if it has one"),
    ]
    if len(clutches) > 1:
        listed = " or ".join(called(standing, one) for one in clutches)
        ask = Field("clutch", "clutch", "subject", hint=f"{listed}; empty when not known")
        fields.insert(2, ask._replace(find=_among(standing, clutches)))
    filled = yield Form(
        f"One of {young.name} gets a name",
        with_finders(Arrived, fields, finder(standing)),
        clockwork(screen),
        told=_taken_over(standing, descent_of(standing, young)) + (f". It {may}: look" if may else ""),
    )
    who = new_subject(screen, "animal", filled["name"])
    drafts = singled_out(standing, young, who, filled)
    saved = yield Save(*drafts)
    if saved:
        now = shift.desk.standing
        screen.say(
            f"{filled['name']} is one of its own now; {group(now, subject).count} left in {young.name}", "good"
        )


def singled_out(standing: Standing, young: Group, who: str, filled: dict[str, Any]) -> list[Draft]:
    """What one singled out of a group wants written: the singling out, its arrival, and its sex where not sure."""
    origin = young.arrived
    members: dict[str, Any] = {
        "name": filled["name"],
        "place": filled["place"],
        **descent_of(standing, young, filled.get("clutch") or None)._asdict(),
        "origin": origin.origin if origin else "",
        "bred_here": bool(origin and origin.bred_here),
        "quarantine": young.quarantine_since is not None,
        "tag": filled.get("tag", ""),
        "traits": tuple(word.strip() for word in filled.get("traits", "").split(",") if word.strip()),
    }
    drafts = [
        draft(SingledOut, young.subject, animal=who),
        Draft(Arrived, who, {name: value for name, value in members.items() if value not in (None, "", ())}),
    ]
    if filled.get("sex", "?") != "?":
        settled = {"sex": filled["sex"], "certainty": filled.get("certainty", "likely")}
        drafts.append(Draft(SexSettled, who, settled | ({"how": filled["how"]} if filled.get("how") else {})))
    return drafts


def _taken_over(standing: Standing, known: Descent) -> str:
    words = [f"hatched {full_day(known.hatched.isoformat())}" if known.hatched else ""]
    words += [f"{word} {standing.name(one)}" for word, one in zip(_KNOWN, known[:3], strict=True) if one]
    words += [f"sire {' or '.join(map(standing.name, known.possible_sires))}" if known.possible_sires else ""]
    return "Taken over: " + (", ".join(word for word in words if word) or "nothing is known of its parents")


def keep_or_reserve(screen: Host, subject: str) -> Talk:
    """Held back, reserved for somebody, or free again."""
    standing = screen.shift.desk.standing
    name = standing.name(subject)
    one = group(standing, subject) if subject.startswith("group/") else animal(standing, subject)
    every = holds(one)
    options = [Option("o", "reserved for somebody", Reserved), Option("b", "held back: not for sale", HeldBack)]
    if every.every:
        options.append(Option("f", "free again", Released))
    what = yield Choice(f"{name}: {every.says or 'free'}", options, by_digits=False)
    fields: dict[str, Any] = {}
    ends: Hold | None = None
    some = subject.startswith("group/")
    if what is Released and len(every.every) > 1:
        # Asked before the number: of how many, and whose, is seen then. All of them are asked no number.
        ends = yield Choice(
            "Which of these ends?",
            [
                Option("e", "all of them", None),
                *(Option(str(at), hold.says, hold) for at, hold in enumerate(every.every, 2)),
            ],
        )
        if ends is None:
            some = False
        elif ends.whom:
            fields["whom"] = ends.whom
        else:
            fields["only_held"] = True
    if some:
        of = ends.says if ends is not None and ends.count is not None else group(standing, subject).count
        number = yield Figure(
            f"How many of the {of}",
            whole_number=True,
            optional=True,
            hint="Enter alone: all of them",
            most=100_000,
        )
        fields |= {"count": number} if number is not None else {}
    if what is Reserved:
        fields["whom"] = yield Words("For whom?")
        deposit = yield Figure(
            "Deposit",
            unit=screen.shift.desk.house.currency,
            optional=True,
            hint="Enter alone: none",
            most=10_000_000,
        )
        fields |= {"deposit": deposit} if deposit is not None else {}
    elif what is HeldBack:
        why = yield Words("Why?", optional=True, ready=("to breed from", "too small yet", "stays with its sibling"))
        fields |= {"why": why} if why else {}
    saved = yield Save(Draft(what, subject, fields))
    if saved:
        screen.say(f"{name}: {said(standing, saved[0])}", "good")


def _into(screen: Host, young: Group, offered: str) -> Generator[Ask, Any, tuple[str, list[Draft]]]:
    """The group that some go into: its id, and what opens it where it is new."""
    standing = screen.shift.desk.standing
    into = yield Search("Into", _others(standing, young, _NEW))
    if into:
        return into, []
    name = yield Words("Name of the new group", offered=offered)
    place = yield Search(f"Where does {name} live", places_for_young(standing))
    return opened_like(screen, young, name, place)


def opened_like(screen: Host, young: Group, name: str, place: str) -> tuple[str, list[Draft]]:
    """A new group for some of another: its id, and the arrival that opens it with what is known of them."""
    into, came = new_subject(screen, "group", name), young.arrived
    members: dict[str, Any] = {"name": name, "place": place, "count": 0}
    if came is not None:
        members |= {
            **descent_of(screen.shift.desk.standing, young)._asdict(),
            "origin": came.origin,
            "bred_here": came.bred_here,
            "quarantine": young.quarantine_since is not None,
        }
    kept = {key: value for key, value in members.items() if value not in (None, "", ()) or key == "count"}
    return into, [Draft(Arrived, into, kept)]


def _others(standing: Standing, young: Group, new: str) -> Callable[[str], Sequence[Found]]:
    """Groups that are here, those of the same clutch first; a new one in front where that may be."""
    own = set(clutches_of_group(standing, young))
    here = [one for one in groups_here(standing) if one.subject != young.subject]
    here.sort(key=lambda one: (not own & set(clutches_of_group(standing, one)), one.name.casefold()))
    first = [Found(new, "")] if new else []
    listed = [Found(f"{one.name}  {many(one.count, 'young', 'young')}", one.subject) for one in here]

    def offered(typed: str) -> list[Found]:
        if not typed.strip():
            return [*first, *listed]
        found = [one for one in find(standing, typed, "group") if one.value != young.subject]
        return [*found, *first]

    return offered


def places_for_young(standing: Standing) -> Callable[[str], Sequence[Found]]:
    """Where young may live: empty enclosures first, then those of other young, lay boxes; none that holds eggs."""

    def offered(typed: str) -> list[Found]:
        found = [
            one for one in find(standing, typed, "enclosure", most=200) if enclosure(standing, one.value).stands
        ]
        found = [one for one in found if enclosure(standing, one.value).holds_animals]
        return sorted(found, key=lambda one: _fitness(standing, one.value))

    return offered


def _fitness(standing: Standing, place: str) -> int:
    """Empty, with other young, a lay box (it stands in the room for females), with grown animals."""
    living = standing.living_in(place)
    if any(not who.startswith("group/") for who in living):
        return 3
    return 2 if standing.card(place).what == "lay box" else 1 if living else 0


def _among(standing: Standing, subjects: Sequence[str]) -> Callable[[str], Sequence[Found]]:
    return lambda typed: [
        Found(standing.name(one), one)
        for one in subjects
        if typed.strip().casefold() in standing.name(one).casefold()
    ]
