"""Areas and sensors on either engine: claimed by one, forgotten when unwanted, found by digest."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta

from core.actions import sensors as listening
from core.actions import weather
from core.actions.sensors import Heard, Reading
from core.actions.weather import Answer
from core.care.outlook import Hour
from core.store import forecasts, people, sensors
from core.store.engine import Store
from core.store.people import Address

NOW = datetime(2026, 3, 2, 6, tzinfo=UTC)
LATER = NOW + timedelta(minutes=5)
SERVICE = "met-norway"


def _household(store: Store, name: str) -> int:
    with store.write() as tx:
        where = Address("terminal", "local", f"dm:{name}", name, name, direct=True)
        who = people.welcome(tx, where, NOW, zone="Europe/Berlin", settings="{}", name=name)
        return who.household_id


def test_of_many_workers_one_gets_an_area(store: Store) -> None:
    for name in ("Ida", "Tom"):
        household = _household(store, name)
        with store.write() as tx:
            weather.allow(tx, household, "52.5,13.4", SERVICE, NOW)

    def claim(_worker: int) -> list[forecasts.Kept]:
        with store.write() as tx:
            return forecasts.claim(tx, SERVICE, NOW, LATER)

    with ThreadPoolExecutor(4) as workers:
        got = [one for found in workers.map(claim, range(8)) for one in found]
    assert len(got) == 1
    with store.write() as tx:
        weather.came(tx, got[0], Answer((Hour(NOW, 5.0), Hour(LATER, -1.5, 30.0))), NOW, 0.0)
        outlooks = [weather.outlook(tx, one, NOW) for one in (1, 2)]
    assert outlooks[0] == outlooks[1]
    assert outlooks[0] is not None
    assert outlooks[0].hours == (Hour(NOW, 5.0), Hour(LATER, -1.5, 30.0))


def test_what_nobody_wants_is_forgotten_when_it_comes_due(store: Store) -> None:
    household = _household(store, "Ida")
    with store.write() as tx:
        weather.allow(tx, household, "52.5,13.4", SERVICE, NOW)
        weather.disallow(tx, household)
        assert forecasts.any_due(tx, NOW)
        assert forecasts.claim(tx, SERVICE, NOW, LATER) == []
        assert forecasts.kept(tx, SERVICE, "52.5,13.4") is None
        assert forecasts.standing(tx, SERVICE) == forecasts.Standing(0, 0, None, "")


def test_watches_come_in_their_order_and_a_clock_ahead_is_seen(store: Store) -> None:
    first, second, third = (_household(store, name) for name in ("Ida", "Tom", "Noor"))
    with store.write() as tx:
        forecasts.set_watch(tx, first, LATER)
        forecasts.set_watch(tx, second, NOW)
        forecasts.set_watch(tx, third, NOW + timedelta(days=9))
        assert forecasts.next_watch(tx) == NOW
        furthest = NOW + timedelta(days=2)
        assert forecasts.watches_due(tx, LATER, furthest, 10) == [second, first]
        forecasts.set_area(tx, third, "1.0,1.0", SERVICE)
        assert forecasts.watches_due(tx, NOW, furthest, 10) == [second, third]


def test_a_sensor_is_found_by_its_secret_only(store: Store) -> None:
    household = _household(store, "Ida")
    with store.write() as tx:
        assert listening.make(tx, household, "kitchen", "first secret", NOW)
        assert listening.make(tx, household, "study", "second secret", NOW)
        assert listening.hear(tx, "third", Reading(20.0, 50.0), NOW) is Heard.UNKNOWN
        assert listening.hear(tx, "second secret", Reading(20.0, 50.0), NOW) is Heard.KEPT
        assert listening.hear(tx, "second secret", Reading(20.0, 50.0), NOW) is Heard.TOO_SOON
        kitchen, study = sensors.of_household(tx, household)
        assert (kitchen.heard_at, study.heard_at) == (None, NOW)
        assert sensors.standing(tx, NOW) == (2, 1)
        sensors.revoke(tx, [study.id])
        assert listening.hear(tx, "second secret", Reading(20.0), LATER) is Heard.UNKNOWN
