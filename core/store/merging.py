"""Two people who turn out to be one: whatever named the one names the other from now on."""

from __future__ import annotations

from sqlalchemy import Connection, delete, select, update

from core.store.people import MEMBERSHIP, PERSON, ROLES
from core.store.tables import Base, Event, table_of

EVENT = table_of(Event)

# All that names a person, but their parts, of which each household has one.
_NAMING = tuple(
    column
    for table in Base.metadata.sorted_tables
    for column in table.columns
    if table is not MEMBERSHIP and any(key.column is PERSON.c.id for key in column.foreign_keys)
)


def households_with(tx: Connection, people: tuple[int, ...]) -> list[int]:
    """Every household in which these people have or had a part, or wrote in the journal."""
    parts = select(MEMBERSHIP.c.household_id).where(MEMBERSHIP.c.person_id.in_(people))
    wrote = select(EVENT.c.household_id).where(EVENT.c.person_id.in_(people))
    return sorted({*tx.execute(parts).scalars(), *tx.execute(wrote).scalars()})


def wrote_in(tx: Connection, person_id: int) -> list[int]:
    """The households in whose journal somebody wrote."""
    rows = tx.execute(select(EVENT.c.household_id).where(EVENT.c.person_id == person_id).distinct())
    return list(rows.scalars())


def merge(tx: Connection, kept_id: int, other_id: int) -> None:
    """Make two people one, under the name of the one that is kept; of two parts the larger."""
    _merge_parts(tx, kept_id, other_id)
    for column in _NAMING:
        tx.execute(update(column.table).where(column == other_id).values({column.name: kept_id}))
    tx.execute(delete(PERSON).where(PERSON.c.id == other_id))


def _merge_parts(tx: Connection, kept_id: int, other_id: int) -> None:
    rows = tx.execute(
        select(MEMBERSHIP).where(MEMBERSHIP.c.person_id.in_((kept_id, other_id)))
    ).all()
    kept = {row.household_id: row for row in rows if row.person_id == kept_id}
    for row in rows:
        if row.person_id == kept_id:
            continue
        mine = kept.get(row.household_id)
        if mine is None:
            tx.execute(
                update(MEMBERSHIP).where(MEMBERSHIP.c.id == row.id).values(person_id=kept_id)
            )
            continue
        if ROLES.index(row.role) > ROLES.index(mine.role):
            part = {"role": row.role, "since": row.since, "until": row.until}
            tx.execute(update(MEMBERSHIP).where(MEMBERSHIP.c.id == mine.id).values(part))
        tx.execute(delete(MEMBERSHIP).where(MEMBERSHIP.c.id == row.id))
