"""How long things may be: a reader takes in one idea at a time."""

from __future__ import annotations

import ast
import re
from graphlib import CycleError, TopologicalSorter
from pathlib import PurePosixPath
from statistics import median

import pytest

from tests.guards.imports import imported_names

MODULE_LINES, MODULE_MEDIAN = 450, 150
BODY_LINES, BODY_MEDIAN = 60, 7

Function = ast.FunctionDef | ast.AsyncFunctionDef


def _body_lines(function: Function) -> int:
    """Lines from the first statement after the docstring to the last."""
    body = function.body[1:] if ast.get_docstring(function) else function.body
    if not body:
        return 0
    return (body[-1].end_lineno or body[-1].lineno) - body[0].lineno + 1


def _bodies(modules: dict[str, ast.Module]) -> dict[str, int]:
    return {
        f"{name}:{node.lineno} {node.name}": _body_lines(node)
        for name, tree in modules.items()
        for node in ast.walk(tree)
        if isinstance(node, Function)
    }


def test_no_module_is_long(texts: dict[str, str]) -> None:
    long = {
        name: lines
        for name, text in texts.items()
        if name.endswith(".py") and (lines := text.count("\n")) > MODULE_LINES
    }
    assert not long


def test_modules_are_short_as_a_rule(texts: dict[str, str], modules: dict[str, ast.Module]) -> None:
    assert median(texts[name].count("\n") for name in modules) <= MODULE_MEDIAN


def test_no_function_is_long(modules: dict[str, ast.Module]) -> None:
    assert not {name: lines for name, lines in _bodies(modules).items() if lines > BODY_LINES}


def test_functions_are_short_as_a_rule(modules: dict[str, ast.Module]) -> None:
    assert median(_bodies(modules).values()) <= BODY_MEDIAN


def test_every_folder_of_modules_is_a_package(modules: dict[str, ast.Module]) -> None:
    """Import contracts do not see into a folder that is none. Alembic loads revisions by path."""
    folders = {PurePosixPath(name).parent for name in modules}
    folders.discard(PurePosixPath("core/store/migrations/versions"))
    assert not [str(folder) for folder in folders if f"{folder}/__init__.py" not in modules]


def _arrows(modules: dict[str, ast.Module]) -> dict[str, set[str]]:
    """Which module takes something from which; a package stands for its `__init__`."""
    dotted = {
        name.removesuffix(".py").removesuffix("/__init__").replace("/", "."): tree
        for name, tree in modules.items()
    }
    return {name: (imported_names(tree) & set(dotted)) - {name} for name, tree in dotted.items()}


def test_no_modules_import_each_other_in_a_circle(modules: dict[str, ast.Module]) -> None:
    """Inside functions neither: what is imported late to get round a circle is cut wrongly."""
    arrows = _arrows(modules)
    assert "bot.talk.plain" in arrows["bot.talk.running"]
    assert len(list(TopologicalSorter(arrows).static_order())) == len(modules)


def test_guard_sees_a_circle() -> None:
    one = ast.parse("def f():\n    from bot.two import g")
    two = ast.parse("from bot import one")
    with pytest.raises(CycleError):
        TopologicalSorter(_arrows({"bot/one.py": one, "bot/two.py": two})).prepare()


def test_every_module_says_what_it_is_about(modules: dict[str, ast.Module]) -> None:
    silent = [name for name, tree in modules.items() if not ast.get_docstring(tree)]
    assert not silent


def test_guard_counts_a_body_without_its_docstring() -> None:
    tree = ast.parse('def f():\n    """One.\n\n    Two.\n    """\n    a = 1\n\n    return a\n')
    function = tree.body[0]
    assert isinstance(function, Function)
    assert _body_lines(function) == 3


def test_every_bench_is_one_that_pytest_finds(texts: dict[str, str]) -> None:
    """pytest looks for functions that begin with `test_`: any other would never be measured."""
    benches = [name for name in texts if name.startswith("tests/bench/bench_")]
    assert benches
    unseen = [
        name for name in benches if not re.search(r"^(async )?def test_", texts[name], re.MULTILINE)
    ]
    assert not unseen
    others = [
        name for name in benches if re.search(r"^(async )?def bench_", texts[name], re.MULTILINE)
    ]
    assert not others
