"""/add without a line: one question after the other, each answer looked at before the next.

An answer comes back as `/add ?name|kind|pot|place`, so that the dialogue needs no memory of
its own and may be interrupted by anything.
"""

from __future__ import annotations

from dataclasses import replace

from bot.talk.answers import ANY
from bot.talk.commands.addline import Line, find_species, read_line
from bot.talk.grammar.pots import find_pot
from bot.talk.grammar.quantities import Refusal
from bot.talk.grammar.spots import read_spot
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from core.actions import upkeep
from core.care.pots import PotUnclearError, resolve
from core.care.potsaid import PotSaid
from core.journal import plants
from core.journal.plants import name_key

STEPS = ("name", "species", "pot", "place")
SKIP = "skip"
# Ways to say that one doesn't know.
SKIPPED = frozenset(
    "skip|no idea|don't know|dont know|i don't know|dunno|unknown|not sure|no|none|-|?|??|next"
    "|later|nothing".split("|")
)


def next_step(turn: Turn, said: str) -> Reply | Line | str:
    """The next question, or the finished line; as text where somebody typed the whole at once."""
    parts = [part.strip() for part in said.split("|")] if said.strip() else []
    if parts and ("," in parts[0] or "\n" in parts[0]):
        return parts[0]
    trouble = _trouble(turn, parts)
    if trouble:
        return _ask(turn, parts[:-1], trouble)
    if len(parts) < len(STEPS):
        return _ask(turn, parts, "")
    return _line(turn, parts)


def _ask(turn: Turn, parts: list[str], trouble: str) -> Reply:
    step = STEPS[len(parts)]
    so_far = "|".join([*parts, "{text}"])
    shown: tuple[Option, ...] = ()
    if parts:
        shown = (Option(turn.words("add-skip"), f"/add ?{'|'.join([*parts, SKIP])}"),)
    shown += (Option(turn.words("add-never-mind"), "/cancel"), Option(ANY, f"/add ?{so_far}"))
    asked = turn.words(f"add-ask-{step}", name=parts[0] if parts else "")
    return answer(trouble, asked, buttons=shown)


def _trouble(turn: Turn, parts: list[str]) -> str:
    """What is wrong with the newest answer; empty when it will do."""
    if not parts:
        return ""
    said, step = parts[-1], STEPS[min(len(parts), len(STEPS)) - 1]
    if step == "name":
        return _name_trouble(turn, said)
    if step == "pot" and not _skipped(said):
        return _pot_trouble(turn, said)
    return ""


def _name_trouble(turn: Turn, said: str) -> str:
    key = name_key(read_line(said, turn.settings.units).name)
    if not key:
        return turn.words("add-no-letters")
    if key.replace(" ", "").isdigit():
        name = turn.words("add-number-name", said=said[:30])
        return turn.words("add-name-number", said=said[:30], name=name)
    taken = plants.by_keys(turn.tx, turn.who.household_id, [key]).get(key)
    if taken is None:
        return ""
    free = upkeep.free_name(turn.tx, turn.who.household_id, taken.name)
    return turn.words("add-taken-so", name=taken.name, free=free)


def _pot_trouble(turn: Turn, said: str) -> str:
    found = find_pot(said, turn.settings.units)
    if isinstance(found, Refusal):
        return turn.words.refusal(found.key, found.args)
    if found is None or _unclear(found.value):
        return turn.words("add-pot-unclear", said=said[:40])
    return ""


def _unclear(pot: PotSaid) -> bool:
    try:
        resolve(pot)
    except PotUnclearError:
        return True
    return False


def _skipped(said: str) -> bool:
    return said.casefold().strip(" .!") in SKIPPED


def _line(turn: Turn, parts: list[str]) -> Line:
    """The answers as one line; each means what was asked for."""
    name, kind, pot, place = (("" if _skipped(part) else part) for part in parts[:4])
    line = read_line(name, turn.settings.units)
    if kind:
        line = replace(line, **find_species(kind))
    found = find_pot(pot, turn.settings.units) if pot else None
    if found is not None and not isinstance(found, Refusal):
        line = replace(line, pot=found.value)
    if place:
        line = replace(line, spot=read_spot(place).spot)
    return line
