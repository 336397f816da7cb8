"""By which id the server knows a message of ours: the same id again is the same message.

It tells our database from another that had the same login, then row and part, then the words: in a
database that went back the same rows come again with others. What stands for the words is made
with a secret that is never sent, as the server may read ids and not words.
"""

from __future__ import annotations

import hashlib
import json
import secrets
from dataclasses import dataclass
from typing import Any

from bot.port import Piece


@dataclass(frozen=True, slots=True)
class Ids:
    """Makes ids for the messages of one database."""

    house: str
    secret: str

    @classmethod
    def kept_in(cls, kept: dict[str, Any]) -> Ids:
        """Those of before, as they were kept; else new ones."""
        house, secret = kept.get("house"), kept.get("secret")
        return cls(house or secrets.token_hex(4), secret or secrets.token_hex(16))

    def of(self, piece: Piece) -> str:
        """The id of a piece, the same however often it is asked for."""
        labels = [one.label for one in piece.choices]
        name = piece.file.name if piece.file is not None else ""
        words = json.dumps([piece.text, labels, name, piece.thread, piece.answers])
        digest = hashlib.blake2s(words.encode(), key=self.secret.encode(), digest_size=6)
        return f"{self.house}.{piece.row}.{piece.part}.{digest.hexdigest()}"
