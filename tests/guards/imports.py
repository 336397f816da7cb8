"""What a module imports, as its own text says."""

from __future__ import annotations

import ast


def imported(tree: ast.Module) -> set[str]:
    """First parts of the names of all modules that a module imports, anywhere in it."""
    return {name.partition(".")[0] for name in imported_names(tree)}


def imported_names(tree: ast.Module) -> set[str]:
    """Full names of what a module imports, anywhere in it: modules, and what is taken from them."""
    names = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names |= {node.module} | {f"{node.module}.{alias.name}" for alias in node.names}
    return names
