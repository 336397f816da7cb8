"""The same conversation on every network: the same replies, choices and journal.

Scripts for one person are played in the terminal and in private chats on Telegram and Matrix; all
of them in groups there too, where plain sentences begin with the bot's name.
"""

from __future__ import annotations

import re
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from tests.conformance.matrix import OnMatrix
from tests.conformance.stages import OnTelegram, OnTerminal
from tests.conversation.talking import Heard, Stage, labels, play
from tests.transports.matrix.homeserver import Homeserver

FERN = "Ida: /add fern, Boston fern, 15 cm pot, bathroom, north window\n  = arrived\n"

ALONE = {
    "a check and a pour with its timer": FERN
    + """
Ida: fern 3 4
  Water it well today
  = checked
Ida taps: Pour with me
  first half
Ida taps: Poured
  7 minutes
... 7 minutes
  (reminder) any water in the saucer?
Ida: no
  other half
""",
    "an edit corrects, undo takes back": FERN
    + """
Ida: fern 3
  Fern: 3.
  = checked
Ida edits: fern 7
  Fern: 7.
  = undone checked
Ida: /undo
  = undone
""",
    "a restart in the middle of a question": FERN
    + """
Ida: fern 3
  = checked
(restart)
Ida taps: I've done it
  = poured
Ida: /story fern
  (long)
""",
    "what isn't understood": """
Ida: frobnicate
  (long)
Ida: the weather is fine
Ida: /help
  (long)
Ida: /settings
  (long)
""",
}
TOGETHER = {
    "a reply to what we said need not name its plant": FERN
    + """
Ida: /add goldie, golden pothos, 15 cm pot, kitchen, east window
  = arrived
Ida: /check goldie
  Probe Goldie
Tom replies [Probe Goldie]: 6 7
  Goldie: 6 and 7.
  = checked
Noor replies [Fern is on the list]: 3 4
  Fern: 3 and 4. Water it well today
  = checked
Ida: goldie 7
  = checked
Tom replies [Fern: 3 and 4]: gave 400 ml
  Fern: 400 ml given
  = poured
""",
    "three people and one fern": FERN
    + """
Tom: /check fern 3
  = checked
Noor taps: I've done it
  = poured
Tom taps: I've done it
  Noor watered Fern just now
  Is this another watering?
Ida: /story fern
  (long)
Tom: /undo
  = undone
Ida: /plants
  Fern
""",
    "a timer that another person answers": FERN
    + """
Ida: fern 3
  = checked
Ida taps: Pour with me
Tom taps: Poured
  7 minutes
... 7 minutes
  (reminder) any water in the saucer?
(restart)
Noor taps: No, none
  other half
""",
}


def _as_heard(said: list[Heard]) -> list[tuple[str, str, list[str], list[str]]]:
    """What was said, apart from how a network shows what could be typed."""
    return [
        (one.kind, one.text.replace("*", ""), labels(one), [button.send for button in one.buttons])
        for one in said
    ]


def _played(stage: Stage, script: str) -> tuple[list[Any], list[str]]:
    """What is heard, and what stands in the journal after it."""
    return _as_heard(play(stage, script)), stage.journal()


def _in_the_terminal(script: str, folder: Path) -> tuple[list[Any], list[str]]:
    with closing(OnTerminal(folder)) as terminal:
        return _played(terminal, script)


@pytest.mark.parametrize("script", ALONE.values(), ids=ALONE)
def test_in_a_private_chat(
    script: str, standin: str, homeserver: Homeserver, tmp_path: Path
) -> None:
    expected = _in_the_terminal(script, tmp_path)
    with closing(OnTelegram(standin, tmp_path, group=False)) as telegram:
        assert _played(telegram, script) == expected
    with closing(OnMatrix(homeserver, tmp_path, group=False)) as matrix:
        assert _played(matrix, script) == expected


@pytest.mark.parametrize("script", (TOGETHER | ALONE).values(), ids=TOGETHER | ALONE)
def test_in_a_group(script: str, standin: str, homeserver: Homeserver, tmp_path: Path) -> None:
    expected = _in_the_terminal(script, tmp_path)
    with closing(OnTelegram(standin, tmp_path, group=True)) as telegram:
        assert _played(telegram, script) == expected
    with closing(OnMatrix(homeserver, tmp_path, group=True)) as matrix:
        assert _played(matrix, script) == expected


def _deleted(stage: Stage) -> list[Any]:
    """What is heard when a household is deleted, up to a button shown before."""
    play(stage, FERN)
    asked = stage.say("Ida", "/forget household")
    word = re.search(r"forget household ([A-Z0-9]{5}) today", asked[0].text)
    assert word, asked
    said = [*asked, *stage.say("Ida", f"/forget household {word[1]}")]
    said += play(
        stage,
        """
Ida taps: Probe now
  outdated
Ida: /plants
  I don't know any plants here yet
""",
    )
    assert stage.journal() == []
    return [(kind, text.replace(word[1], "WORD"), *more) for kind, text, *more in _as_heard(said)]


def test_a_household_is_deleted(standin: str, homeserver: Homeserver, tmp_path: Path) -> None:
    with closing(OnTerminal(tmp_path)) as terminal:
        expected = _deleted(terminal)
    with closing(OnTelegram(standin, tmp_path, group=False)) as telegram:
        assert _deleted(telegram) == expected
    with closing(OnMatrix(homeserver, tmp_path, group=False)) as matrix:
        assert _deleted(matrix) == expected
