"""What the guards look at: the project's own files, and what they hold."""

from __future__ import annotations

import ast
import os
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
BESIDE_SOURCE = {"__pycache__", "build", "dist"}


def _files(folder: Path) -> Iterator[Path]:
    """Every file below a folder, without hidden folders but .ci, and without what tools leave."""
    for here, folders, names in os.walk(folder):
        folders[:] = sorted(
            name
            for name in folders
            if name not in BESIDE_SOURCE and (name == ".ci" or not name.startswith("."))
        )
        yield from (Path(here) / name for name in sorted(names))


@pytest.fixture(scope="session")
def texts() -> dict[str, str]:
    """Every text file of the project by its path from the root, locks aside."""
    found = {}
    for path in _files(ROOT):
        if path.suffix in {".lock", ".db", ".png", ".pdf"} or ".db-" in path.name:
            continue
        found[path.relative_to(ROOT).as_posix()] = path.read_text(encoding="utf-8")
    return found


@pytest.fixture(scope="session")
def modules(texts: dict[str, str]) -> dict[str, ast.Module]:
    """Every module of core and bot, parsed, by its path from the root."""
    return {
        name: ast.parse(text)
        for name, text in texts.items()
        if name.startswith(("core/", "bot/")) and name.endswith(".py")
    }
