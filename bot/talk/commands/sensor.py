"""/sensor: a secret address for a room's sensor, which there are, and none any more."""

from __future__ import annotations

import secrets

from bot.talk import say
from bot.talk.commands.room import which
from bot.talk.message import Reply
from bot.talk.turn import Turn, answer
from core.actions import rooms, sensors
from core.journal.plants import name_key
from core.store import sensors as kept

_OFF = frozenset({"off", "remove", "revoke", "delete", "stop"})
_NEW = frozenset({"new", "add", "for"})
SECRET_BYTES = 24


def sensor(turn: Turn, rest: str) -> Reply:
    """List the sensors, make one, or revoke those of a room."""
    word, _, more = rest.strip().partition(" ")
    if word.casefold() in _OFF:
        return _revoke(turn, more.strip())
    if not word:
        return _listed(turn)
    return _new(turn, more.strip() if word.casefold() in _NEW else rest.strip())


def _listed(turn: Turn) -> Reply:
    found = kept.of_household(turn.tx, turn.who.household_id)
    if not found:
        return answer(turn.words("sensor-none"), turn.words("sensor-how"))
    return answer(*[_line(turn, one) for one in found[:8]], turn.words("sensor-how-off"))


def _line(turn: Turn, one: kept.Known) -> str:
    last = sensors.last_of(one)
    if last is None or one.heard_at is None:
        return turn.words("sensor-silent", room=_titled(one.room))
    return turn.words(
        "sensor-line",
        room=_titled(one.room),
        celsius=say.temperature(last.celsius, turn.settings.units),
        humidity="none" if last.humidity is None else f"{last.humidity:.0f}",
        when=say.ago(turn.words, one.heard_at, turn.now, turn.who.zone),
    )


def _titled(name: str) -> str:
    return name[:1].upper() + name[1:]


def _new(turn: Turn, said: str) -> Reply:
    if not turn.means.sensors:
        return answer(turn.words("sensor-no-address"))
    known = rooms.names(turn.tx, turn.who.household_id)
    name, more = which(known, said) if known and said else (None, "")
    if name is None or more:
        listed = turn.words.both(list(known.values())[:8]) or "none"
        return answer(turn.words("sensor-which-room", rooms=listed))
    secret = secrets.token_urlsafe(SECRET_BYTES)
    if not sensors.make(turn.tx, turn.who.household_id, name, secret, turn.now):
        return answer(turn.words("sensor-too-many"), turn.words("sensor-how-off"))
    return answer(
        turn.words("sensor-new", room=_titled(name)),
        f"{turn.means.sensors}{secret}",
        turn.words("sensor-send"),
        turn.words("sensor-secret", room=name.casefold()),
    )


def _revoke(turn: Turn, said: str) -> Reply:
    found = kept.of_household(turn.tx, turn.who.household_id)
    all_of_them = said.casefold() in ("", "all") and (said or len(found) == 1)
    mine = [one for one in found if all_of_them or name_key(one.room) == name_key(said)]
    if not mine:
        listed = turn.words.both(list(dict.fromkeys(one.room for one in found))) or "none"
        return answer(turn.words("sensor-which-off", rooms=listed))
    kept.revoke(turn.tx, [one.id for one in mine])
    listed = turn.words.both(list(dict.fromkeys(one.room for one in mine)))
    return answer(turn.words("sensor-off", rooms=listed, n=len(mine)))
