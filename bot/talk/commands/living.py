"""/settings place: where the household lives, rounded, and which weather service may be told."""

from __future__ import annotations

from bot.talk.grammar.globe import read_place
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from core.actions import places, watch, weather
from core.actions.weather import CREDIT, Service
from core.store import forecasts

NAMES = frozenset({"place", "location", "where", "weather"})
# Three hours of the sun's way: no zone is so wide that its main city is as far (China is).
FAR_DEGREES = 45.0
_OFF = frozenset({"off", "none", "no", "never", "forget"})


def change(turn: Turn, said: str) -> Reply:
    """Say what would be told to whom, ask, and only then keep a place; or forget it."""
    if said.casefold().strip(" .!") in _OFF:
        watch.place_told(turn.tx, turn.who, None, "", turn.now)
        return answer(turn.words("weather-off"), turn.words("low-how"))
    if not turn.means.weather:
        return answer(turn.words("weather-none"), turn.words("low-how"))
    place, _, last = said.strip(" .!").rpartition(" ")
    agreed = last.casefold() == "yes"
    degrees = read_place(place if agreed else said)
    if degrees is None:
        return answer(turn.words("weather-how", service=_service(turn)), shown(turn))
    area = weather.rounded(*degrees)
    return _agreed(turn, area) if agreed else _ask(turn, area)


def _ask(turn: Turn, area: str) -> Reply:
    send = f"/settings place {area.replace(',', ' ')} yes"
    return answer(
        turn.words("weather-ask", area=_said(area), service=_service(turn)),
        turn.words("weather-nothing-else"),
        buttons=(
            Option(turn.words("weather-yes"), send),
            Option(turn.words("weather-no"), "/cancel"),
        ),
    )


def _agreed(turn: Turn, area: str) -> Reply:
    watch.place_told(turn.tx, turn.who, area, turn.means.weather, turn.now)
    return answer(
        turn.words("weather-now", area=_said(area), service=_service(turn)),
        turn.words("weather-takes-over"),
        *_mismatch(turn, area),
    )


def _mismatch(turn: Turn, area: str) -> list[str]:
    """A place far from where its zone or its seasons are: nights and growth would be others'."""
    north, east = weather.coordinates(area)
    lines = []
    city = places.place_of(turn.who.zone.key)
    if city is not None and abs((east - city[1] + 180) % 360 - 180) > FAR_DEGREES:
        lines.append(turn.words("weather-other-zone", zone=turn.who.zone.key))
    half = places.half_of(north)
    if half is not turn.settings.hemisphere:
        there = turn.words(f"household-half-{turn.settings.hemisphere.value}")
        lines.append(turn.words("weather-other-half", half=there, meant=half.value))
    return lines


def shown(turn: Turn) -> str:
    """Who is told which place; nothing where there is no service and no place."""
    found = forecasts.watched(turn.tx, turn.who.household_id)
    if found is not None and found.area is not None and found.area_for is not None:
        other = "" if found.area_for == turn.means.weather else "other"
        service = _named(found.area_for)
        return turn.words("weather-shown", area=_said(found.area), service=service, other=other)
    return turn.words("weather-shown-none") if turn.means.weather else ""


def _service(turn: Turn) -> str:
    return _named(turn.means.weather)


def _named(service: str) -> str:
    return CREDIT[Service(service)] if service in tuple(Service) else service


def _said(area: str) -> str:
    return area.replace(",", ", ")
