"""/room: what is known of a room, and how warm, humid and well glazed it is."""

from __future__ import annotations

from bot.talk import coldwords, say
from bot.talk.grammar.quantities import Refusal
from bot.talk.grammar.rooms import RoomSaid, read_room
from bot.talk.message import Reply
from bot.talk.turn import Turn, answer
from core.actions import coldwatch, lows, rooms, watch, windows
from core.actions.lows import Fact
from core.care.drydown.vapour import deficit_kpa
from core.journal.plants import name_key
from core.journal.settings import Room

# Between these, kPa, pots dry about as usual: the drying model's day is one of 1 kPa (ours).
MOIST_BELOW, DRY_ABOVE = 0.6, 1.4
MOST_NAMED = 8


def room(turn: Turn, rest: str) -> Reply:
    """Keep what is told of a room, or say what is known."""
    known = rooms.names(turn.tx, turn.who.household_id)
    if not known:
        return answer(turn.words("room-none"))
    if not rest.strip():
        how = turn.words("room-how", room=next(iter(known.values())).casefold())
        return answer(*[_head(turn, name) for name in list(known.values())[:MOST_NAMED]], how)
    name, more = which(known, rest)
    if name is None:
        listed = turn.words.both(list(known.values())[:MOST_NAMED])
        return answer(turn.words("room-unknown", said=rest.strip()[:30], rooms=listed))
    if not more:
        return answer(_head(turn, name), turn.words("room-how", room=name.casefold()))
    return _keep(turn, name, more)


def which(known: dict[str, str], text: str) -> tuple[str | None, str]:
    """The room that a line begins with, and the rest of the line."""
    words = text.split()
    for count in range(len(words), 0, -1):
        name = known.get(name_key(" ".join(words[:count]).rstrip(":,")))
        if name is not None:
            return name, " ".join(words[count:]).strip(" ,:")
    fitting = [name for key, name in known.items() if key.startswith(name_key(words[0]))]
    return (fitting[0], " ".join(words[1:])) if len(fitting) == 1 else (None, text)


def _head(turn: Turn, name: str) -> str:
    told = _told(turn, turn.settings.room(name_key(name)))
    known = ", ".join(told) or turn.words("room-nothing")
    return turn.words("room-head", room=_titled(name), known=known)


def _titled(name: str) -> str:
    return name[:1].upper() + name[1:]


def _told(turn: Turn, one: Room) -> list[str]:
    parts = []
    for key, celsius in (("air", one.celsius), ("night", one.night_c)):
        if celsius is not None:
            shown = say.temperature(celsius, turn.settings.units)
            parts.append(turn.words(f"room-known-{key}", celsius=shown))
    if one.glazing is not None:
        parts.append(turn.words(f"room-window-{one.glazing.value}"))
    if one.curtain is not None:
        parts.append(turn.words("room-curtain" if one.curtain else "room-no-curtain"))
    return parts


def _keep(turn: Turn, name: str, text: str) -> Reply:
    how = turn.words("room-how", room=name.casefold())
    said = read_room(text, turn.settings.units)
    if isinstance(said, Refusal):
        return answer(turn.words.refusal(said.key, said.args), how)
    refusal = _impossible(turn, name, said)
    if refusal:
        return answer(refusal)
    if said.rest or said.nothing:
        unclear = (said.rest or text)[:40]
        return answer(turn.words("room-unclear", room=_titled(name), said=unclear), how)
    _kept(turn, name, said)
    known = ", ".join(_told(turn, turn.settings.room(name_key(name))))
    head = turn.words("room-now", room=_titled(name), known=known)
    by_day = said.celsius is not None and not said.at_night
    return answer(head, _air(turn, name, said)) if by_day else _with_tonight(turn, head)


def _kept(turn: Turn, name: str, said: RoomSaid) -> None:
    """What was told, kept; what it answers is no longer asked."""
    household, facts = turn.who.household_id, set()
    if said.celsius is not None and not said.at_night:
        turn.settings = rooms.aired(
            turn.tx, turn.teller, turn.settings, name, said.celsius, said.humidity
        )
        facts.add(Fact.NIGHT)
    night_c = said.celsius if said.at_night else None
    turn.settings = rooms.describe(
        turn.tx,
        household,
        turn.settings,
        name,
        night_c=night_c,
        glazing=said.glazing,
        curtain=said.curtain,
    )
    told = {Fact.GLAZING: said.glazing, Fact.CURTAIN: said.curtain, Fact.NIGHT: night_c}
    facts |= {fact for fact, value in told.items() if value is not None}
    windows.answered(turn.tx, household, name, facts, turn.now)


def _impossible(turn: Turn, name: str, said: RoomSaid) -> str:
    """Why this can't be a room's air; nothing where it can."""
    units = turn.settings.units
    if said.humidity is not None and not 1 <= said.humidity <= 100:
        return turn.words("room-no-humidity", said=f"{said.humidity:g}")
    if said.humidity is not None and said.celsius is None:
        return turn.words("room-humidity-alone", room=name.casefold())
    if said.celsius is not None and not rooms.COLDEST_C <= said.celsius <= rooms.HOTTEST_C:
        return turn.words(
            "room-no-temperature",
            said=say.temperature(said.celsius, units),
            least=say.temperature(rooms.COLDEST_C, units),
            most=say.temperature(rooms.HOTTEST_C, units),
        )
    return ""


def _air(turn: Turn, name: str, said: RoomSaid) -> str:
    """What the air means for drying."""
    celsius = said.celsius or 0.0
    shown = say.temperature(celsius, turn.settings.units)
    if said.humidity is None:
        return turn.words("room-warmth", celsius=shown, room=name.casefold())
    deficit = deficit_kpa(celsius, said.humidity)
    dry = "dry" if deficit > DRY_ABOVE else "usual"
    kind = "moist" if deficit < MOIST_BELOW else dry
    return turn.words(f"room-air-{kind}", humidity=f"{said.humidity:g}", celsius=shown)


def _with_tonight(turn: Turn, head: str) -> Reply:
    """What is told of a window may change who is in danger tonight."""
    who = turn.who
    night = lows.night_of(turn.now, who.zone)
    known = lows.known(turn.tx, who.household_id, night, who.zone, turn.now)
    if known is None:
        return answer(head)
    watch.low_told(turn.tx, who, night, turn.now)
    found = lows.endangered(turn.tx, who.household_id, known.reckoned_c)
    low = turn.words("low-tonight", low=say.temperature(known.celsius, turn.settings.units))
    gone = coldwatch.elsewhere(turn.tx, who.household_id, found)
    said = coldwords.tonight(turn.words, turn.settings.units, low, found, gone)
    return Reply(f"{head}\n{said.text}", said.buttons)
