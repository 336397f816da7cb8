"""A notice in words: what was expected, what came, what to look at first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.talk import say
from bot.talk.message import Option
from bot.talk.turn import Turn
from core.journal.plants import Plant

# What finds them brings numpy, for which nobody waits who doesn't check.
if TYPE_CHECKING:
    from core.actions.noticing import Notice
    from core.care.drydown.alarm import Alarm

SLOW = "slow"
# From which share of its speed on a pot is said to dry at a third or at half of it.
_THIRD, _HALF = 0.4, 0.6


def lines(turn: Turn, plant: Plant, notice: Notice) -> list[str]:
    """What is said below a verdict; empty when there is nothing to say."""
    if notice.unseen is not None:
        when = say.on_day(turn.words, notice.unseen, turn.now, turn.who.zone)
        return [turn.words("notice-unseen", plant=plant.name, when=when)]
    return alarm_lines(turn, plant, notice.alarm) if notice.alarm is not None else []


def options(turn: Turn, plant: Plant, notice: Notice) -> tuple[Option, ...]:
    """How it may be answered, each a command that could be typed."""
    if notice.unseen is not None:
        moment = notice.unseen.astimezone(turn.who.zone).strftime("%Y-%m-%d %H:%M")
        yes = Option(turn.words("notice-yes"), f"/gave {plant.call}: unseen {moment}")
        return (yes, Option(turn.words("notice-no"), "/cancel"))
    return alarm_options(turn, plant, notice.alarm) if notice.alarm is not None else ()


def alarm_lines(turn: Turn, plant: Plant, alarm: Alarm) -> list[str]:
    """The pot's new pace against its own past, and where to look."""
    pace = alarm.pace.value
    said = turn.words(
        f"notice-{pace}",
        plant=plant.name,
        speed=_speed(alarm),
        found=say.days(turn.words, alarm.found_days),
        usual=say.days(turn.words, alarm.expected_days),
    )
    return [said, turn.words(f"notice-{pace}-look")]


def alarm_options(turn: Turn, plant: Plant, alarm: Alarm) -> tuple[Option, ...]:
    """What may have been found."""
    last = "soft" if alarm.pace == SLOW else "full"
    return tuple(
        Option(turn.words(f"notice-{found}"), f"/looked {plant.call}: {found}")
        for found in ("moved", "fine", last)
    )


def _speed(alarm: Alarm) -> str:
    share = alarm.expected_days / alarm.found_days
    share = share if alarm.pace == SLOW else 1 / share
    return "third" if share < _THIRD else "half" if share < _HALF else "less"
