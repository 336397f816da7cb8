"""Plain sentences: `fern 3`, `fern is dry`, `gave the fern 400 ml`, `is the fern ok?`, `help`.

Each is put as the command that it stands for. The words are in `plainwords`.
"""

from __future__ import annotations

import re

from bot.talk import registry
from bot.talk.grammar.dates import When, take_when
from bot.talk.grammar.pots import read_pot
from bot.talk.grammar.quantities import Refusal, find_volume, find_weight
from bot.talk.grammar.readings import read_found
from bot.talk.grammar.spots import read_spot
from bot.talk.message import Option, Reply
from bot.talk.naming import Spoken, anywhere, exact, for_which, shorter, split_plant, unknown
from bot.talk.plainwords import (
    ABOUT,
    AGREED,
    ALONE,
    AUXILIARY,
    GONE,
    PESTS,
    PLACED,
    POLITE,
    SENTENCES,
    THANKS,
    VERBS,
    looks_like_plants,
)
from bot.talk.turn import Turn, answer
from core.care.reading import Found
from core.journal.plants import Named, name_key

_PUNCTUATION = " .!?:,;"
# A number on its own, and no length.
_NUMBER = re.compile(r"(?<![\d.,])\d{1,2}(?![\d.,]|\s*(?:m|cm|ft|in)\b)(?!\S)")


def sentence(turn: Turn, text: str) -> Reply:
    """Do what a sentence says, or tell what would be understood."""
    said = _polite(_moment_last(turn, text))
    meant = _command(turn, said)
    if meant is not None:
        return registry.run(turn, meant)
    bare = text.casefold().strip(_PUNCTUATION)
    if bare in THANKS or bare in AGREED:
        return answer(turn.words("common-gladly" if bare in THANKS else "common-good"))
    return _about_a_plant(turn, said)


def is_business(turn: Turn, text: str) -> bool:
    """Whether a text is a command in plain words, whatever question may be open."""
    said = _polite(text)
    if said.casefold().strip(_PUNCTUATION) in ALONE or _asks_of_a_plant(turn, said):
        return True
    first, _, rest = said.partition(" ")
    found = exact(turn, rest if first.casefold() in VERBS else said)
    if found is None or not found.rest:
        return found is not None and first.casefold() in VERBS
    return first.casefold() in VERBS or _after_name(turn, found) is not None


def _asks_of_a_plant(turn: Turn, said: str) -> bool:
    """`why is fern late`, `how much for the fern`: a whole sentence about a plant we know."""
    groups = (pattern.fullmatch(said) for pattern, _ in SENTENCES)
    names = (match[1] for match in groups if match is not None and match.groups())
    return any(exact(turn, name) is not None for name in names)


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
    alone = ALONE.get(said.casefold().strip(_PUNCTUATION))
    if alone:
        return f"/{alone}"
    if exact(turn, said) is not None:
        return None
    for pattern, command in SENTENCES:
        asked = pattern.fullmatch(said)
        if asked:
            return f"/{command.format(*asked.groups())}".strip()
    first, _, rest = said.partition(" ")
    verb = VERBS.get(first.casefold().strip(":,"))
    return f"/{verb} {rest}".strip() if verb else None


# --- a plant and something about it -------------------------------------------------------


def _about_a_plant(turn: Turn, said: str) -> Reply:
    """A line with a plant's name in it is a probe of it, or a question for its page."""
    if looks_like_plants(said) and exact(turn, said) is None:
        return _shall_i_add(turn, said)
    if "\n" in said:
        return _lines(turn, said)
    found = _found(turn, said)
    return found if isinstance(found, Reply) else _of_a_plant(turn, said, found)


def _of_a_plant(turn: Turn, said: str, found: Spoken) -> Reply:
    if not found.rest.strip(_PUNCTUATION):
        return _page_or_reading(turn, found)
    if said.rstrip().endswith("?") and not re.search(r"\d", said):
        return registry.run(turn, f"/plant {found.plant.call}")  # a question records nothing
    meant = _after_name(turn, found) or _several(said)
    if meant is not None:
        return registry.run(turn, meant)
    plant = found.plant
    return answer(turn.words("common-after-name", plant=plant.name, call=plant.call))


def _lines(turn: Turn, said: str) -> Reply:
    """Several lines without a verb: waterings where the first is one, else checks."""
    first = next(line for line in said.splitlines() if line.strip())
    found = exact(turn, first)
    meant = _after_name(turn, found) if found is not None else None
    command = "gave" if meant is not None and meant.startswith("/gave ") else "check"
    return registry.run(turn, f"/{command} {said}")


def _found(turn: Turn, said: str) -> Spoken | Reply:
    """The plant a sentence is about; a Reply where that isn't clear."""
    found = exact(turn, said)
    if found is not None:
        return found
    known = turn.names()
    moment = take_when(said, turn.now, turn.who.zone)
    bare = moment.rest if isinstance(moment, When) else said
    inside = anywhere(turn, bare, known) if known else None
    if inside is not None:
        return Spoken(inside.plant, _without_question(_with_moment(inside.rest, said, bare)))
    unnamed = _unnamed(turn, said, bare, known)
    if unnamed is not None:
        return unnamed
    loose = split_plant(turn, bare, lambda name, rest: f"/check {name} {rest}".strip())
    if isinstance(loose, Spoken):
        return Spoken(loose.plant, _with_moment(loose.rest, said, bare))
    return loose if loose.buttons or not known else _lost(turn, bare, known)


def _unnamed(turn: Turn, said: str, bare: str, known: list[Named]) -> Reply | None:
    """A reading, an amount or a pot without a plant; None for anything else."""
    pot = read_pot(bare, turn.settings.units)
    sized = not isinstance(pot, Refusal) and not pot.unit_assumed
    if sized and not _is_amount(turn, bare):
        return registry.run(turn, f"/dose {bare}")
    return _which_plant(turn, said, known) if _without_name(turn, bare) else None


def _lost(turn: Turn, bare: str, known: list[Named]) -> Reply:
    """A name nobody knows, where a reading or an amount follows it; else what works."""
    word, _, rest = bare.partition(" ")
    if _tells(turn, rest):
        return unknown(turn, word, known)
    if name_key(bare) in {name_key(one.room) for one in known if one.room}:
        return registry.run(turn, f"/plants {bare}")
    return answer(turn.words("common-lost"))


def _with_moment(rest: str, line: str, bare: str) -> str:
    """The rest with the words that named the moment, so that the command sees them again."""
    left = bare.split()
    moment = [word for word in line.split() if word not in left]
    return " ".join([rest, *moment]).strip()


def _without_question(rest: str) -> str:
    """`is ... ok?` asks for the page."""
    return "" if ABOUT.fullmatch(rest.strip(_PUNCTUATION)) else rest


def _page_or_reading(turn: Turn, found: Spoken) -> Reply:
    other = shorter(turn, found)
    if other is None:
        return registry.run(turn, f"/plant {found.plant.call}")
    plant, reading = other
    return answer(
        turn.words("name-page-or-reading", name=found.plant.name, other=plant.name, n=reading),
        buttons=(
            Option(found.plant.name[:40], f"/plant {found.plant.call}"),
            Option(f"{plant.name}: {reading}"[:40], f"/check {plant.call}: {reading}"),
        ),
    )


def _after_name(turn: Turn, found: Spoken) -> str | None:
    """The command for what was said of a plant: a probe, water, or something else."""
    call, rest = found.plant.call, found.rest
    colon = ":" if found.sure else ""
    moment = take_when(rest, turn.now, turn.who.zone)
    timeless = moment.rest if isinstance(moment, When) else rest
    if isinstance(read_found(timeless.split(",")[0]), Found):
        return f"/check {call}{colon} {rest}"
    about = ABOUT.fullmatch(rest.strip(_PUNCTUATION)) is not None
    if about and rest.rstrip().endswith("?"):
        return f"/plant {call}"
    other = _done_to_it(turn, call, rest) or (f"/plant {call}" if about else None)
    other = other or _told_of_it(call, rest)
    if other is None and re.search(r"\d", rest):
        return f"/check {call}{colon} {rest}"
    return other


def _done_to_it(turn: Turn, call: str, rest: str) -> str | None:
    """`fern was watered`, `fern got 400 ml`, `fern turned`."""
    bare = AUXILIARY.sub("", rest).strip()
    word, _, more = bare.partition(" ")
    verb = VERBS.get(word.casefold().strip(_PUNCTUATION))
    if verb and verb != "check" and not (verb == "later" and more.strip(_PUNCTUATION)):
        return f"/{verb} {call} {more}".strip()
    return f"/gave {call} {bare}" if _is_amount(turn, bare) else None


def _told_of_it(call: str, rest: str) -> str | None:
    """`fern died`, `fern has gnats`, `fern is in the kitchen now`."""
    words = set(rest.casefold().strip(_PUNCTUATION).split())
    if _NUMBER.search(rest):
        return None  # a reading, whatever else is odd about it
    if words & GONE:
        return f"/plant {call} retire"
    if words & PESTS:
        return f"/scout {call} {rest}"
    placed = PLACED.match(rest) or read_spot(AUXILIARY.sub("", rest)).lit
    return f"/spot {call} {PLACED.sub('', rest)}" if placed else None


def _several(said: str) -> str | None:
    """A line with numbers is a check, whatever else stands in it: the check says what is odd."""
    return f"/check {said}" if re.search(r"\d", said) else None


def _is_amount(turn: Turn, text: str) -> bool:
    """Whether a text tells water, and no weight: bare ounces are asked about as a weight."""
    volume = find_volume(text, turn.settings.units)
    weight = find_weight(text)
    return volume is not None and not isinstance(volume, Refusal) and weight is None


def _tells(turn: Turn, text: str) -> bool:
    return isinstance(read_found(text), Found) or _is_amount(turn, text)


# --- no plant named -----------------------------------------------------------------------


def _without_name(turn: Turn, text: str) -> bool:
    """Whether a line is nothing but a reading or an amount."""
    starts = text[:1].isdigit() or text[:1] in "+-¼½¾"
    return isinstance(read_found(text), Found) or (starts and _is_amount(turn, text))


def _which_plant(turn: Turn, said: str, known: list[Named]) -> Reply:
    """A reading or an amount without a name."""
    if not known:
        return answer(turn.words("name-no-plants"))
    command = "gave" if _is_amount(turn, said) else "check"
    return for_which(turn, said, known, lambda name, rest: f"/{command} {name} {rest}")


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
