"""One check in words: what was understood, what to do, why, and what comes next."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from bot.talk import dosewords, noticewords, others, say, verdictwords
from bot.talk.answers import ANY_POT, ANY_READING
from bot.talk.entries import found_words
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from core.care.decision import Ask, Decision
from core.care.reading import Found, Layer
from core.journal.plants import Plant

# What judges brings numpy, for which nobody waits who doesn't check.
if TYPE_CHECKING:
    from core.actions.checking import Outcome
    from core.actions.noticing import Notice

# A moment this close to now needs no mention.
NOW = timedelta(minutes=1)


def verdict_reply(turn: Turn, outcome: Outcome, found: Found, at: datetime | None) -> Reply:
    """The answer first, then why, then what to do next."""
    if outcome.late:
        return answer(_late_head(turn, outcome, found, at), _standing(turn, outcome.plant))
    buttons, notice = _buttons(turn, outcome), notice_of(outcome)
    lines = [
        _head(turn, outcome, found, at),
        _why(turn, outcome),
        _dose_line(turn, outcome),
        _ask(turn, outcome),
        _next_line(turn, outcome),
        _somebody_else(turn, outcome),
    ]
    if notice and buttons:
        lines.append(_in_short(turn, outcome, notice))
    elif notice:
        lines += noticewords.lines(turn, outcome.plant, notice)
        buttons = noticewords.options(turn, outcome.plant, notice)
    return answer(*lines, buttons=buttons)


def notice_of(outcome: Outcome) -> Notice:
    """A watering nobody told, or a pot unlike itself, as this check has shown."""
    from core.actions import noticing  # noqa: PLC0415 - as above

    return noticing.after_check(outcome.before.state, outcome.plant.state, outcome.home)


def _in_short(turn: Turn, outcome: Outcome, notice: Notice) -> str:
    """Where other buttons go first: an alarm in one line. A watering to come ends that doubt."""
    if notice.alarm is None:
        return ""
    first = noticewords.alarm_lines(turn, outcome.plant, notice.alarm)[0]
    return f"{first} {turn.words('notice-why', call=outcome.plant.call)}"


def _somebody_else(turn: Turn, outcome: Outcome) -> str:
    """Who has this plant's pour in hand, or has just probed it, too."""
    now = others.pouring_words(turn, outcome.plant)
    told = others.probed_words(turn, outcome.before)
    return now or (f"{told} {turn.words('others-both-kept')}" if told else "")


def verdict_in_line(turn: Turn, outcome: Outcome, found: Found, at: datetime | None) -> str:
    """The same on one line, for several checks at once."""
    if outcome.late:
        return _late_head(turn, outcome, found, at)
    head = _head(turn, outcome, found, at)
    if not outcome.verdict.gives_water:
        return f"{head} {_ask(turn, outcome) or _next_line(turn, outcome)}".strip()
    if outcome.dose is None or not outcome.dose.litres:
        return head
    return f"{head} {say.short(turn.words, outcome.dose.litres, turn.settings.units)}."


def name_with_dose(turn: Turn, outcome: Outcome) -> str:
    """`Fern 450 ml`, or the name alone where nothing is measured."""
    litres = outcome.dose.litres if outcome.dose is not None else None
    if not litres:
        return outcome.plant.name
    return f"{outcome.plant.name} {say.short(turn.words, litres, turn.settings.units)}"


def cant_tell(outcome: Outcome) -> bool:
    """Whether the check said nothing yet."""
    return outcome.verdict.decision is Decision.CANT_TELL


def moment(turn: Turn, at: datetime | None) -> str:
    """When it was, or "none" for just now."""
    if at is None or turn.now - at < NOW:
        return "none"
    return say.ago(turn.words, at, turn.now, turn.who.zone)


def _head(turn: Turn, outcome: Outcome, found: Found, at: datetime | None) -> str:
    return turn.words(
        "check-head",
        plant=outcome.plant.name,
        found=found_words(turn, found),
        when=moment(turn, at),
        do=turn.words(f"verdict-do-{outcome.verdict.decision.value}"),
    )


def _late_head(turn: Turn, outcome: Outcome, found: Found, at: datetime | None) -> str:
    shown = found_words(turn, found)
    return turn.words("check-late", plant=outcome.plant.name, found=shown, when=moment(turn, at))


def _standing(turn: Turn, plant: Plant) -> str:
    return turn.words("check-now", plant=plant.name, state=verdictwords.standing(turn, plant))


def _why(turn: Turn, outcome: Outcome) -> str:
    judged = outcome.plant.state.judged
    if judged is None:
        return ""
    why = verdictwords.reason_words(turn, judged, outcome.plant.name)
    why = why[:1].upper() + why[1:]
    facts = outcome.verdict.facts
    wettest = facts.wet or facts.reading
    if outcome.verdict.restarted and wettest is not None:
        reading = say.reading(wettest)
        why = f"{why} {turn.words('verdict-restarted', reading=reading)}"
    return why


def _dose_line(turn: Turn, outcome: Outcome) -> str:
    if not outcome.verdict.gives_water:
        return ""
    if outcome.dose is None or outcome.seen is None:
        return turn.words("dose-no-pot", plant=outcome.plant.name, call=outcome.plant.call)
    return dosewords.dose_line(turn, outcome.dose, outcome.seen)


def _ask(turn: Turn, outcome: Outcome) -> str:
    asked = outcome.verdict.ask
    if asked is None:
        return ""
    return turn.words(f"verdict-ask-{asked.value}", call=outcome.plant.call)


def _next_line(turn: Turn, outcome: Outcome) -> str:
    """When to probe again; nothing where water comes first or more is asked right now."""
    verdict = outcome.verdict
    asking = verdict.ask is not None and cant_tell(outcome)
    named = verdict.decision is Decision.DRY_WAIT and verdict.until is not None
    if asking or named or (verdict.gives_water and not verdict.side_dose):
        return ""
    line = verdictwords.again(turn, outcome.plant.state.probe)
    if outcome.plant.state.uneven >= 2:
        line = f"{line} {turn.words('check-uneven-again')}".strip()
    return line


def _buttons(turn: Turn, outcome: Outcome) -> tuple[Option, ...]:
    verdict = outcome.verdict
    if verdict.gives_water:
        return _to_pour(turn, outcome)
    if verdict.ask is None:
        return ()
    known = _known(outcome, verdict.ask)
    hidden = Option(
        ANY_READING, f"/check {outcome.plant.call}: {known} {{text}}".replace("  ", " ")
    )
    return (*_to_ask(turn, outcome, verdict.ask), hidden)


def _to_pour(turn: Turn, outcome: Outcome) -> tuple[Option, ...]:
    call, side = outcome.plant.call, outcome.verdict.side_dose
    litres = outcome.dose.litres if outcome.dose is not None else None
    amount = f" {say.plain_litres(litres)}" if litres else ""
    done = Option(
        turn.words("check-gave-it" if side else "check-done"),
        f"/gave {call}{amount}{' sip' if side else ''}",
    )
    later = Option(turn.words("check-not-today"), f"/later {call}")
    if outcome.dose is None:
        return (done, later, Option(ANY_POT, f"/plant {call} pot {{text}}"))
    return (Option(turn.words("check-pour-with-me"), f"/pour {call}"), done, later)


# The letter that names a layer in a check.
_LAYERS = {Layer.SURFACE: "s", Layer.MIDDLE: "m", Layer.DEEP: "d"}


def _known(outcome: Outcome, asked: Ask) -> str:
    """What was found already and counts together with the answer: signs, the other depth."""
    probed = outcome.plant.state.probed
    found = probed.found if probed is not None else Found()
    said = [sign.value for sign in sorted(found.signs)]
    if asked in (Ask.PROBE_MIDDLE, Ask.PROBE_DEEP):
        numbers = [one for one in found.readings if one.word is None and one.layer in _LAYERS]
        said += [f"{say.reading(one.value)}{_LAYERS[one.layer]}" for one in numbers]
    return " ".join(said)


# What may be answered to a question by a tap, in the words of a check.
TAPS = {
    Ask.LEVEL: ("empty", "low", "full"),
    Ask.LIFT: ("light", "heavy"),
    Ask.ROOTS: ("silvery", "green", "light"),
    Ask.LEAVES: ("limp", "curled", "dry"),
}


def _to_ask(turn: Turn, outcome: Outcome, asked: Ask) -> tuple[Option, ...]:
    call = outcome.plant.call
    if asked is Ask.HOW_FELT:
        probed = outcome.plant.state.probed
        words = [one.word for one in probed.found.readings if one.word] if probed else []
        return tuple(
            Option(turn.words(f"check-felt-{by}"), f"/check {call}: {word.value} by {by}")
            for word in words[:1]
            for by in ("finger", "stick", "lift")
        )
    if asked is Ask.IN_LEAF:
        return (Option(turn.words("check-in-leaf"), f"/plant {call} awake"),)
    return tuple(
        Option(turn.words(f"check-tap-{word}"), f"/check {call}: {word}")
        for word in TAPS.get(asked, ())
    )
