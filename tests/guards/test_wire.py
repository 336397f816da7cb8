"""What must never stand in the program: objects kept as pickles, the markup that breaks sends."""

from __future__ import annotations

import ast

from tests.guards.imports import imported

PICKLES = {"pickle", "cPickle", "_pickle", "shelve", "marshal", "dill", "cloudpickle", "joblib"}
BREAKING = ("markdown",)


def _named(tree: ast.Module) -> set[str]:
    """Names, attributes and texts of a module, without its docstrings and comments."""
    bare = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    said: set[str] = set()
    for node in ast.walk(tree):
        match node:
            case ast.Name(id=name) | ast.Attribute(attr=name):
                said.add(name.casefold())
            case ast.Constant(value=str(text)) if id(node) not in bare:
                said.add(text.casefold())
    return said


def test_nothing_is_kept_as_a_pickle(modules: dict[str, ast.Module]) -> None:
    """python-telegram-bot #3196, #2903, #1761: state kept as pickles broke on an upgrade or a kill.

    That a kill at any point leaves our data whole is tested in tests/faults/test_every_point.py.
    """
    ours = {name: tree for name, tree in modules.items() if name.startswith(("core/", "bot/"))}
    assert any(name.startswith("bot/") for name in ours)
    assert not {name: kept for name, tree in ours.items() if (kept := imported(tree) & PICKLES)}
    assert imported(ast.parse("from pickle import dumps")) & PICKLES


def test_telegram_is_never_sent_markdown(modules: dict[str, ast.Module]) -> None:
    """python-telegram-bot #2744: one unescaped dot or dash and MarkdownV2 refuses the message.

    What goes over the wire is judged by the stand-in: any other parse mode is a complaint.
    """
    network = "bot/transports/telegram/"
    ours = {name: tree for name, tree in modules.items() if name.startswith(network)}
    said = {name: _named(tree) for name, tree in ours.items()}
    assert "html" in said[f"{network}sending.py"]
    assert not [
        (name, text) for name, texts in said.items() for text in texts if text.startswith(BREAKING)
    ]
    assert "markdown_v2" in _named(ast.parse("send(parse_mode=ParseMode.MARKDOWN_V2)"))
