"""Neither tokens nor what people write reaches the logs, whatever goes wrong on the way."""

from __future__ import annotations

import io
import logging
import sys
from collections.abc import Callable, Iterator
from typing import Any

import pytest
import structlog
from sqlalchemy.exc import SQLAlchemyError

from bot import logs
from bot.talk import gate
from bot.talk.commands import check
from tests.conversation.talking import InProcess
from tests.transports.telegram.world import IDA, TOM, World, private, served, settled

HOME, HIS = private(IDA), private(TOM)
SAID = (
    "/add Quillfern, Boston fern, 15 cm pot, Quillroom, north window",
    "quillfern 3 4",
    "/scout quillfern quillmites on a leaf",
    "/pour quillfern",
    "poured",
    "what a quilly nonsense",
)
BREAKS = "/check quillfern 7"
FAULTS: dict[str, list[tuple[str, dict[str, Any]]]] = {
    SAID[2]: [("sendMessage", {"kind": "cut_after"})],
    SAID[3]: [("getUpdates", {"kind": "page", "status": 502})],
    SAID[4]: [("sendMessage", {"kind": "status", "status": 429, "retry_after": 1})],
}


@pytest.fixture
def logged(
    caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Callable[[], str]]:
    """All that is logged, ours and the libraries', from debug on."""
    ours = io.StringIO()
    monkeypatch.setattr(sys, "stderr", ours)
    logs.log_to_stderr(logging.DEBUG)
    caplog.set_level(logging.DEBUG)
    yield lambda: ours.getvalue() + caplog.text
    structlog.reset_defaults()


def _breaking(turn: Any, rest: str) -> Any:
    raise ValueError(f"this error quotes {turn.message.text} and {rest}")


def _database_error(stage: InProcess) -> Exception:
    """One with values in its statement."""
    with pytest.raises(SQLAlchemyError) as caught, stage.store.write() as tx:
        tx.exec_driver_sql("INSERT INTO plant (name) VALUES (?)", (SAID[1],))
    return caught.value


def _chained() -> Exception:
    """An error that quotes, from one of the system's."""
    error = ValueError("quotes Quillfern")
    error.__cause__ = OSError(28, "No space left on device")
    return error


def _holds_none_of(log: str, *words: str) -> None:
    for line in log.splitlines():
        found = [word for word in words if word.casefold() in line.casefold()]
        assert not found, f"{found} in the log: {line}"


async def test_telegram(
    world: World,
    sqlite_url: str,
    logged: Callable[[], str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A whole conversation with limits, cuts, refusals, a broken command, a wrong code."""
    shown: list[str] = []
    async with served(world, sqlite_url) as house:
        for text in SAID:
            for method, fault in FAULTS.get(text, ()):
                await world.fault(method, **fault)
            shown.append((await world.ask(IDA, HOME, text))["shown"])
        await world.fault("sendMessage", "status", status=400, description="Bad Request: no")
        await world.say(IDA, HOME, "/story quillfern")
        sent = ["sent"] * len(SAID)
        sent[2] = "uncertain"
        await settled(house, *sent, "failed")
        code = (await world.ask(IDA, HOME, "/invite"))["shown"].split("\n")[0].split()[-1]
        await world.ask(TOM, HIS, "/join QUIL-LXYZ-ABCD")
        await world.ask(TOM, HIS, f"/join {code}")
        monkeypatch.setattr(check, "check", _breaking)
        broken = await world.ask(IDA, HOME, BREAKS)
        assert "Something went wrong" in broken["shown"]
    log = logged()
    assert "a message could not be worked on" in log
    assert "ValueError" in log
    assert "is uncertain" in log
    secret = world.token.partition(":")[2]
    lines = [line for text in shown for line in text.split("\n") if len(line) > 20]
    _holds_none_of(log, "quill", code, code.replace("-", ""), secret, *SAID, *lines)


def test_the_terminal(logged: Callable[[], str], monkeypatch: pytest.MonkeyPatch) -> None:
    """The same house without a network, with a command that fails and a database that does."""
    stage = InProcess(rounds=True)
    shown = [one.text for text in SAID for one in stage.say("Ida", text)]
    code = stage.say("Ida", "/invite")[0].text.split("\n")[0].split()[-1]
    stage.wait_days(3)
    monkeypatch.setattr(gate, "forbidden", _breaking)
    assert "Something went wrong" in stage.say("Ida", BREAKS)[0].text
    logs.Log("x").exception("it broke", exc_info=_database_error(stage))
    stage.close()
    lines = [line for text in shown for line in text.split("\n") if len(line) > 20]
    _holds_none_of(logged(), "quill", code, *SAID, *lines)


def test_the_search_finds_what_is_logged(logged: Callable[[], str]) -> None:
    """Ours, a library's that isn't kept quiet, and the words of our own errors."""
    logs.Log("x").info("said", text="Quillfern in a line of ours")
    logging.getLogger("unheard_of").debug("a library quotes Quillroom")
    for word in ("Quillfern", "Quillroom"):
        with pytest.raises(AssertionError, match="in the log"):
            _holds_none_of(logged(), word)


def test_a_traceback_says_where_and_what_kind(logged: Callable[[], str]) -> None:
    """Each error of a chain by its type; its words only where they are plain."""
    try:
        int("Quillfern")
    except ValueError:
        logs.Log("x").exception("it broke", row=7)
    logs.Log("x").exception("it broke", exc_info=_chained())
    log = logged()
    assert "test_logs.py" in log
    assert "ValueError\nwhich came from" in log
    assert "OSError: [Errno 28] No space left on device" in log
    assert "Quillfern" not in log.replace('int("Quillfern")', "")
