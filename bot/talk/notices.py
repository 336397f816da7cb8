"""Wording of what is said unasked, at the moment when it is first sent."""

from __future__ import annotations

import json
from zoneinfo import ZoneInfo

from bot.talk import pourwords, say
from bot.talk.catalogue import Catalogue
from bot.talk.message import Reply
from core.actions import pouring
from core.journal import settings
from core.store import dialogues
from core.store.engine import Transaction
from core.store.outbox import Parcel


def word(tx: Transaction, parcel: Parcel) -> Reply:
    """The reply for a row of facts. Raises LookupError for a topic that nobody words."""
    ways = settings.read(parcel.settings)
    words = Catalogue(ways.language)
    if parcel.topic != pouring.TOPIC:
        raise LookupError(parcel.topic)
    moved = pouring.from_facts(tx, json.loads(parcel.facts))
    after = ""
    probe = moved.plant.state.probe
    if moved.step.finished and probe is not None:
        when = say.on_day(words, probe.expected, parcel.due_at, ZoneInfo(parcel.zone))
        after = words("pour-next-probe", when=when)
    choices = pourwords.options(words, moved)
    dialogues.set_options(tx, moved.talk_id, choices, version=moved.version)
    return pourwords.pour_reply(words, ways.units, moved, after)
