"""Both counterparts: the Telegram stand-in and a homeserver."""

from __future__ import annotations

from tests.transports.matrix.conftest import bot, homeserver, people
from tests.transports.telegram.conftest import standin, world

__all__ = ["bot", "homeserver", "people", "standin", "world"]
