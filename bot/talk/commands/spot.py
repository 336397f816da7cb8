"""/spot: where a plant stands and its light, with what that means for it."""

from __future__ import annotations

import re

from bot.talk import portrayal
from bot.talk.commands.told import plant_and_time
from bot.talk.grammar.spots import read_spot
from bot.talk.message import Reply
from bot.talk.turn import Turn, answer
from core.actions import upkeep
from core.care.light import Fit, class_guess, fit, may_scorch
from core.journal.portrait import guess_light, light_of, portrait


def spot(turn: Turn, rest: str) -> Reply:
    """Keep a new place, or say what is known of the present one."""
    told = plant_and_time(turn, rest, "spot")
    if isinstance(told, Reply):
        return told
    home = turn.home
    plant = told.plant
    if told.rest:
        said = read_spot(
            re.sub(r"^(?:to|into|is|now|in)\s+", "", told.rest, flags=re.IGNORECASE)
        ).spot
        plant = upkeep.move(turn.tx, turn.teller, home, plant, said, told.at)
    where = plant.state.spot
    seen = portrait(plant.state, home)
    parts = [part for part in (where.room, portrayal.window(turn, where)) if part]
    if not parts:
        return answer(turn.words("place-unknown", plant=plant.name, call=plant.call))
    stands = turn.words("place-stands", plant=plant.name, where=", ".join(parts))
    light = light_of(where, home)
    if light is None:
        return answer(stands, turn.words("place-no-light", call=plant.call))
    guess = guess_light(where, home) if not where.light else None
    guess = guess or class_guess(light)
    suits = fit(guess, seen.species.light)
    shown = turn.words(f"spot-light-{light.value}")
    return answer(
        stands,
        turn.words(f"place-{suits.value}", light=shown[:1].upper() + shown[1:]),
        turn.words("place-scorch") if may_scorch(guess, seen.species.light) else "",
        turn.words("place-reading-test") if suits is Fit.TOO_DARK else "",
    )
