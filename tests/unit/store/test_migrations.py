"""Every revision, up and down, with rows in the tables, on both engines."""

from __future__ import annotations

import re
import subprocess
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from sqlalchemy import Connection, Engine, inspect, text
from sqlalchemy.exc import IntegrityError, SQLAlchemyError

from core.store.engine import Store, StoreUnavailableError, create
from core.store.migrations.running import config, downgrade, upgrade
from core.store.opening import HEAD, MIGRATIONS, alone, open_store
from core.store.tables import Base

Rows = Callable[[Connection], dict[str, int]]

REVISIONS = sorted(path.name[:4] for path in (MIGRATIONS / "versions").glob("*.py"))


@pytest.fixture
def engine(db_url: str) -> Iterator[Engine]:
    """An empty database, on either engine, opened as the store opens it."""
    made = create(db_url)
    yield made
    made.dispose()


def _to(engine: Engine, revision: str) -> None:
    with alone(engine) as connection:
        upgrade(connection, revision, MIGRATIONS)


def _back_to(engine: Engine, revision: str) -> None:
    with alone(engine) as connection:
        downgrade(connection, revision, MIGRATIONS)


def _definitions(connection: Connection) -> set[str]:
    """What the engine itself says of columns, constraints and indexes, in its own words."""
    if connection.dialect.name == "sqlite":
        told = connection.exec_driver_sql("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL")
        return {part for (sql,) in told for part in _parts(sql)}
    told = connection.exec_driver_sql(
        "SELECT conrelid::regclass || ' ' || conname || ' ' || pg_get_constraintdef(oid)"
        " FROM pg_constraint WHERE connamespace = 'public'::regnamespace"
        " UNION ALL SELECT indexdef FROM pg_indexes WHERE schemaname = 'public'"
        " UNION ALL SELECT table_name || ' ' || column_name || ' ' || data_type || ' '"
        " || is_nullable || ' ' || coalesce(column_default, '')"
        " FROM information_schema.columns WHERE table_schema = 'public'"
    )
    return set(told.scalars())


def _parts(sql: str) -> Iterable[str]:
    """A CREATE TABLE as its columns and constraints, which later revisions may reorder."""
    spaced = re.sub(r"\s+", " ", sql.replace('"', ""))
    if not spaced.startswith("CREATE TABLE"):
        return [spaced]
    head, _, body = spaced.partition(" (")
    outside_brackets = r",(?![^()]*\))"
    return [f"{head}: {part.strip()}" for part in re.split(outside_brackets, body[:-1])]


def _revision(connection: Connection) -> str | None:
    found: str | None = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    return found


def _let_it_also(later: Path, statement: str) -> None:
    """Append a statement to the upgrade of the revision to come."""
    script = later / "versions" / "9999_later.py"
    whole, tail = script.read_text().split("\n\n\ndef downgrade", 1)
    script.write_text(f"{whole}\n    {statement}\n\n\ndef downgrade{tail}")


def test_revisions_are_numbered_in_a_row_up_to_head() -> None:
    """The number says which is newer; HEAD, a constant, spares loading Alembic at every start."""
    from alembic.script import ScriptDirectory

    scripts = ScriptDirectory.from_config(config(MIGRATIONS))
    assert [f"{number:04}" for number in range(1, len(REVISIONS) + 1)] == REVISIONS
    assert [script.revision for script in scripts.walk_revisions()] == REVISIONS[::-1]
    assert scripts.get_heads() == [HEAD]


def test_a_new_store_has_the_very_tables_that_the_revisions_make(store: Store) -> None:
    """A new database is made without Alembic, and must not differ from one that grew up."""
    with store.read() as tx:
        made = _definitions(tx)
    with alone(store.engine) as connection:
        for table in reversed(Base.metadata.sorted_tables):
            table.drop(connection)
        connection.execute(text("DROP TABLE alembic_version"))
    _to(store.engine, "head")
    with store.read() as tx:
        assert _definitions(tx) == made


def test_tables_have_nothing_that_no_revision_makes(engine: Engine) -> None:
    """Alembic's own comparison, which also knows types and defaults."""
    from alembic.autogenerate import compare_metadata
    from alembic.runtime.migration import MigrationContext

    _to(engine, "head")
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_server_default": True})
        assert compare_metadata(context, Base.metadata) == []


@pytest.mark.parametrize("revision", REVISIONS)
def test_a_revision_keeps_the_rows_up_and_down(
    engine: Engine, revision: str, fill: Rows, count: Rows
) -> None:
    _to(engine, revision)
    with engine.begin() as connection:
        there = fill(connection)
        assert min(there.values()) > 0
    _to(engine, "head")
    with engine.connect() as connection:
        assert there.items() <= count(connection).items()
    _back_to(engine, revision)
    with engine.connect() as connection:
        assert count(connection) == there
    _back_to(engine, "-1")
    with engine.connect() as connection:
        left = count(connection)
        assert left.items() <= there.items()
    _to(engine, "head")
    with engine.connect() as connection:
        assert left.items() <= count(connection).items()


def test_the_last_step_down_leaves_nothing(engine: Engine, fill: Rows) -> None:
    _to(engine, "head")
    with engine.begin() as connection:
        fill(connection)
    _back_to(engine, "base")
    with engine.connect() as connection:
        assert inspect(connection).get_table_names() == ["alembic_version"]


def test_an_older_database_is_brought_up_to_date_with_its_rows(
    db_url: str, fill: Rows, count: Rows, request: pytest.FixtureRequest
) -> None:
    """Copying a table that others point at must lose neither rows, rules nor references."""
    first = open_store(db_url)
    with first.write() as tx:
        there = fill(tx)
    first.close()
    request.getfixturevalue("later")
    second = open_store(db_url)
    with second.read() as tx:
        assert count(tx) == there
        assert set(tx.execute(text("SELECT greeting FROM household")).scalars()) == {"hi"}
        (living,) = [line for line in _definitions(tx) if "uq_plant_living_name" in line]
        assert re.search(r"UNIQUE.*\(household_id, name_key\) WHERE \(?left_at IS NULL", living)
    with pytest.raises(IntegrityError), second.write() as tx:
        tx.execute(text("UPDATE plant SET household_id = 4711"))
    second.close()


def test_a_revision_that_fails_changes_nothing(
    engine: Engine, fill: Rows, count: Rows, later: Path
) -> None:
    """All revisions of one start are one transaction, on SQLite too."""
    _let_it_also(later, "op.drop_table('nowhere')")
    with alone(engine) as connection:
        upgrade(connection, "0001", later)
        there = fill(connection)
        before = _definitions(connection)
    with pytest.raises(SQLAlchemyError, match="nowhere"), alone(engine) as connection:
        upgrade(connection, "9999", later)
    with engine.connect() as connection:
        assert count(connection) == there
        assert _definitions(connection) == before
        assert _revision(connection) == "0001"


def test_a_revision_that_leaves_a_row_pointing_at_nothing_is_refused(
    db_url: str, engine: Engine, fill: Rows, count: Rows, later: Path
) -> None:
    """With foreign keys off, as SQLite needs it, nobody else would notice."""
    _let_it_also(later, "op.execute('DELETE FROM person')")
    with alone(engine) as connection:
        upgrade(connection, "0001", later)
        there = fill(connection)
    with pytest.raises(StoreUnavailableError, match="person"):
        open_store(db_url)
    with engine.connect() as connection:
        assert count(connection) == there
        assert _revision(connection) == "0001"


def test_only_one_at_a_time_changes_tables(engine: Engine) -> None:
    done = []

    def second() -> None:
        with alone(engine):
            done.append("second")

    with ThreadPoolExecutor(1) as pool:
        with alone(engine):
            waiting = pool.submit(second)
            time.sleep(0.3)
            done.append("first")
        waiting.result(timeout=20)
    assert done == ["first", "second"]


def test_revisions_run_in_memory(fill: Rows) -> None:
    """In memory there is one connection, and the revisions must use that one."""
    engine = create("sqlite://")
    _to(engine, "head")
    with engine.begin() as connection:
        there = fill(connection)
    assert set(there) == set(Base.metadata.tables)
    _back_to(engine, "base")
    engine.dispose()


def test_the_next_revision_is_written_from_the_tables(tmp_path: Path) -> None:
    """`python -m core.store.migrations "words"` in a copy of the project with one more column."""
    root = Path(__file__).resolve().parents[3]
    for path in (root / "core").rglob("*"):
        if path.suffix in {".py", ".mako"} and (
            path.parent == root / "core" or "store" in path.parts
        ):
            copy = tmp_path / path.relative_to(root)
            copy.parent.mkdir(parents=True, exist_ok=True)
            copy.write_text(path.read_text())
    tables = tmp_path / "core" / "store" / "tables.py"
    changed = tables.read_text().replace(
        '    room: str = ""\n', '    room: str = ""\n    shaded_at: datetime | None = None\n'
    )
    tables.write_text(changed)
    command = [sys.executable, "-m", "core.store.migrations", "where", "shade", "is"]
    subprocess.run(command, cwd=tmp_path, check=True, capture_output=True, timeout=60)
    number = f"{int(HEAD) + 1:04}"
    (written,) = (tmp_path / "core/store/migrations/versions").glob(f"{number}_*.py")
    assert written.name == f"{number}_where_shade_is.py"
    assert "batch_op.add_column(sa.Column('shaded_at', moment(), nullable=True))" in (
        written.read_text()
    )
    assert "from core.store.migrations.columns import moment" in written.read_text()
