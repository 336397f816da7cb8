"""A text that can't be taken as it stands: the key of what to say, and ways to mean it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Unclear:
    """`key` and `args` name the words; `meanings` are readings of it to offer, best first."""

    key: str
    args: Mapping[str, str] = field(default_factory=dict)
    meanings: tuple[str, ...] = ()
