"""/turn, /wipe, /feed, /scout, /repot: record what was done, with a word of advice."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta

from bot.talk import checkwords, portrayal, say
from bot.talk.commands import gavemany
from bot.talk.commands.told import Told, plant_and_time
from bot.talk.grammar.pots import find_pot
from bot.talk.grammar.quantities import Refusal
from bot.talk.groups import read_group
from bot.talk.message import Reply
from bot.talk.turn import Turn, answer
from core.actions import upkeep
from core.care.pots import PotUnclearError, resolve
from core.care.potsaid import PotSaid
from core.care.season import grows
from core.journal.events import Repotted
from core.journal.plants import Plant
from core.journal.portrait import Portrait, portrait
from core.knowledge.mixes import find_mix, mixes
from core.knowledge.types import Leaf

LONGEST_NOTE = 300
MOST_NAMES = 8
Advice = Callable[[Turn, Told, Portrait], list[str]]
_CLEAN = re.compile(
    r"(?:is |was |looks |all |it )*"
    r"(?:clean|clear|fine|ok|good|nothing|none|no pests?|no bugs?)?[ .!]*",
    re.IGNORECASE,
)
# Fresh mix feeds for four to eight weeks (common practice, no source).
FED_BY_MIX = timedelta(weeks=6)


def _tend(turn_: Turn, rest: str, act: str, advice: Advice) -> Reply:
    """Write it down for the plant that was named, or for several (`turned fern and fig`)."""
    group = read_group(turn_, rest)
    if group is not None and group.plants:
        return _several(turn_, [f"{one.key}: {group.rest}" for one in group.plants], act)
    pieces = gavemany.parts(turn_, rest)
    if len(pieces) > 1:
        return _several(turn_, pieces, act)
    told = plant_and_time(turn_, rest, act)
    if isinstance(told, Reply):
        return told
    plant = _keep(turn_, told, act)
    return _reply(turn_, told, act, *advice(turn_, told, portrait(plant.state, turn_.home)))


def _keep(turn_: Turn, told: Told, act: str) -> Plant:
    note = told.rest.strip(" .!,")[:LONGEST_NOTE]
    found = act == "scout" and _CLEAN.fullmatch(told.rest) is None
    return upkeep.tend(
        turn_.tx, turn_.teller, turn_.home, told.plant, act, note, told.at, found=found
    )


def _several(turn_: Turn, pieces: list[str], act: str) -> Reply:
    names = []
    for piece in pieces:
        told = plant_and_time(turn_, piece, act)
        if isinstance(told, Reply):
            continue
        names.append(_keep(turn_, told, act).name)
    return answer(
        turn_.words(f"tend-{act}", plant=say.some(turn_.words, names, MOST_NAMES), when="none")
    )


def _reply(turn_: Turn, told: Told, act: str, *advice: str) -> Reply:
    when = checkwords.moment(turn_, told.at)
    return answer(turn_.words(f"tend-{act}", plant=told.plant.name, when=when), *advice)


def turn(turn_: Turn, rest: str) -> Reply:
    """Turned, so that it grows evenly."""
    return _tend(turn_, rest, "turn", _about_turning)


def _about_turning(turn_: Turn, _told: Told, seen: Portrait) -> list[str]:
    return [turn_.words("tend-bud")] if seen.species.still_in_bud else []


def wipe(turn_: Turn, rest: str) -> Reply:
    """Dusted or wiped; hairy and waxy leaves want something else."""
    return _tend(turn_, rest, "wipe", _about_wiping)


def _about_wiping(turn_: Turn, _told: Told, seen: Portrait) -> list[str]:
    leaf = seen.species.leaf
    return [] if leaf is Leaf.SMOOTH else [turn_.words(f"tend-leaf-{leaf.value}")]


def feed(turn_: Turn, rest: str) -> Reply:
    """Fed: kept, with a caution out of season, when dry, or fresh from a repot."""
    return _tend(turn_, rest, "feed", _about_feeding)


def _about_feeding(turn_: Turn, told: Told, seen: Portrait) -> list[str]:
    here = turn_.now.astimezone(turn_.who.zone)
    cautions = []
    if not grows(seen.species.growing_months, here, turn_.settings.hemisphere):
        cautions.append(turn_.words("tend-feed-season", plant=told.plant.name))
    if seen.deep is not None and seen.deep <= 2:
        cautions.append(turn_.words("tend-feed-dry"))
    if seen.past.repotted_within(FED_BY_MIX, turn_.now):
        cautions.append(turn_.words("tend-feed-repotted"))
    return cautions or [turn_.words("tend-feed-label")]


def scout(turn_: Turn, rest: str) -> Reply:
    """Looked for pests; what was found is kept in words."""
    return _tend(turn_, rest, "scout", _about_scouting)


def _about_scouting(turn_: Turn, told: Told, _seen: Portrait) -> list[str]:
    return [turn_.words("tend-scout-clean" if _CLEAN.fullmatch(told.rest) else "tend-scout-found")]


def rinse(turn_: Turn, rest: str) -> Reply:
    """Rinsed with plenty of water, against salts; that is no watering by need."""
    return _tend(turn_, rest, "rinse", lambda turn, _told, _seen: [turn.words("tend-rinse-how")])


def repot(turn_: Turn, rest: str) -> Reply:
    """A new pot or fresh mix: what the pot taught so far is set aside."""
    told = plant_and_time(turn_, rest, "repot")
    if isinstance(told, Reply):
        return told
    body = _repotted(turn_, told.rest)
    if isinstance(body, Reply):
        return body
    home = turn_.home
    plant = upkeep.repot(turn_.tx, turn_.teller, home, told.plant, body, told.at)
    seen = portrait(plant.state, home)
    advice = [turn_.words("tend-repot-advice")]
    if plant.state.pot is not None:
        half = say.litres(turn_.words, seen.pot.half_l, turn_.settings.units)
        advice.insert(0, turn_.words("plant-pot-half", amount=half))
    what = [portrayal.size_words(turn_, body.pot.said)] if body.pot is not None else []
    what += [mixes()[body.mix].names[0]] if body.mix else []
    shown = turn_.words("tend-repotted", plant=plant.name, what=", ".join(what) or "none",
                        when=checkwords.moment(turn_, told.at))  # fmt: skip
    return answer(shown, *advice)


def _repotted(turn_: Turn, text: str) -> Repotted | Reply:
    said: PotSaid | None = None
    mix, notes = "", []
    for piece in [
        one.strip() for one in re.split(r",\s+|\bin(?:to)?\b|\bwith\b", text) if one.strip()
    ]:
        found = find_pot(piece, turn_.settings.units)
        if isinstance(found, Refusal):
            return answer(turn_.words.refusal(found.key, found.args))
        known = find_mix(piece)
        if found is not None:
            said = found.value
        elif known is not None:
            mix = known.id
        else:
            notes.append(piece)
    if said is not None:
        try:
            resolve(said)
        except PotUnclearError:
            return answer(turn_.words("add-pot-unclear", said=said.said[:40]))
    return Repotted(pot=said, mix=mix, note=", ".join(notes)[:LONGEST_NOTE])
