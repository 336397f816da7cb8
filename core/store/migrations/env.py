"""What Alembic runs around the revisions; the connection and its transaction are the caller's."""

from __future__ import annotations

from typing import Literal

from alembic import context
from alembic.autogenerate.api import AutogenContext
from sqlmodel import AutoString, UTCDateTime

from core.store.tables import Base


def render(kind: str, item: object, autogen: AutogenContext) -> str | Literal[False]:
    """Write column types in new revisions by names that outlive SQLModel's own."""
    if kind == "type" and isinstance(item, UTCDateTime):
        autogen.imports.add("from core.store.migrations.columns import moment")
        return "moment()"
    if kind == "type" and isinstance(item, AutoString):
        return "sa.String()"
    return False


context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Base.metadata,
    render_as_batch=True,  # SQLite cannot drop or change a column in place
    render_item=render,
    transactional_ddl=True,  # we say BEGIN ourselves, so on SQLite too it is all or nothing
)
with context.begin_transaction():
    context.run_migrations()
