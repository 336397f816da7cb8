"""Who we are on Matrix, and how patient."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from bot.environment import MatrixSettings
from bot.port import Limits

# Home servers set limits of their own and say when they are reached; these only even out bursts.
GENTLE = Limits(overall=20, per_second=5, burst=10, group_per_minute=600)


@dataclass(frozen=True, slots=True)
class Patience:
    """Seconds: an open question, how much longer we wait for it, pauses after failures.

    `key` is how long an unreadable message waits for its key, `typing` after how long an answer
    under way shows that we are at it, `send` how long a request may take.
    """

    question: float = 30
    margin: float = 15
    pause: float = 1
    longest_pause: float = 60
    key: float = 90
    typing: float = 1
    send: float = 30


@dataclass(frozen=True, slots=True)
class Account:
    """Our account: a token, or a password to log in with. `store` is the folder with our keys.

    `allowed`: ids of people and rooms, or None for everybody.
    """

    homeserver: str
    user: str
    password: str = field(default="", repr=False)
    token: str = field(default="", repr=False)
    store: Path = field(default_factory=Path)
    allowed: frozenset[str] | None = None
    limits: Limits = GENTLE
    patience: Patience = field(default_factory=Patience)

    @classmethod
    def of(cls, told: MatrixSettings, allow: frozenset[str] | None) -> Account:
        """The account that the settings name."""
        return cls(told.homeserver, told.user, told.password, told.token, told.store, allow)
