"""/chart: how a pot dries, or the pots of a room, as a picture with the same in words."""

from __future__ import annotations

from collections.abc import Sequence

from bot.talk import say
from bot.talk.charts.planning import panel, recipe
from bot.talk.charts.recipe import Labels, to_values
from bot.talk.message import Attachment, Reply
from bot.talk.naming import exact, whole_plant
from bot.talk.turn import Turn, answer
from core.actions.sketching import Sketch, sketch
from core.journal import plants
from core.journal.plants import Plant, name_key

MOST_PANELS = 12
PNG = "image/png"


def chart(turn: Turn, rest: str) -> Reply:
    """A plant by name; the pots of a room, or of the whole household, small."""
    said = rest.strip()
    if not said or (exact(turn, said) is None and _room(turn, said)):
        return _room_chart(turn, said)
    plant = whole_plant(turn, said, lambda call: f"/chart {call}")
    if isinstance(plant, Reply):
        return plant
    found = _sketch(turn, plant)
    if found is None:
        return answer(turn.words("chart-not-probed", plant=plant.name))
    told = _told(turn, found)
    return _with_picture(turn, [found], plant.call, told, plant.call)


def _room(turn: Turn, said: str) -> list[Plant]:
    wanted = name_key(said)
    return [
        one
        for one in plants.living(turn.tx, turn.who.household_id)
        if not wanted or name_key(one.room) == wanted
    ]


def _room_chart(turn: Turn, said: str) -> Reply:
    here = _room(turn, said)
    if not here:
        return answer(turn.words("chart-nothing"))
    found = [one for one in (_sketch(turn, plant) for plant in here) if one is not None]
    if not found:
        return answer(turn.words("chart-none-probed"))
    shown = found[:MOST_PANELS]
    where = here[0].room if said else turn.words("chart-everywhere")
    lines = [turn.words("chart-room", where=where, n=len(shown))]
    lines += [_in_short(turn, one) for one in shown]
    if len(found) > len(shown):
        key = "chart-left-out-here" if said else "chart-left-out"
        lines.append(turn.words(key, n=len(found) - len(shown)))
    return _with_picture(turn, shown, name_key(where), lines, name_key(said))


def _sketch(turn: Turn, plant: Plant) -> Sketch | None:
    return sketch(turn.tx, turn.who.household_id, turn.home, plant, turn.now)


def _with_picture(
    turn: Turn, found: Sequence[Sketch], name: str, lines: list[str], asked: str
) -> Reply:
    """`asked` is what to ask for, to have it drawn again."""
    labels = Labels(
        dry=turn.words("chart-dry"),
        wet=turn.words("chart-wet"),
        today=turn.words("chart-today"),
        line=turn.words("chart-line", line=_mark(found[0])),
        ready=turn.words("chart-ready"),
        watered=turn.words("chart-watered"),
    )
    panels = [panel(one, [_amount(turn, given.litres) for given in one.gave]) for one in found]
    made = recipe(panels, labels, turn.now, turn.who.zone)
    picture = Attachment(
        f"{name.replace(' ', '-')}.png",
        type=PNG,
        alt="\n".join(lines),
        instead=turn.words("chart-not-drawn", what=asked or "none"),
        recipe=to_values(made),
    )
    reply = answer(*lines)
    return Reply(reply.text, files=(picture,))


def _amount(turn: Turn, litres: float | None) -> str:
    if litres is None:
        return turn.words("chart-watered")
    return say.short(turn.words, litres, turn.settings.units)


def _told(turn: Turn, found: Sketch) -> list[str]:
    """The picture in words: what was found and given, when it is probably ready."""
    zone, now = turn.who.zone, turn.now
    moments = [one.at for one in found.seen] + [one.at for one in found.gave]
    first = min(moments, default=None)
    lines = [turn.words("chart-no-past", plant=found.name)]
    if first is None and found.checks:
        lines = [turn.words("chart-surface", plant=found.name, n=found.checks)]
    if first is not None:
        since = say.day(turn.words, first, now, zone)
        lines = [
            turn.words("chart-past", plant=found.name, since=since, probes=found.checks,
                       waterings=len(found.gave))
        ]  # fmt: skip
    if found.seen:
        last = found.seen[-1]
        when = say.ago(turn.words, last.at, now, zone)
        lines.append(turn.words("chart-last", reading=say.reading(round(last.mean, 1)), when=when))
    lines.append(_coming(turn, found))
    return lines


def _coming(turn: Turn, found: Sketch) -> str:
    early, late = (
        say.day(turn.words, moment, turn.now, turn.who.zone)
        for moment in (found.ready[0], found.ready[-1])
    )
    probe = found.probe
    asked = "" if probe is None else say.on_day(
        turn.words, max(probe.expected, turn.now), turn.now, turn.who.zone
    )  # fmt: skip
    if found.decided:
        # Water that waits, a rest, an uneven pot.
        return turn.words("chart-probe", when=asked, call=name_key(found.name))
    key = "chart-coming" if early != late else "chart-coming-day"
    return turn.words(key, line=_mark(found), first=early, last=late, when=asked)


def _mark(found: Sketch) -> str:
    """The highest whole reading at which it is ready."""
    return say.reading(found.line - 0.5)


def _in_short(turn: Turn, found: Sketch) -> str:
    last = say.reading(round(found.seen[-1].mean, 1)) if found.seen else "none"
    probe = found.probe
    asked = say.day(
        turn.words, max(probe.expected if probe else turn.now, turn.now), turn.now, turn.who.zone
    )
    return turn.words("chart-short", plant=found.name, reading=last, when=asked)
