"""/turn, /wipe, /feed, /scout, /repot: record what was done, with a word of advice."""

from __future__ import annotations

import re
from datetime import timedelta

from bot.talk import say
from bot.talk.commands.told import Told, plant_and_time
from bot.talk.grammar.pots import find_pot
from bot.talk.grammar.quantities import Refusal
from bot.talk.message import Reply
from bot.talk.turn import Turn, answer
from core.actions import upkeep
from core.care.pots import PotUnclearError, resolve
from core.care.potsaid import PotSaid
from core.care.season import grows
from core.journal.events import Repotted
from core.journal.plants import Plant
from core.journal.portrait import Portrait, portrait
from core.knowledge.mixes import find_mix
from core.knowledge.types import Leaf

LONGEST_NOTE = 300
# Fresh mix feeds for four to eight weeks (common practice, no source).
FED_BY_MIX = timedelta(weeks=6)


def _tended(turn: Turn, rest: str, act: str) -> tuple[Told, Portrait] | Reply:
    told = plant_and_time(turn, rest, act)
    if isinstance(told, Reply):
        return told
    home = turn.home
    note = told.rest[:LONGEST_NOTE]
    plant = upkeep.tend(turn.tx, turn.teller, home, told.plant, act, note, told.at)
    return told, portrait(plant.state, home)


def _reply(turn: Turn, told: Told, act: str, *advice: str) -> Reply:
    when = say.ago(turn.words, told.at, turn.now, turn.who.zone) if told.at else "none"
    noted = turn.words(f"tend-{act}", plant=told.plant.name, when=when)
    return answer(noted, *advice)


def turn(turn_: Turn, rest: str) -> Reply:
    """Turned, so that it grows evenly."""
    done = _tended(turn_, rest, "turn")
    if isinstance(done, Reply):
        return done
    told, seen = done
    return _reply(turn_, told, "turn", turn_.words("tend-bud") if seen.species.still_in_bud else "")


def wipe(turn_: Turn, rest: str) -> Reply:
    """Dusted or wiped; hairy and waxy leaves want something else."""
    done = _tended(turn_, rest, "wipe")
    if isinstance(done, Reply):
        return done
    told, seen = done
    leaf = "" if seen.species.leaf is Leaf.SMOOTH else f"tend-leaf-{seen.species.leaf.value}"
    return _reply(turn_, told, "wipe", turn_.words(leaf) if leaf else "")


def feed(turn_: Turn, rest: str) -> Reply:
    """Fed: kept, with a caution out of season, when dry, or fresh from a repot."""
    done = _tended(turn_, rest, "feed")
    if isinstance(done, Reply):
        return done
    told, seen = done
    return _reply(turn_, told, "feed", *_feed_cautions(turn_, told.plant, seen))


def _feed_cautions(turn_: Turn, plant: Plant, seen: Portrait) -> list[str]:
    here = turn_.now.astimezone(turn_.who.zone)
    cautions = []
    if not grows(seen.species.growing_months, here, turn_.settings.hemisphere):
        cautions.append(turn_.words("tend-feed-season", plant=plant.name))
    if seen.deep is not None and seen.deep <= 2:
        cautions.append(turn_.words("tend-feed-dry"))
    if seen.past.repotted_within(FED_BY_MIX, turn_.now):
        cautions.append(turn_.words("tend-feed-repotted"))
    return cautions or [turn_.words("tend-feed-label")]


def scout(turn_: Turn, rest: str) -> Reply:
    """Looked for pests; what was found is kept in words."""
    done = _tended(turn_, rest, "scout")
    if isinstance(done, Reply):
        return done
    told, _seen = done
    clean = re.fullmatch(
        r"(?:(?:all )?(?:clean|clear|fine|ok|good)|nothing|none|no pests?)?[ .!]*",
        told.rest,
        re.IGNORECASE,
    )
    advice = turn_.words("tend-scout-clean" if clean else "tend-scout-found")
    return _reply(turn_, told, "scout", advice)


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
    return _reply(turn_, told, "repot", *advice)


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
