"""How far a network has been heard, where it tells that by a token: kept with what was heard.

Written in the transaction that keeps the messages, so a kill at any moment leaves both or neither:
nothing is missed, and what comes again is known by its key in the inbox.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, insert, select, update

from core.store.tables import Bookmark as Row
from core.store.tables import table_of

BOOKMARK = table_of(Row)


@dataclass(frozen=True, slots=True)
class Bookmark:
    """The token to go on from, of one login (`device`) of one account. `kept` is JSON text."""

    network: str
    account: str
    device: str
    token: str
    kept: str = "{}"


def put(tx: Connection, mark: Bookmark, now: datetime) -> None:
    """Go on from here next time."""
    values = {"token": mark.token, "kept": mark.kept, "set_at": now}
    here = (
        (BOOKMARK.c.network == mark.network)
        & (BOOKMARK.c.account == mark.account)
        & (BOOKMARK.c.device == mark.device)
    )
    if not tx.execute(update(BOOKMARK).where(here).values(values)).rowcount:
        tx.execute(
            insert(BOOKMARK).values(
                network=mark.network, account=mark.account, device=mark.device, **values
            )
        )


def newest(tx: Connection, network: str, account: str) -> Bookmark | None:
    """Where an account was heard last, whichever its login was; None before the first time."""
    row = tx.execute(
        select(
            BOOKMARK.c.network,
            BOOKMARK.c.account,
            BOOKMARK.c.device,
            BOOKMARK.c.token,
            BOOKMARK.c.kept,
        )
        .where(BOOKMARK.c.network == network, BOOKMARK.c.account == account)
        .order_by(BOOKMARK.c.set_at.desc(), BOOKMARK.c.id.desc())
        .limit(1)
    ).first()
    return Bookmark(*row) if row else None
