"""Pictures and files: brought to the server and fetched from it, enciphered where the room is."""

from __future__ import annotations

import asyncio
import io
import json
from contextlib import suppress
from http import HTTPStatus
from typing import Any
from urllib.parse import quote, urlsplit

import aiohttp
from nio import UploadResponse
from nio.crypto.attachments import decrypt_attachment
from nio.exceptions import EncryptionError

from bot.port import RefusedError, TooLargeError, UnreachedError
from bot.talk.message import Attachment, Picture
from bot.transports.matrix.client import Client
from bot.transports.matrix.syncing import FAILED
from bot.transports.matrix.trouble import typed

CHUNK = 64 * 1024
# How long all of a picture may take, in seconds.
LONGEST = 60.0
# Since version 1.11 of the protocol behind our login; on older servers open to all.
PATHS = ("/_matrix/client/v1/media/download", "/_matrix/media/v3/download")
GONE = frozenset({HTTPStatus.FORBIDDEN, HTTPStatus.NOT_FOUND, HTTPStatus.GONE})


async def sent_up(client: Client, room: str, file: Attachment, data: bytes) -> dict[str, Any]:
    """Bring a file to the server; the content of the message that shows it.

    Raises a DeliveryError.
    """
    sealed = client.rooms[room].encrypted
    answer, keys = await client.upload(
        lambda *_: io.BytesIO(data),
        content_type=file.type,
        filename=None if sealed else file.name,
        encrypt=sealed,
        filesize=len(data),
    )
    if not isinstance(answer, UploadResponse):
        raise typed(answer)
    picture = file.type.startswith("image/")
    content: dict[str, Any] = {
        "msgtype": "m.image" if picture else "m.file",
        "body": (picture and file.alt) or file.name,
        "info": {"mimetype": file.type, "size": len(data)},
    }
    if sealed:
        content["file"] = {**(keys or {}), "url": answer.content_uri}
    else:
        content["url"] = answer.content_uri
    return content


def picture_in(content: dict[str, Any]) -> Picture | None:
    """The picture that a message shows, with all that is needed to fetch it."""
    info = content.get("info")
    info = info if isinstance(info, dict) else {}
    kind = content.get("msgtype")
    if kind != "m.image" and not (
        kind == "m.file" and str(info.get("mimetype")).startswith("image/")
    ):
        return None
    sealed = content.get("file")
    lies = sealed if isinstance(sealed, dict) else {"url": content.get("url")}
    if not str(lies.get("url")).startswith("mxc://"):
        return None
    size = info.get("size")
    kept = {name: lies[name] for name in ("url", "key", "iv", "hashes") if name in lies}
    return Picture(json.dumps(kept), size if isinstance(size, int) else None)


async def fetch(client: Client, ref: str, most: int) -> bytes:
    """The bytes of a picture. Raises UnreachedError, TooLargeError, RefusedError."""
    lies: dict[str, Any] = json.loads(ref)
    try:
        data = await _read(client, lies["url"], most)
    except FAILED as error:
        raise UnreachedError(type(error).__name__) from error
    if "key" not in lies:
        return data
    try:
        return await asyncio.to_thread(
            decrypt_attachment, data, lies["key"]["k"], lies["hashes"]["sha256"], lies["iv"]
        )
    except (EncryptionError, KeyError, TypeError, ValueError) as error:
        raise RefusedError("it can't be deciphered") from error


async def _read(client: Client, url: str, most: int) -> bytes:
    parts = urlsplit(url)
    where = f"{quote(parts.netloc, safe='')}/{quote(parts.path.strip('/'), safe='')}"
    headers = {"Authorization": f"Bearer {client.access_token}"}
    for path in PATHS:
        answer: aiohttp.ClientResponse = await client.send(
            "GET", f"{path}/{where}", None, headers, None, LONGEST
        )
        async with answer:
            if answer.status == HTTPStatus.OK:
                return await _body(answer, most)
            if path != PATHS[-1] and await _unknown(answer):
                continue
            gone = answer.status in GONE
            raise RefusedError("gone") if gone else UnreachedError(f"status {answer.status}")
    raise UnreachedError("no way to fetch it")


async def _unknown(answer: aiohttp.ClientResponse) -> bool:
    """Whether the server doesn't know this way of asking."""
    with suppress(ValueError, aiohttp.ClientError):
        told = await answer.json(content_type=None)
        return isinstance(told, dict) and told.get("errcode") == "M_UNRECOGNIZED"
    return False


async def _body(answer: aiohttp.ClientResponse, most: int) -> bytes:
    """A body up to a limit; one that is longer is left where it is."""
    if (answer.content_length or 0) > most:
        raise TooLargeError(f"{answer.content_length} bytes")
    read = bytearray()
    async for chunk in answer.content.iter_chunked(CHUNK):
        read += chunk
        if len(read) > most:
            answer.close()
            raise TooLargeError("more bytes than announced")
    return bytes(read)
