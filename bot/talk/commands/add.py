"""/add: a plant in one line, several pasted lines, or asked for step by step."""

from __future__ import annotations

from bot.talk import addwords
from bot.talk.commands import addguided
from bot.talk.commands.addline import Line, read_line
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from core.actions import upkeep
from core.actions.upkeep import NameTakenError
from core.care.pots import PotUnclearError, resolve
from core.journal.events import Arrived
from core.journal.plants import Plant, name_key
from core.knowledge.library import UNKNOWN_ID
from core.knowledge.matching import Ask, Match, Unknown

MOST_AT_ONCE = 250
_BULLETS = " \t-*•"


def add(turn: Turn, rest: str) -> Reply:
    """Add a plant or several. With nothing said, ask step by step."""
    if not rest or rest.startswith("?"):
        asked = addguided.next_step(turn, rest[1:])
        if isinstance(asked, Line):
            return _put_one(turn, asked, "")
        if isinstance(asked, Reply):
            return asked
        rest = asked
    lines = [line.strip(_BULLETS) for line in rest.splitlines() if line.strip(_BULLETS)]
    if len(lines) > MOST_AT_ONCE:
        return answer(turn.words("add-too-many", most=MOST_AT_ONCE))
    if not lines:
        return answer(turn.words("add-no-name"))
    if len(lines) == 1:
        return _one(turn, lines[0])
    return _several(turn, lines)


def _one(turn: Turn, text: str) -> Reply:
    line = read_line(text, turn.settings.units)
    if not name_key(line.name):
        return _no_letters(turn, line, text)
    if name_key(line.name).replace(" ", "").isdigit():
        return _only_digits(turn, line, text)
    return _put_one(turn, line, text)


def _put_one(turn: Turn, line: Line, text: str) -> Reply:
    try:
        plant = _put(turn, line)
    except NameTakenError as taken:
        return _taken(turn, taken, text, line)
    if isinstance(line.species, Ask):
        return addwords.which_species(turn, plant, line, line.species)
    return addwords.introduce(turn, plant, line)


def _put(turn: Turn, line: Line) -> Plant:
    """Keep what was told, whatever is still open. Raises NameTakenError."""
    species_id, said = "", ""
    if isinstance(line.species, Match):
        species_id = line.species.species.id
    elif isinstance(line.species, Ask):
        said = line.species.name
    elif isinstance(line.species, Unknown):
        said = line.species.text
    body = Arrived(
        name=line.name,
        species_id=species_id,
        species_said=said,
        pot=line.pot if line.refused is None and sound(line) else None,
        mix=line.mix,
        spot=line.spot,
        bought=line.bought,
        repotted=line.repotted,
        terrarium=line.terrarium or None,
    )
    return upkeep.add(turn.tx, turn.teller, turn.home, body)


def sound(line: Line) -> bool:
    """Whether the pot of a line makes a pot."""
    if line.pot is None:
        return False
    try:
        resolve(line.pot)
    except PotUnclearError:
        return False
    return True


# --- names that can't be taken ------------------------------------------------------------


def _renamed(text: str, line: Line, name: str) -> str:
    """The command that adds the same line under another name."""
    if line.name and line.name in text:
        return f"/add {text.replace(line.name, name, 1)}"
    rest = text.partition(",")[2].strip()
    return f"/add {name}, {rest}" if rest else f"/add {name}"


def _no_letters(turn: Turn, line: Line, text: str) -> Reply:
    """A name of nothing but signs can't be typed again: offer the species' name."""
    species = line.species.species if isinstance(line.species, Match) else None
    if species is None:
        return answer(turn.words("add-no-letters-how" if line.name else "add-no-name"))
    common = species.common[0] if species.common else species.name
    name = upkeep.unused_name(turn.tx, turn.who.household_id, common[:1].upper() + common[1:])
    again = Option(turn.words("add-as", name=name)[:40], _renamed(text, line, name))
    never = Option(turn.words("add-never-mind"), "/cancel")
    return answer(turn.words("add-no-letters"), buttons=(again, never))


def _only_digits(turn: Turn, line: Line, text: str) -> Reply:
    name = turn.words("add-number-name", said=line.name)
    again = Option(turn.words("add-as", name=name)[:40], _renamed(text, line, name))
    return answer(turn.words("add-name-number", said=line.name, name=name), buttons=(again,))


def _taken(turn: Turn, taken: NameTakenError, text: str, line: Line) -> Reply:
    free = upkeep.free_name(turn.tx, turn.who.household_id, line.name)
    return answer(
        turn.words("add-taken", name=taken.other.name, room=taken.other.room or "none"),
        buttons=(
            Option(turn.words("add-as", name=free)[:40], _renamed(text or line.name, line, free)),
            Option(turn.words("add-never-mind"), "/cancel"),
        ),
    )


# --- several ------------------------------------------------------------------------------


def _several(turn: Turn, lines: list[str]) -> Reply:
    told = addwords.Several()
    for text in lines:
        line = read_line(text, turn.settings.units)
        key = name_key(line.name)
        if not key or key.replace(" ", "").isdigit():
            told.nameless.append(text)
            continue
        try:
            plant = _put(turn, line)
        except NameTakenError:
            told.taken.append(line.name)
            continue
        _sorted(told, plant, line)
    return addwords.summary(turn, told)


def _sorted(told: addwords.Several, plant: Plant, line: Line) -> None:
    told.added += 1
    if isinstance(line.species, Ask):
        told.asking.append(plant.name)
    elif plant.state.species_id in ("", UNKNOWN_ID):
        told.strange.append(plant.name)
    if line.pot is not None and plant.state.pot is None:
        told.odd_pots.append(plant.name)
    elif plant.state.pot is None:
        told.potless.append(plant)
    if line.left_over:
        told.left_over.append(plant.name)
