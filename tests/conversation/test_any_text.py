"""Whatever is typed gets one answer, raises nothing, and writes nothing where it is refused."""

from __future__ import annotations

from datetime import timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from core.actions.rebuilding import households, rebuild
from tests.conversation.conftest import PLANTS
from tests.conversation.talking import BROKEN, Heard, InProcess, perform

# Bounded so that the whole file stays under twenty seconds on a slow machine.
EXAMPLES, LINES = 40, 6

COMMANDS = (
    "start add plants plant check later dose pour gave drained spot turn wipe feed scout repot "
    "story why undo fix settings household help cancel"
).split()
WORDS = (
    "fern fig goldie viper dry no yes two light yesterday tomorrow 3 4 14 0 -3 3,4 3/4 4m 6d 400 "
    "ml 400ml 1,5 l 2 cups 15 cm pot 20x18x15 no hole ½ 10^400 nan kg 1.84 °C poured none water "
    "stands through stopped emptied done rename copy retire died species lily palm mix bark "
    "resting awake wet 2.6 outer reservoir north window kitchen balcony ago 2026-03-01 at 9:00 "
    "last night everything and , ; : ? ! | * ~/ {text} %s \x00 🌵 é ß ٣ and the a is of sure "
    "besides anyway older units us zone Berlin seasons more bottom meter soak 25:99 limp silvery"
).split(" ")

fragments = st.lists(st.sampled_from(WORDS), max_size=7).map(" ".join)
commands = st.tuples(st.sampled_from(COMMANDS), fragments).map(" ".join).map("/{}".format)
any_text = st.text(max_size=60)
lines = st.lists(fragments, min_size=2, max_size=4).map("\n".join)
said = st.one_of(fragments, commands, any_text, lines)
people = st.sampled_from(["Ida", "Tom"])
taps = st.integers(0, 3)
steps = st.one_of(
    st.tuples(st.just("say"), people, said),
    st.tuples(st.just("say"), people, said),
    st.tuples(st.just("edit"), people, said),
    st.tuples(st.just("tap"), people, taps.map(str)),
    st.tuples(st.just("wait"), people, st.sampled_from(["7", "30", "400", "4000"])),
)


def _household() -> InProcess:
    stage = InProcess()
    stage.say("Ida", "/add\n" + "\n".join(PLANTS))
    stage.say("Tom", "hello")
    return stage


@settings(
    max_examples=EXAMPLES,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(script=st.lists(steps, min_size=1, max_size=LINES))
def test_anything_gets_one_answer_and_raises_nothing(
    broken: list[str], script: list[tuple[str, str, str]]
) -> None:
    """The fixture `broken` holds whatever was logged as an exception meanwhile."""
    stage = _household()
    for how, who, what in script:
        before = stage.journal()
        answers = _perform(stage, how, who, what)
        texts = [one.text for one in answers]
        assert not broken, (what, broken[0])
        assert not [text for text in texts if BROKEN in text or not text.strip()], (what, texts)
        assert all(len(one.buttons) <= 4 for one in answers), (what, texts)
        if how in ("say", "tap", "edit"):
            assert len(answers) == 1, (what, texts)
        if how == "say" and any(_refuses(text) for text in texts):
            assert stage.journal() == before, (what, texts)
    with stage.store.write() as tx:
        assert [one for house in households(tx) for one in rebuild(tx, house, write=False)] == []
    stage.close()


def _perform(stage: InProcess, how: str, who: str, what: str) -> list[Heard]:
    if how == "wait":
        return stage.wait(timedelta(minutes=int(what)))
    if how == "tap":
        return _tap(stage, who, int(what))
    if not what.strip():
        what = "."
    if how == "edit":
        return stage.edit(who, what) if stage.has_spoken(who) else stage.say(who, what)
    return stage.say(who, what)


def _tap(stage: InProcess, who: str, number: int) -> list[Heard]:
    shown = [one for one in stage.recorder.sent if one.buttons]
    if not shown:
        return stage.say(who, "help")
    buttons = shown[-1].buttons
    return stage.tap(who, buttons[number % len(buttons)].label)


REFUSALS = (
    "I don't know \"",
    "for which plant?",
    "nothing was kept",
    "Did you mean",
    "hasn't been yet",
    "is no day I know",
    "Which plant? Try",
)


def _refuses(text: str) -> bool:
    """A refusal in the first line is one of the whole message, unless it speaks of a part."""
    first = text.split("\n", maxsplit=1)[0]
    partly = "wasn't kept" in first or "kept as you said it" in first
    return any(one in first for one in REFUSALS) and not partly


@settings(max_examples=60)
@given(text=said)
def test_reading_never_raises(text: str) -> None:
    """The grammars beneath take any text: they say what they found, or why nothing."""
    from bot.talk import pouranswers
    from bot.talk.commands.addline import read_line
    from bot.talk.commands.gaveamount import read_given
    from bot.talk.grammar.readings import read_found
    from bot.talk.grammar.spots import read_spot
    from core.care.pourstate import Answer
    from core.care.units import System

    for system in System:
        read_given(text, system)
        pouranswers.hear(text, tuple(Answer), system)
        line = read_line(text, system)
        assert len(line.name) <= 40
    read_found(text)
    read_spot(text)


def test_scripts_say_when_they_differ() -> None:
    """The helper itself: a wrong fragment, an unsaid event, a missing answer fail a script."""
    from tests.conversation.talking import play

    stage = InProcess()
    for wrong in (
        "Ida: hello\n  Good to meet you, Tom",
        "Ida: hello\n  not: Good to meet you",
        "Ida: hello\n  [Yes]",
        "Ida: /add fern, Boston fern",
        "... 1 day\n  anything",
        "Ida: hello\n  = checked",
    ):
        with pytest.raises(AssertionError):
            play(stage, wrong)
    with pytest.raises(AssertionError, match="not a step"):
        perform(stage, "who says this")
    stage.close()
