"""Plants by their names, on both engines."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy import event, update

from core.journal import plants
from core.journal.plants import PLANT
from core.journal.state import UNBORN, write_state
from core.store import people

if TYPE_CHECKING:
    from core.store.engine import Store

AT = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)
KEYS = ["fig", "the fern", "fern", "fern", "ivy", ""]


def test_living_plants_of_the_household_by_any_of_their_keys(store: Store) -> None:
    """Each asked for may stand more than once; a server, which is far away, is asked once."""
    said: list[str] = []

    def heard(_tx: object, _cursor: object, text: str, *_more: Any) -> None:
        said.append(text)

    with store.write() as tx:
        ours, theirs = (
            people.found(tx, name, AT, zone="UTC", settings="{}") for name in ("ours", "theirs")
        )
        fern, _, ivy = (plants.create(tx, ours, name) for name in ("Fern", "Mint", "Ivy"))
        plants.create(tx, theirs, "Fig")
        tx.execute(update(PLANT).values(state=write_state(UNBORN)))
        tx.execute(update(PLANT).where(PLANT.c.id == ivy).values(left_at=AT))
        event.listen(store.engine, "before_cursor_execute", heard)
        found = plants.by_keys(tx, ours, KEYS)
        both = plants.by_keys(tx, ours, ["mint", "fern"])
    assert {key: one.id for key, one in found.items()} == {"fern": fern}
    assert sorted(both) == ["fern", "mint"]
    assert len(said) == (0 if store.engine.dialect.name == "sqlite" else 2)  # 0: not SQLAlchemy's
