"""Running revisions on an open connection, inside the caller's transaction; no alembic.ini."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.script.revision import RevisionError
from alembic.util import CommandError
from sqlalchemy import Connection


class UnknownRevisionError(Exception):
    """The database names a revision that is not in the folder."""


def config(folder: Path, connection: Connection | None = None) -> Config:
    """Alembic's configuration for a folder of migrations."""
    made = Config()
    made.set_main_option("script_location", str(folder).replace("%", "%%"))
    made.set_main_option("path_separator", "os")
    made.set_main_option("file_template", "%%(rev)s_%%(slug)s")
    made.attributes["connection"] = connection
    return made


def upgrade(connection: Connection, revision: str, folder: Path) -> None:
    """Run every revision up to and including one.

    Raises:
        UnknownRevisionError: the database is at a revision that the folder does not hold.
    """
    try:
        command.upgrade(config(folder, connection), revision)
    except (CommandError, RevisionError) as error:
        raise UnknownRevisionError(str(error)) from error


def downgrade(connection: Connection, revision: str, folder: Path) -> None:
    """Take revisions back down to one, or to "base". Columns that go take their content along."""
    command.downgrade(config(folder, connection), revision)


def revise(connection: Connection, revision: str, title: str, folder: Path) -> None:
    """Write a new revision: what the tables have that the database at `connection` lacks."""
    command.revision(config(folder, connection), title, rev_id=revision, autogenerate=True)
