"""What can be told or corrected on a plant's page."""

from __future__ import annotations

from bot.talk.answers import ANY
from bot.talk.grammar.dates import When, take_when
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from bot.talk.verdictwords import next_probe
from core.actions import upkeep
from core.actions.upkeep import NameTakenError
from core.journal.events import Described
from core.journal.plants import Plant, name_key

LONGEST_NAME = 40
REASONS = {
    "died": "died",
    "dead": "died",
    "given": "given",
    "gave": "given",
    "gifted": "given",
    "sold": "sold",
    "lost": "gone",
    "gone": "gone",
}


def describe(turn: Turn, plant: Plant, what: Described) -> Plant:
    """Tell or correct something about a plant."""
    return upkeep.describe(turn.tx, turn.teller, turn.home, plant, what)


def capital(name: str) -> str:
    """The first letter large."""
    return name[:1].upper() + name[1:]


def rename(turn: Turn, plant: Plant, said: str) -> Reply:
    """Another name."""
    name = capital(said.removeprefix("to ").strip())[:LONGEST_NAME].strip()
    if not name_key(name) or name_key(name).replace(" ", "").isdigit():
        hidden = Option(ANY, f"/plant {plant.call} rename {{text}}")
        return answer(turn.words("plant-rename-how", call=plant.call), buttons=(hidden,))
    try:
        upkeep.rename(turn.tx, turn.teller, turn.home, plant, name)
    except NameTakenError as taken:
        return _taken(turn, taken, f"/plant {plant.call} rename", name)
    return answer(turn.words("plant-renamed", old=plant.name, new=name))


def _taken(turn: Turn, taken: NameTakenError, command: str, name: str) -> Reply:
    free = upkeep.free_name(turn.tx, turn.who.household_id, name)
    buttons = (
        Option(free[:40], f"{command} {free}"),
        Option(turn.words("add-never-mind"), "/cancel"),
        Option(ANY, f"{command} {{text}}"),
    )
    return answer(turn.words("plant-name-taken", name=taken.other.name, free=free), buttons=buttons)


def copy(turn: Turn, plant: Plant, said: str) -> Reply:
    """Another plant of the same kind."""
    name = capital(said.strip())[:LONGEST_NAME].strip()
    if not name_key(name):
        name = upkeep.free_name(turn.tx, turn.who.household_id, plant.name)
    try:
        new = upkeep.copy(turn.tx, turn.teller, turn.home, plant, name)
    except NameTakenError as taken:
        return _taken(turn, taken, f"/plant {plant.call} copy", name)
    return answer(turn.words("plant-copied", name=new.name, like=plant.name))


def retire(turn: Turn, plant: Plant, said: str) -> Reply:
    """It died, was given away, was sold."""
    moment = take_when(said, turn.now, turn.who.zone)
    if not isinstance(moment, When):
        return answer(turn.words.refusal(moment.key, moment.args))
    word = moment.rest.split()[0].casefold() if moment.rest.split() else ""
    reason = REASONS.get(word)
    if reason is None:
        return _why_retired(turn, plant)
    upkeep.retire(turn.tx, turn.teller, turn.home, plant, reason, moment.at)
    return answer(turn.words(f"plant-retired-{reason}", name=plant.name))


def _why_retired(turn: Turn, plant: Plant) -> Reply:
    buttons = tuple(
        Option(turn.words(f"plant-reason-{reason}"), f"/plant {plant.call} retire {reason}")
        for reason in ("died", "given", "sold")
    )
    keep = Option(turn.words("add-never-mind"), "/cancel")
    return answer(turn.words("plant-retire-why", name=plant.name), buttons=(*buttons, keep))


def probe_line(turn: Turn, plant: Plant) -> str:
    """When to probe next."""
    return next_probe(turn, plant.state.probe)


def resting(turn: Turn, plant: Plant, _said: str) -> Reply:
    """It rests: no water until it is awake."""
    describe(turn, plant, Described(resting=True))
    return answer(turn.words("plant-resting", name=plant.name, call=plant.call))


def awake(turn: Turn, plant: Plant, _said: str) -> Reply:
    """It grows again."""
    changed = describe(turn, plant, Described(resting=False))
    return answer(turn.words("plant-awake", name=plant.name), probe_line(turn, changed))


def terrarium(turn: Turn, plant: Plant, said: str) -> Reply:
    """It grows in a closed glass, or no longer."""
    closed = said.casefold().strip(" .") not in ("no", "open", "off")
    describe(turn, plant, Described(terrarium=closed))
    return answer(turn.words(f"plant-glass-{'closed' if closed else 'open'}", name=plant.name))
