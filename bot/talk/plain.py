"""Plain sentences: `fern 3`, `fern is dry`, `gave the fern 400 ml`, `is the fern ok?`, `help`.

Each is put as the command that it stands for; nothing is done here. The words are in `plainwords`.
"""

from __future__ import annotations

import re
from datetime import timedelta

from bot.talk import quoted, registry
from bot.talk.commands.gavemany import parts
from bot.talk.grammar.dates import When, take_when
from bot.talk.grammar.readings import read_found
from bot.talk.likeness import begins, slipped
from bot.talk.message import Option, Reply
from bot.talk.naming import Spoken, anywhere, exact, shorter
from bot.talk.plainabout import command_for
from bot.talk.plainname import plant_of
from bot.talk.plainpeople import by_another, taken_over
from bot.talk.plainsentences import command_of, named_in
from bot.talk.plainweather import weather
from bot.talk.plainwords import (
    AGREED,
    ALL_OF,
    ALONE,
    AT_LAST,
    CALENDAR,
    DEGREES,
    GREETING,
    IT,
    IT_MEANS,
    LEANS,
    MISTED,
    NO_PLANTS,
    OF,
    OOPS,
    POLITE,
    PUNCTUATION,
    SHOWS,
    SOAKS,
    THANKS,
    UNWELL,
    VERBS,
    WAYS,
    looks_like_plants,
)
from bot.talk.portrayal import looked_at
from bot.talk.turn import Turn, answer
from core.actions import coldwatch
from core.care.reading import Found
from core.journal import ledger, plants
from core.journal.plants import Plant, name_key
from core.journal.portrait import portrait
from core.knowledge.library import library
from core.knowledge.matching import Unknown

# `why?` is asked of the plant spoken of so long ago at most.
FRESH = timedelta(hours=2)
LEAVE = "/cancel"
_LISTED = re.compile(r"\s*,\s*(?:and\s+)?|\s+(?:and|&)\s+", re.IGNORECASE)


def meaning(turn: Turn, text: str) -> str | Reply:
    """The command that a sentence stands for; a Reply where none is surely meant."""
    said = _polite(_moment_last(turn, text))
    return _small_talk(turn, text) or _command(turn, said) or _about_a_plant(turn, said)


def _small_talk(turn: Turn, text: str) -> str | Reply | None:
    """Thanks, a greeting, a word of assent, a slip that is only owned."""
    reply = _beside_the_matter(turn, text.casefold().strip(PUNCTUATION))
    return reply if reply is None or exact(turn, text) is None else None


def _beside_the_matter(turn: Turn, bare: str) -> str | Reply | None:
    if CALENDAR.search(bare):
        return answer(turn.words("common-no-calendar"))
    if GREETING.fullmatch(bare):
        return "/start"
    if THANKS.fullmatch(bare):
        return answer(turn.words("common-gladly"))
    if bare in OOPS:
        back = Option(turn.words("common-take-back"), "/undo")
        return answer(
            turn.words("common-slip"), buttons=(back, Option(turn.words("add-never-mind"), LEAVE))
        )
    return answer(turn.words("common-good")) if bare in AGREED else None


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
    return any(name and exact(turn, name) is not None for name in named_in(said))


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
    said = AT_LAST.sub("", text.strip())
    while POLITE.match(said):
        said = POLITE.sub("", said, count=1)
    return said


def _command(turn: Turn, said: str) -> str | Reply | None:
    """The command of a sentence that doesn't begin with a plant's name."""
    alone = ALONE.get(said.casefold().strip(PUNCTUATION) or said)
    if alone:
        return f"/{alone}"
    if exact(turn, said) is not None:
        return None
    outside = weather(turn, said)
    if outside is not None:
        return outside
    meant = command_of(said)
    if meant is not None:
        it = _spoken_of(turn) if "{it}" in meant else ""
        return _bought(turn, meant) or meant.replace("{it}", it)
    return (
        taken_over(turn, said)
        or _renamed(turn, said)
        or _of_it(turn, said)
        or _by_its_verb(turn, said)
    )


def _bought(turn: Turn, meant: str) -> Reply | None:
    """`bought a pot`: what is no kind of plant that we know is only added when that is meant."""
    line = meant.removeprefix("/add ").removesuffix(", bought")
    if meant != f"/add {line}, bought":
        return None
    kinds = [library().find(piece) for piece in line.split(",")[:2]]
    known = any(not isinstance(kind, Unknown) for kind in kinds)
    return (
        None
        if known and line.split()[-1].casefold() not in NO_PLANTS
        else _shall_i_add(turn, f"{line}, bought")
    )


def _spoken_of(turn: Turn) -> str:
    """The plant replied to, or that whoever speaks told of last, if it was one: `why?`."""
    replied = quoted.plant(turn)
    if replied is not None:
        return replied.call
    known = turn.names()
    if len(known) == 1:
        return known[0].key
    told = ledger.last_entry_of(turn.tx, turn.who.household_id, turn.who.person_id)
    about = {one.plant_id for one in told if turn.now - one.told_at < FRESH}
    only = about.pop() if len(about) == 1 else None
    return plants.get(turn.tx, only).call if only is not None else ""


def _of_it(turn: Turn, said: str) -> str | Reply | None:
    """`gave it 300 ml`, `the pot is 20 cm`: the plant spoken of last, if that is what is meant.

    It is asked where something would be kept and more than one plant could be meant.
    """
    if not IT.search(said) or DEGREES.search(said) or anywhere(turn, said) is not None:
        return None
    call = _spoken_of(turn)
    named = IT.sub(lambda match: IT_MEANS[match.lastgroup or ""].format(call), said, count=1)
    if not call:
        return None
    spoken = exact(turn, named)
    meant = _command(turn, named) if spoken is None else _understood(turn, named, spoken)
    sure = len(turn.names()) == 1 or quoted.plant(turn) is not None
    shows = isinstance(meant, str) and (meant == f"/plant {call}" or meant.split()[0] in SHOWS)
    if not isinstance(meant, str) or sure or shows:
        return meant
    found = exact(turn, call)
    asked = turn.words("common-it", plant=found.plant.name if found is not None else call)
    yes = Option(turn.words("add-yes-it-is"), meant)
    return answer(asked, buttons=(yes, Option(turn.words("add-never-mind"), LEAVE)))


def _renamed(turn: Turn, said: str) -> str | None:
    """`call fern Bob`."""
    first, _, rest = said.partition(" ")
    found = exact(turn, rest) if first.casefold() in ("call", "name") else None
    name = re.sub(r"^(?:now )?(?:is )?", "", found.rest) if found is not None else ""
    return f"/plant {found.plant.call} rename {name}" if found is not None and name else None


def _by_its_verb(turn: Turn, said: str) -> str | Reply | None:
    first, _, rest = said.partition(" ")
    if first.casefold() in MISTED and _names_a_plant(turn, rest):
        return answer(turn.words("common-misted"))
    rest = ALL_OF.sub("", rest)
    verb = VERBS.get(first.casefold().strip(":,")) or _unmarked(turn, first)
    if verb is None and _names_a_plant(turn, OF.sub("", rest)):
        slip = slipped(name_key(first), VERBS)
        verb = VERBS[slip] if slip is not None else None
    if first.casefold().strip(PUNCTUATION) == "moved" and _for_the_cold(turn, rest):
        return f"/low moved {rest}".strip()
    if name_key(said) in _LET_BE and _for_the_cold(turn, ""):
        return "/low fine"
    return f"/{verb} {OF.sub('', rest)}".strip() if verb else None


def _names_a_plant(turn: Turn, said: str) -> bool:
    return exact(turn, said) is not None


# Said of plants in a cold night's way, long after it was asked too.
_LET_BE = frozenset(map(name_key, ("they're fine", "they are fine", "they can stay", "leave them")))


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
    found = _for_each(turn, said) or by_another(turn, said) or plant_of(turn, said)
    return _of_a_plant(turn, said, found) if isinstance(found, Spoken) else found


def _for_each(turn: Turn, said: str) -> Reply | None:
    """`fern and goldie are dry`: one reading after several names is asked about."""
    pieces = [exact(turn, one) for one in _LISTED.split(said)]
    *first, last = pieces
    if not first or last is None or any(one is None or one.rest for one in first):
        return None
    reading = re.sub(r"^(?:are|were|all|both|each|read|have)\b\s*", "", last.rest)
    if not isinstance(read_found(reading), Found):
        return None
    named = [one.plant for one in pieces if one is not None]
    send = ", ".join(f"{one.call}: {reading}" for one in named)
    names = turn.words.both([one.name for one in named])
    asked = turn.words("common-for-each-asked", found=reading[:30], names=names)
    each = Option(turn.words("common-for-each"), f"/check {send}")
    return answer(asked, buttons=(each, Option(turn.words("add-never-mind"), LEAVE)))


def _of_a_plant(turn: Turn, said: str, found: Spoken) -> str | Reply:
    meant = _understood(turn, said, found)
    if meant is not None:
        return meant
    plant = found.plant
    how = looked_at(portrait(plant.state, turn.home))
    return answer(turn.words("common-after-name", plant=plant.name, call=plant.call, how=how))


def _understood(turn: Turn, said: str, found: Spoken) -> str | Reply | None:
    if not found.rest.strip(PUNCTUATION):
        return _page_or_reading(turn, found)
    if said.rstrip().endswith("?") and not re.search(r"\d", said):
        return f"/plant {found.plant.call}"  # a question records nothing
    plant = found.plant
    if SOAKS.search(found.rest):
        return answer(turn.words("common-stands-in-water", plant=plant.name, call=plant.call))
    meant = command_for(turn, found) or _several(said)
    return meant if meant is not None else _looks(turn, plant, found.rest)


def _looks(turn: Turn, plant: Plant, said: str) -> Reply | None:
    """What is seen of it and may come of anything, or has its one cure."""
    words = set(said.casefold().strip(PUNCTUATION).split())
    if words & UNWELL:
        probe = Option(turn.words("add-probe-now"), f"/check {plant.call}")
        unwell = turn.words("common-unwell", plant=plant.name, call=plant.call)
        return answer(unwell, buttons=(probe,))
    if words & LEANS:
        return answer(turn.words("common-leans", plant=plant.name, call=plant.call))
    return None


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
