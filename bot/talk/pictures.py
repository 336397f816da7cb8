"""A message with a picture: its caption is heard as any text, and the picture goes with a plant.

The picture itself isn't here yet: it is fetched after the reply, and that it is kept is said then.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from bot.talk import plain, quoted, registry
from bot.talk.answers import ANY_NAME
from bot.talk.catalogue import Catalogue
from bot.talk.message import Option, Picture, Reply
from bot.talk.naming import anywhere, exact, split_plant, typed
from bot.talk.turn import Turn, answer
from bot.talk.understanding import understand
from core.actions import picturing, pouring
from core.actions.picturing import Refused
from core.journal import ledger, plants
from core.journal.plants import Named, Plant
from core.store import dialogues, photos
from core.store.photos import Sent

MOST_CHOICES = 4
MOST_NOTE = 500
# A caption this short may name its plant loosely, as `frn` does.
LOOSE_WORDS = 2
# How many of those that were sent together a refusal is about.
ONE, SOME, ALL = "one", "some", "all"

_PHOTO = re.compile(r"[/!](?:photos?|pictures?)(?:@\w+)?(?:\s+|$)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Caption:
    """What a caption was: what we answer to it, and what is left of it as a note."""

    reply: Reply | None
    note: str = ""


def taken_in(turn: Turn, picture: Picture, text: str) -> Reply | None:
    """The reply to a message with a picture; None where all that is to say comes with it."""
    if not turn.message.addressed and not registry.is_command(text):
        return None
    call = _PHOTO.match(text)
    about = text[call.end() :] if call is not None else text
    named = _named(turn, about)
    if call is not None or not about or (named is not None and not named[1]):
        caption = Caption(None, named[1] if named is not None else about)
    else:
        caption = _heard(turn, text)
    plant = _plant(turn, picture, named[0] if named is not None else None)
    return _expected(turn, picture, caption, plant)


def _named(turn: Turn, text: str) -> tuple[Plant, str] | None:
    """The plant that a caption names, and what else it says."""
    if registry.is_command(text):
        return None
    first = exact(turn, text)
    if first is not None:
        return first.plant, first.rest.strip(" .,!?")
    found = anywhere(turn, text)
    if found is None and 0 < len(text.split()) <= LOOSE_WORDS:
        loose = split_plant(turn, text, lambda name, rest: f"/photo {name} {rest}")
        found = loose if not isinstance(loose, Reply) and not loose.rest else None
    if found is None:
        return None
    return found.plant, text if found.rest.strip(" .,!?") else ""


def _heard(turn: Turn, text: str) -> Caption:
    """A caption as any text; one that isn't for us to act on is a note under the picture."""
    before = turn.teller.ordinal
    with turn.tx.begin_nested() as attempt:
        reply = understand(turn, text)
        meant = (
            turn.teller.ordinal > before
            or registry.is_command(text)
            or plain.is_business(turn, text)
        )
        if not meant:
            attempt.rollback()
    return Caption(reply) if meant else Caption(None, text[:MOST_NOTE])


def _plant(turn: Turn, picture: Picture, named: Plant | None) -> Plant | None:
    """The plant a picture is of, as far as that is clear without asking."""
    about = turn.told_of()
    if len(about) == 1:
        return plants.get(turn.tx, about.pop())
    if named is not None or about:
        return named
    return quoted.plant(turn) or _of_album(turn, picture) or _poured(turn) or _only_one(turn)


def _of_album(turn: Turn, picture: Picture) -> Plant | None:
    first = _album(turn, picture)[:1]
    known = first[0].plant_id if first else None
    return plants.get(turn.tx, known) if known is not None else None


def _album(turn: Turn, picture: Picture) -> list[photos.Row]:
    if not picture.album:
        return []
    return photos.of_album(turn.tx, turn.who.chat_id, picture.album)


def _poured(turn: Turn) -> Plant | None:
    """The plant that is being watered in this chat, where it is only one."""
    open_ones = dialogues.open_about(turn.tx, turn.who.household_id, pouring.SUBJECT)
    here = {one.plant_id for one in open_ones if one.chat_id == turn.who.chat_id and one.plant_id}
    return plants.get(turn.tx, here.pop()) if len(here) == 1 else None


def _only_one(turn: Turn) -> Plant | None:
    known = turn.names()
    return plants.get(turn.tx, known[0].id) if len(known) == 1 else None


# --- what is said -------------------------------------------------------------------------


def _expected(turn: Turn, picture: Picture, caption: Caption, plant: Plant | None) -> Reply | None:
    """Have the picture fetched, and ask of which plant it is if need be."""
    siblings, sent = _album(turn, picture), _sent(turn, picture, caption)
    found: int | Refused = Refused.NO_PLANTS
    if turn.names() or plant is not None:
        plant_id = plant.id if plant is not None else None
        found = picturing.expect(turn.tx, sent, plant_id, picture.size)
    if isinstance(found, Refused) and picture.album:
        picturing.refuse(turn.tx, sent, found)
        return caption.reply
    if isinstance(found, Refused):
        return _beside(caption.reply, refusal(turn.words, found))
    if plant is not None or siblings:
        return caption.reply
    return _ask(turn, caption.reply, found)


def _sent(turn: Turn, picture: Picture, caption: Caption) -> Sent:
    message, who = turn.message, turn.who
    return Sent(
        household_id=who.household_id,
        chat_id=who.chat_id,
        person_id=who.person_id,
        inbox_id=turn.teller.inbox_id or 0,
        ref=picture.ref,
        told_at=turn.now,
        album=picture.album,
        thread=message.thread,
        answers=message.id if message.quoted else None,
        note=caption.note,
    )


def kept_words(words: Catalogue, plant: Plant, number: int) -> str:
    """That pictures are kept, and how to see them or take that back."""
    return words("photo-kept", plant=plant.name, call=plant.call, n=number)


def refusal(words: Catalogue, why: Refused, call: str = "none", of: str = ONE) -> str:
    """Why a picture isn't kept, or some or all of those that were sent together with it.

    And what would work; `call` is its plant's name, if known.
    """
    return words(
        f"photo-{why.value}",
        most=picturing.MOST_FETCHED // 1_000_000,
        room=picturing.MOST_KEPT // 1_000_000,
        coming=picturing.MOST_COMING,
        call=call,
        of=of,
    )


def _ask(turn: Turn, said: Reply | None, photo_id: int) -> Reply:
    """Of which plant is it? The latest that were told of are offered first."""
    if said is not None and said.buttons:
        example = typed(f"/photo {turn.names()[0].key} keep {photo_id}")
        return _beside(said, turn.words("photo-which-typed", example=example))
    offered = _latest(turn)
    buttons = tuple(Option(one.name[:40], f"/photo {one.key} keep {photo_id}") for one in offered)
    more = max(0, len(turn.names()) - len(offered))
    question = answer(
        turn.words("photo-which", more=more),
        buttons=(*buttons, Option(ANY_NAME, f"/photo {{text}} keep {photo_id}")),
    )
    return question if said is None else _joined(said, question)


def _latest(turn: Turn) -> list[Named]:
    """The plants that somebody told of last, then those that are due."""
    known = {one.id: one for one in turn.names()}
    told = ledger.plants_told_of(turn.tx, turn.who.household_id, MOST_CHOICES)
    due = [one.id for one in plants.due_first(turn.tx, turn.who.household_id, MOST_CHOICES)]
    ids = dict.fromkeys(one for one in (*told, *due) if one in known)
    return [known[one] for one in ids][:MOST_CHOICES]


def _beside(said: Reply | None, line: str) -> Reply:
    return answer(line) if said is None else _joined(said, answer(line))


def _joined(said: Reply, more: Reply) -> Reply:
    return Reply(f"{said.text}\n{more.text}", said.buttons or more.buttons, said.files, said.step)
