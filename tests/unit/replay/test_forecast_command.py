"""`potside forecast` and `potside backtest` by their contract, run as programs."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[3]
POT = {"plant": "p1", "habit": "half-dry", "light": "bright", "pot": "15 cm", "soil": "peat mix"}
ASK = {"plant": "p1", "ask": True}


def run(command: str, file: Path, *options: str) -> subprocess.CompletedProcess[str]:
    code = "import sys; from bot.cli import main; sys.exit(main())"
    line = [sys.executable, "-c", code, command, str(file), *options]
    return subprocess.run(line, cwd=ROOT, capture_output=True, text=True, check=False, timeout=60)


def written(folder: Path, *rows: dict[str, Any]) -> Path:
    file = folder / "journal.jsonl"
    file.write_text("\n".join(json.dumps(row) for row in rows) + "\n", encoding="utf-8")
    return file


def asked(folder: Path, *rows: dict[str, Any]) -> list[dict[str, Any]]:
    done = run("forecast", written(folder, *rows), "--json")
    assert done.returncode == 0, done.stderr
    return [json.loads(line) for line in done.stdout.splitlines()]


def on(day: int, hour: int = 8) -> str:
    return f"2026-03-{day:02d}T{hour:02d}:00Z"


def weeks(count: int, length: int = 6) -> list[dict[str, Any]]:
    """A pot that falls from 10 to 4 in so many days, again and again."""
    rows: list[dict[str, Any]] = []
    for k in range(count):
        first = 1 + k * length
        rows.append({"at": on(first), "plant": "p1", "poured": True})
        rows += [
            {"at": on(first + length // 2), "plant": "p1", "reading": [7, 7]},
            {"at": on(first + length - 1, 20), "plant": "p1", "reading": 4},
        ]
    return rows


def test_an_answer_has_what_the_contract_names(tmp_path: Path) -> None:
    (found,) = asked(
        tmp_path, POT | {"vpd_kpa": 1.0}, {"at": on(2), "plant": "p1", "poured": True},
        {"at": on(2), **ASK},
    )  # fmt: skip
    assert list(found) == ["at", "plant", "days", "probe_in_days", "rough", "alarm"]
    assert list(found["days"]) == ["10", "25", "35", "50", "75", "90"]
    assert list(found["days"].values()) == sorted(found["days"].values())
    assert found["probe_in_days"] == pytest.approx(min(3.0, found["days"]["35"]))
    assert (found["rough"], found["alarm"]) == (True, None)


def test_every_kind_of_line_is_taken_in(tmp_path: Path) -> None:
    found = asked(
        tmp_path,
        {"plant": "p1", "pot": "D16 h15 cm terracotta", "target": 3.5},
        {"at": on(2), "plant": "p1", "poured": "through"},
        {"at": on(3), "vpd_kpa": 1.2},
        {"at": on(4), "plant": "p1", "reading": [6, 8]},
        {"at": on(5), "plant": "p1", "word": "moist"},
        {"at": on(6), "plant": "p1", "weight_g": 2200, "dry_g": 1900, "wet_g": 2600},
        {"at": on(7), "plant": "p1", "weight_g": 2150},
        {"at": on(8), "plant": "p1", "poured": "sip"},
        {"at": on(8), **ASK},
    )
    assert found[0]["days"]["50"] > 0


def test_more_readings_make_a_steady_pot_known(tmp_path: Path) -> None:
    (found,) = asked(
        tmp_path,
        POT,
        *weeks(4),
        {"at": on(25), "plant": "p1", "poured": True},
        {"at": on(25), **ASK},
    )
    assert not found["rough"]
    assert 4 < found["days"]["50"] < 8
    assert found["probe_in_days"] == pytest.approx(found["days"]["35"])


def test_without_json_it_speaks(tmp_path: Path) -> None:
    done = run("forecast", written(tmp_path, POT, *weeks(1)))
    assert done.returncode == 0
    assert done.stdout.startswith("p1: probe ")
    assert "Rough so far" in done.stdout


@pytest.mark.parametrize(
    "row",
    [
        {"at": on(1), "plant": "p1", "reading": [3]},  # before the line above it
        {"at": "yesterday", "plant": "p1", "ask": True},
        {"at": on(9), "plant": "p1", "word": "purple"},
        {"at": on(9), "plant": "p1", "weight_g": 500},
        {"at": on(9), "vpd_kpa": -1},
        {"habit": "half-dry"},
    ],
)
def test_a_bad_line_is_named_and_ends_it(tmp_path: Path, row: dict[str, Any]) -> None:
    first = {"at": on(2), "plant": "p1", "poured": True}
    done = run("forecast", written(tmp_path, first, row), "--json")
    assert done.returncode == 1
    assert "line 2" in done.stderr


def test_a_file_that_is_not_there_is_said(tmp_path: Path) -> None:
    assert run("forecast", tmp_path / "none.jsonl").returncode == 1


def test_backtest_of_a_journal_and_of_the_same_as_csv_agree(tmp_path: Path) -> None:
    picture = tmp_path / "held.png"
    rows = weeks(5)
    told = run("backtest", written(tmp_path, *rows), "--picture", str(picture))
    assert told.returncode == 0, told.stderr
    assert "after a probe, later" in told.stdout
    assert picture.read_bytes().startswith(b"\x89PNG")
    lines = [
        f"{row['at']},{row['plant']},{_cell(row.get('reading'))},{_cell(row.get('poured'))}"
        for row in rows
    ]
    sheet = tmp_path / "journal.csv"
    sheet.write_text("\n".join(["at,plant,reading,poured", *lines]) + "\n", encoding="utf-8")
    same = run("backtest", sheet)
    assert same.stdout == told.stdout.replace(f"Calibration drawn in {picture}.\n", "")


def _cell(value: object) -> str:
    if value is None:
        return ""
    return " ".join(map(str, value)) if isinstance(value, list) else str(value).lower()


def test_backtest_of_a_journal_without_an_end_says_so(tmp_path: Path) -> None:
    done = run("backtest", written(tmp_path, {"at": on(2), "plant": "p1", "poured": True}))
    assert done.returncode == 0
    assert "Nothing to judge" in done.stdout
