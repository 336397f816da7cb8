"""/photo: the pictures of a plant, the newest first; of which plant one is; one taken away."""

from __future__ import annotations

import re
from datetime import datetime

from bot.talk import gate, pictures, say
from bot.talk.message import Attachment, Option, Reply
from bot.talk.naming import exact, split_plant, whole_plant
from bot.talk.turn import Turn, answer
from core.actions import correcting, picturing
from core.actions.picturing import Picture
from core.actions.rights import Right
from core.journal import plants
from core.journal.plants import Plant, name_key
from core.store import photos

MOST_LOOKED_AT = 500
MOST_DATES = 6
MOST_PLANTS = 12
JPEG = "image/jpeg"

_KEEP = re.compile(r"(?P<name>.*?)\s*\bkeep(?:\s+(?P<id>\d{1,15}))?\s*", re.DOTALL)
_REMOVE = re.compile(r"(?P<name>.*?)\s*\b(?:remove|delete)(?:\s+(?P<n>\d{1,4}))?\s*", re.DOTALL)


def photo(turn: Turn, rest: str) -> Reply:
    """Show pictures of a plant, keep a waiting one with it, or remove one."""
    said = rest.strip()
    keep, remove = _KEEP.fullmatch(said), _REMOVE.fullmatch(said)
    if keep is not None and keep["name"]:
        return _keep(turn, keep["name"], keep["id"])
    if remove is not None and remove["name"]:
        return _remove(turn, remove["name"], remove["n"])
    return _show(turn, said) if said else _overview(turn)


# --- shown ----------------------------------------------------------------------------------


def _overview(turn: Turn) -> Reply:
    """How many pictures there are of which plant."""
    counts = picturing.counts(turn.tx, turn.who.household_id)
    known = {one.id: one.name for one in turn.names()}
    shown = [(known[one], n) for one, n in counts.items() if one in known]
    if not shown:
        return answer(turn.words("photo-none-at-all"))
    listed = [turn.words("photo-count", plant=name, n=n) for name, n in shown[:MOST_PLANTS]]
    return answer(
        turn.words("photo-overview", plants=turn.words.both(listed)),
        turn.words("photo-overview-how", call=name_key(shown[0][0])),
    )


def _show(turn: Turn, said: str) -> Reply:
    found = _departed(turn, said) or split_plant(turn, said, lambda name, _: f"/photo {name}")
    if isinstance(found, Reply):
        return found
    plant, number = (found, "") if isinstance(found, Plant) else (found.plant, found.rest)
    kept = picturing.of_plant(turn.tx, plant.id, MOST_LOOKED_AT)
    if not kept:
        return answer(turn.words("photo-none", plant=plant.name, call=plant.call))
    which = int(number) if number.isdecimal() and len(number) <= len(str(MOST_LOOKED_AT)) else None
    if number and (which is None or not 1 <= which <= len(kept)):
        return answer(turn.words("photo-which-one", plant=plant.name, n=len(kept), call=plant.call))
    return _picture(turn, plant, kept, which or 1)


def _departed(turn: Turn, said: str) -> Plant | None:
    """A plant that left, by its whole name, where no living one answers to it."""
    if exact(turn, said) is not None:
        return None
    gone = plants.departed(turn.tx, turn.who.household_id)
    return next(
        (one for one in gone if one.call == name_key(said) and one.state.left_because), None
    )


def _picture(turn: Turn, plant: Plant, kept: list[Picture], number: int) -> Reply:
    one = kept[number - 1]
    when = _day(turn, one.entry.happened_at)
    text = turn.words(
        "photo-shown", plant=plant.name, when=when, who=turn.name_of(one.entry.person_id)
    )
    file = Attachment(
        f"{re.sub(r'[^a-z0-9]+', '-', plant.call).strip('-') or 'plant'}-{number}.jpg",
        type=JPEG,
        alt=f"{text}\n{one.note}".strip(),
        photo=one.id,
    )
    steps = ((number + 1, "photo-older"), (number - 1, "photo-newer"))
    buttons = tuple(
        Option(turn.words(label), f"/photo {plant.call} {n}")
        for n, label in steps
        if 1 <= n <= len(kept)
    )
    said = answer(text, _note(turn, one), _others(turn, kept, number), buttons=buttons)
    return Reply(said.text, said.buttons, (file,))


def _note(turn: Turn, one: Picture) -> str:
    return turn.words("photo-note", note=one.note) if one.note else ""


def _others(turn: Turn, kept: list[Picture], number: int) -> str:
    """The dates of the others, by the numbers that show them."""
    if len(kept) == 1:
        return ""
    others = [(n, one) for n, one in enumerate(kept, 1) if n != number]
    shown = [
        turn.words("photo-dated", n=n, when=_day(turn, one.entry.happened_at))
        for n, one in others[:MOST_DATES]
    ]
    return turn.words("photo-others", dates=", ".join(shown), more=max(0, len(others) - MOST_DATES))


def _day(turn: Turn, moment: datetime) -> str:
    return say.day(turn.words, moment, turn.now, turn.who.zone)


# --- kept with a plant ----------------------------------------------------------------------


def _keep(turn: Turn, name: str, number: str | None) -> Reply:
    """Say of which plant a picture is that was asked about; without a number, my newest."""
    tail = f" keep {number}" if number else " keep"
    plant = whole_plant(turn, name, lambda call: f"/photo {call}{tail}")
    if isinstance(plant, Reply):
        return plant
    waiting = photos.unnamed(turn.tx, turn.who.household_id, turn.who.person_id)
    photo_id = int(number) if number else (waiting.id if waiting is not None else 0)
    done = picturing.name(turn.tx, turn.teller, turn.home, photo_id, plant)
    if not done.kept and not done.coming:
        return answer(turn.words("photo-not-waiting", call=plant.call))
    if not done.kept:
        return answer(turn.words("photo-will-be", plant=plant.name, n=done.coming))
    return answer(pictures.kept_words(turn.words, plant, done.kept))


# --- taken away -----------------------------------------------------------------------------


def _remove(turn: Turn, name: str, number: str | None) -> Reply:
    """Remove a picture for good: one's own, or any where one may arrange things."""
    plant = whole_plant(turn, name, lambda call: f"/photo {call} remove {number or ''}".strip())
    if isinstance(plant, Reply):
        return plant
    kept = picturing.of_plant(turn.tx, plant.id, MOST_LOOKED_AT)
    if not kept:
        return answer(turn.words("photo-none", plant=plant.name, call=plant.call))
    which = int(number) if number else (1 if len(kept) == 1 else 0)
    if not 1 <= which <= len(kept):
        return answer(turn.words("photo-remove-which", plant=plant.name, call=plant.call),
                      _others(turn, kept, 0))  # fmt: skip
    one = kept[which - 1]
    if one.entry.person_id != turn.who.person_id:
        refusal = gate.lacks(turn, Right.ARRANGE)
        if refusal is not None:
            return refusal
    correcting.take_back(turn.tx, turn.teller, turn.home, [one.entry])
    when = _day(turn, one.entry.happened_at)
    return answer(turn.words("photo-removed", plant=plant.name, when=when))
