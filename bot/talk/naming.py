"""Which plant is meant. Names match loosely; if two fit, we ask and offer both."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from core.journal import plants
from core.journal.plants import Named, Plant, name_key

LONGEST_NAME_WORDS = 6
MOST_CHOICES = 4
# Under this likeness (0-100, rapidfuzz WRatio) a slip of the fingers is another word.
ALIKE = 80
# Single letters and pairs match only the beginning of a name, never by likeness.
SHORTEST_FUZZY = 4
ARTICLES = frozenset({"the", "my", "our", "a"})

Again = Callable[[str], str]


@dataclass(frozen=True, slots=True)
class Spoken:
    """A plant found at the start of a text, and what follows its name."""

    plant: Plant
    rest: str


def split_plant(turn: Turn, text: str, again: Callable[[str, str], str]) -> Spoken | Reply:
    """Find the plant that a text begins with; otherwise ask, or say whom we know.

    `again(name, rest)` is the command that a choice stands for.
    """
    words = text.split()
    while words and words[0].casefold().strip(".,:") in ARTICLES and len(words) > 1:
        words = words[1:]
    if not words:
        return answer(turn.words("name-missing", example=_example(turn)))
    exact = _exact(turn, words)
    if exact is not None:
        return exact
    known = plants.names(turn.tx, turn.who.household_id)
    if not known:
        return answer(turn.words("name-no-plants"))
    return _loose(turn, words, known, again)


def whole_plant(turn: Turn, text: str, again: Again) -> Plant | Reply:
    """The plant that a whole text names."""
    found = split_plant(turn, text, lambda name, _rest: again(name))
    if isinstance(found, Reply):
        return found
    if found.rest:
        return answer(turn.words("name-left-over", plant=found.plant.name, rest=found.rest[:40]))
    return found.plant


def _exact(turn: Turn, words: list[str]) -> Spoken | None:
    prefixes = [
        " ".join(words[:count]) for count in range(1, min(len(words), LONGEST_NAME_WORDS) + 1)
    ]
    keys = {name_key(_bare(prefix)): count for count, prefix in enumerate(prefixes, 1)}
    keys.pop("", None)
    found = plants.by_keys(turn.tx, turn.who.household_id, list(keys)) if keys else {}
    if not found:
        return None
    best = max(found, key=lambda key: keys[key])
    return Spoken(found[best], " ".join(words[keys[best] :]).lstrip(":,= "))


def _bare(text: str) -> str:
    return text.rstrip(":,=?.!")


def _loose(
    turn: Turn, words: list[str], known: list[Named], again: Callable[[str, str], str]
) -> Spoken | Reply:
    for count in range(min(len(words), LONGEST_NAME_WORDS), 0, -1):
        spoken = name_key(_bare(" ".join(words[:count])))
        fitting = _fitting(spoken, known)
        if not fitting:
            continue
        rest = " ".join(words[count:]).lstrip(":,= ")
        if len(fitting) == 1:
            return Spoken(plants.get(turn.tx, fitting[0].id), rest)
        return _which(turn, fitting, rest, again)
    return unknown(turn, words[0], known)


def _fitting(spoken: str, known: list[Named]) -> list[Named]:
    """Names that contain the spoken words from the start of a word, else those spelt alike."""
    if not spoken:
        return []
    parts = spoken.split()
    partly = [one for one in known if _begins(parts, one.key.split())]
    if partly or len(spoken) < SHORTEST_FUZZY:
        return partly
    from rapidfuzz import fuzz, process  # noqa: PLC0415 - only for misspelt names

    hits = process.extract(
        spoken, [one.key for one in known], scorer=fuzz.ratio, score_cutoff=ALIKE, limit=5
    )
    best = max((score for _, score, _ in hits), default=0)
    return [known[index] for _, score, index in hits if score > best - 5]


def _begins(parts: list[str], key: list[str]) -> bool:
    """Whether every spoken word begins a word of the name, in order."""
    at = 0
    for part in parts:
        while at < len(key) and not key[at].startswith(part):
            at += 1
        if at == len(key):
            return False
        at += 1
    return True


def _which(turn: Turn, fitting: list[Named], rest: str, again: Callable[[str, str], str]) -> Reply:
    offered = fitting[:MOST_CHOICES]
    buttons = tuple(
        Option(f"{one.name} {rest}".strip()[:40], again(one.key, rest)) for one in offered
    )
    names = turn.words.either([one.name for one in offered])
    more = len(fitting) - len(offered)
    return answer(
        turn.words("name-which", names=names, more=more),
        buttons=buttons,
    )


def unknown(turn: Turn, said: str, known: list[Named]) -> Reply:
    """We know no such plant: say whom we know."""
    names = turn.words.both([one.name for one in known[:MOST_CHOICES]])
    more = len(known) - MOST_CHOICES
    return answer(turn.words("name-unknown", said=said[:30], names=names, more=max(more, 0)))


def _example(turn: Turn) -> str:
    known = plants.names(turn.tx, turn.who.household_id)
    return known[0].key if known else "fern"
