"""People on Matrix: separate nio clients with stores of their own, who speak and hear."""

from __future__ import annotations

import asyncio
import io
import itertools
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import quote

import aiohttp
import nio
from nio.crypto.attachments import decrypt_attachment

from bot.tasks import ended
from tests.transports.matrix.homeserver import Homeserver, Login

SECONDS = 15.0
_STEP = 0.01
_FOLDERS = itertools.count(1)
ENCRYPTION = {
    "type": "m.room.encryption", "state_key": "",
    "content": {"algorithm": "m.megolm.v1.aes-sha2"},
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Said:
    """Something that was said in a room, as one of its people got it."""

    room: str
    sender: str
    id: str
    content: dict[str, Any]
    encrypted: bool

    @property
    def text(self) -> str:
        """Its words, as a client without HTML shows them."""
        return str(self.content.get("body", ""))

    @property
    def kind(self) -> str:
        """What sort of message it is; empty for a reaction."""
        return str(self.content.get("msgtype", ""))

    @property
    def thread(self) -> str | None:
        """The thread it belongs to."""
        relation = self.content.get("m.relates_to", {})
        return str(relation["event_id"]) if relation.get("rel_type") == "m.thread" else None

    @property
    def answers(self) -> str | None:
        """The event it points back at."""
        relation = self.content.get("m.relates_to", {})
        told: str | None = relation.get("m.in_reply_to", {}).get("event_id")
        return told


@dataclass(slots=True)
class Person:
    """Somebody at a client of their own, which listens until they leave."""

    client: nio.AsyncClient
    login: Login
    heard: list[Said] = field(default_factory=list)
    sealed: list[nio.MegolmEvent] = field(default_factory=list)
    _ears: asyncio.Task[None] | None = None

    @classmethod
    async def arrive(cls, base: str, login: Login, folder: Path) -> Person:
        """Start a client with this login and an empty store in a folder; it listens at once."""
        store = folder / f"client-{next(_FOLDERS)}"
        store.mkdir(parents=True)
        settings = nio.AsyncClientConfig(
            max_timeout_retry_wait_time=0.3, request_timeout=30, store_sync_tokens=False
        )
        client = nio.AsyncClient(base, login.user, login.device, str(store), settings)
        client.restore_login(login.user, login.device, login.token)
        made = cls(client, login)
        client.add_event_callback(made._hear, nio.Event)
        await made._look(0)
        made._ears = asyncio.create_task(made._listen())
        return made

    async def leave(self) -> None:
        """Close the client."""
        await ended([self._ears] if self._ears else [])
        await self.client.close()

    @property
    def id(self) -> str:
        return self.login.user

    # --- listening ----------------------------------------------------------------------------

    async def _listen(self) -> None:
        while True:
            answer = await self._look(5000)
            if isinstance(answer, nio.SyncError):
                await asyncio.sleep(0.2)

    async def _look(self, within_ms: int) -> nio.SyncResponse | nio.SyncError:
        answer = await self.client.sync(within_ms)
        await self.client.send_to_device_messages()
        if self.client.should_upload_keys:
            await self.client.keys_upload()
        if self.client.should_query_keys:
            self._revive(await self.client.keys_query())
        if self.client.should_claim_keys:
            await self.client.keys_claim(self.client.get_users_for_key_claiming())
        return answer

    def _revive(self, answer: nio.KeysQueryResponse | nio.KeysQueryError) -> None:
        """A device that was deleted and is back is there; nio takes it for deleted for ever."""
        for user, devices in getattr(answer, "device_keys", {}).items():
            for device in devices:
                if device in self.client.device_store[user]:
                    self.client.device_store[user][device].deleted = False

    async def _hear(self, room: nio.MatrixRoom, event: nio.Event) -> None:
        if isinstance(event, nio.MegolmEvent):
            self.sealed.append(event)
        elif isinstance(event, (nio.RoomMessage, nio.ReactionEvent)):
            content = event.source["content"]
            self.heard.append(
                Said(room.room_id, event.sender, event.event_id, content, event.decrypted)
            )

    async def until(self, done: Callable[[], Any], within: float = SECONDS, why: str = "") -> Any:
        """Wait for something to become true; what it became."""
        ends = time.monotonic() + within
        while not (found := done()):
            if time.monotonic() > ends:
                last = [(one.sender, one.kind, one.text) for one in self.heard[-5:]]
                raise AssertionError(f"{self.id} waited in vain {why}; heard last: {last}")
            await asyncio.sleep(_STEP)
        return found

    def others(self, room: str) -> list[Said]:
        """What others said in a room so far; edits and reactions too."""
        return [one for one in self.heard if one.room == room and one.sender != self.id]

    async def hears(self, room: str, part: str = "", after: int = 0, **how: Any) -> Said:
        """The first thing others say in a room after so many, with this part in its text."""

        def found() -> Said | None:
            return next((one for one in self.others(room)[after:] if part in one.text), None)

        said: Said = await self.until(found, **{"why": f"for {part!r}", **how})
        return said

    # --- speaking -----------------------------------------------------------------------------

    async def send(self, room: str, content: dict[str, Any], kind: str = "m.room.message") -> str:
        """Send an event; its id."""
        answer = await self.client.room_send(room, kind, content, ignore_unverified_devices=True)
        assert isinstance(answer, nio.RoomSendResponse), answer
        return str(answer.event_id)

    async def say(self, room: str, text: str, **content: Any) -> str:
        """Say something; the event's id."""
        return await self.send(room, {"msgtype": "m.text", "body": text, **content})

    async def ask(
        self, room: str, text: str, part: str = "", *, within: float = SECONDS, **content: Any
    ) -> Said:
        """Say something, and wait for what comes back."""
        before = len(self.others(room))
        await self.say(room, text, **content)
        return await self.hears(room, part, before, within=within)

    async def edit(self, room: str, event: str, text: str) -> str:
        """Say something anew, as clients do."""
        return await self.say(
            room, f" * {text}", **{
                "m.new_content": {"msgtype": "m.text", "body": text},
                "m.relates_to": {"rel_type": "m.replace", "event_id": event},
            }
        )  # fmt: skip

    async def reply(self, room: str, to: Said, text: str, *, fallback: bool = True) -> str:
        """Answer a message; with `fallback`, as older clients do, its words are repeated first."""
        quoted = "\n".join(f"> {line}" for line in f"<{to.sender}> {to.text}".splitlines())
        body = f"{quoted}\n\n{text}" if fallback else text
        return await self.say(
            room, body, **{"m.relates_to": {"m.in_reply_to": {"event_id": to.id}}}
        )

    async def in_thread(self, room: str, root: str, text: str) -> str:
        """Say something in a thread."""
        relation = {
            "rel_type": "m.thread", "event_id": root, "is_falling_back": True,
            "m.in_reply_to": {"event_id": root},
        }  # fmt: skip
        return await self.say(room, text, **{"m.relates_to": relation})

    async def react(self, room: str, event: str, key: str) -> str:
        """Put a small sign under a message."""
        relation = {"rel_type": "m.annotation", "event_id": event, "key": key}
        return await self.send(room, {"m.relates_to": relation}, "m.reaction")

    async def show(
        self, room: str, data: bytes, name: str = "fern.png", type_: str = "image/png", **more: Any
    ) -> str:
        """Send a picture or another file, encrypted where the room is."""
        sealed = self.client.rooms[room].encrypted
        answer, keys = await self.client.upload(
            io.BytesIO(data), type_, name, encrypt=sealed, filesize=len(data)
        )
        assert isinstance(answer, nio.UploadResponse), answer
        where = (
            {"file": {"url": answer.content_uri, **keys}} if keys else {"url": answer.content_uri}
        )
        kind = "m.image" if type_.startswith("image/") else "m.file"
        info = {"mimetype": type_, "size": len(data)}
        return await self.send(room, {"msgtype": kind, "body": name, "info": info, **where, **more})

    async def bytes_of(self, said: Said) -> bytes:
        """A picture or file that was sent, as it was before it was sealed."""
        sealed = said.content.get("file")
        answer = await self.client.download(mxc=sealed["url"] if sealed else said.content["url"])
        assert isinstance(answer, nio.MemoryDownloadResponse), answer
        body: bytes = answer.body
        if not sealed:
            return body
        opened: bytes = decrypt_attachment(
            body, sealed["key"]["k"], sealed["hashes"]["sha256"], sealed["iv"]
        )
        return opened

    # --- rooms --------------------------------------------------------------------------------

    async def open(
        self, *guests: str, encrypted: bool = True, direct: bool = False, **more: Any
    ) -> str:
        """A new room with these people invited; its id."""
        answer = await self.client.room_create(
            is_direct=direct,
            invite=list(guests),
            initial_state=[ENCRYPTION] if encrypted else [],
            **more,
        )
        assert isinstance(answer, nio.RoomCreateResponse), answer
        await self.until(lambda: answer.room_id in self.client.rooms, why="for the room")
        room: str = answer.room_id
        return room

    async def join(self, room: str) -> None:
        """Accept an invitation."""
        answer = await self.client.join(room)
        assert isinstance(answer, nio.JoinResponse), answer
        await self.until(lambda: room in self.client.rooms, why="to be in the room")

    async def sees(self, room: str, user: str) -> None:
        """Wait until somebody has joined a room."""

        def there() -> bool:
            found = self.client.rooms.get(room)
            return bool(found and user in found.users and not found.users[user].invited)

        await self.until(there, why=f"for {user} to join")

    async def invite(self, room: str, user: str) -> None:
        """Ask somebody in."""
        answer = await self.client.room_invite(room, user)
        assert isinstance(answer, nio.RoomInviteResponse), answer

    async def kick(self, room: str, user: str) -> None:
        """Put somebody out."""
        answer = await self.client.room_kick(room, user)
        assert isinstance(answer, nio.RoomKickResponse), answer

    async def put(self, room: str, kind: str, content: dict[str, Any]) -> None:
        """Set a piece of a room's state."""
        answer = await self.client.room_put_state(room, kind, content)
        assert isinstance(answer, nio.RoomPutStateResponse), answer

    async def upgrade(self, room: str, version: str = "12") -> str:
        """Have the homeserver replace a room; the new one's id."""
        path = f"/_matrix/client/v3/rooms/{quote(room)}/upgrade"
        made: str = (await self.call("POST", path, {"new_version": version}))["replacement_room"]
        await self.until(lambda: made in self.client.rooms, why="for the new room")
        return made

    async def call(self, method: str, path: str, body: Any = None) -> Any:
        """Ask the homeserver for something that nio has no words for."""
        headers = {"Authorization": f"Bearer {self.login.token}"}
        async with (
            aiohttp.ClientSession(headers=headers) as session,
            session.request(method, f"{self.client.homeserver}{path}", json=body) as answer,
        ):
            told = await answer.json()
            assert answer.status == 200, told
            return told


@dataclass(slots=True)
class Crowd:
    """Makes the people of one test, and sends them home at its end."""

    server: Homeserver
    folder: Path
    there: list[Person] = field(default_factory=list)

    async def __call__(self, name: str, base: str | None = None) -> Person:
        """A new person; talking through `base` (a proxy) where given."""
        return await self.device(self.server.register(name), base)

    async def device(self, login: Login, base: str | None = None) -> Person:
        """A client for a login."""
        made = await Person.arrive(base or self.server.url, login, self.folder)
        self.there.append(made)
        return made

    async def leave(self) -> None:
        for one in self.there:
            await one.leave()
