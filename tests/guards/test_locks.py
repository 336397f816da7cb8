"""The locks pin what pyproject.toml asks for, with hashes and without addresses."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parents[2]
LOCKS = ("requirements.lock", "tests/requirements.lock")
PIN = re.compile(r"^(?P<name>[\w.-]+)==(?P<version>[\w.!+]+)", re.MULTILINE)


def _pins(lock: str) -> dict[str, str]:
    text = (ROOT / lock).read_text()
    return {canonicalize_name(pin["name"]): pin["version"] for pin in PIN.finditer(text)}


def _asked(lock: str) -> list[Requirement]:
    """What pyproject.toml wants to find in a lock."""
    told = tomllib.loads((ROOT / "pyproject.toml").read_text())
    groups = told["dependency-groups"]
    wanted = [*told["project"]["dependencies"], *told["build-system"]["requires"], *groups["build"]]
    if lock.startswith("tests/"):
        wanted += groups["test"]
    return [Requirement(text) for text in wanted]


@pytest.mark.parametrize("lock", LOCKS)
def test_lock_pins_what_is_asked_for(lock: str) -> None:
    pins = _pins(lock)
    astray = {
        str(wish): pins.get(canonicalize_name(wish.name))
        for wish in _asked(lock)
        if not wish.specifier.contains(pins.get(canonicalize_name(wish.name), "0.dev0"))
    }
    assert not astray, "pin anew: bash .ci/lock"


def test_tests_run_with_what_users_run() -> None:
    users, tests = map(_pins, LOCKS)
    assert users == {name: tests.get(name) for name in users}


@pytest.mark.parametrize("lock", LOCKS)
def test_every_pin_has_a_hash_and_no_address(lock: str) -> None:
    text = (ROOT / lock).read_text()
    blocks = re.split(r"^(?=\w)", text, flags=re.MULTILINE)[1:]
    assert len(blocks) == len(_pins(lock))
    assert all("--hash=sha256:" in block for block in blocks)
    assert "://" not in text
