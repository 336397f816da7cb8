"""The one complaint about a knowledge file, and the reading of TOML that makes it."""

from __future__ import annotations

import tomllib
from typing import Any


class KnowledgeError(ValueError):
    """A knowledge file says something that can't be: "species.toml: <species>: <field>: why"."""


def parsed(text: str, file: str) -> dict[str, Any]:
    """The tables of a TOML text. Raises KnowledgeError naming the file and the line."""
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise KnowledgeError(f"{file}: {error}") from error
