"""nio's client, where it needs a hand: it tries nothing twice, and says when a key reached nobody.

nio's own retries would sleep inside a call as long as the server likes, with a token that may be
dead; ours are in the loop and in the courier, where they can be seen and ended.
"""

from __future__ import annotations

from typing import Any

import structlog
from nio import (
    Api,
    AsyncClient,
    AsyncClientConfig,
    ErrorResponse,
    JoinError,
    JoinResponse,
    KeysQueryError,
    KeysQueryResponse,
    KeysUploadError,
    KeysUploadResponse,
)
from nio.store import SqliteStore

from bot.port import UnreachedError
from bot.transports.matrix.account import Account
from bot.transports.matrix.trouble import typed

log = structlog.get_logger(__name__)

KEYS = "keys.db"
OURS = "potside."
"""What begins so in a message of ours is on the outside of a sealed one, too."""


class Client(AsyncClient):  # type: ignore[misc]
    """One account's client."""

    olm: Any
    store: Any

    @classmethod
    def of(cls, account: Account) -> Client:
        """A client that isn't signed in yet."""
        account.store.mkdir(mode=0o700, parents=True, exist_ok=True)
        config = AsyncClientConfig(
            store=SqliteStore,
            store_name=KEYS,
            store_sync_tokens=False,
            max_limit_exceeded=0,
            max_timeouts=0,
            request_timeout=account.patience.send,
        )
        return cls(account.homeserver, account.user, store_path=str(account.store), config=config)

    @classmethod
    def without_keys(cls, account: Account) -> Client:
        """A client that leaves our store alone, for a look."""
        config = AsyncClientConfig(
            encryption_enabled=False,
            max_limit_exceeded=0,
            max_timeouts=0,
            request_timeout=account.patience.send,
        )
        return cls(account.homeserver, account.user, config=config)

    async def join(self, room_id: str) -> JoinResponse | JoinError:
        """Join a room; with an empty object as body, which some servers insist on."""
        method, path = Api.join(self.access_token, room_id)
        return await self._send(JoinResponse, method, path, "{}")

    async def keys_upload(self) -> KeysUploadResponse | KeysUploadError:
        """Send our keys, kept before they are sent.

        nio keeps them when the answer is here: a kill before it would leave the server with keys
        that we have no secret for, and refuse the next ones of the same names.
        """
        account, count = self.olm.account, self.olm.uploaded_key_count
        unsent = account.one_time_keys["curve25519"]
        if account.shared and unsent and count is not None:
            # These go first; as many fewer are made.
            self.olm.uploaded_key_count = min(count + len(unsent), account.max_one_time_keys - 1)
        keys = self.olm.share_keys()
        self.olm.save_account()
        method, path, data = Api.keys_upload(self.access_token, keys)
        return await self._send(KeysUploadResponse, method, path, data)

    async def keys_query(self) -> KeysQueryResponse | KeysQueryError:
        """Ask for the keys of people's devices; one that went and came back is here again.

        nio would leave it among the deleted, and nobody would share keys with it.
        """
        answer = await super().keys_query()
        if isinstance(answer, KeysQueryResponse):
            for user, devices in answer.device_keys.items():
                for name in devices:
                    device = self.device_store[user].get(name)
                    if device is not None and device.deleted:
                        device.deleted = False
                        self.store.save_device_keys({user: {name: device}})
                        self._invalidate_outbound_sessions(device)
        return answer

    def _handle_decrypt_to_device(self, to_device_event: Any) -> Any:
        """One that nio stumbles over is passed by; the sync goes on with the others."""
        try:
            return super()._handle_decrypt_to_device(to_device_event)
        except Exception as error:  # noqa: BLE001 - whatever a stranger sends us
            log.warning("a message to our device is unreadable", reason=type(error).__name__)
            return None

    def _handle_timeline_event(self, event: Any, *more: Any) -> Any:
        """The same for what is said in a room."""
        try:
            return super()._handle_timeline_event(event, *more)
        except Exception as error:  # noqa: BLE001 - whatever a stranger sends us
            log.warning("an event is unreadable", reason=type(error).__name__)
            return None

    def encrypt(
        self, room_id: str, message_type: str, content: dict[Any, Any]
    ) -> tuple[str, dict[str, str]]:
        """Seal a message; a later device of ours, which can't open it, still sees which it was."""
        kind, sealed = super().encrypt(room_id, message_type, content)
        return kind, sealed | {name: v for name, v in content.items() if name.startswith(OURS)}

    def forget_device(self) -> None:
        """Be nobody again, so that another login can be taken up."""
        self.olm, self.store, self.access_token, self.device_id = None, None, "", ""

    async def seal_for_all(self, room_id: str) -> None:
        """See to it that every device in an encrypted room has the key of what is said next.

        Raises a DeliveryError; nio would encrypt for whom it reached and say nothing of the others.
        """
        room = self.rooms[room_id]
        if not room.encrypted or self.olm is None:
            return
        if not room.members_synced:
            _insist(await self.joined_members(room_id))
        if self.should_query_keys:
            _insist(await self.keys_query())
        if not self.olm.should_share_group_session(room_id):
            return
        missing = self.get_missing_sessions(room_id)
        if missing:
            _insist(await self.keys_claim(missing))
        await self.share_group_session(room_id, ignore_unverified_devices=True)
        session = self.olm.outbound_group_sessions[room_id]
        left = self._reachable(room_id) - session.users_shared_with - session.users_ignored
        if left:
            session.shared = False  # the next try shares it with these
            raise UnreachedError(f"the key did not reach {len(left)} devices")

    def _reachable(self, room_id: str) -> set[tuple[str, str]]:
        """The devices in a room that a key can be sent to."""
        olm: Any = self.olm
        return {
            (user, device.id)
            for user in self.rooms[room_id].users
            for device in self.device_store.active_user_devices(user)
            if not (user == self.user_id and device.id == self.device_id)
            and olm.session_store.get(device.curve25519)
            and not olm.is_device_blacklisted(device)
        }


def _insist(answer: object) -> None:
    if isinstance(answer, ErrorResponse):
        raise typed(answer)
