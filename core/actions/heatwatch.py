"""Great heat and scorching sun: said the afternoon before, once for a whole spell of such days.

What was said in a spell is a dialogue that lasts as long as it: another plant in danger is named,
the same one is not named again.
"""

from __future__ import annotations

import json
from datetime import date, datetime, time, timedelta
from typing import Final

from sqlalchemy import Connection

from core.actions import highs
from core.actions.here import Here, lay
from core.actions.highs import Hot, Threatened
from core.care import wallclock
from core.care.heat import HOT_C
from core.store import dialogues, outbox
from core.store.dialogues import Talk

SUBJECT, TOPIC = "heat", "heat"
# Hot days with no more than this between them are one spell (ours).
_SPELL_ENDS_AFTER: Final = timedelta(days=4)
_DAY: Final = timedelta(days=1)


def look(tx: Connection, here: Here) -> None:
    """Say who is in danger tomorrow, if nobody was told in this spell."""
    found = _to_come(tx, here, here.day + _DAY)
    if found is None:
        return
    hot, plants = found
    spell = _spell(tx, here.household_id)
    new = _ids(plants) - _said(spell)
    talk = _keep(tx, here, hot.day, _ids(plants) | _said(spell))
    if new:
        _warn(tx, here, talk, hot, plants)


def heard(tx: Connection, here: Here, day: date) -> None:
    """Everybody in the household's own chat has just read of this day: it is said."""
    found = _to_come(tx, here, day) if here.day <= day <= here.day + _DAY else None
    if found is not None:
        said = _ids(found[1]) | _said(_spell(tx, here.household_id))
        _keep(tx, here, day, said)


def time_up(tx: Connection, talk: Talk, now: datetime) -> None:
    """The spell is over."""
    dialogues.close(tx, talk.id, now)


def _to_come(tx: Connection, here: Here, day: date) -> tuple[Hot, list[Threatened]] | None:
    hot = highs.known(tx, here.household_id, day, here.zone, here.now)
    if hot is None or hot.celsius < HOT_C:
        return None
    sky = highs.sky_of(tx, here.household_id, here.zone, here.now)
    if sky is None:
        return None
    found = highs.threatened(tx, here.household_id, hot, sky)
    return (hot, found) if found else None


def _ids(found: list[Threatened]) -> set[int]:
    return {one.plant.id for one in found}


def _spell(tx: Connection, household_id: int) -> Talk | None:
    return next(iter(dialogues.open_about(tx, household_id, SUBJECT)), None)


def _said(spell: Talk | None) -> set[int]:
    return set() if spell is None else set(json.loads(spell.state)["plants"])


def _keep(tx: Connection, here: Here, day: date, said: set[int]) -> Talk:
    """Keep whom the spell was spoken of for, until some days without danger; the row then."""
    spell = _spell(tx, here.household_id)
    state = json.dumps({"plants": sorted(said)})
    due_at = wallclock.moment_of(day + _SPELL_ENDS_AFTER, time(0), here.zone)
    if spell is None:
        talk_id = dialogues.begin(
            tx,
            household_id=here.household_id,
            chat_id=here.chat_id,
            person_id=None,
            subject=SUBJECT,
            stage="said",
            state=state,
            due_at=due_at,
            now=here.now,
        )
    else:
        talk_id = spell.id
        if state != spell.state:
            dialogues.advance(tx, spell, stage="said", state=state, due_at=due_at)
        else:
            dialogues.restate(tx, spell.id, state, due_at)
    talk = dialogues.get(tx, talk_id)
    if talk is None:
        raise LookupError("the spell just kept can't be found")
    return talk


def _warn(tx: Connection, here: Here, talk: Talk, hot: Hot, found: list[Threatened]) -> None:
    facts = {
        "day": hot.day.isoformat(),
        "high": hot.celsius,
        "credit": hot.credit,
        "since": hot.told_at.isoformat(),
        "plants": [
            {
                "name": one.plant.name,
                "threat": one.burn.threat.value,
                "facing": one.plant.state.spot.facing,
                "from": one.burn.shine.begin.isoformat() if one.burn.shine else None,
                "to": one.burn.shine.end.isoformat() if one.burn.shine else None,
            }
            for one in found
        ],
    }
    lay(tx, here, TOPIC, f"heat.{talk.id}.{talk.version}", facts, outbox.WARNING)
