"""Core takes time and chance as arguments; care does nothing but arithmetic."""

from __future__ import annotations

import ast

import pytest

from tests.guards.imports import imported

CLOCKS = {"now", "today", "utcnow", "monotonic", "perf_counter", "time_ns", "localtime"}
CHANCE = {"random", "secrets", "uuid"}
OUTSIDE = {"os", "io", "pathlib", "socket", "subprocess", "time", "tempfile", "urllib", "logging"}


def _calls_clock(node: ast.AST) -> bool:
    """Is this datetime.now(), date.today(), time.monotonic() or the like?"""
    match node:
        case ast.Call(func=ast.Attribute(value=ast.Name(id="time"), attr="time")):
            return True
        case ast.Call(func=ast.Attribute(value=ast.Name(id=owner), attr=attr)):
            return attr in CLOCKS and owner in {"datetime", "date", "time", "dt"}
        case ast.Call(func=ast.Attribute(value=ast.Attribute(), attr=attr)):
            return attr in CLOCKS
        case _:
            return False


def test_core_reads_no_clock(modules: dict[str, ast.Module]) -> None:
    found = [
        f"{name}:{getattr(node, 'lineno', 0)}"
        for name, tree in modules.items()
        if name.startswith("core/")
        for node in ast.walk(tree)
        if _calls_clock(node)
    ]
    assert not found


def test_care_and_actions_throw_no_dice(modules: dict[str, ast.Module]) -> None:
    pure = ("core/care/", "core/knowledge/", "core/journal/")
    found = {
        name: dice
        for name, tree in modules.items()
        if name.startswith(pure) and (dice := imported(tree) & CHANCE)
    }
    assert not found


def test_care_touches_nothing_outside(modules: dict[str, ast.Module]) -> None:
    found = {
        name: touched
        for name, tree in modules.items()
        if name.startswith("core/care/") and (touched := imported(tree) & OUTSIDE)
    }
    assert not found


@pytest.mark.parametrize(
    "line", ["datetime.now(UTC)", "date.today()", "time.time()", "datetime.datetime.now()"]
)
def test_guard_sees_a_clock(line: str) -> None:
    assert any(_calls_clock(node) for node in ast.walk(ast.parse(line)))


@pytest.mark.parametrize("line", ["turn.now", "clock.now()", "at.time()", "self.today(x)"])
def test_guard_lets_an_argument_pass(line: str) -> None:
    assert not any(_calls_clock(node) for node in ast.walk(ast.parse(line)))
