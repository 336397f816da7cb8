"""Every way of a pour, every answer: it ends, and what can't be taken is told."""

from __future__ import annotations

import itertools
from datetime import timedelta

import pytest

from core.care.pourstate import Answer
from tests.conversation.talking import Heard, InProcess, fits_a_phone, labels

WAYS = {
    "top": ("fern, Boston fern, 15 cm pot", "fern 4", "/pour fern"),
    "meter": ("fern, Boston fern, 15 cm pot", "fern 4", "/pour fern meter"),
    "bottom": ("fern, Boston fern, 15 cm pot", "fern 4", "/pour fern bottom"),
    "bottom, dry": ("fern, Boston fern, 15 cm pot", "fern 1", "/pour fern bottom"),
    "soak": ("fern, Boston fern, 15 cm pot", "fern 4", "/pour fern soak"),
    "portions": ("fern, Boston fern, 15 cm pot", "fern 1", "/pour fern"),
    "no hole": ("fern, Boston fern, 15 cm pot, no hole", "fern 4", "/pour fern"),
    "tray": ("fern, Venus flytrap, 10 cm pot", "fern empty", "/pour fern"),
    "glass": ("fern, golden pothos, glass of water", "fern low", "/pour fern"),
    "pebbles": ("fern, golden pothos, 15 cm pot, clay pebbles", "fern low", "/pour fern"),
    "reservoir": ("fern, golden pothos, 20 cm self-watering pot", "fern 3m", "/pour fern"),
    "dry side": ("fern, Boston fern, 15 cm pot", "fern 2 8", "/pour fern"),
    "cup": ("fern, Vriesea, 12 cm pot", "fern 3", "/pour fern"),
    "bark": ("fern, moth orchid, 12 cm pot, bark", "fern silvery", "/pour fern"),
    "outer pot": ("fern, Boston fern, 15 cm pot, outer pot", "fern 4", "/pour fern"),
    "big": ("fern, monstera deliciosa, 30 cm pot", "fern 3", "/pour fern"),
}
LONGEST = 60


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("typed", [False, True], ids=["tapped", "typed"])
def test_every_way_ends_whatever_is_answered(way: str, typed: bool) -> None:  # noqa: FBT001
    """Taking turns among what is offered, each pour comes to an end and one watering is kept."""
    for turn in range(3):
        stage = InProcess()
        _begin(stage, way)
        _walk(stage, turn, typed=typed)
        assert stage.journal().count("poured") == 1, (way, turn)
        stage.close()


def _begin(stage: InProcess, way: str) -> Heard:
    plant, reading, pour = WAYS[way]
    stage.say("Ida", f"/add {plant}")
    stage.say("Ida", reading)
    (said,) = stage.say("Ida", pour)
    assert said.buttons, (way, said.text)
    return said


def _walk(stage: InProcess, turn: int, *, typed: bool) -> None:
    """Answer with the first, second or third choice, or type its label, until nothing is asked."""
    for step in itertools.count():
        assert step < LONGEST, "it never ends"
        said = [
            one for one in stage.recorder.sent if "probe again, deep" in one.text or one.buttons
        ]
        asked = said[-1] if said and said[-1] is stage.recorder.sent[-1] else None
        if asked is None:
            if not stage.wait(timedelta(minutes=45)):
                return
            continue
        answered = _answer(stage, asked, turn + step, typed=typed)
        assert len(answered) == 1
        assert fits_a_phone(answered[0].text), answered[0].text


def _answer(stage: InProcess, asked: Heard, turn: int, *, typed: bool) -> list[Heard]:
    if not asked.buttons:
        return stage.say("Ida", str(6 + turn % 4))
    label = labels(asked)[turn % len(asked.buttons)]
    return stage.say("Ida", label) if typed else stage.tap("Ida", label)


@pytest.mark.parametrize("way", WAYS)
def test_every_answer_is_taken_or_told(way: str) -> None:
    """Whatever word for a pour is typed at its first step, one answer comes."""
    for word in (*(answer.value for answer in Answer), "yes", "no", "done", "ok", "5", "50 ml"):
        stage = InProcess()
        _begin(stage, way)
        for said in (word, f"/pour fern {word}"):
            answered = stage.say("Ida", said)
            assert len(answered) == 1, (way, said)
            assert answered[0].text, (way, said)
        stage.close()
