"""/why: where the next probe of a plant comes from, in a few short lines."""

from __future__ import annotations

from bot.talk import noticewords, portrayal, say
from bot.talk.message import Reply
from bot.talk.naming import split_plant
from bot.talk.turn import Turn, answer
from bot.talk.verdictwords import is_open, verdict_line
from core.actions import noticing
from core.actions.noticing import Grounds
from core.care.decision import Decision
from core.journal.plants import Plant
from core.journal.portrait import portrait

# Under this many per cent the season is no news; a household's spell counts from a tenth on (ours).
_LEAST_PACE, _LEAST_SPELL = 5, 1.1
_KNOWN_AFTER = 2  # dry-downs


def why(turn: Turn, rest: str) -> Reply:
    """The day and its range; last watering and dry-downs; the season; how well it is known."""
    found = split_plant(turn, rest, lambda name, _more: f"/why {name}")
    if isinstance(found, Reply):
        return found
    plant = found.plant  # `why is fern late` asks no more than `why fern`
    if plant.state.probe is None:
        return answer(turn.words("why-none", plant=plant.name))
    known = noticing.grounds(turn.tx, turn.who.household_id, turn.home, plant.state, turn.now)
    if known is None:
        wants = portrayal.wants(turn, portrait(plant.state, turn.home).species, plant.call)
        return answer(_asked(turn, plant), verdict_line(turn, plant), wants)
    lines = [_asked(turn, plant), _waits(turn, plant), _took(turn, plant, known)]
    if known.alarm is None:
        return answer(*lines, _pace(turn, known), _sureness(turn, known))
    alarm = noticewords.alarm_lines(turn, plant, known.alarm)
    buttons = noticewords.alarm_options(turn, plant, known.alarm)
    return answer(lines[0], *alarm, _sureness(turn, known), buttons=buttons)


def _asked(turn: Turn, plant: Plant) -> str:
    probe = plant.state.probe
    if probe is None:
        return ""
    if say.has_gone_by(probe.expected, turn.now, turn.who.zone):
        since = say.day(turn.words, probe.expected, turn.now, turn.who.zone)
        return turn.words("why-since", plant=plant.name, since=since)
    asked = say.on_day(turn.words, probe.expected, turn.now, turn.who.zone)
    first, last = (
        say.day(turn.words, moment, turn.now, turn.who.zone)
        for moment in (probe.earliest, probe.last)
    )
    key = "why-day" if first == last else "why-range"
    return turn.words(key, plant=plant.name, when=asked, first=first, last=last)


def _waits(turn: Turn, plant: Plant) -> str:
    """A verdict that stands: water that waits, or a rest on top of the dry day."""
    judged = plant.state.judged
    rests = judged is not None and Decision(judged.decision) is Decision.DRY_WAIT
    return verdict_line(turn, plant) if rests or is_open(plant) else ""


def _took(turn: Turn, plant: Plant, known: Grounds) -> str:
    """The last watering, and what this pot's dry-downs took."""
    usual = say.days(turn.words, known.usual_days)
    watered, took = plant.state.watered, plant.state.drydowns_d
    if watered is None:
        return turn.words("why-unwatered", usual=usual)
    when = say.ago(turn.words, watered.at, turn.now, turn.who.zone)
    days = [max(1, round(one)) for one in took] or [0]
    alike = min(days) == max(days)
    return turn.words(
        "why-watered",
        when=when,
        n=1 if took and alike else len(took),
        once=say.days(turn.words, days[-1]),
        shortest=min(days),
        longest=max(days),
        usual=usual,
    )


def _pace(turn: Turn, known: Grounds) -> str:
    """Season and air now, and what all pots of the household have done lately."""
    more = round((known.pace - 1) * 100)
    much = "none" if abs(more) < _LEAST_PACE else str(abs(more))
    rooms = "none"
    if known.slower > _LEAST_SPELL:
        rooms = "slower"
    elif known.slower < 1 / _LEAST_SPELL:
        rooms = "faster"
    way = "faster" if more > 0 else "slower"
    return turn.words("why-pace", much=much, way=way, rooms=rooms)


def _sureness(turn: Turn, known: Grounds) -> str:
    if known.cycles >= _KNOWN_AFTER:
        return turn.words("why-known", n=known.cycles)
    return turn.words("why-rough", n=_KNOWN_AFTER - known.cycles)
