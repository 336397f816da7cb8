"""What is asked once, at the first contact: time zone and measures. Typed: `/start in Berlin`."""

from __future__ import annotations

from dataclasses import replace
from zoneinfo import ZoneInfo

from bot.talk import say
from bot.talk.answers import ANY_HOME
from bot.talk.grammar.homes import RIGHT, Home, read_home
from bot.talk.grammar.zones import near_zone
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from core.actions import rights
from core.actions.households import change_settings, change_zone
from core.actions.places import guess_settings
from core.actions.rights import Right
from core.care.units import System

_MOST_SAID = 40


def to_be_asked(turn: Turn) -> bool:
    """Whether nobody has been asked yet in this household, and whoever speaks may decide."""
    return not turn.settings.asked and rights.may(turn.who, Right.ARRANGE)


def note_asked(turn: Turn) -> None:
    """It is asked now, and never again."""
    change_settings(turn.tx, turn.who.household_id, replace(turn.settings, asked=True))


def choices(turn: Turn) -> tuple[Option, ...]:
    """That it is right, other measures, or any city or zone as text."""
    others = [one for one in System if one is not turn.settings.units]
    return (
        Option(turn.words("help-place-right"), "/start in right"),
        *(
            Option(turn.words(f"help-units-{one.value}"), f"/start in {one.value}")
            for one in others
        ),
        Option(ANY_HOME, "/start in {text}"),
    )


def told(turn: Turn, said: str) -> Reply:
    """`Berlin`, `Europe/London, cups`, `ml`, `right`: keep it and say what holds now."""
    home = read_home(said)
    if home.zone is None and home.place not in {"", *RIGHT}:
        return _unknown(turn, home)
    ways = replace(turn.settings, asked=True)
    if home.units is not None:
        ways = replace(ways, units=home.units)
    if home.zone is not None:
        change_zone(turn.tx, turn.who.household_id, home.zone)
        ways = replace(ways, hemisphere=guess_settings(home.zone).hemisphere)
    change_settings(turn.tx, turn.who.household_id, ways)
    turn.adopt(ways)
    return _kept(turn, home.zone or turn.who.zone.key, ways.units)


def _kept(turn: Turn, zone: str, units: System) -> Reply:
    here = turn.now.astimezone(ZoneInfo(zone))
    return answer(
        turn.words("help-place-kept", zone=zone, time=f"{here:%H:%M}"),
        turn.words(
            "help-units-kept",
            units=turn.words(f"household-units-{units.value}"),
            example=say.litres(turn.words, 0.4, units),
        ),
        turn.words("help-first-plant") if not turn.names() else "",
    )


def _unknown(turn: Turn, home: Home) -> Reply:
    """A place that isn't on the list of zones: one that is near in spelling, or how else."""
    units = f" {home.units.value}" if home.units is not None else ""
    near = near_zone(home.place)
    again = Option(ANY_HOME, f"/start in {{text}}{units}")
    if near is None:
        text = turn.words("help-place-unknown", said=home.place[:_MOST_SAID])
        return answer(text, buttons=(*choices(turn)[:1], again))
    yes = Option(near, f"/start in {near}{units}")
    return answer(turn.words("household-zone-near", zone=near), buttons=(yes, again))
