"""/add: a plant in one line, several pasted lines, or asked for step by step."""

from __future__ import annotations

from dataclasses import dataclass

from bot.talk import portrayal, say
from bot.talk.answers import ANY
from bot.talk.commands.addline import Line, read_line
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from core.actions import upkeep
from core.actions.upkeep import NameTakenError
from core.care.pots import PotUnclearError, resolve
from core.care.potshape import Assumed
from core.journal.events import Arrived
from core.journal.plants import Plant, name_key
from core.journal.portrait import portrait
from core.knowledge.library import UNKNOWN_ID
from core.knowledge.matching import Ask, Match, Unknown

MOST_AT_ONCE = 250
# Guided: what is asked in turn; the answers are joined to one line.
STEPS = ("name", "species", "pot", "place")


@dataclass(frozen=True, slots=True)
class Added:
    """A plant that was put on the list, and what its line left open."""

    plant: Plant
    line: Line


def add(turn: Turn, rest: str) -> Reply:
    """Add a plant or several. With nothing said, ask step by step."""
    if not rest or rest.startswith("?"):
        return _guided(turn, rest[1:])
    lines = [line.strip(" \t-*•") for line in rest.splitlines() if line.strip(" \t-*•")]
    if len(lines) > MOST_AT_ONCE:
        return answer(turn.words("add-too-many", most=MOST_AT_ONCE))
    if len(lines) == 1:
        return _one(turn, lines[0])
    return _several(turn, lines)


def _guided(turn: Turn, said: str) -> Reply:
    """Each answer comes back here as `/add ?name|species|pot|...` until the line is whole."""
    parts = [part.strip() for part in said.split("|") if part.strip()]
    if len(parts) >= len(STEPS):
        return _one(turn, ", ".join(part for part in parts if part.casefold() != "skip"))
    step = STEPS[len(parts)]
    so_far = "|".join([*parts, "{text}"])
    shown: tuple[Option, ...] = ()
    if parts:
        label = turn.words("add-skip")
        shown = (Option(label, f"/add ?{'|'.join([*parts, 'skip'])}"),)
    shown += (Option(turn.words("add-never-mind"), "/cancel"), Option(ANY, f"/add ?{so_far}"))
    return answer(turn.words(f"add-ask-{step}", name=parts[0] if parts else ""), buttons=shown)


def _put(turn: Turn, line: Line) -> Added:
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
        pot=line.pot if line.refused is None and _sound(line) else None,
        mix=line.mix,
        spot=line.spot,
        bought=line.bought,
        repotted=line.repotted,
    )
    return Added(upkeep.add(turn.tx, turn.teller, turn.home, body), line)


def _sound(line: Line) -> bool:
    if line.pot is None:
        return False
    try:
        resolve(line.pot)
    except PotUnclearError:
        return False
    return True


def _one(turn: Turn, text: str) -> Reply:
    line = read_line(text, turn.settings.units)
    if not line.name or not name_key(line.name):
        return answer(turn.words("add-no-name"))
    if name_key(line.name).replace(" ", "").isdigit():
        return answer(turn.words("add-name-number", said=line.name))
    try:
        added = _put(turn, line)
    except NameTakenError as taken:
        return _taken(turn, taken, text, line)
    if isinstance(line.species, Ask):
        return _which_species(turn, added, line.species)
    return _introduce(turn, added)


def _taken(turn: Turn, taken: NameTakenError, text: str, line: Line) -> Reply:
    free = upkeep.free_name(turn.tx, turn.who.household_id, line.name)
    again = text.replace(line.name, free, 1) if line.name in text else f"{free}, {text}"
    if line.name not in text:
        rest = text.partition(",")[2].strip()
        again = f"{free}, {rest}" if rest else free
    return answer(
        turn.words("add-taken", name=taken.other.name, room=taken.other.room or "none"),
        buttons=(
            Option(turn.words("add-as", name=free), f"/add {again}"),
            Option(turn.words("add-never-mind"), "/cancel"),
        ),
    )


def _introduce(turn: Turn, added: Added) -> Reply:
    plant, line = added.plant, added.line
    seen = portrait(plant.state, turn.home)
    words = turn.words
    lines = [
        words(
            "add-done",
            name=plant.name,
            about=portrayal.about(turn, plant.state, seen.species, seen.pot),
        ),
        portrayal.wants(turn, seen.species),
        portrayal.assumption(turn, seen.pot) if plant.state.pot else words("add-no-pot"),
        *_troubles(turn, line),
        portrayal.danger(turn, seen.species),
        words("add-apart") if line.bought else "",
        _first_probe(turn, plant),
    ]
    return answer(*lines, buttons=_next_steps(turn, plant, seen.pot.assumed))


def _troubles(turn: Turn, line: Line) -> list[str]:
    """What of the line couldn't be taken, said so that it can be mended."""
    troubles = []
    if line.refused is not None:
        troubles.append(turn.words.refusal(line.refused.key, line.refused.args))
    elif line.pot is not None and not _sound(line):
        troubles.append(turn.words("add-pot-unclear", said=line.pot.said[:40]))
    if line.left_over:
        troubles.append(turn.words("add-left-over", what=turn.words.both(line.left_over)))
    if isinstance(line.species, Unknown) and line.species.nearest:
        near = turn.words.either([one.name for one in line.species.nearest])
        troubles.append(turn.words("add-near", near=near))
    return troubles


def _first_probe(turn: Turn, plant: Plant) -> str:
    probe = plant.state.probe
    if probe is None:
        return ""
    day = say.on_day(turn.words, probe.expected, turn.now, turn.who.zone)
    return turn.words("add-first-probe", when=day.removeprefix("on "))


def _next_steps(turn: Turn, plant: Plant, assumed: tuple[Assumed, ...]) -> tuple[Option, ...]:
    steps = [Option(turn.words("add-probe-now"), f"/check {plant.call}")]
    if plant.state.pot is not None and Assumed.DEPTH in assumed:
        steps.append(Option(turn.words("add-shallower"), f"/plant {plant.call} pot shallow"))
        steps.append(Option(turn.words("add-deeper"), f"/plant {plant.call} pot deep"))
    steps.append(Option(turn.words("add-change"), f"/plant {plant.call} change"))
    return tuple(steps)


def _which_species(turn: Turn, added: Added, ask: Ask) -> Reply:
    """On the list already; only which of several plants it is remains to be said."""
    buttons = tuple(
        Option(choice.label[:40], f"/plant {added.plant.call} species {choice.species_id}")
        for choice in ask.first
    )
    more = turn.words.both([choice.label for choice in ask.rest]) if ask.rest else ""
    return answer(
        turn.words("add-which-species", name=added.plant.name, kind=ask.name),
        ask.caution,
        *_troubles(turn, added.line),
        turn.words("add-which-more", more=more, call=added.plant.call) if more else "",
        buttons=buttons,
    )


def _several(turn: Turn, lines: list[str]) -> Reply:
    added: list[Added] = []
    taken: list[str] = []
    nameless = 0
    for text in lines:
        line = read_line(text, turn.settings.units)
        if not name_key(line.name):
            nameless += 1
            continue
        try:
            added.append(_put(turn, line))
        except NameTakenError:
            taken.append(line.name)
    return _summary(turn, added, taken, nameless)


def _summary(turn: Turn, added: list[Added], taken: list[str], nameless: int) -> Reply:
    words = turn.words
    asking = [one.plant.name for one in added if isinstance(one.line.species, Ask)]
    strange = [
        one.plant.name
        for one in added
        if one.plant.state.species_id in ("", UNKNOWN_ID) and one.plant.name not in asking
    ]
    potless = [one.plant.name for one in added if one.plant.state.pot is None]
    lines = [
        words("add-several", n=len(added)),
        _cut(turn, "add-several-taken", taken),
        _cut(turn, "add-several-asking", asking),
        _cut(turn, "add-several-strange", strange),
        _cut(turn, "add-several-potless", potless),
        words("add-several-nameless", n=nameless) if nameless else "",
        words("add-several-end") if added else "",
    ]
    return answer(*lines)


def _cut(turn: Turn, key: str, names: list[str]) -> str:
    if not names:
        return ""
    shown = names[:5]
    more = len(names) - len(shown)
    if more:
        shown = [*shown, turn.words("common-and-more", n=more).removeprefix("and ")]
    return turn.words(key, n=len(names), names=turn.words.both(shown))
