"""/household: who belongs to it, with which part, where it is spoken of, and which one is meant."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable

from bot.talk import gate
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from core.actions import belonging as parts
from core.actions import pouring
from core.actions.belonging import Done
from core.journal import plants
from core.journal.plants import name_key
from core.store import belonging, dialogues, people
from core.store.belonging import Belongs, HouseChat
from core.store.people import Part

MOST_CHOICES = 4
MOST_LETTERS = 40
# A terminal is always there; elsewhere we may not speak first.
ALWAYS_REACHED = "terminal"


def household(turn: Turn, rest: str) -> Reply:
    """Show the household, change something about it, or speak of another one."""
    word, _, more = rest.partition(" ")
    word, more = word.casefold(), more.strip()
    if not word:
        return _show(turn)
    if word in _GOVERNING:
        return gate.not_keeper(turn) or _GOVERNING[word](turn, more)
    if word in _ANYBODY:
        return _ANYBODY[word](turn, more)
    return _choose(turn, rest)


# --- shown --------------------------------------------------------------------------------


def _show(turn: Turn) -> Reply:
    everybody = belonging.of_household(turn.tx, turn.who.household_id)
    others = _others(turn)
    names = turn.words.both([one.name for one in others[:MOST_CHOICES]]) if others else ""
    return answer(
        turn.words(
            "people-head",
            household=turn.who.household,
            people="; ".join(_one(turn, one) for one in everybody),
        ),
        _chats(turn),
        _unreached(turn, everybody),
        _pouring(turn),
        _how(turn, everybody),
        turn.words("people-others", names=names) if others else "",
        buttons=tuple(_to(one) for one in others[:MOST_CHOICES]),
    )


def _one(turn: Turn, one: Belongs) -> str:
    if one.role == people.SITTER:
        since, until = gate.time_words(turn, one.since, one.until)
        return turn.words("people-one-sitter", name=one.name, since=since, until=until)
    return turn.words("people-one", name=one.name, role=turn.words(f"people-role-{one.role}"))


def _chats(turn: Turn) -> str:
    chats = [one for one in belonging.chats_of(turn.tx, turn.who.household_id) if not one.gone]
    home = belonging.home_of(turn.tx, turn.who.household_id)
    if len(chats) < 2 and home == turn.who.chat_id:
        return ""
    private = Counter(one.person for one in chats if one.direct)
    shown = [_chat(turn, one, alone=private[one.person] < 2) for one in chats]
    named = [
        turn.words("people-chat-home", chat=words) if one.id == home else words
        for one, words in zip(chats, shown, strict=True)
    ]
    return turn.words("people-chats", chats=", ".join(named))


def _chat(turn: Turn, one: HouseChat, *, alone: bool) -> str:
    """A chat in words; `alone`: its person has no other private one."""
    here = one.id == turn.who.chat_id
    if one.direct:
        name = one.person or turn.words("common-someone")
        key = "people-chat-private-here" if here else "people-chat-private"
        network = "none" if alone else _network(turn, one.network)
        return turn.words(key, name=name, network=network)
    key = "people-chat-group-here" if here else "people-chat-group"
    return turn.words(key, network=_network(turn, one.network))


def _network(turn: Turn, network: str) -> str:
    key = f"people-network-{network}"
    return turn.words(key) if turn.words.has(key) else network


def _unreached(turn: Turn, everybody: list[Belongs]) -> str:
    alone = [one for one in everybody if not one.reached and ALWAYS_REACHED not in one.networks]
    itself = [one.name for one in alone if one.itself]
    names = [one.name for one in alone if not one.itself]
    lines = (
        turn.words("people-unreached", names=turn.words.both(names)) if names else "",
        turn.words("people-itself", names=turn.words.both(itself), n=len(itself)) if itself else "",
    )
    return "\n".join(line for line in lines if line)


def _pouring(turn: Turn) -> str:
    """Who is at which plant right now."""
    talks = dialogues.open_about(turn.tx, turn.who.household_id, pouring.SUBJECT)
    lines = []
    for talk in talks[:MOST_CHOICES]:
        plant, who = plants.get(turn.tx, talk.plant_id or 0), turn.name_of(talk.person_id)
        many = 2 if turn.is_you(talk.person_id) else 1  # "you are"
        name = who[:1].upper() + who[1:]
        lines.append(
            turn.words("people-pouring", n=many, who=name, plants=plant.name, call=plant.call)
        )
    return "\n".join(lines)


def _how(turn: Turn, everybody: list[Belongs]) -> str:
    if turn.who.role != people.KEEPER:
        return ""
    others = [one.name for one in everybody if one.person_id != turn.who.person_id]
    return turn.words("people-how", name=next(iter(others), "Tom"))


def _to(one: Part) -> Option:
    return Option(one.name[:MOST_LETTERS], f"/household {one.name}")


def _others(turn: Turn) -> list[Part]:
    """The other households of whoever asks, in a private chat."""
    if not turn.who.direct:
        return []
    theirs = people.households_of(turn.tx, turn.who.person_id)
    return [one for one in theirs if one.id != turn.who.household_id]


# --- which one is meant -------------------------------------------------------------------


def _choose(turn: Turn, said: str) -> Reply:
    if not turn.who.direct:
        return answer(turn.words("people-only-private", household=turn.who.household))
    theirs, key = people.households_of(turn.tx, turn.who.person_id), name_key(said)
    fitting = [one for one in theirs if name_key(one.name) == key]
    fitting = fitting or [one for one in theirs if name_key(one.name).startswith(key)]
    fitting = fitting or [
        one for one in theirs if set(key.split()) <= set(name_key(one.name).split())
    ]
    if len(fitting) != 1:
        names = turn.words.both([one.name for one in (fitting or theirs)[:MOST_CHOICES]])
        text = turn.words("people-unknown", said=said[:MOST_LETTERS], names=names)
        return answer(text, buttons=tuple(_to(one) for one in (fitting or theirs)[:MOST_CHOICES]))
    return _speak_of(turn, fitting[0])


def _speak_of(turn: Turn, one: Part) -> Reply:
    if one.id == turn.who.household_id:
        parts.choose(turn.tx, turn.who, one.id)
        return answer(turn.words("people-in-already", household=one.name))
    there = parts.choose(turn.tx, turn.who, one.id)
    if there is not None:
        turn.speak_of(there)
    return answer(turn.words("people-now-in", household=turn.who.household))


def _new(turn: Turn, said: str) -> Reply:
    if not turn.who.direct:
        return answer(turn.words("people-new-private"))
    refusal = _name_refused(turn, said, "people-new-how", own=0)
    if refusal is not None:
        return refusal
    there = parts.found(turn.tx, turn.who, said, turn.now)
    if there is None:
        return answer(turn.words("people-new-most"))
    turn.speak_of(there)
    return answer(turn.words("people-founded", household=said))


def _name_refused(turn: Turn, said: str, how: str, own: int) -> Reply | None:
    """Why a household can't be called so: `own` is the one that may keep its name."""
    if not name_key(said):
        return answer(turn.words(how))
    if len(said) > MOST_LETTERS:
        return answer(turn.words("people-name-long", most=MOST_LETTERS))
    theirs = people.households_of(turn.tx, turn.who.person_id)
    taken = any(name_key(one.name) == name_key(said) and one.id != own for one in theirs)
    word = said.split(maxsplit=1)[0].casefold()
    if taken or word in _GOVERNING or word in _ANYBODY:
        return answer(turn.words("people-name-taken", name=said))
    return None


# --- what keepers do ----------------------------------------------------------------------


def _name(turn: Turn, said: str) -> Reply:
    own = turn.who.household_id
    refusal = _name_refused(turn, said, "people-name-how", own)
    if refusal is not None:
        return refusal
    belonging.name_household(turn.tx, own, said)
    there = people.within(turn.tx, turn.who, own)
    if there is not None:
        turn.speak_of(there)
    return answer(turn.words("people-named", name=said))


def _home(turn: Turn, _more: str) -> Reply:
    if belonging.home_of(turn.tx, turn.who.household_id) == turn.who.chat_id:
        return answer(turn.words("people-home-was"))
    people.set_home(turn.tx, turn.who.household_id, turn.who.chat_id)
    return answer(turn.words("people-home-now"))


def _keeper(turn: Turn, said: str) -> Reply:
    return _give(turn, said, people.KEEPER)


def _member(turn: Turn, said: str) -> Reply:
    return _give(turn, said, people.MEMBER)


def _give(turn: Turn, said: str, role: str) -> Reply:
    whom = _whom(turn, said, role)
    if isinstance(whom, Reply):
        return whom
    done = parts.give_part(turn.tx, turn.who, whom, role, turn.now)
    key = {Done.DONE: f"is-{role}", Done.SAME: "is-same", Done.LAST_KEEPER: "last-keeper"}[done]
    return answer(turn.words(f"people-{key}", name=whom.name))


def _sitter(turn: Turn, _said: str) -> Reply:
    return answer(turn.words("people-sitter-how"))


def _remove(turn: Turn, said: str) -> Reply:
    whom = _whom(turn, said, "remove")
    if isinstance(whom, Reply):
        return whom
    if whom.person_id == turn.who.person_id:
        return _leave(turn, "")
    if parts.send_away(turn.tx, turn.who, whom, turn.now) is Done.LAST_KEEPER:
        return answer(turn.words("people-last-keeper", name=whom.name))
    name, household = whom.name, turn.who.household
    return answer(turn.words("people-removed", name=name, household=household))


def _leave(turn: Turn, _more: str) -> Reply:
    everybody = belonging.of_household(turn.tx, turn.who.household_id)
    me = next(one for one in everybody if one.person_id == turn.who.person_id)
    if parts.send_away(turn.tx, turn.who, me, turn.now) is Done.LAST_KEEPER:
        return answer(turn.words("people-last-keeper", name=me.name))
    return answer(turn.words("people-left", household=turn.who.household))


def _whom(turn: Turn, said: str, word: str) -> Belongs | Reply:
    """The one person of the household who is called so; a number tells namesakes apart."""
    everybody = belonging.of_household(turn.tx, turn.who.household_id)
    key = name_key(said)
    if key == "me":
        return next(one for one in everybody if one.person_id == turn.who.person_id)
    if not key:
        return _ask_whom(turn, everybody, word)
    name, _, number = key.rpartition(" ")
    namesakes = [one for one in everybody if name_key(one.name) == name]
    if name and number.isdigit() and 0 < int(number) <= len(namesakes):
        return namesakes[int(number) - 1]
    fitting = [one for one in everybody if name_key(one.name) == key]
    fitting = fitting or [one for one in everybody if name_key(one.name).startswith(key)]
    if len(fitting) == 1:
        return fitting[0]
    return _two(turn, fitting, word) if fitting else _ask_whom(turn, everybody, word)


def _ask_whom(turn: Turn, everybody: list[Belongs], word: str) -> Reply:
    others = [one for one in everybody if one.person_id != turn.who.person_id]
    names = turn.words.both([one.name for one in everybody])
    buttons = tuple(
        Option(one.name[:MOST_LETTERS], f"/household {word} {one.name}") for one in others
    )
    shown = buttons if len(buttons) <= MOST_CHOICES else ()
    return answer(turn.words("people-which", names=names), buttons=shown)


def _two(turn: Turn, fitting: list[Belongs], word: str) -> Reply:
    same = len({name_key(one.name) for one in fitting}) == 1
    labels, buttons = [], []
    for n, one in enumerate(fitting[:MOST_CHOICES], 1):
        network = ", ".join(_network(turn, network) for network in one.networks)
        label = turn.words("people-two-one", name=one.name, n=n, network=network)
        labels.append(label if same else one.name)
        name = f"{one.name} {n}" if same else one.name
        buttons.append(Option(labels[-1][:MOST_LETTERS], f"/household {word} {name}"))
    text = turn.words("people-two", names=turn.words.both(labels))
    return answer(text, buttons=tuple(buttons))


_GOVERNING: dict[str, Callable[[Turn, str], Reply]] = {
    "name": _name,
    "home": _home,
    "keeper": _keeper,
    "member": _member,
    "sitter": _sitter,
    "remove": _remove,
}
_ANYBODY: dict[str, Callable[[Turn, str], Reply]] = {"new": _new, "leave": _leave}
