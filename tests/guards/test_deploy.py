"""The templates in deploy/ fit the program: its settings, its commands, its files."""

from __future__ import annotations

import json
import re
import shutil
import sqlite3
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from configparser import ConfigParser
from contextlib import closing
from datetime import UTC, datetime, timedelta
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
import yaml  # type: ignore[import-untyped]  # it ships no types
from packaging.specifiers import SpecifierSet

from bot import cli, environment
from bot.studio.studio import Studio
from core.store.opening import open_store
from tests.unit.studio import works

ROOT = Path(__file__).resolve().parents[2]
DEPLOY = ROOT / "deploy"
UNITS = sorted(path for path in DEPLOY.iterdir() if path.suffix in {".service", ".timer"})
_READ = re.compile(r'_(?:value|url|listen)\(\s*variables, "([A-Z_]+)"')


def _settings_read() -> set[str]:
    """Every variable that the program reads, by name."""
    text = (ROOT / "bot/environment.py").read_text()
    return {f"POTSIDE_{name}" for name in _READ.findall(text)}


def _unit(path: Path) -> ConfigParser:
    """A unit; of settings that stand several times the last."""
    unit = ConfigParser(strict=False, interpolation=None, delimiters=["="], comment_prefixes=["#"])
    unit.optionxform = str  # type: ignore[assignment,method-assign]
    unit.read(path)
    return unit


def _instructions() -> Iterator[tuple[str, str]]:
    for line in (DEPLOY / "Containerfile").read_text().splitlines():
        if line and not line.startswith("#"):
            word, _, rest = line.partition(" ")
            yield word, rest


# --- settings -------------------------------------------------------------------------------


def test_the_template_names_every_setting_and_no_other() -> None:
    read = _settings_read()
    assert len(read) > 12
    text = (DEPLOY / "potside.env").read_text()
    found = re.findall(r"^#?(POTSIDE_[A-Z_]+)=", text, re.MULTILINE)
    named = {name.removesuffix("_FILE") for name in found}
    assert named == read


def test_the_template_is_taken_as_it_is() -> None:
    lines = (DEPLOY / "potside.env").read_text().splitlines()
    told = environment.read(dict(line.split("=", 1) for line in lines if line.startswith("POTS")))
    assert told.allow is None
    assert told.health == environment.Listen("127.0.0.1", 9100)


@pytest.mark.parametrize("path", [*UNITS, DEPLOY / "Containerfile", DEPLOY / "compose.yaml"])
def test_what_they_set_is_a_setting(path: Path) -> None:
    named = set(re.findall(r"POTSIDE_[A-Z_]+", path.read_text()))
    assert {name.removesuffix("_FILE") for name in named} <= _settings_read()


# --- systemd --------------------------------------------------------------------------------


def test_the_unit_starts_what_there_is() -> None:
    service = _unit(DEPLOY / "potside.service")["Service"]
    program, command = service["ExecStart"].split()
    assert program == "/usr/local/lib/potside/.venv/bin/potside"
    assert cli._parser().parse_args([command]).command == "serve"
    assert {"NoNewPrivileges", "ProtectSystem", "DynamicUser", "Restart"} <= set(service)
    script = _unit(DEPLOY / "potside-backup.service")["Service"]["ExecStart"].split()[1]
    assert (ROOT / script.removeprefix("/usr/local/lib/potside/")).is_file()


def test_the_unit_lets_pictures_be_made_apart(tmp_path: Path) -> None:
    """The end of that process isn't the program's, and its fonts are looked for only once."""
    service = _unit(DEPLOY / "potside.service")["Service"]
    assert (service["KillMode"], service["OOMPolicy"]) == ("mixed", "continue")
    text = (DEPLOY / "potside.service").read_text()
    [(variable, folder)] = re.findall(r"^Environment=(\w+)=/var/cache/(\w+)$", text, re.MULTILINE)
    assert service["CacheDirectory"] == folder
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(variable, str(tmp_path))
        patch.setenv("HOME", "/")  # as a user has that isn't in the list of users
        studio = Studio()
        studio.do(works.looked_for_fonts, b"")
        studio.end()
    assert list(tmp_path.glob("fontlist*.json"))


def test_units_are_understood_by_systemd(tmp_path: Path) -> None:
    """systemd's own reader finds nothing to say, where it is there to be asked."""
    reader = shutil.which("systemd-analyze")
    if reader is None:
        pytest.skip("there is no systemd here")
    for unit in UNITS:
        text = unit.read_text().replace("/usr/local/lib/potside/.venv/bin/python", sys.executable)
        text = text.replace("/usr/local/lib/potside/.venv/bin/potside", sys.executable)
        (tmp_path / unit.name).write_text(text)
    paths = [str(tmp_path / unit.name) for unit in UNITS]
    asked = subprocess.run(
        [reader, "verify", "--man=no", *paths],
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    said = [line for line in asked.stderr.splitlines() if "potside" in line]
    assert not said


# --- container ------------------------------------------------------------------------------


def test_the_image_is_built_of_what_is_there(tmp_path: Path) -> None:
    """The last step of its build, done here with nothing but what it copies."""
    copied = [
        name
        for word, rest in _instructions()
        if word == "COPY" and not rest.startswith("--from")
        for name in rest.split()[:-1]
    ]
    for name in copied:
        if (ROOT / name).is_dir():
            shutil.copytree(
                ROOT / name, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__")
            )
        else:
            shutil.copy(ROOT / name, tmp_path / name)
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "--target", "wheel", "--directory", "out"],
        cwd=tmp_path, check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    [wheel] = (tmp_path / "out").glob("*.whl")
    with zipfile.ZipFile(wheel) as made:
        names = set(made.namelist())
    data = [*ROOT.glob("core/knowledge/*.toml"), *ROOT.glob("bot/talk/catalogues/**/*.ftl")]
    wanted = {path.relative_to(ROOT).as_posix() for path in data}
    assert len(wanted) > 20
    assert wanted <= names
    assert "requirements.lock" in copied


def test_the_image_runs_the_program_as_nobody_special() -> None:
    steps = list(_instructions())
    bases = [rest.split()[0] for word, rest in steps if word == "FROM"]
    [wanted] = re.findall(r'requires-python = "([^"]+)"', (ROOT / "pyproject.toml").read_text())
    for base in bases:
        assert f"{base.removeprefix('python:').removesuffix('-slim')}.0" in SpecifierSet(wanted)
    last = dict(steps)
    assert last["USER"] == "potside"
    assert last["CMD"] == '["serve"]'
    assert "/health" in last["HEALTHCHECK"]
    for page in (DEPLOY / "Containerfile", ROOT / "docs/operator.md"):  # else it is left out
        builds = re.findall(r"podman build (.+?) --file", page.read_text())
        assert builds == ["--format docker"]


def test_compose_asks_what_the_image_asks() -> None:
    """Images built by compose have no health check of their own, in podman's format."""
    told: dict[str, Any] = yaml.safe_load((DEPLOY / "compose.yaml").read_text())
    asked = told["services"]["potside"]["healthcheck"]
    check = f"--start-period={asked['start_period']} CMD {json.dumps(asked['test'][1:])}"
    assert dict(_instructions())["HEALTHCHECK"] == check


def test_compose_gives_each_part_its_secrets() -> None:
    told: dict[str, Any] = yaml.safe_load((DEPLOY / "compose.yaml").read_text())
    built = told["services"]["potside"]["build"]
    assert (DEPLOY / built["context"] / built["dockerfile"]).is_file()
    assert (DEPLOY / told["services"]["potside"]["env_file"]).is_file()
    for service in told["services"].values():
        files = [value for name, value in service["environment"].items() if name.endswith("_FILE")]
        assert sorted(files) == sorted(f"/run/secrets/{name}" for name in service["secrets"])
        assert set(service["secrets"]) <= set(told["secrets"])
        assert {one.partition(":")[0] for one in service["volumes"]} <= set(told["volumes"])


# --- backup ---------------------------------------------------------------------------------

NOW = datetime(2026, 3, 2, 3, 40, tzinfo=UTC)


@pytest.fixture(scope="module")
def backup() -> ModuleType:
    spec = spec_from_file_location("backup", DEPLOY / "backup.py")
    assert spec is not None
    assert spec.loader is not None
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_a_copy_is_whole_while_somebody_writes(backup: ModuleType, tmp_path: Path) -> None:
    """With the newest commits still in the write-ahead log, and a transaction open."""
    database = tmp_path / "potside.db"
    store = open_store(f"sqlite:///{database}")
    with store.write() as tx:
        tx.exec_driver_sql("INSERT INTO person (name, created_at) VALUES ('Ida', '2026-03-02')")
    with store.write() as tx:
        tx.exec_driver_sql("INSERT INTO person (name, created_at) VALUES ('Tom', '2026-03-02')")
        copy = backup.back_up(database, tmp_path / "copies", 14, NOW)
    store.close()
    with closing(sqlite3.connect(copy)) as there:
        assert there.execute("SELECT name FROM person").fetchall() == [("Ida",)]
    open_store(f"sqlite:///{copy}").close()


def test_the_newest_copies_stay(backup: ModuleType, tmp_path: Path) -> None:
    database = tmp_path / "potside.db"
    open_store(f"sqlite:///{database}").close()
    made = [
        backup.back_up(database, tmp_path / "copies", 3, NOW + timedelta(days=day))
        for day in range(5)
    ]
    assert sorted((tmp_path / "copies").iterdir()) == made[-3:]


def test_a_backup_that_fails_says_why_and_leaves_the_others(
    backup: ModuleType, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    copies = tmp_path / "copies"
    open_store(f"sqlite:///{tmp_path / 'potside.db'}").close()
    kept = backup.back_up(tmp_path / "potside.db", copies, 1, NOW)
    (tmp_path / "broken.db").write_text("this is no database, but a good many letters of none")
    for name in ("broken.db", "nothing.db"):
        assert backup.main([str(tmp_path / name), str(copies), "--keep", "1"]) == 1
        assert "No backup was made: " in capsys.readouterr().err
    assert list(copies.iterdir()) == [kept]
