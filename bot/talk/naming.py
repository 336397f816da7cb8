"""Which plant is meant. Names match loosely; if two fit, we ask and offer both."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from bot.talk import quoted, say, whose
from bot.talk.likeness import begins, nearest
from bot.talk.message import COMMAND_MARK, Option, Reply
from bot.talk.turn import Turn, answer
from core.journal import plants
from core.journal.plants import Named, Plant, name_key

LONGEST_NAME_WORDS = 6
MOST_CHOICES = 4
ARTICLES = frozenset({"the", "my", "our", "a"})

Again = Callable[[str], str]

# `fern:3` and `fern=3` say the same as `fern: 3`.
_GLUED = re.compile(r"(?<=[^\W\d])([:=])(?=\S)")
_END = ":="
# `fern4`, `fern--4`, `fern(4)`: a name and a number without a space.
_NUMBERED = re.compile(r"([^\W\d])[^\w\s]*(\d+(?:[.,]\d+)?)\)?$")
_POSSESSIVE = re.compile(r"['\u2019]s$|(?<=s)['\u2019]$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Spoken:
    """A plant found in a text, and what was said besides its name. `sure`: a colon ended it."""

    plant: Plant
    rest: str
    sure: bool = False


def split_plant(turn: Turn, text: str, again: Callable[[str, str], str]) -> Spoken | Reply:
    """Find the plant that a text begins with; otherwise ask, or say whom we know.

    `again(name, rest)` is the command that a choice stands for. A name that stands exactly
    somewhere else in the text counts too: `3 fern`, `400 ml to the fern`.
    """
    found = exact(turn, text)
    if found is not None:
        return found
    words = _words(text)
    known = turn.names()
    if not known:
        strayed = _elsewhere(turn, words[0]) if words else None
        return strayed or answer(turn.words("name-no-plants"))
    meant = quoted.plant(turn) if not words or quoted.unnamed(words) else None
    if meant is not None and anywhere(turn, text, known) is None:
        return _found(turn, meant, _rest(words))
    if not words:
        return missing(turn, known, again)
    return _loose(turn, words, known, again)


def exact(turn: Turn, text: str) -> Spoken | None:
    """The plant whose whole name a text begins with, the longest where several do.

    A colon ends a name: `fig 2: 3` is Fig 2 at 3, and `fig: 2 3` is Fig at 2 and 3.
    """
    return turn.once(("exact", text), lambda: _exact(turn, text))


def _exact(turn: Turn, text: str) -> Spoken | None:
    words = _GLUED.sub(r"\1 ", text).split()
    skips = (0, 1) if len(words) > 1 and _is_article(words[0]) else (0,)
    spans = {
        key: end
        for skip in reversed(skips)
        for end in range(skip + 1, min(len(words), skip + LONGEST_NAME_WORDS) + 1)
        for key in _keys(words[skip:end])
    }
    spans.pop("", None)
    found = plants.by_keys(turn.tx, turn.who.household_id, list(spans)) if spans else {}
    if not found:
        return None
    ended = [key for key in spans if key in found and words[spans[key] - 1][-1] in _END]
    best = ended[0] if ended else max(found, key=lambda key: (spans[key], len(key)))
    return _found(turn, found[best], _rest(words[spans[best] :]), sure=bool(ended))


def _found(turn: Turn, plant: Plant, rest: str, *, sure: bool = False) -> Spoken:
    """A plant that was meant; the reply is about it if there is no other."""
    turn.spoken.add(plant.id)
    return Spoken(plant, rest, sure=sure)


def anywhere(turn: Turn, text: str, known: list[Named] | None = None) -> Spoken | None:
    """The one plant whose whole name stands somewhere in a text; what is left goes with it."""
    words = _words(text)
    named = known if known is not None else turn.names()
    keys = {one.key: one for one in named}
    for count in range(min(len(words), LONGEST_NAME_WORDS), 0, -1):
        for start in range(len(words) - count + 1):
            spoken = _keys(words[start : start + count])
            one = next((keys[key] for key in spoken if key in keys), None)
            if one is not None:
                left = [*_without_article(words[:start]), *words[start + count :]]
                return _found(turn, plants.get(turn.tx, one.id), _rest(left))
    return None


def shorter(turn: Turn, spoken: Spoken) -> tuple[Plant, str] | None:
    """The other way to mean it: `fig 2` is Fig 2, or Fig reading 2 where there is a Fig."""
    base, _, number = spoken.plant.call.rpartition(" ")
    if spoken.sure or not base or not number.isdigit():
        return None
    other = plants.by_keys(turn.tx, turn.who.household_id, [base]).get(base)
    return (other, f"{number} {spoken.rest}".strip()) if other is not None else None


def whole_plant(turn: Turn, text: str, again: Again) -> Plant | Reply:
    """The plant that a whole text names."""
    found = split_plant(turn, text, lambda name, _rest: again(name))
    if isinstance(found, Reply):
        return found
    if found.rest.strip(" ?.!"):
        meant = typed(again(found.plant.call))
        rest = found.rest[:40]
        return answer(turn.words("name-left-over", plant=found.plant.name, rest=rest, meant=meant))
    return found.plant


def typed(command: str) -> str:
    """A command of ours as it is shown in a text, with the network's own mark."""
    return f"{COMMAND_MARK}{command[1:]}"


def missing(turn: Turn, known: list[Named], again: Callable[[str, str], str]) -> Reply:
    """No plant was named: say how, and offer them where there are few."""
    few = known if len(known) <= MOST_CHOICES else []
    buttons = tuple(Option(one.name[:40], again(one.key, "")) for one in few)
    return answer(
        turn.words("name-missing", example=typed(again(known[0].key, ""))), buttons=buttons
    )


def for_which(turn: Turn, said: str, known: list[Named], again: Callable[[str, str], str]) -> Reply:
    """A reading or an amount without a name: offer the plants, those that are due first."""
    due = plants.due_first(turn.tx, turn.who.household_id, MOST_CHOICES)
    buttons = tuple(Option(f"{one.name} {said}"[:40], again(f"{one.key}:", said)) for one in due)
    more = max(0, len(known) - len(due))
    text = turn.words("name-for-which", said=said[:30], example=known[0].key, more=more)
    return answer(text, buttons=buttons)


def unknown(turn: Turn, said: str, known: list[Named], again: Again | None = None) -> Reply:
    """We know no such plant: say whom we know, and offer those that look alike.

    Somebody with several households may have meant another one's.
    """
    strayed = _elsewhere(turn, said)
    if strayed is not None:
        return strayed
    near = nearest(name_key(said), known) if again is not None else []
    if near and again is not None:
        buttons = tuple(Option(again(one.key)[1:41], again(one.key)) for one in near)
        names = turn.words.either([one.name for one in near])
        return answer(turn.words("name-near", said=said[:30], names=names), buttons=buttons)
    names = say.some(turn.words, [one.name for one in known], MOST_CHOICES)
    return answer(turn.words("name-unknown", said=said[:30], names=names))


def _elsewhere(turn: Turn, said: str) -> Reply | None:
    """Another household of theirs has a plant of that name: offer to go there."""
    others = whose.elsewhere(turn, _bare(said))[:MOST_CHOICES]
    if not others:
        return None
    names = turn.words.both(others)
    text = turn.words("name-elsewhere", said=_bare(said)[:30], names=names, n=len(others))
    return answer(text, buttons=tuple(Option(one[:40], f"/household {one}") for one in others))


def _words(text: str) -> list[str]:
    words = _GLUED.sub(r"\1 ", text).split()
    return words[1:] if len(words) > 1 and _is_article(words[0]) else words


def _is_article(word: str) -> bool:
    return word.casefold().strip(".,:") in ARTICLES


def _without_article(words: list[str]) -> list[str]:
    return words[:-1] if words and _is_article(words[-1]) else words


def _rest(words: list[str]) -> str:
    return " ".join(words).lstrip(":,= ")


def _keys(words: list[str]) -> tuple[str, ...]:
    """What a name may be compared as: `fern's` is the fern too."""
    said = _bare(" ".join(words))
    own = _POSSESSIVE.sub("", said)
    return (name_key(said),) if own == said else (name_key(said), name_key(own))


def _bare(text: str) -> str:
    return text.rstrip(":,=?.!;")


def _loose(
    turn: Turn, words: list[str], known: list[Named], again: Callable[[str, str], str]
) -> Spoken | Reply:
    apart = exact(turn, _NUMBERED.sub(r"\1 \2", words[0], count=1))
    if apart is not None and apart.rest:
        return _found(turn, apart.plant, _rest([apart.rest, *words[1:]]))
    for count in range(min(len(words), LONGEST_NAME_WORDS), 0, -1):
        fitting = begins(name_key(_bare(" ".join(words[:count]))), known)
        if fitting:
            rest = _rest(words[count:])
            if len(fitting) == 1:
                return _found(turn, plants.get(turn.tx, fitting[0].id), rest)
            return _which(turn, fitting, rest, again)
    signs = [] if name_key(words[0]) else [one for one in known if words[0] in one.name]
    if len(signs) == 1:
        return _found(turn, plants.get(turn.tx, signs[0].id), _rest(words[1:]))
    inside = anywhere(turn, " ".join(words), known)
    if inside is not None:
        return inside
    return _unnamed(turn, words, known, again)


def _unnamed(
    turn: Turn, words: list[str], known: list[Named], again: Callable[[str, str], str]
) -> Spoken | Reply:
    """Words without a name that we know; with a number, the first may be one that we don't."""
    meant = quoted.plant(turn) if not any(map(str.isdigit, " ".join(words))) else None
    if meant is not None:
        return _found(turn, meant, _rest(words))
    if words[0][0].isdigit():
        return for_which(turn, " ".join(words), known, again)
    return unknown(turn, words[0], known, lambda name: again(name, _rest(words[1:])))


def _which(turn: Turn, fitting: list[Named], rest: str, again: Callable[[str, str], str]) -> Reply:
    offered = fitting[:MOST_CHOICES]
    buttons = tuple(
        Option(f"{one.name} {rest}".strip()[:40], again(one.key, rest)) for one in offered
    )
    names = turn.words.either([one.name for one in offered])
    more = len(fitting) - len(offered)
    return answer(turn.words("name-which", names=names, more=more), buttons=buttons)
