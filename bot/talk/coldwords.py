"""Who is in danger on a cold night and what to do, in words; asked for or not."""

from __future__ import annotations

from bot.talk import say
from bot.talk.catalogue import Catalogue
from bot.talk.message import Option
from core.actions.lows import Endangered
from core.care.cold import Danger
from core.care.glass import USUAL_ROOM_C
from core.care.units import System

MOST_SHOWN = 3


def choices(words: Catalogue) -> tuple[Option, ...]:
    """What may be said of plants that are to be moved."""
    return (
        Option(words("low-moved-button"), "/low moved"),
        Option(words("low-fine-button"), "/low fine"),
    )


def dangers(words: Catalogue, units: System, found: list[Endangered]) -> list[str]:
    """Who is in danger and what to do: the gravest first, each thing to do in one line."""
    if not found:
        return [words("low-nobody")]
    cold = [one for one in found if one.chill.danger is Danger.GLASS]
    lines = [words("low-in-danger", n=len(found)), *_outdoors(words, found)]
    lines += [_at_the_pane(words, units, one) for one in cold[:MOST_SHOWN]]
    if len(cold) > MOST_SHOWN:
        lines.append(words("low-glass-too", plants=_names(words, cold[MOST_SHOWN:])))
    if cold:
        room = say.temperature(USUAL_ROOM_C, units)
        lines.append(words("low-assumed", room=room))
    return lines + _at_windows(words, found)


def _at_windows(words: Catalogue, found: list[Endangered]) -> list[str]:
    near = [one for one in found if one.chill.danger is Danger.DRAFT]
    return [words("low-draft", n=len(near), plants=_names(words, near))] if near else []


def _outdoors(words: Catalogue, found: list[Endangered]) -> list[str]:
    outside = [one for one in found if one.chill.danger is Danger.OUTDOORS]
    return [words("low-outdoors", plants=_names(words, outside))] if outside else []


def _at_the_pane(words: Catalogue, units: System, one: Endangered) -> str:
    return words(
        "low-glass",
        plant=one.plant.name,
        leaf=say.temperature(one.chill.leaf_c, units),
        bears=say.temperature(one.chill.bears_c, units),
    )


def _names(words: Catalogue, found: list[Endangered]) -> str:
    """A few names, and how many more."""
    names = [one.plant.name for one in found[:MOST_SHOWN]]
    more = len(found) - len(names)
    return words.both(names) + (f" {words('common-and-more', n=more)}" if more else "")
