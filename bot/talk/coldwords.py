"""Who is in danger on a cold night and what to do, in words; asked for or not."""

from __future__ import annotations

from collections.abc import Sequence

from bot.talk import say
from bot.talk.catalogue import Catalogue
from bot.talk.message import Option, Reply
from bot.talk.turn import answer
from core.actions.coldwatch import TO_MOVE
from core.actions.lows import Endangered, Fact
from core.care.cold import Danger
from core.care.glass import USUAL_ROOM_C, Glazing
from core.care.units import System

MOST_SHOWN = 3
MOST_GROUPS = 2
MOST_MOVED = 8
# How warm a room may be at night, to choose from.
NIGHTS_C = (20.0, 18.0, 16.0, 14.0)


def choices(words: Catalogue) -> tuple[Option, ...]:
    """What may be said of plants that are to be moved."""
    return (
        Option(words("low-moved-button"), "/low moved"),
        Option(words("low-fine-button"), "/low fine"),
    )


def answers_to(words: Catalogue, units: System, what: Fact, room: str) -> tuple[Option, ...]:
    """What may be answered to a question about a room, each as what could be typed."""
    call = f"/room {room.casefold()}"
    if what is Fact.GLAZING:
        kinds = {Glazing.ONE_PANE: "one pane", Glazing.TWO_OLD: "two panes, old"}
        kinds |= {Glazing.TWO_NEW: "two panes, new", Glazing.THREE: "three panes"}
        return tuple(
            Option(words(f"room-button-{kind.value}"), f"{call} {said}")
            for kind, said in kinds.items()
        )
    if what is Fact.CURTAIN:
        return (
            Option(words("room-button-curtain"), f"{call} curtain"),
            Option(words("room-button-no-curtain"), f"{call} no curtain"),
        )
    return tuple(
        Option(say.temperature(celsius, units), f"{call} {celsius:g}C at night")
        for celsius in NIGHTS_C
    )


def dangers(words: Catalogue, units: System, head: str, found: list[Endangered]) -> list[str]:
    """Behind its head, who is in danger and what to do: the gravest first, each thing once."""
    if not found:
        return [head, words("low-nobody")]
    cold = [one for one in found if one.chill.danger is Danger.GLASS]
    lines = [f"{head} {words('low-in-danger', n=len(found))}", *_outdoors(words, found)]
    lines += _at_the_pane(words, units, cold)
    return [*lines, *_assumed(words, units, cold), *_at_windows(words, found)]


def tonight(
    words: Catalogue,
    units: System,
    head: str,
    found: list[Endangered],
    gone: list[Endangered],
) -> Reply:
    """The same of a night whose plants may have been moved (`gone`) already, and the answers."""
    here = [one for one in found if one not in gone]
    lines = dangers(words, units, head, here) if here or not gone else [head]
    names = [one.plant.name for one in gone]
    already = words("low-moved-already", plants=moved(words, names)) if gone else ""
    asked = any(one.chill.danger in TO_MOVE for one in here)
    return answer(*lines, already, buttons=choices(words) if asked else ())


def _assumed(words: Catalogue, units: System, cold: list[Endangered]) -> list[str]:
    """What was taken for granted of a room that nobody described, and how to tell."""
    windows_unknown = next((one for one in cold if one.room.glazing is None), None)
    nights_unknown = next((one for one in cold if _night_unknown(one)), None)
    unknown = windows_unknown or nights_unknown
    if unknown is None:
        return []
    key = "low-assumed" if windows_unknown and nights_unknown else "low-assumed-night"
    key = "low-assumed-window" if nights_unknown is None else key
    night = say.temperature(USUAL_ROOM_C, units)
    return [words(key, night=night, room=unknown.plant.room.casefold() or "none")]


def _night_unknown(one: Endangered) -> bool:
    return one.room.night_c is None and one.room.celsius is None


def _at_windows(words: Catalogue, found: list[Endangered]) -> list[str]:
    near = [one for one in found if one.chill.danger is Danger.DRAFT]
    return [words("low-draft", n=len(near), plants=_names(words, near))] if near else []


def _outdoors(words: Catalogue, found: list[Endangered]) -> list[str]:
    outside = [one for one in found if one.chill.danger is Danger.OUTDOORS]
    return [words("low-outdoors", plants=_names(words, outside))] if outside else []


def _at_the_pane(words: Catalogue, units: System, cold: list[Endangered]) -> list[str]:
    """Those at the glass, together where they are as cold and bear as much; then what to do."""
    if not cold:
        return []
    alike: dict[tuple[str, str], list[Endangered]] = {}
    for one in cold:
        leaf = say.temperature(one.chill.leaf_c, units)
        alike.setdefault((leaf, say.temperature(one.chill.bears_c, units)), []).append(one)
    shown = list(alike.items())[:MOST_GROUPS]
    lines = [_as_cold(words, leaf, bears, here) for (leaf, bears), here in shown]
    rest = [one for here in list(alike.values())[MOST_GROUPS:] for one in here]
    if rest:
        lines.append(words("low-glass-too", plants=_names(words, rest)))
    lines[-1] = f"{lines[-1]} {words('low-glass-do', n=len(cold))}"
    return lines


def _as_cold(words: Catalogue, leaf: str, bears: str, here: list[Endangered]) -> str:
    key = "low-glass-just" if leaf == bears else "low-glass"
    return words(key, plants=_names(words, here), n=len(here), leaf=leaf, bears=bears)


def _names(words: Catalogue, found: list[Endangered]) -> str:
    """A few names, and how many more."""
    return say.some(words, [one.plant.name for one in found], MOST_SHOWN)


def moved(words: Catalogue, names: Sequence[str]) -> str:
    """Names of what stands elsewhere, or goes back, cut where they are many."""
    return say.some(words, names, MOST_MOVED)
