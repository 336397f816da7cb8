"""Judges what a bot sends: by aiogram's models of the Bot API, and by limits they don't know.

The limits are ours, read from the Bot API's text (https://core.telegram.org/bots/api; FROM
MEMORY): lengths after parsing entities, bytes of callback data, alphabets, unknown fields.
Two teams' readings of the same text must agree: the bot's library builds, this one judges.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping
from html.parser import HTMLParser
from typing import Any

import aiogram.methods
from aiogram.types import InlineKeyboardMarkup, Update
from pydantic import BaseModel, TypeAdapter, ValidationError

METHODS: dict[str, Any] = {
    name: one
    for one in vars(aiogram.methods).values()
    if isinstance(name := getattr(one, "__api_method__", None), str)
}
JSON_FIELDS = {
    "reply_markup", "entities", "caption_entities", "commands", "scope", "allowed_updates",
    "link_preview_options", "reply_parameters", "media",
}  # fmt: skip
MOST_TEXT, MOST_CAPTION, MOST_DATA, MOST_BUTTONS, MOST_IN_ROW = 4096, 1024, 64, 100, 8
TAGS = {
    "b", "strong", "i", "em", "u", "ins", "s", "strike", "del", "span", "tg-spoiler", "a",
    "code", "pre", "blockquote", "tg-emoji",
}  # fmt: skip
ENTITY = re.compile(r"&(?!(?:lt|gt|amp|quot|#\d+|#x[0-9a-fA-F]+);)")
_KEYBOARD = TypeAdapter(InlineKeyboardMarkup)
GENERAL = 1


def units(text: str) -> int:
    """Length in UTF-16 code units."""
    return len(text.encode("utf-16-le")) // 2


class MarkupError(ValueError):
    """HTML that the Bot API would refuse."""


class _Html(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in TAGS:
            raise MarkupError(f'Unsupported start tag "{tag}"')
        self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            raise MarkupError(f'Unmatched end tag "{tag}"')

    def handle_data(self, data: str) -> None:
        self.text += data


def text_of(markup: str) -> str:
    """The text behind HTML. Raises MarkupError."""
    if ENTITY.search(markup) and "&" in ENTITY.findall(markup):
        raise MarkupError("unescaped ampersand")  # Telegram is lenient here; we are not
    if re.search(r"<(?![a-zA-Z/])", markup):
        raise MarkupError("unescaped <")
    parser = _Html()
    parser.feed(markup)
    parser.close()
    if parser.open:
        raise MarkupError(f'Can\'t find end tag corresponding to start tag "{parser.open[-1]}"')
    return parser.text


def decoded(form: Mapping[str, Any]) -> dict[str, Any]:
    """Form fields as the values they stand for."""
    found: dict[str, Any] = {}
    for name, value in form.items():
        if name in JSON_FIELDS and isinstance(value, str):
            found[name] = json.loads(value)
        elif value in {"true", "false", "True", "False"}:
            found[name] = value.lower() == "true"
        else:
            found[name] = value
    return found


def complaints(method: str, values: Mapping[str, Any]) -> Iterator[str]:
    """What is wrong with a call."""
    model = METHODS.get(method)
    if model is None:
        yield f"no such method: {method}"
        return
    try:
        parsed = model.model_validate(_without_files(values))
    except ValidationError as error:
        yield f"{method}: {error.errors(include_url=False)[:3]}"
        return
    yield from (f"{method}: unknown field {name}" for name in _extra(parsed))
    for rule in RULES.get(method, ()):
        yield from (f"{method}: {wrong}" for wrong in rule(values))


def bad_update(update: Mapping[str, Any]) -> str | None:
    """What is wrong with an update that a test makes up."""
    try:
        Update.model_validate(update)
    except ValidationError as error:
        return str(error)
    return None


def _without_files(values: Mapping[str, Any]) -> dict[str, Any]:
    return {name: "attach://file" if isinstance(v, bytes) else v for name, v in values.items()}


def _extra(model: BaseModel) -> Iterator[str]:
    yield from model.model_extra or {}
    for name in type(model).model_fields:
        value = getattr(model, name)
        for one in value if isinstance(value, list) else [value]:
            if isinstance(one, BaseModel):
                yield from _extra(one)


# --- what the models don't know -------------------------------------------------------------

Rule = Callable[[Mapping[str, Any]], Iterator[str]]


def _length(field: str, most: int, *, needed: bool) -> Rule:
    def rule(values: Mapping[str, Any]) -> Iterator[str]:
        text = values.get(field, "")
        if values.get("parse_mode") == "HTML":
            try:
                text = text_of(text)
            except MarkupError as error:
                yield f"can't parse entities: {error}"
                return
        elif "parse_mode" in values:
            yield f"parse mode {values['parse_mode']} is not ours"
        if needed and not text.strip():
            yield "message text is empty"
        if units(text) > most:
            yield f"{field} has {units(text)} units, most {most}"

    return rule


def _keyboard(values: Mapping[str, Any]) -> Iterator[str]:
    markup = values.get("reply_markup")
    if markup is None:
        return
    try:
        keyboard = _KEYBOARD.validate_python(markup)
    except ValidationError as error:
        yield f"reply_markup: {error.errors(include_url=False)[:2]}"
        return
    buttons = [button for row in keyboard.inline_keyboard for button in row]
    if not buttons or len(buttons) > MOST_BUTTONS:
        yield f"{len(buttons)} buttons"
    if any(not row or len(row) > MOST_IN_ROW for row in keyboard.inline_keyboard):
        yield "a row has no button, or too many"
    for button in buttons:
        if not button.text.strip():
            yield "a button without a text"
        if not 1 <= len((button.callback_data or "").encode()) <= MOST_DATA:
            yield f"callback_data {button.callback_data!r} is not 1 to 64 bytes long"


def _thread(values: Mapping[str, Any]) -> Iterator[str]:
    if str(values.get("message_thread_id", "")) == str(GENERAL):
        yield "message_thread_id 1 is refused: General goes unnamed"


def _commands(values: Mapping[str, Any]) -> Iterator[str]:
    commands = values.get("commands", [])
    if len(commands) > 100:
        yield "more than 100 commands"
    for one in commands:
        if not re.fullmatch(r"[a-z0-9_]{1,32}", one["command"]):
            yield f"command {one['command']!r}"
        if not 1 <= units(one["description"]) <= 256:
            yield f"description of {one['command']}"


def _secret(values: Mapping[str, Any]) -> Iterator[str]:
    if not re.fullmatch(r"[A-Za-z0-9_-]{1,256}", values.get("secret_token", "")):
        yield "secret_token is missing or has other letters than A-Z, a-z, 0-9, _ and -"


def _at_most(field: str, most: int) -> Rule:
    def rule(values: Mapping[str, Any]) -> Iterator[str]:
        if units(values.get(field, "")) > most:
            yield f"{field} is longer than {most}"

    return rule


SAID = (_keyboard, _thread)
RULES: dict[str, tuple[Rule, ...]] = {
    "sendMessage": (_length("text", MOST_TEXT, needed=True), *SAID),
    "sendPhoto": (_length("caption", MOST_CAPTION, needed=False), *SAID),
    "sendDocument": (_length("caption", MOST_CAPTION, needed=False), *SAID),
    "setMyCommands": (_commands,),
    "setWebhook": (_secret,),
    "setMyDescription": (_at_most("description", 512),),
    "setMyShortDescription": (_at_most("short_description", 120),),
    "answerCallbackQuery": (_at_most("text", 200),),
}
