"""Updates as Telegram delivers them, as the messages and changes that the house understands.

In a group only what is surely meant for us is taken in: commands, our name in front or at the
end, replies to us. Other talk is dropped here and kept nowhere.
"""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from telegram import CallbackQuery, Chat, ChatMemberUpdated, Update, User
from telegram import Message as Post
from telegram.constants import ChatMemberStatus, ChatType

from bot.port import Back, Gone, Incoming, Moved, Place, Press, Renamed, as_name, as_title
from bot.talk.message import Message, Picture, Quote, bare
from bot.talk.registry import ALIASES, COMMANDS
from bot.transports.telegram.cutting import PREFIX
from core.store.people import AS_ITSELF, Address

NETWORK = "telegram"
WANTED = (
    "message",
    "edited_message",
    "channel_post",
    "edited_channel_post",
    "callback_query",
    "my_chat_member",
)
GENERAL = 1
"""The topic "General" has this id and must not be named when sending (tdlib/telegram-bot-api
#798)."""
# A message older than this waited somewhere; a younger one was said just now.
WAITED = timedelta(minutes=1)
NOBODY = "someone"
ALBUMS_KNOWN = 64

_COMMAND = re.compile(r"/(?P<name>[A-Za-z0-9_]+)(?:@(?P<bot>\w+))?(?=\s|$)")
_BUTTON = re.compile(rf"{PREFIX}:(?P<row>\d{{1,18}}):(?P<index>\d{{1,3}})")
_HERE = frozenset({ChatMemberStatus.MEMBER, ChatMemberStatus.ADMINISTRATOR, ChatMemberStatus.OWNER})


@dataclass(frozen=True, slots=True)
class Ear:
    """Hears for one bot. `allowed`: ids or @names of people and chats, or None for everybody."""

    bot_id: int
    username: str
    now: Callable[[], datetime]
    allowed: frozenset[str] | None = None
    # Albums of which one picture was meant for us: its caption speaks for the others too.
    _albums: deque[str] = field(default_factory=lambda: deque(maxlen=ALBUMS_KNOWN))

    @property
    def account(self) -> str:
        """The bot, as the store keeps it."""
        return str(self.bot_id)

    def hear(self, update: Update) -> Sequence[Incoming]:
        """What an update means for us; nothing, as a rule, in a lively group."""
        if update.callback_query is not None:
            return self._press(update.callback_query)
        if update.my_chat_member is not None:
            return self._membership(update.my_chat_member, update.update_id)
        post = (
            update.message
            or update.edited_message
            or update.channel_post
            or update.edited_channel_post
        )
        return self._post(post) if post is not None else ()

    def _place(self, chat_id: int) -> Place:
        return Place(NETWORK, self.account, str(chat_id))

    # --- messages ---------------------------------------------------------------------------

    def _post(self, post: Post) -> Sequence[Incoming]:
        if post.migrate_to_chat_id is not None:
            return (Moved(self._place(post.chat.id), str(post.migrate_to_chat_id)),)
        if post.migrate_from_chat_id is not None:
            return (Moved(self._place(post.migrate_from_chat_id), str(post.chat.id)),)
        if post.new_chat_title is not None:
            return (Renamed(self._place(post.chat.id), as_title(post.new_chat_title)),)
        speaker = _speaker(post)
        text = self._meant(post)
        if speaker is None or text is None:
            return ()
        address = self._address(post.chat, *speaker)
        if not self._may_speak(address, post.from_user, post.chat):
            return ()
        message = self._message(post, address, text)
        if post.media_group_id is not None:
            self._albums.append(post.media_group_id)
        first = text.split(maxsplit=1)[:1]
        return (Back(self._place(post.chat.id)), message) if first == ["/start"] else (message,)

    def _message(self, post: Post, address: Address, text: str) -> Message:
        return Message(
            address,
            str(post.message_id),
            text,
            self._moment(post),
            edit=_edit(post),
            photo=_picture(post),
            thread=_thread(post),
            quoted=not address.direct,
            overhears=address.direct,
            quotes=self._quoted(post),
            passed_on=post.forward_origin is not None or post.via_bot is not None,
        )

    def _quoted(self, post: Post) -> Quote | None:
        """The message of ours that this one replies to: by its buttons, or as sending tells of it.

        Somebody may be faster than the mark of what was sent.
        """
        earlier = post.reply_to_message
        if earlier is None or not self._replies_to_us(post):
            return None
        rows = earlier.reply_markup.inline_keyboard if earlier.reply_markup else ()
        shown = (_BUTTON.fullmatch(str(one.callback_data)) for row in rows for one in row)
        button = next((one for one in shown if one is not None), None)
        row = int(button["row"]) if button is not None else 0
        return Quote(row, f"{post.chat.id} {earlier.message_id}")

    def _moment(self, post: Post) -> datetime:
        """When it was said: just now, unless it waited for us. Telegram tells full seconds."""
        now = self.now()
        said = post.edit_date or post.date
        return said if now - said > WAITED else now

    def _meant(self, post: Post) -> str | None:
        """The text as far as it is meant for us; None when it isn't."""
        text = bare(post.text or post.caption or "")
        direct = post.chat.type == ChatType.PRIVATE
        command = _COMMAND.match(text)
        if command is not None:
            return self._command(text, command, direct=direct)
        something = direct and post.effective_attachment is not None
        if not text and not something and _picture(post) is None:
            return None
        if direct or (not text and post.media_group_id in self._albums):
            return text
        called = self._called(text)
        return text if called is None and self._replies_to_us(post) else called

    def _called(self, text: str) -> str | None:
        """What is said to us by name, be that in front or at the end."""
        name = rf"@{re.escape(self.username)}\b"
        said = re.fullmatch(
            rf"{name}[\s,:]*(?P<after>.*)|(?P<before>.*?)[\s,]*(?<!\S){name}[\s.!?]*",
            text,
            re.IGNORECASE | re.DOTALL,
        )
        return (said["after"] or said["before"] or "/help") if said is not None else None

    def _command(self, text: str, command: re.Match[str], *, direct: bool) -> str | None:
        """A command for us, without our name; in a group an unknown one is another bot's."""
        name, bot = command["name"], command["bot"]
        if bot is not None and not direct and bot.casefold() != self.username.casefold():
            return None
        known = name.casefold() in COMMANDS or name.casefold() in ALIASES
        if bot is None and not direct and not known:
            return None
        return f"/{name}{text[command.end() :]}"

    def _replies_to_us(self, post: Post) -> bool:
        earlier = post.reply_to_message
        return (
            earlier is not None
            and earlier.from_user is not None
            and earlier.from_user.id == self.bot_id
            and earlier.forum_topic_created is None
        )

    def _address(self, chat: Chat, sender: str, name: str) -> Address:
        direct = chat.type == ChatType.PRIVATE
        title = "" if direct else as_title(chat.title)
        return Address(NETWORK, self.account, str(chat.id), sender, name, direct, title)

    def _may_speak(self, address: Address, user: User | None, chat: Chat) -> bool:
        if self.allowed is None:
            return True
        names = {address.chat, address.sender}
        for one in (user.username if user else None, chat.username):
            if one:
                names.add(f"@{one.casefold()}")
        return bool(names & self.allowed)

    # --- buttons ----------------------------------------------------------------------------

    def _press(self, query: CallbackQuery) -> Sequence[Incoming]:
        shown = query.message
        if shown is None:
            return ()
        address = self._address(shown.chat, str(query.from_user.id), _name(query.from_user))
        if not self._may_speak(address, query.from_user, shown.chat):
            return ()
        button = _BUTTON.fullmatch(query.data or "")
        message = Message(
            address,
            f"tap{query.id}",
            "",
            self.now(),
            thread=_thread(shown) if isinstance(shown, Post) else None,
            overhears=address.direct,
        )
        row, index = (int(button["row"]), int(button["index"])) if button else (0, 0)
        return (Press(message, row, index, f"{shown.chat.id} {shown.message_id}"),)

    # --- coming and going -------------------------------------------------------------------

    def _membership(self, change: ChatMemberUpdated, update_id: int) -> Sequence[Incoming]:
        place = self._place(change.chat.id)
        here = change.new_chat_member.status in _HERE
        if not here and change.new_chat_member.status == ChatMemberStatus.RESTRICTED:
            here = bool(getattr(change.new_chat_member, "is_member", False))
        if not here:
            return (Gone(place),)
        was_here = change.old_chat_member.status in _HERE
        group = change.chat.type in {ChatType.GROUP, ChatType.SUPERGROUP}
        address = self._address(change.chat, str(change.from_user.id), _name(change.from_user))
        if was_here or not group or not self._may_speak(address, change.from_user, change.chat):
            return (Back(place),)
        return (
            Back(place),
            Message(address, f"added{update_id}", "/start", self.now(), overhears=False),
        )


def _speaker(post: Post) -> tuple[str, str] | None:
    """Who speaks: a person, or a chat that speaks as itself (anonymous admins, channels)."""
    by_bot = post.via_bot is not None and post.chat.type != ChatType.PRIVATE
    if post.is_automatic_forward or by_bot:
        return None
    user = post.from_user
    if post.sender_chat is not None and (user is None or user.is_bot):
        name = as_name(post.author_signature, post.sender_chat.title) or NOBODY
        return f"{AS_ITSELF}{post.sender_chat.id}", name
    if user is None or user.is_bot:
        return None
    return str(user.id), _name(user)


def _picture(post: Post) -> Picture | None:
    """A photo, or a picture sent as a file."""
    document = post.document
    if document is not None and not (document.mime_type or "").startswith("image/"):
        document = None
    file = post.photo[-1] if post.photo else document
    if file is None:
        return None
    return Picture(file.file_id, file.file_size, post.media_group_id or "")


def _name(user: User) -> str:
    return as_name(user.first_name, user.last_name, user.username) or NOBODY


def _edit(post: Post) -> int:
    """Which edit: grows with each one, and is the same when it is delivered again."""
    if post.edit_date is None:
        return 0
    return max(1, int((post.edit_date - post.date).total_seconds()) + 1)


def _thread(post: Post) -> str | None:
    """The topic; a thread id without the mark of a topic is none, and General goes unnamed."""
    if not post.is_topic_message or post.message_thread_id in {None, GENERAL}:
        return None
    return str(post.message_thread_id)
