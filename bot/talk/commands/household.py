"""/settings."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from zoneinfo import ZoneInfo

from bot.talk import say
from bot.talk.commands import hours, living
from bot.talk.grammar.homes import ONE_OF_MANY, SYSTEMS
from bot.talk.grammar.zones import near_zone, read_zone
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from core.actions.households import change_settings, change_zone
from core.actions.places import guess_settings
from core.care.season import Hemisphere
from core.care.units import System

HEMISPHERES = {
    "north": Hemisphere.NORTH,
    "northern": Hemisphere.NORTH,
    "south": Hemisphere.SOUTH,
    "southern": Hemisphere.SOUTH,
    "tropics": Hemisphere.TROPICS,
    "tropical": Hemisphere.TROPICS,
}


def settings(turn: Turn, rest: str) -> Reply:
    """Show the household's ways, or change one."""
    word, _, more = rest.partition(" ")
    word, more = word.casefold(), more.strip()
    if not word:
        return _show(turn)
    if word in SYSTEMS and not more:
        return _units(turn, word)
    if word in hours.WORDS:
        return hours.change(turn, word, more)
    for names, change in _CHANGES:
        if word in names:
            return change(turn, more)
    return answer(turn.words("household-unknown-setting", said=word[:20]))


def _show(turn: Turn) -> Reply:
    ways = turn.settings
    return answer(
        turn.words("household-units", units=turn.words(f"household-units-{ways.units.value}")),
        turn.words("household-zone", zone=turn.who.zone.key),
        turn.words("household-seasons", half=turn.words(f"household-half-{ways.hemisphere.value}")),
        hours.shown(turn),
        living.shown(turn),
        turn.words("household-change"),
    )


def _units(turn: Turn, said: str) -> Reply:
    word = said.casefold()
    system = SYSTEMS.get(word)
    if system is None:
        return answer(turn.words("household-which-units"), buttons=_systems(turn, tuple(System)))
    having = ONE_OF_MANY.get(word, ())
    if turn.settings.units in having:
        system = turn.settings.units
    elif having:
        buttons = _systems(turn, (*having, turn.settings.units))
        asked, typed = (turn.words(f"household-units-{key}") for key in ("go-together", "as-typed"))
        return answer(asked, typed, buttons=buttons)
    turn.adopt(replace(turn.settings, units=system))
    change_settings(turn.tx, turn.who.household_id, turn.settings)
    shown = turn.words(f"household-units-{system.value}")
    example = say.litres(turn.words, 0.4, system)
    return answer(turn.words("household-units-now", units=shown, example=example))


def _systems(turn: Turn, offered: Sequence[System]) -> tuple[Option, ...]:
    return tuple(
        Option(turn.words(f"household-units-{one.value}"), f"/settings units {one.value}")
        for one in offered
    )


def _zone(turn: Turn, said: str) -> Reply:
    name = read_zone(said.removeprefix("zone "))
    if name is None:
        meant = near_zone(said)
        if meant is None:
            return answer(turn.words("household-unknown-zone", said=said[:40] or "none"))
        text = turn.words("household-zone-near", zone=meant)
        return answer(text, buttons=(Option(meant, f"/settings zone {meant}"),))
    change_zone(turn.tx, turn.who.household_id, name)
    ways = replace(turn.settings, hemisphere=guess_settings(name).hemisphere)
    change_settings(turn.tx, turn.who.household_id, ways)
    here, half = turn.now.astimezone(ZoneInfo(name)), ways.hemisphere
    now = turn.words("household-zone-now", zone=name, time=f"{here:%H:%M}")
    if half is turn.settings.hemisphere:
        return answer(now)
    shown = turn.words(f"household-half-{half.value}")
    return answer(now, turn.words("household-seasons", half=shown))


def _seasons(turn: Turn, said: str) -> Reply:
    half = HEMISPHERES.get(said.casefold())
    if half is None:
        return answer(turn.words("household-which-half"))
    change_settings(turn.tx, turn.who.household_id, replace(turn.settings, hemisphere=half))
    return answer(turn.words("household-seasons", half=turn.words(f"household-half-{half.value}")))


_CHANGES: tuple[tuple[frozenset[str], Callable[[Turn, str], Reply]], ...] = (
    (frozenset({"units", "unit", "measures"}), _units),
    (frozenset({"zone", "timezone", "time"}), _zone),
    (frozenset({"seasons", "hemisphere", "half"}), _seasons),
    (living.NAMES, living.change),
)
