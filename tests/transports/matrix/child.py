"""`potside serve` and `potside doctor` on Matrix, as programs of their own."""

from __future__ import annotations

import os

from tests.transports.matrix.homeserver import PASSWORD
from tests.transports.matrix.world import Bot


def environment(bot: Bot, **more: str) -> dict[str, str]:
    """Variables for a bot on the homeserver; none of ours is inherited."""
    inherited = {name: v for name, v in os.environ.items() if not name.startswith("POTSIDE_")}
    return inherited | {
        "POTSIDE_DB": bot.database,
        "POTSIDE_MATRIX_HOMESERVER": bot.base,
        "POTSIDE_MATRIX_USER": bot.id,
        "POTSIDE_MATRIX_PASSWORD": PASSWORD,
        "POTSIDE_MATRIX_STORE": str(bot.keys),
        **more,
    }
