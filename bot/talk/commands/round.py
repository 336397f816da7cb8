"""/round: what to look at today, room by room; walked, put off, taken over, ordered."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from bot.talk import roundwords
from bot.talk.commands import roundwalk
from bot.talk.commands.roundwalk import evening_over, here_of, telling
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from bot.talk.verdictwords import standing
from core.actions import rounds
from core.actions.households import change_settings
from core.actions.roundplan import Round, in_walking_order, only_in
from core.journal import plants
from core.journal.plants import Plant, name_key
from core.store import people

MOST_CHOICES = 4
ALL = frozenset({"", "all", "everything", "today", "now"})


def round_(turn: Turn, rest: str) -> Reply:
    """Today's round; one room's; or what is to become of it."""
    said = rest.casefold().strip(" .!?")
    word, _, more = rest.strip().partition(" ")
    for phrases, handler in _PHRASES:
        if said in phrases:
            return handler(turn)
    with_more = _WORDS.get(word.casefold())
    return with_more(turn, more) if with_more is not None else _room_or_person(turn, rest.strip())


# --- telling ------------------------------------------------------------------------------


def _whole(turn: Turn) -> Reply:
    known = plants.living(turn.tx, turn.who.household_id)
    if not known:
        return answer(turn.words("name-no-plants"))
    laid = rounds.round_of(turn.tx, here_of(turn))
    if laid.empty:
        return answer(turn.words("round-nothing"), _next(turn, known))
    lines = roundwords.whole(telling(turn), laid)
    return answer(*lines, buttons=_choices(turn, laid))


def _choices(turn: Turn, laid: Round) -> tuple[Option, ...]:
    others = len(people.hands(turn.tx, turn.who.household_id, turn.now)) > 1
    here = here_of(turn)
    evening = bool(laid.stops) and rounds.evening_of(here.day, here) is not None
    return roundwords.choices(turn.words, laid, others=others, evening=evening)


def _next(turn: Turn, known: list[Plant]) -> str:
    ahead = [one for one in known if one.probe_at is not None]
    if not ahead:
        return ""
    first = min(ahead, key=lambda one: one.probe_at or turn.now)
    return turn.words("round-next", name=first.name, state=standing(turn, first))


def _rooms(turn: Turn) -> dict[str, str]:
    """Rooms in walking order: as compared -> as first written."""
    known = plants.names(turn.tx, turn.who.household_id)
    found: dict[str, str] = {}
    for one in in_walking_order(known, turn.settings.rooms):
        if one.room:
            found.setdefault(name_key(one.room), one.room)
    return found


def _room_called(turn: Turn, said: str) -> str | None:
    key, rooms = name_key(said), _rooms(turn)
    if not key:
        return None
    fitting = [room for one, room in rooms.items() if one.startswith(key)]
    exact = rooms.get(key)
    return exact or (fitting[0] if len(fitting) == 1 else None)


def _room_or_person(turn: Turn, said: str) -> Reply:
    room = _room_called(turn, said)
    if room is not None:
        return _room(turn, room)
    person = _person(turn, said)
    if person is not None:
        return _taken(turn, *person)
    rooms = turn.words.both(list(_rooms(turn).values())[:8])
    return answer(turn.words("round-unknown", said=said[:30], rooms=rooms or "none"))


def _room(turn: Turn, room: str) -> Reply:
    laid = rounds.round_of(turn.tx, here_of(turn))
    known = plants.names(turn.tx, turn.who.household_id)
    mine = only_in(laid, [one.id for one in known if name_key(one.room) == name_key(room)])
    if mine.empty:
        return answer(turn.words("round-nothing-room", room=room))
    start = (Option(turn.words("round-button-start"), f"/round start {name_key(room)}"),)
    lines = roundwords.of_room(telling(turn), room, mine)
    return answer(*lines, buttons=start if mine.ahead else ())


# --- what is to become of it --------------------------------------------------------------


def _evening(turn: Turn) -> Reply:
    at = rounds.put_off(turn.tx, here_of(turn))
    over = evening_over(turn)
    if at is None:
        return answer(turn.words("round-evening-over", time=over) if over
                      else turn.words("round-evening-none"))  # fmt: skip
    return answer(turn.words("round-evening-then", time=f"{at.astimezone(turn.who.zone):%H:%M}"))


def _who(turn: Turn) -> Reply:
    others = people.hands(turn.tx, turn.who.household_id, turn.now)
    if len(others) < 2:
        return answer(turn.words("round-who-only"))
    buttons = tuple(
        Option(name[:40], f"/round {name_key(name)}")
        for name in list(others.values())[:MOST_CHOICES]
    )
    return answer(turn.words("round-who"), buttons=buttons)


def _person(turn: Turn, said: str) -> tuple[int, str, str] | None:
    """Somebody of the household, by name or `me`, and what is said after it."""
    known = people.hands(turn.tx, turn.who.household_id, turn.now)
    keys = {name_key(name): key for key, name in known.items()} | {
        name_key("me"): turn.who.person_id,
        name_key("I"): turn.who.person_id,
    }
    words = said.split()
    for end in range(len(words), 0, -1):
        key = keys.get(name_key(" ".join(words[:end])))
        if key is not None:
            rest = " ".join(words[end:])
            return key, known.get(key, ""), rest.removeprefix("does ").removeprefix("the ").strip()
    return None


def _taken(turn: Turn, person_id: int, name: str, what: str) -> Reply:
    room = "" if what.casefold() in ALL | {"it", "round", "rest"} else _room_called(turn, what)
    if room is None:
        rooms = turn.words.both(list(_rooms(turn).values())[:8])
        return answer(turn.words("round-unknown", said=what[:30], rooms=rooms or "none"))
    at = rounds.assign(turn.tx, here_of(turn), person_id, name_key(room))
    time = "none" if at is None else f"{at.astimezone(turn.who.zone):%H:%M}"
    shown = room or turn.words("round-taken-all")
    return answer(turn.words("round-taken", who=name, what=shown, time=time))


def _order(turn: Turn, said: str) -> Reply:
    """In which order the rooms are walked; those not named follow as before."""
    shown = ", ".join(list(_rooms(turn).values()))
    pieces = [piece.strip() for piece in said.replace(" then ", ",").split(",") if piece.strip()]
    if not pieces:
        return answer(turn.words("round-order-how", rooms=shown or "kitchen, study"))
    told = []
    for piece in pieces:
        room = _room_called(turn, piece)
        if room is None:
            return answer(turn.words("round-order-unknown", said=piece[:30], rooms=shown or "none"))
        told.append(room)
    ways = replace(turn.settings, rooms=tuple(dict.fromkeys(told)))
    change_settings(turn.tx, turn.who.household_id, ways)
    turn.settings = ways
    return answer(turn.words("round-order", rooms=", ".join(list(_rooms(turn).values()))))


def _tomorrow(turn: Turn) -> Reply:
    rounds.leave(turn.tx, here_of(turn))
    return answer(turn.words("round-tomorrow-then"))


_PHRASES: tuple[tuple[frozenset[str], Callable[[Turn], Reply]], ...] = (
    (ALL, _whole),
    (frozenset({"start", "begin", "go", "next", "on"}), roundwalk.walk),
    (frozenset({"evening", "this evening", "tonight", "later", "later today"}), _evening),
    (frozenset({"tomorrow", "not today"}), _tomorrow),
    (frozenset({"who", "someone", "somebody", "someone does it"}), _who),
)
_WORDS: Mapping[str, Callable[[Turn, str], Reply]] = {
    "at": roundwalk.at,
    "skip": roundwalk.skip,
    "order": _order,
    "start": lambda turn, said: roundwalk.walk(turn, room=_room_called(turn, said) or ""),
}
