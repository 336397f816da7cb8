"""Signing in as one device and staying that device; a new one when its keys are lost.

A device's keys are in our store and, in public, on the server. When the server has other ones than
we do, whatever is encrypted for that device can't be read here ever again: only a new login
helps.
"""

from __future__ import annotations

import hashlib
import json
import os
from dataclasses import asdict, dataclass
from pathlib import Path

import structlog
from nio import (
    ErrorResponse,
    KeysQueryResponse,
    LoginResponse,
    WhoamiResponse,
)

from bot.port import NotAdmittedError
from bot.transports.matrix.account import Account
from bot.transports.matrix.client import KEYS, Client
from bot.transports.matrix.trouble import UNKNOWN_TOKEN

log = structlog.get_logger(__name__)

LOGIN = "login.json"
NAME = "Potside"
NO_WAY_IN = (
    "Matrix doesn't take our login, or its keys are lost, and there is no password to log in anew: "
    "set POTSIDE_MATRIX_PASSWORD, or a fresh POTSIDE_MATRIX_TOKEN."
)


class NotNowError(Exception):
    """The server couldn't be asked, or didn't answer as it should: try again later."""


@dataclass(frozen=True, slots=True)
class Login:
    """A device of ours and its token; `given` is a digest of the token in the settings then."""

    homeserver: str
    user: str
    device: str
    token: str
    given: str = ""


async def sign_in(client: Client, account: Account) -> None:
    """Be the device that we were, or a new one.

    Raises NotAdmittedError when neither token nor password will do, NotNowError when it can't be
    told yet.
    """
    known = read(account.store)
    if known is not None and fits(known, account):
        newer = account.token and known.given != _digest(account.token)
        if not newer and await _be(client, known.token, known.user, known.device):
            if await keys_are_ours(client):
                return None
            await give_up(client, account)
            return await _log_in(client, account)
        if not newer and account.password and (account.store / KEYS).exists():
            # The login ended and its keys are here: as the same device all can still be read.
            await _log_in(client, account, known.device)
            if await keys_are_ours(client):
                return None
            await give_up(client, account)
    if account.token and await _be(client, account.token):
        if await keys_are_ours(client):
            _keep(client, account)
            return None
        await give_up(client, account)
    return await _log_in(client, account)


def fits(known: Login, account: Account) -> bool:
    """Whether a kept login is one of this account: by its whole id, or by its local part."""
    local = known.user[1:].partition(":")[0]
    return known.homeserver == account.homeserver and account.user in {"", known.user, local}


async def _be(client: Client, token: str, user: str = "", device: str = "") -> bool:
    """Take up a login; False when the server doesn't know it."""
    client.access_token = token
    answer = await client.whoami()
    if not isinstance(answer, WhoamiResponse):
        client.access_token = ""
        if answer.status_code in UNKNOWN_TOKEN:
            log.warning("the server doesn't know our login any more")
            return False
        raise NotNowError(str(answer))
    if (user and answer.user_id != user) or (device and answer.device_id != device):
        client.access_token = ""
        return False
    if not answer.device_id:
        raise NotAdmittedError(
            "The Matrix token belongs to no device, so it can't be used with encryption; "
            "set POTSIDE_MATRIX_PASSWORD instead."
        )
    client.restore_login(answer.user_id, answer.device_id, token)
    return True


async def keys_are_ours(client: Client) -> bool:
    """Whether the server's keys of this device, if it has any, are those in our store."""
    if client.olm is None or client.device_id is None:
        return True
    client.olm.users_for_key_query.add(client.user_id)
    answer = await client.keys_query()
    if not isinstance(answer, KeysQueryResponse):
        raise NotNowError(str(answer))
    there = answer.device_keys.get(client.user_id, {}).get(client.device_id)
    if there is None:
        # The server forgot them, or never had them: they are sent with the next sync.
        client.olm.account.shared = False
        return True
    ours = client.olm.account.identity_keys["ed25519"]
    return bool(there.get("keys", {}).get(f"ed25519:{client.device_id}") == ours)


async def give_up(client: Client, account: Account) -> None:
    """Leave a device whose keys are lost, and end its login.

    Raises NotAdmittedError when there is no password for another.
    """
    log.error(
        "the keys of our device are not those that the server has: the store was lost or replaced;"
        " a new login is needed, and what was encrypted for the old one can't be read any more",
        device=client.device_id,
    )
    if not account.password:
        raise NotAdmittedError(NO_WAY_IN)
    await client.logout()
    (account.store / LOGIN).unlink(missing_ok=True)
    client.forget_device()


async def _log_in(client: Client, account: Account, device: str = "") -> None:
    """A new login, and with it a new device, unless one is named."""
    if not account.password:
        raise NotAdmittedError(NO_WAY_IN)
    client.forget_device()
    client.user, client.device_id = account.user, device
    answer = await client.login(account.password, device_name=NAME)
    if isinstance(answer, LoginResponse):
        what = "logged in to Matrix again" if device else "logged in to Matrix as a new device"
        log.warning(what, device=answer.device_id)
        _keep(client, account)
        return
    if isinstance(answer, ErrorResponse) and answer.status_code in {
        "M_FORBIDDEN",
        "M_USER_DEACTIVATED",
        "M_INVALID_USERNAME",
    }:
        raise NotAdmittedError(
            "Matrix refuses our user name and password; potside doctor says more."
        )
    raise NotNowError(str(answer))


def read(store: Path) -> Login | None:
    """The login of an earlier run; None when there is none that can be read."""
    try:
        return Login(**json.loads((store / LOGIN).read_text(encoding="utf-8")))
    except (OSError, ValueError, TypeError):
        return None


def _keep(client: Client, account: Account) -> None:
    """Keep the login for the next start, readable by us alone."""
    login = Login(
        account.homeserver,
        client.user_id,
        client.device_id or "",
        client.access_token,
        _digest(account.token),
    )
    fresh = account.store / f"{LOGIN}.new"
    handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        file.write(json.dumps(asdict(login)))
        file.flush()
        os.fsync(file.fileno())
    fresh.replace(account.store / LOGIN)


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest() if token else ""
