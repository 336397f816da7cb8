"""Workers on one server: all are counted, one leads, and whoever dies does neither."""

from __future__ import annotations

import time
from collections.abc import Iterator

import pytest
from sqlalchemy import text

from core.store.engine import Store, StoreFailedError
from core.store.opening import open_store
from core.store.presence import ALONE, Presence, Standing

_END_OTHERS = text(
    "SELECT pg_terminate_backend(pid) FROM pg_locks "
    "WHERE locktype = 'advisory' AND mode = 'ExclusiveLock' AND pid <> pg_backend_pid()"
)


@pytest.fixture
def pair(postgres_database: str) -> Iterator[tuple[Presence, Presence, Store]]:
    """Two workers, and a store that looks on."""
    stores = [open_store(postgres_database) for _ in range(3)]
    one, two = Presence(stores[0]), Presence(stores[1])
    yield one, two, stores[2]
    one.close()
    two.close()
    for store in stores:
        store.close()


@pytest.mark.postgres
def test_one_of_two_leads_and_the_other_after_it(pair: tuple[Presence, Presence, Store]) -> None:
    one, two, _ = pair
    assert one.look("telegram") == Standing(leads=True, workers=1)
    assert two.look("telegram") == Standing(leads=False, workers=2)
    assert one.look("telegram") == Standing(leads=True, workers=2)
    one.close()
    assert two.look("telegram") == Standing(leads=True, workers=1)
    assert one.look("telegram") == Standing(leads=False, workers=2)


@pytest.mark.postgres
def test_each_network_has_its_own_workers(pair: tuple[Presence, Presence, Store]) -> None:
    """One for Matrix and one for Telegram: neither waits for the other's turn."""
    one, two, _ = pair
    assert one.look("matrix") == Standing(leads=True, workers=1)
    assert two.look("telegram") == Standing(leads=True, workers=1)
    assert one.look("telegram") == Standing(leads=False, workers=2)
    assert one.look("matrix") == Standing(leads=True, workers=1)
    two.close()
    assert one.look("telegram") == Standing(leads=True, workers=1)


@pytest.mark.parametrize("workers", [1, 2, 3, 10])
def test_shares_add_up_to_the_whole(workers: int) -> None:
    leader, other = (Standing(leads=leads, workers=workers).share for leads in (True, False))
    assert leader + (workers - 1) * other == pytest.approx(1)
    assert leader >= 0.5 >= other


@pytest.mark.postgres
def test_a_lost_connection_loses_the_lead_and_a_later_look_comes_back(
    pair: tuple[Presence, Presence, Store],
) -> None:
    """The server ends the session, as it does when a machine is gone."""
    one, two, store = pair
    one.look("telegram")
    two.look("telegram")
    with store.read() as tx:
        assert tx.execute(_END_OTHERS).scalars().all() == [True]
    with pytest.raises(StoreFailedError):
        one.look("telegram")
    for _ in range(100):  # the server takes a moment over it
        if two.look("telegram") == Standing(leads=True, workers=1):
            break
        time.sleep(0.05)
    assert two.look("telegram") == Standing(leads=True, workers=1)
    assert one.look("telegram") == Standing(leads=False, workers=2)


@pytest.mark.postgres
def test_other_databases_of_a_server_are_apart(
    pair: tuple[Presence, Presence, Store], postgres_url: str
) -> None:
    one, _, _ = pair
    elsewhere = open_store(postgres_url)
    other = Presence(elsewhere)
    assert one.look("telegram") == Standing(leads=True, workers=1)
    assert other.look("telegram") == Standing(leads=True, workers=1)
    other.close()
    elsewhere.close()


def test_a_file_has_one_worker(sqlite_store: Store) -> None:
    presence = Presence(sqlite_store)
    assert presence.look("telegram") == ALONE
    presence.close()
