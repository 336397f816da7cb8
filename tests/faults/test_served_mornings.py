"""A morning of many households while the network, a chat, a message or the disk fails."""

from __future__ import annotations

import asyncio
import os
import sqlite3
from collections import Counter
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import asynccontextmanager, contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import event
from structlog.testing import capture_logs

import bot.doctor
from bot.clock import StandingClock
from bot.duty import courier, schedule
from bot.port import GoneError, UnreachedError
from bot.serving import Duties, serving
from bot.tally import Tally
from core.store.engine import Store
from core.store.people import Address
from tests.bench import street
from tests.bench.mornings import MORNING
from tests.faults.loopback import NETWORK, Loopback, Sink, until

HOMES = 60
NEXT_MORNING = MORNING + timedelta(days=1)
EVERYBODY = {"home0", *(f"home{n}" for n in range(1, HOMES))}


@pytest.fixture
def many(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Store]:
    """A street on the eve of a morning; sweeps and second tries come soon."""
    monkeypatch.setattr(schedule, "SWEEP_SECONDS", 0.2)
    monkeypatch.setattr(courier, "BACK_OFF", (0.1, 0.2))
    store = street.build(tmp_path / "street.db", HOMES)
    with capture_logs():  # whose own way to show an error takes seconds
        yield store
    store.close()


@asynccontextmanager
async def _served(store: Store, port: Sink, at: datetime) -> AsyncIterator[tuple[Loopback, Duties]]:
    network = Loopback(port)
    clock = StandingClock(at)
    async with serving(store, clock, [network], Tally(), zone=street.ZONE) as duties:
        yield network, duties


def _clock(duties: Duties) -> StandingClock:
    assert isinstance(duties.clock, StandingClock)
    return duties.clock


def _times(port: Sink) -> Counter[str]:
    """How often each chat has heard a round."""
    return Counter(one.chat for one in port.unasked if "Good morning" in one.text)


def _states(store: Store) -> Counter[str]:
    with store.read() as tx:
        rows = tx.exec_driver_sql("SELECT state FROM outbox WHERE kind <> 'reply'").all()
    return Counter(str(row.state) for row in rows)


async def test_a_network_away_for_a_morning_hears_each_round_once(many: Store) -> None:
    port, away = Sink(), [True]

    def before(_chat: str) -> None:
        if away:
            raise UnreachedError("no route")

    port.before = before
    async with _served(many, port, MORNING):
        await until(lambda: port.tried > 2 * HOMES)
        assert port.heard == []
        away.clear()
        await until(lambda: _states(many) == {"sent": HOMES})
    assert _times(port) == dict.fromkeys(EVERYBODY, 1)


async def test_a_network_away_for_days_hears_of_today_only(many: Store) -> None:
    port, away = Sink(), [True]

    def before(_chat: str) -> None:
        if away:
            raise UnreachedError("no route")

    port.before = before
    async with _served(many, port, MORNING) as (_, duties):
        await until(lambda: _states(many).total() == HOMES and port.tried > HOMES)
        _clock(duties).move_to(NEXT_MORNING + timedelta(hours=1))
        await until(lambda: _states(many)["failed"] == HOMES)  # given up after a day
        tried = port.tried
        await until(lambda: port.tried > tried + HOMES)
        away.clear()
        await until(lambda: _states(many)["sent"] == HOMES)
    assert _times(port) == dict.fromkeys(EVERYBODY, 1)


async def test_a_chat_that_is_gone_is_parked_and_its_keepers_are_told(many: Store) -> None:
    """A group that removed us; its keeper has a private chat. The others hear their rounds."""
    port = Sink()

    def before(chat: str) -> None:
        if chat == "group":
            raise GoneError("kicked")

    group = Address(NETWORK, "bot", "group", "tom", "Tom")
    async with _served(many, port, street.BEGINS) as (network, duties):
        await network.ask(group, "/add Fern, Boston fern, 15 cm pot, hall", street.BEGINS)
        alone = Address(NETWORK, "bot", "tom", "tom", "Tom", direct=True)
        await network.ask(alone, "/household", street.BEGINS)
        port.before = before
        await until(lambda: duties.sweeper.sweep(street.BEGINS) == 0)  # its round is planned
        _clock(duties).move_to(MORNING)
        await until(lambda: _states(many) == {"parked": 1, "sent": HOMES + 1})
        told = [one for one in port.unasked if "Good morning" not in one.text]
        assert len(told) == 1
        assert "can't write" in told[0].text
        _clock(duties).move_to(NEXT_MORNING)
        await until(lambda: "tom" in _times(port))  # its round comes where its keeper is
    assert "group" not in _times(port)


async def test_a_message_that_has_no_words_is_set_aside(
    many: Store, doctor: Callable[[Store], str]
) -> None:
    port = Sink()
    async with _served(many, port, street.BEGINS) as (_, duties):
        spoiled = duties.sweeper.sweep(MORNING)
        assert spoiled == 20
        with many.write() as tx:
            tx.exec_driver_sql(
                "UPDATE outbox SET facts = '{}' WHERE id = (SELECT min(id) FROM outbox)"
            )
        _clock(duties).move_to(MORNING)
        await until(lambda: _states(many) == {"sent": HOMES - 1, "failed": 1})
    assert len(_times(port)) == HOMES - 1
    (lost,) = EVERYBODY - set(_times(port))
    assert f"round-morning to {NETWORK} {lost}" in await asyncio.to_thread(doctor, many)


@pytest.fixture
def doctor(capsys: pytest.CaptureFixture[str]) -> Callable[[Store], str]:
    """What `potside doctor` says of a store."""

    def examine(store: Store) -> str:
        told = {"POTSIDE_DB": store.engine.url.render_as_string(hide_password=False)}
        with pytest.MonkeyPatch.context() as patch:
            for name in [name for name in os.environ if name.startswith("POTSIDE_")]:
                patch.delenv(name)
            for name, value in told.items():
                patch.setenv(name, value)
            bot.doctor.examine()
        return capsys.readouterr().out

    return examine


# --- the disk -----------------------------------------------------------------------------


@contextmanager
def _full(store: Store, pages_left: int) -> Iterator[None]:
    """A disk on which the file can grow by a few pages more: SQLITE_FULL, truly."""
    with store.read() as tx:
        pages = tx.exec_driver_sql("PRAGMA page_count").scalar_one()

    def limit(connection: sqlite3.Connection, _record: object) -> None:
        connection.execute(f"PRAGMA max_page_count={pages + pages_left}")

    event.listen(store.engine, "connect", limit)
    store.engine.dispose()
    yield
    event.remove(store.engine, "connect", limit)
    store.engine.dispose()


@pytest.mark.parametrize("pages", [0, 3, 11])
async def test_a_disk_that_fills_up_in_the_morning(many: Store, pages: int) -> None:
    """Each round is kept whole or not at all, and said once there is room."""
    port = Sink()
    async with _served(many, port, street.BEGINS) as (network, duties):
        with _full(many, pages):
            _clock(duties).move_to(MORNING)
            await until(lambda: _refused(duties))
            _whole(many)
            last = await _told_until_full(network)
        if last.done():
            assert str(last.exception()) == "the disk is full"
        else:
            assert await last
        await until(lambda: _states(many) == {"sent": HOMES})
        _whole(many)
    assert _times(port) == dict.fromkeys(EVERYBODY, 1)


async def _told_until_full(network: Loopback) -> asyncio.Task[float]:
    """Somebody goes on until there is no page left for them either: the last thing they said.

    It wasn't kept, which its network hears, or it was kept and waits for room.
    """
    for n in range(200):
        said = asyncio.create_task(
            network.ask(street.first_home(), f"/gave fern {n + 50} ml", MORNING)
        )
        await asyncio.wait({said}, timeout=1.5)
        if not said.done() or said.exception() is not None:
            return said
    return pytest.fail("the disk is never full")


def _refused(duties: Duties) -> bool:
    """Whether a sweep says that the disk is full."""
    try:
        duties.sweeper.sweep(MORNING)
    except Exception as error:  # noqa: BLE001 - it is looked at
        return "full" in str(error)
    return False


def _whole(store: Store) -> None:
    """A household's round is planned on exactly if it is told of, in one dialogue and one row."""
    with store.read() as tx:
        assert tx.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"
        assert tx.exec_driver_sql("PRAGMA foreign_key_check").first() is None
        rows = tx.exec_driver_sql(
            "SELECT h.round_at > ?, count(DISTINCT d.id), count(DISTINCT o.id) FROM household h "
            "LEFT JOIN dialogue d ON d.household_id = h.id AND d.subject = 'round' "
            "LEFT JOIN outbox o ON o.household_id = h.id AND o.topic = 'round-morning' "
            "GROUP BY h.id",
            (MORNING.astimezone(UTC).strftime("%Y-%m-%d %H:%M:%S"),),
        ).all()
    assert {tuple(row) for row in rows} <= {(0, 0, 0), (1, 1, 1)}
