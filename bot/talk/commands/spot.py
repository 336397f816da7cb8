"""/spot: where a plant stands and its light, with what that means for it."""

from __future__ import annotations

import re
from dataclasses import replace

from bot.talk import portrayal
from bot.talk.commands.told import plant_and_time
from bot.talk.grammar.spots import read_spot
from bot.talk.message import Reply
from bot.talk.turn import Turn, answer
from core.actions import upkeep
from core.care.light import Fit, class_guess, fit, may_scorch
from core.journal.events import Spot
from core.journal.plants import Plant
from core.journal.portrait import guess_light, light_of, portrait

# It stands where it stood before, as after a cold night.
_BACK = re.compile(
    r"(?:is )?(?:back|home)(?: again| in (?:its )?place| (?:at|to) its place)?[ .!]*", re.IGNORECASE
)
_LEADING = re.compile(r"^(?:to|into|is|now|in)\s+", re.IGNORECASE)


def spot(turn: Turn, rest: str) -> Reply:
    """Keep a new place, or say what is known of the present one."""
    told = plant_and_time(turn, rest, "spot")
    if isinstance(told, Reply):
        return told
    plant = told.plant
    left: list[str] = []
    if told.rest and not _BACK.fullmatch(told.rest):
        said, left = _pieces(_LEADING.sub("", told.rest))
        plant = upkeep.move(turn.tx, turn.teller, turn.home, plant, said, told.at)
    where = plant.state.spot
    parts = [part for part in (where.room, portrayal.window(turn, where)) if part]
    if not parts:
        return answer(turn.words("place-unknown", plant=plant.name, call=plant.call))
    stands = turn.words("place-stands", plant=plant.name, where=", ".join(parts))
    odd = turn.words("place-left-over", what=turn.words.both(left)) if left else ""
    return answer(stands, odd, *_light(turn, plant))


def _pieces(text: str) -> tuple[Spot, list[str]]:
    """A spot told in pieces, and pieces that told nothing: one of them at most is the room."""
    whole = read_spot(text).spot
    rooms = [one for one in (read_spot(piece).spot.room for piece in text.split(",")) if one]
    return replace(whole, room=rooms[0] if rooms else ""), [one[:30] for one in rooms[1:]]


def _light(turn: Turn, plant: Plant) -> list[str]:
    """What the light there means for this plant; or which window it is near."""
    where, home = plant.state.spot, turn.home
    light = light_of(where, home)
    if light is None:
        return [turn.words("place-no-light", call=plant.call)]
    needs = portrait(plant.state, home).species.light
    guess = (guess_light(where, home) if not where.light else None) or class_guess(light)
    suits = fit(guess, needs)
    shown = turn.words(f"spot-light-{light.value}")
    lines = [turn.words(f"place-{suits.value}", light=shown[:1].upper() + shown[1:])]
    if may_scorch(guess, needs):
        lines.append(turn.words("place-scorch"))
    if suits is Fit.TOO_DARK:
        lines.append(turn.words("place-reading-test"))
    return lines
