"""Several checks in one message: taken apart, kept one by one, told briefly."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from bot.talk import checkwords, say
from bot.talk.commands.told import Told, moment_in, plant_and_time
from bot.talk.grammar.dates import When
from bot.talk.grammar.readings import read_found
from bot.talk.grammar.refusal import Unclear
from bot.talk.message import Option, Reply
from bot.talk.naming import LONGEST_NAME_WORDS, MOST_CHOICES, shorter
from bot.talk.turn import Turn, answer
from core.actions import checking
from core.actions.checking import Outcome
from core.care.reading import Found
from core.care.substrate import is_this_pot
from core.journal.plants import Plant, name_key
from core.journal.portrait import ends_of

# More lines than this drown a phone: then they are gathered by what is to be done.
MOST_LINES = 6
MOST_NAMES = 8

# `feb 24, 2025` is one piece.
_PARTS = re.compile(r"\s*[;\n]\s*|,\s+(?!20\d\d\b)|,(?=\s*[^\d\s])")
# A reading and then a word that no reading knows: perhaps the next plant's name.
_RUN_ON = re.compile(r"\d\S*\s+(?:and\s+|&\s*)?(?=[^\W\d])")
_AND = re.compile(r"\s*(?:\band|&)\s*$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Kept:
    """One piece of a message: what came of it, or why nothing did."""

    part: str
    outcome: Outcome | None = None
    line: str = ""
    why: str = ""


def parts(turn: Turn, rest: str) -> list[str]:
    """The pieces of a bulk check; a piece without a plant belongs to the one before."""
    pieces = [piece.strip() for piece in _PARTS.split(rest) if piece.strip()]
    found: list[str] = []
    for piece in (whole for one in pieces for whole in _run_on(turn, one)):
        if found and _adds(turn, piece):
            found[-1] = f"{found[-1]} {piece}"
        else:
            found.append(piece)
    return found


def _adds(turn: Turn, piece: str) -> bool:
    """Whether a piece is nothing but a reading or a moment; `june 4` is of a June."""
    if isinstance(read_found(piece), Found):
        return True
    moment = moment_in(turn, piece)
    return isinstance(moment, When) and not moment.rest


def _run_on(turn: Turn, piece: str) -> Iterator[str]:
    """`fern 3 4 fig 2` taken apart where the next plant's whole name begins."""
    if not _RUN_ON.search(piece):
        yield piece
        return
    keys = {one.key for one in turn.names()}
    words, start, numbered = piece.split(), 0, False
    for at, word in enumerate(words):
        numbered = numbered or any(char.isdigit() for char in word)
        if numbered and at > start and _begins_name(words[at:], keys):
            yield _AND.sub("", " ".join(words[start:at]))
            start, numbered = at, False
    yield " ".join(words[start:])


def _begins_name(words: list[str], keys: set[str]) -> bool:
    """Whether words begin with a whole name and a reading after it."""
    for count in range(min(len(words) - 1, LONGEST_NAME_WORDS), 0, -1):
        if name_key(" ".join(words[:count])) in keys:
            following = read_found(" ".join(words[count : count + 1]))
            return isinstance(following, Found) and not isinstance(read_found(words[0]), Found)
    return False


def found_in(turn: Turn, told: Told) -> tuple[Found | Unclear | None, datetime | None]:
    """What was found and when; None was found where only a plant was named.

    A bare `at 3` is a reading where nothing else is one, else a time of day.
    """
    found, at = read_found(told.rest) if told.rest else None, told.at
    if not isinstance(found, Found) and told.moment:
        again = read_found(told.whole)
        if isinstance(again, Found):
            found, at = again, turn.happened_at
    odd = odd_weight(turn, told.plant, found) if isinstance(found, Found) else None
    return odd or found, at


def odd_weight(turn: Turn, plant: Plant, found: Found) -> Unclear | None:
    """Why a weight can't be this pot's, by the two it is known to have."""
    if found.weight_kg is None:
        return None
    ends = ends_of(plant.state)
    if ends is None or is_this_pot(found.weight_kg, ends):
        return None
    said, dry, wet = (
        say.weight(one, turn.settings.units) for one in (found.weight_kg, ends.dry_kg, ends.wet_kg)
    )
    args = {"said": said, "plant": plant.name, "call": plant.call, "dry": dry, "wet": wet}
    return Unclear("check-weight-odd", args)


def check_all(turn: Turn, pieces: list[str]) -> Reply:
    """Each piece on its own; what can't be taken is said and the rest is kept."""
    kept = [_one(turn, piece) for piece in pieces]
    lines = _lines(turn, kept) if len(kept) <= MOST_LINES else _gathered(turn, kept)
    lines += _unlike(turn, [one.outcome for one in kept if one.outcome is not None])
    watering = {one.plant.name: one.plant.call for one in _newest(kept) if _waters(one)}
    buttons = tuple(
        Option(turn.words("check-pour-one", plant=name)[:40], f"/pour {call}")
        for name, call in watering.items()
    )
    return answer(*lines, buttons=buttons[:MOST_CHOICES])


def _newest(kept: list[Kept]) -> list[Outcome]:
    """One for each plant: what was told of it last counts."""
    newest = {one.outcome.plant.id: one.outcome for one in kept if one.outcome is not None}
    return list(newest.values())


def _waters(outcome: Outcome) -> bool:
    return outcome.verdict.gives_water and not outcome.late


def _one(turn: Turn, part: str) -> Kept:
    told = plant_and_time(turn, part, "check")
    if isinstance(told, Reply):
        return Kept(part, why=told.text.split("\n")[0])
    if shorter(turn, told.spoken) is not None:
        return Kept(part, why=turn.words("check-two-ways-colon", call=told.plant.call))
    found, at = found_in(turn, told)
    if not isinstance(found, Found):
        unclear = found or Unclear("reading-none")
        return Kept(part, why=turn.words.refusal(unclear.key, unclear.args))
    outcome = checking.check(turn.tx, turn.teller, turn.home, told.plant, found, at)
    return Kept(part, outcome, checkwords.verdict_in_line(turn, outcome, found, at))


def _lines(turn: Turn, kept: list[Kept]) -> list[str]:
    return [one.line or _not_kept(turn, one) for one in kept]


def _not_kept(turn: Turn, one: Kept) -> str:
    return turn.words("check-not-kept", part=one.part[:30], why=one.why)


def _gathered(turn: Turn, kept: list[Kept]) -> list[str]:
    """Many at once: counted, those that want water by name, and what wasn't taken."""
    told = _newest(kept)
    water = [checkwords.name_with_dose(turn, one) for one in told if _waters(one)]
    unsure = [one.plant.name for one in told if checkwords.cant_tell(one)]
    odd = [one for one in kept if one.outcome is None]
    rest = len(told) - len(water) - len(unsure)
    return [
        turn.words("check-many-kept", n=len(kept) - len(odd)),
        _named(turn, "check-many-water", water),
        _named(turn, "check-many-unsure", unsure),
        turn.words("check-many-leave", n=rest) if rest else "",
        *(_not_kept(turn, one) for one in odd[:3]),
        turn.words("common-and-more", n=len(odd) - 3) if len(odd) > 3 else "",
        turn.words("check-many-how") if told else "",
    ]


def _unlike(turn: Turn, told: list[Outcome]) -> list[str]:
    """Pots that were wetter than before, and pots that dry unlike themselves, in a line each."""
    found = [(one.plant, checkwords.notice_of(one)) for one in told]
    wetter = {plant.name: plant.call for plant, notice in found if notice.unseen is not None}
    odd = {plant.name: plant.call for plant, notice in found if notice.alarm is not None}
    return [
        _named(turn, key, list(names), call=next(iter(names.values())))
        for key, names in (("check-many-wetter", wetter), ("check-many-unlike", odd))
        if names
    ]


def _named(turn: Turn, key: str, names: list[str], **more: str) -> str:
    if not names:
        return ""
    left = max(0, len(names) - MOST_NAMES)
    shown = ", ".join(names[:MOST_NAMES])
    return turn.words(key, n=len(names), names=shown, more=left, **more)
