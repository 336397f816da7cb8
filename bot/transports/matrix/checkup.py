"""What `potside doctor` looks at on Matrix: the server, our login, the keys of our device.

It asks over HTTP alone and only reads our store, so it may look while we serve.
"""

from __future__ import annotations

from collections.abc import AsyncIterator
from typing import Any

import aiohttp
from nio.store import SqliteStore

from bot.finding import BAD, GOOD, NOTE, Finding
from bot.transports.matrix import signin
from bot.transports.matrix.account import Account
from bot.transports.matrix.client import KEYS, Client

SECONDS = 15
API = "/_matrix/client/v3"
# nio's name for "no passphrase of our own"; the folder's rights are what guards the keys.
PICKLE = "DEFAULT_KEY"


async def examine(account: Account) -> AsyncIterator[Finding]:
    """Everything in turn; what can't be asked without the thing before it is left out."""
    timeout = aiohttp.ClientTimeout(total=SECONDS)
    try:
        async with aiohttp.ClientSession(account.homeserver, timeout=timeout) as session:
            status, told = await _ask(session, "GET", "/_matrix/client/versions")
            if status != 200 or "versions" not in told:
                yield Finding(BAD, f"matrix: {account.homeserver} is no Matrix server")
                return
            yield Finding(GOOD, f"matrix: {account.homeserver} answers")
            async for one in _login(session, account):
                yield one
    except (aiohttp.ClientError, TimeoutError, OSError) as error:
        reason = type(error).__name__
        yield Finding(BAD, f"matrix: {account.homeserver} can't be reached: {reason}")


async def _ask(
    session: aiohttp.ClientSession, method: str, path: str, token: str = "", body: Any = None
) -> tuple[int, dict[str, Any]]:
    headers = {"Authorization": f"Bearer {token}"} if token else {}
    async with session.request(method, path, json=body, headers=headers) as answer:
        try:
            told = await answer.json(content_type=None)
        except ValueError:
            told = {}
        return answer.status, told if isinstance(told, dict) else {}


async def _login(session: aiohttp.ClientSession, account: Account) -> AsyncIterator[Finding]:
    """Whether what we have lets us in: the login of earlier runs, the token, the password."""
    known = signin.read(account.store)
    tokens = [known.token] if known is not None and signin.fits(known, account) else []
    for token in (*tokens, *([account.token] if account.token else [])):
        status, told = await _ask(session, "GET", f"{API}/account/whoami", token)
        if status == 200:
            user, device = str(told.get("user_id")), str(told.get("device_id", ""))
            yield Finding(GOOD, f"matrix: we are {user}, device {device or '(none)'}")
            async for one in _keys(session, account, token, user, device):
                yield one
            return
        yield Finding(NOTE, f"matrix: a login of ours is not known any more ({status})")
    yield await _password(account)


async def _password(account: Account) -> Finding:
    """Try the password; the login that this makes is ended at once."""
    if not account.password:
        return Finding(BAD, "matrix: no login works, and there is no POTSIDE_MATRIX_PASSWORD")
    client = Client.without_keys(account)
    try:
        answer = await client.login(account.password, device_name="Potside doctor")
        if not client.logged_in:
            code = getattr(answer, "status_code", None)
            return Finding(BAD, f"matrix: user name and password are refused ({code})")
        user = client.user_id
        await client.logout()
    finally:
        await client.close()
    return Finding(GOOD, f"matrix: user name and password let us in as {user}")


async def _keys(
    session: aiohttp.ClientSession, account: Account, token: str, user: str, device: str
) -> AsyncIterator[Finding]:
    """Whether the server has our device's keys, and whether they are those of our store."""
    if not device:
        yield Finding(BAD, "matrix: this token belongs to no device, so nothing can be encrypted")
        return
    ours = _identity(account, user, device)
    _, told = await _ask(
        session, "POST", f"{API}/keys/query", token, {"device_keys": {user: [device]}}
    )
    there = told.get("device_keys", {}).get(user, {}).get(device, {}).get("keys", {})
    key = there.get(f"ed25519:{device}")
    if ours is None and key is None:
        yield Finding(NOTE, "matrix: this device has no keys yet; potside serve makes them")
    elif ours is None or (key is not None and key != ours):
        yield Finding(
            BAD,
            f"matrix: the keys of device {device} in {account.store} are not those that the server "
            "has: the store was lost or replaced. With POTSIDE_MATRIX_PASSWORD set, potside serve "
            "logs in anew",
        )
    elif key is None:
        yield Finding(NOTE, "matrix: the server has no keys of ours yet; potside serve sends them")
    else:
        _, left = await _ask(session, "POST", f"{API}/keys/upload", token, {})
        count = left.get("one_time_key_counts", {}).get("signed_curve25519", 0)
        yield Finding(GOOD, f"matrix: the device's keys are in order; {count} one-time keys left")


def _identity(account: Account, user: str, device: str) -> str | None:
    """The public key of our device as our store has it; None when it has none."""
    if not (account.store / KEYS).exists():
        return None
    kept = SqliteStore(user, device, str(account.store), PICKLE, KEYS)
    try:
        found = kept.load_account()
    finally:
        kept.database.close()
    return str(found.identity_keys["ed25519"]) if found is not None else None
