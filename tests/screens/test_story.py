"""One colony from its first enclosure to a second keeper's shift, with nothing but keys."""

from __future__ import annotations

from pathlib import Path

from rounds.logbook.entries import (
    Acknowledged,
    Arrived,
    BehaviourSeen,
    EggCheckDone,
    EnclosureSetUp,
    HandedOver,
    LayBoxIn,
    MatingSeen,
    StopWalked,
    TakenOver,
    Weighed,
)
from rounds.logbook.words import LOOK_SIGNS
from tests.screens.rack import Clock, Rack, begun, opened


async def set_up(rack: Rack, name: str, rack_name: str) -> None:
    """An enclosure by its form: name, the sort as it stands, rack."""
    await rack.write(name)
    await rack.press("enter", "enter")
    await rack.write(rack_name)
    await rack.press("f2")


async def register(rack: Rack, name: str, place: str, sex: str, hatched: str) -> None:
    """An animal by its form: name, where it lives, sex, when it hatched."""
    await rack.write(name)
    await rack.press("enter")
    await rack.write(place)
    await rack.press("enter", sex, "enter")
    await rack.write(hatched)
    await rack.press("f2")


async def test_a_colony_is_begun_walked_and_handed_over_with_keys_alone(tmp_path: Path) -> None:
    folder = tmp_path / "colony"
    await begun(folder, "Quandong shed", "Europe/Vienna")
    clock = Clock("2026-04-10 07:00")
    async with opened(folder, clock) as rack:
        # Nobody is on shift yet.
        await rack.sees("take over", "No hand-over was written yet")
        await rack.press("enter")
        await rack.write("ak")
        await rack.press("enter")
        assert [entry.by for entry in rack.of(TakenOver)] == ["AK"]
        await rack.sees("No enclosure is set up yet", "F2")

        # Three enclosures.
        await rack.press("f2", "e")
        for name in ("B1", "B2", "B3"):
            await set_up(rack, name, "B")
            await rack.sees(f"{name} is set up")
            await rack.press("n" if name == "B3" else "enter")
        assert [entry.name for entry in rack.of(EnclosureSetUp)] == ["B1", "B2", "B3"]
        assert {entry.rack for entry in rack.of(EnclosureSetUp)} == {"B"}

        # Four animals, two of them in one tub.
        await rack.press("f2", "a")
        animals = [
            ("Wattle", "b1", "f", "2023-03-12"),
            ("Karri", "b2", "m", "2022-05"),
            ("Sedge", "b3", "f", "2023-06-01"),
            ("Fern", "b3", "f", "2023-06-01"),
        ]
        for who in animals:
            await register(rack, *who)
            await rack.sees(f"{who[0]} lives in {who[1].upper()}")
            await rack.press("n" if who[0] == "Fern" else "enter")
        arrived = rack.of(Arrived)
        assert [(one.name, one.place, one.sex) for one in arrived] == [
            ("Wattle", "enclosure/b1", "F"),
            ("Karri", "enclosure/b2", "M"),
            ("Sedge", "enclosure/b3", "F"),
            ("Fern", "enclosure/b3", "F"),
        ]
        assert str(arrived[1].hatched) == "2022-05-01"

        # The morning walk: three stops, a weight for each of the four.
        await rack.sees("stop 1 of 3", "Wattle", "weigh")
        rack.news(), rack.count()
        await rack.write("452")
        await rack.press("enter")
        assert rack.count() <= 5, "a weight is five keys at most"
        await rack.press("enter")
        assert rack.count() == 1, "a plain stop is one key"
        await rack.sees("stop 2 of 3", "Karri")
        await rack.write("511")
        await rack.press("enter", "enter")
        await rack.sees("stop 3 of 3", "Fern", "Sedge")
        for grams in ("401", "412"):
            await rack.write(grams)
            await rack.press("enter")
        await rack.press("enter")
        assert {entry.about: entry.grams for entry in rack.of(Weighed)} == {
            "animal/wattle": 452,
            "animal/karri": 511,
            "animal/fern": 401,
            "animal/sedge": 412,
        }
        assert [entry.about for entry in rack.of(StopWalked)] == [f"enclosure/b{n}" for n in (1, 2, 3)]
        await rack.sees("The morning walk is done: 3 stops of 3")

        # She was seen mating some weeks ago, which is written late; and now she digs.
        await rack.press("j")
        await rack.write("wat")
        await rack.press("enter")
        await rack.sees("B1", "> F Wattle")
        await rack.press("i", "b", "m")
        await rack.write("kar")
        await rack.press("enter")
        await rack.write("2026-03-16 18:00")
        await rack.press("f2")
        mating = rack.of(MatingSeen)[-1]
        assert (mating.sire, mating.at.isoformat()) == ("animal/karri", "2026-03-16T18:00:00+01:00")
        assert mating.written is not None
        rack.count()
        await rack.press("b", "d")
        assert rack.count() <= 3, "a behaviour is three keys at most"
        seen = rack.of(BehaviourSeen)[-1]
        assert (seen.about, seen.behaviour) == ("animal/wattle", "nest digging")
        await rack.sees("TODAY Wattle has dug since 10 Apr. No lay box.")

        # A lay box, from Attention: open, act, lay box, 20 cm, the first medium offered.
        await rack.press("a", "enter")
        await rack.sees("TODAY Wattle B1", "Give her a lay box", "common practice, no source")
        await rack.press("d", "l", "2", "0", "enter", "1", "enter")
        box = rack.of(LayBoxIn)[-1]
        assert (box.about, box.depth_cm, box.medium) == ("animal/wattle", 20, "damp sand and soil")
        await rack.sees("This matter is settled")

        # Next morning: the egg check, a weight, and a danger sign at a second look.
        clock.set("2026-04-11 07:00")
        await rack.press("w", "left")
        await rack.sees("stop 1 of 3", "in lay box, day 2, mated 16 Mar, due 2 to 24 Apr", "egg check")
        rack.count()
        await rack.press("e", "9", "n", "enter")
        assert rack.count() == 4, "a look is two keys, and one for each sign"
        check = rack.of(EggCheckDone)[-1]
        assert check.present == ("digging",)
        assert set(check.present) | set(check.absent) == set(LOOK_SIGNS)
        await rack.press("4", "5", "5", "enter")
        assert rack.of(Weighed)[-1].grams == 455
        await rack.press("e", "1", "enter")
        assert rack.of(EggCheckDone)[-1].present == ("lethargy",)
        await rack.sees("VET NOW Wattle: lethargy", "Phone a vet now")

        # No hand-over past a danger sign that nobody has read.
        await rack.press("h", "s")
        await rack.sees("Not signed", "lethargy", "a, then y")
        assert not rack.of(HandedOver)
        await rack.press("a", "o")
        await rack.sees("cannot be put off")
        await rack.press("y")
        await rack.sees("read by AK")
        assert [entry.by for entry in rack.of(Acknowledged)] == ["AK"]
        await rack.press("h", "s", "n")
        await rack.write("Wattle needs the vet")
        await rack.press("enter", "enter")
        signed = rack.of(HandedOver)[-1]
        assert (signed.by, signed.note) == ("AK", "Wattle needs the vet")
        assert "lethargy" in signed.sheet
        assert "Wattle needs the vet" in signed.sheet

        # The next keeper reads it, whoever has read it before.
        await rack.sees("take over", "by AK", "for you, from AK, ", "07:00: Wattle needs the vet")
        await rack.press("enter", "e", "m", "enter")
        await rack.sees("1 of 1 vet matter", "Wattle: lethargy", "Phone a reptile vet")
        await rack.press("enter", "enter")
        assert len(rack.of(TakenOver)) == 1, "an Enter too many reads nothing"
        await rack.press("y")
        taken = rack.of(TakenOver)[-1]
        assert (taken.by, taken.hand_over, len(taken.matters)) == ("EM", signed.id, 1)
        assert [entry.by for entry in rack.of(Acknowledged)] == ["AK", "EM"]
        await rack.sees("EM", "stop 1 of 3", "read by EM")
