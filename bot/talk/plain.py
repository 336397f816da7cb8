"""Plain sentences: `fern 3`, `fern is dry`, `gave the fern 400 ml`, `is the fern ok?`, `help`.

Each is put as the command that it stands for; nothing is done here. The words are in `plainwords`.
"""

from __future__ import annotations

import re

from bot.talk import registry
from bot.talk.commands.gavemany import parts
from bot.talk.grammar.dates import When, take_when
from bot.talk.likeness import begins
from bot.talk.message import Option, Reply
from bot.talk.naming import Spoken, exact, shorter
from bot.talk.plainabout import command_for
from bot.talk.plainname import plant_of
from bot.talk.plainwords import (
    AGREED,
    ALONE,
    OF,
    POLITE,
    PUNCTUATION,
    SENTENCES,
    THANKS,
    VERBS,
    WAYS,
    looks_like_plants,
)
from bot.talk.portrayal import looked_at
from bot.talk.turn import Turn, answer
from core.actions import coldwatch
from core.journal.plants import name_key
from core.journal.portrait import portrait


def meaning(turn: Turn, text: str) -> str | Reply:
    """The command that a sentence stands for; a Reply where none is surely meant."""
    said = _polite(_moment_last(turn, text))
    meant = _command(turn, said)
    if meant is not None:
        return meant
    bare = text.casefold().strip(PUNCTUATION)
    if bare in THANKS or bare in AGREED:
        return answer(turn.words("common-gladly" if bare in THANKS else "common-good"))
    return _about_a_plant(turn, said)


def is_business(turn: Turn, text: str) -> bool:
    """Whether a text is a command in plain words, whatever question may be open."""
    said = _polite(text)
    if said.casefold().strip(PUNCTUATION) in ALONE or _asks_of_a_plant(turn, said):
        return True
    first, _, rest = said.partition(" ")
    verb = first.casefold() in VERBS or registry.named(name_key(first)) is not None
    found = exact(turn, OF.sub("", rest) if verb else said)
    if found is None or not found.rest:
        return found is not None and verb
    return verb or command_for(turn, found) is not None


def _asks_of_a_plant(turn: Turn, said: str) -> bool:
    """`why is fern late`, `how much for the fern`: a whole sentence about a plant we know."""
    groups = (pattern.fullmatch(said) for pattern, _ in SENTENCES)
    names = (match[1] for match in groups if match is not None and match.groups())
    return any(name and exact(turn, name) is not None for name in names)


def _moment_last(turn: Turn, text: str) -> str:
    """`yesterday I watered the fern` as `I watered the fern yesterday`."""
    said = text.strip()
    moment = take_when(said, turn.now, turn.who.zone)
    if not isinstance(moment, When) or moment.at is None or exact(turn, said) is not None:
        return said
    start = said[: len(said) - len(moment.rest)].strip(" ,")
    return f"{moment.rest} {start}" if moment.rest and said.endswith(moment.rest) else said


def _polite(text: str) -> str:
    """A text without "I have just", "please", "could you"."""
    said = text.strip()
    while POLITE.match(said):
        said = POLITE.sub("", said, count=1)
    return said


def _command(turn: Turn, said: str) -> str | None:
    """The command of a sentence that doesn't begin with a plant's name."""
    alone = ALONE.get(said.casefold().strip(PUNCTUATION))
    if alone:
        return f"/{alone}"
    if exact(turn, said) is not None:
        return None
    for pattern, command in SENTENCES:
        asked = pattern.fullmatch(said)
        if asked:
            caught = [group for group in asked.groups() if group is not None]
            return f"/{command.format(*caught)}".strip()
    first, _, rest = said.partition(" ")
    verb = VERBS.get(first.casefold().strip(":,")) or _unmarked(turn, first)
    if first.casefold().strip(PUNCTUATION) == "moved" and _for_the_cold(turn, rest):
        return f"/low moved {rest}".strip()
    return f"/{verb} {OF.sub('', rest)}".strip() if verb else None


def _for_the_cold(turn: Turn, said: str) -> bool:
    """Moved without a place is moved out of a cold night's way, whoever was asked."""
    if said:
        found = [exact(turn, one) for one in parts(turn, said)]
        return all(one is not None and not one.rest.strip(PUNCTUATION) for one in found)
    who = turn.who
    return coldwatch.asks_to_move(turn.tx, who.household_id, who.zone, turn.now)


def _unmarked(turn: Turn, first: str) -> str | None:
    """A command without its mark, as `chart fern`, unless a plant's name may begin so."""
    word = name_key(first)
    if begins(word, turn.names()):
        return None
    return f"settings {word}" if word in WAYS else registry.named(word)


# --- a plant and something about it -------------------------------------------------------


def _about_a_plant(turn: Turn, said: str) -> str | Reply:
    """A line with a plant's name in it is a probe of it, or a question for its page."""
    if looks_like_plants(said) and exact(turn, said) is None:
        return _shall_i_add(turn, said)
    if "\n" in said:
        return _lines(turn, said)
    found = plant_of(turn, said)
    return _of_a_plant(turn, said, found) if isinstance(found, Spoken) else found


def _of_a_plant(turn: Turn, said: str, found: Spoken) -> str | Reply:
    if not found.rest.strip(PUNCTUATION):
        return _page_or_reading(turn, found)
    if said.rstrip().endswith("?") and not re.search(r"\d", said):
        return f"/plant {found.plant.call}"  # a question records nothing
    meant = command_for(turn, found) or _several(said)
    if meant is not None:
        return meant
    plant = found.plant
    how = looked_at(portrait(plant.state, turn.home))
    return answer(turn.words("common-after-name", plant=plant.name, call=plant.call, how=how))


def _lines(turn: Turn, said: str) -> str:
    """Several lines without a verb: waterings where the first is one, else checks."""
    first = next(line for line in said.splitlines() if line.strip())
    found = exact(turn, first)
    meant = command_for(turn, found) if found is not None else None
    command = "gave" if meant is not None and meant.startswith("/gave ") else "check"
    return f"/{command} {said}"


def _page_or_reading(turn: Turn, found: Spoken) -> str | Reply:
    other = shorter(turn, found)
    if other is None:
        return f"/plant {found.plant.call}"
    plant, reading = other
    return answer(
        turn.words("name-page-or-reading", name=found.plant.name, other=plant.name, n=reading),
        buttons=(
            Option(found.plant.name[:40], f"/plant {found.plant.call}"),
            Option(f"{plant.name}: {reading}"[:40], f"/check {plant.call}: {reading}"),
        ),
    )


def _several(said: str) -> str | None:
    """A line with numbers is a check, whatever else stands in it: the check says what is odd."""
    return f"/check {said}" if re.search(r"\d", said) else None


def _shall_i_add(turn: Turn, said: str) -> Reply:
    lines = [line for line in said.splitlines() if line.strip()]
    text = f"/add\n{said}" if len(lines) > 1 else f"/add {said}"
    return answer(
        turn.words("add-shall-i", n=len(lines), first=lines[0].split(",")[0].strip()[:30]),
        buttons=(
            Option(turn.words("add-yes", n=len(lines)), text),
            Option(turn.words("add-never-mind"), "/cancel"),
        ),
    )
