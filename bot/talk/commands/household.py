"""/settings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from zoneinfo import ZoneInfo, available_timezones

from bot.talk import say
from bot.talk.commands import hours, living
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from core.actions.households import change_settings, change_zone
from core.actions.places import guess_settings
from core.care.season import Hemisphere
from core.care.units import System

UNITS = {
    "metric": System.METRIC,
    "cm": System.METRIC,
    "us": System.US,
    "american": System.US,
    "inch": System.US,
    "inches": System.US,
    "imperial": System.IMPERIAL,
    "uk": System.IMPERIAL,
    "british": System.IMPERIAL,
}
REGIONS = frozenset(
    "Africa America Antarctica Asia Atlantic Australia Europe Indian Pacific".split()
)
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
    if word in UNITS and not more:
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
    system = UNITS.get(said.casefold())
    if system is None:
        buttons = tuple(
            Option(turn.words(f"household-units-{one.value}"), f"/settings units {one.value}")
            for one in System
        )
        return answer(turn.words("household-which-units"), buttons=buttons)
    change_settings(turn.tx, turn.who.household_id, replace(turn.settings, units=system))
    shown = turn.words(f"household-units-{system.value}")
    example = say.litres(turn.words, 0.4, system)
    return answer(turn.words("household-units-now", units=shown, example=example))


def _zone(turn: Turn, said: str) -> Reply:
    known = {name.casefold(): name for name in available_timezones()}
    wanted = said.removeprefix("zone ").casefold().strip(" .").replace(" ", "_")
    cities = {key.rpartition("/")[2]: value for key, value in sorted(known.items(), key=_usual)}
    name = known.get(wanted) or cities.get(wanted)
    if name is None:
        from rapidfuzz import process  # noqa: PLC0415 - only for a zone that isn't known

        near = process.extractOne(wanted, list(cities), score_cutoff=80) if wanted else None
        if near is None:
            return answer(turn.words("household-unknown-zone", said=said[:40] or "none"))
        meant = cities[near[0]]
        text = turn.words("household-zone-near", zone=meant)
        return answer(text, buttons=(Option(meant, f"/settings zone {meant}"),))
    change_zone(turn.tx, turn.who.household_id, name)
    ways = replace(turn.settings, hemisphere=guess_settings(name).hemisphere)
    change_settings(turn.tx, turn.who.household_id, ways)
    here = turn.now.astimezone(ZoneInfo(name))
    return answer(turn.words("household-zone-now", zone=name, time=f"{here:%H:%M}"))


def _usual(zone: tuple[str, str]) -> bool:
    """Zones by region and city last, so that they win over older names for the same city."""
    return zone[1].partition("/")[0] in REGIONS


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
