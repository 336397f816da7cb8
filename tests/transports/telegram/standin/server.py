"""A Bot API on the loopback, for bots under test: `python -m ...standin.server` prints its port.

It keeps offsets as the real server does, answers with real HTTP status codes, delivers to
webhooks, gives out files, and runs calls into the faults that a test has queued. Every call is
judged. Below /_/TOKEN/ tests make updates and faults and read what was said.
"""

from __future__ import annotations

import asyncio
import base64
import contextlib
import sys
import time
from typing import Any

import aiohttp
from aiohttp import web

from tests.transports.telegram.standin import judge
from tests.transports.telegram.standin.state import Bot, Chat

GIVEN_OUT = 20 * 1024 * 1024  # bytes of a file that bots may download: Bot API, getFile
PADDING = bytes(1024 * 1024)
SENDS = {"sendMessage", "sendPhoto", "sendDocument"}
BOTS: dict[str, Bot] = {}
HOOKS: set[asyncio.Task[None]] = set()


class Refused(Exception):  # noqa: N818 - as the server says it
    """A call that isn't carried out."""

    def __init__(self, status: int, description: str, **parameters: Any) -> None:
        super().__init__(description)
        self.status, self.description, self.parameters = status, description, parameters


def bot_of(request: web.Request) -> Bot:
    token = request.match_info["token"]
    if ":" not in token or not token.partition(":")[0].isdigit():
        raise web.HTTPNotFound
    return BOTS.setdefault(token, Bot(token))


# --- the Bot API ----------------------------------------------------------------------------


async def call(request: web.Request) -> web.StreamResponse:
    bot, method = bot_of(request), request.match_info["method"]
    if bot.token.endswith(":revoked"):
        return _error(Refused(401, "Unauthorized"))
    values = judge.decoded(await _form(request))
    fault = bot.fault(method, values)
    if fault is not None and fault["kind"] in {"status", "cut_before", "page"}:
        return _fail(request, fault)
    try:
        result = await _do(bot, method, values)
    except Refused as refused:
        _note(bot, method, values, refused=refused.description)
        return _error(refused)
    if fault is not None and fault["kind"] == "cut_after":
        return _cut(request)
    if fault is not None and fault["kind"] == "slow":
        await asyncio.sleep(fault["seconds"])
    return web.json_response({"ok": True, "result": result})


async def _form(request: web.Request) -> dict[str, Any]:
    values: dict[str, Any] = dict(request.query)
    for name, value in (await request.post()).items():
        values[name] = value.file.read() if isinstance(value, web.FileField) else value
    return values


def _fail(request: web.Request, fault: dict[str, Any]) -> web.StreamResponse:
    if fault["kind"] == "cut_before":
        return _cut(request)
    if fault["kind"] == "page":
        return web.Response(status=fault["status"], text="<html>Bad Gateway</html>")
    extra = {k: fault[k] for k in ("retry_after", "migrate_to_chat_id") if k in fault}
    return _error(Refused(fault["status"], fault.get("description", "Fault"), **extra))


def _cut(request: web.Request) -> web.StreamResponse:
    if request.transport is not None:
        request.transport.abort()
    return web.Response()


def _error(refused: Refused) -> web.Response:
    body: dict[str, Any] = {
        "ok": False, "error_code": refused.status, "description": refused.description,
    }  # fmt: skip
    if refused.parameters:
        body["parameters"] = refused.parameters
    return web.json_response(body, status=refused.status)


def _note(bot: Bot, method: str, values: dict[str, Any], **more: Any) -> None:
    shown = {k: len(v) if isinstance(v, bytes) else v for k, v in values.items()}
    if isinstance(document := values.get("document"), bytes):
        shown["bytes"] = base64.b64encode(document).decode()
    bot.calls.append({"n": len(bot.calls), "at": time.time(), "method": method, **shown, **more})
    bot.wake()


async def _do(bot: Bot, method: str, values: dict[str, Any]) -> Any:
    if method == "getUpdates":
        return await _get_updates(bot, values)
    wrong = list(judge.complaints(method, values))
    if wrong:
        bot.complaints += wrong
        raise Refused(400, f"Bad Request: {wrong[0].partition(': ')[2]}")
    if method in SENDS:
        return _said(bot, method, values)
    result = _settings(bot, method, values)
    _note(bot, method, values)
    return result


async def _get_updates(bot: Bot, values: dict[str, Any]) -> list[dict[str, Any]]:
    if bot.webhook.get("url"):
        raise Refused(409, "Conflict: can't use getUpdates method while webhook is active")
    bot.poll += 1
    mine = bot.poll
    bot.wake()  # an earlier question is answered with a conflict
    bot.confirm(int(values.get("offset", 0)))
    ends = time.monotonic() + float(values.get("timeout", 0))
    while not bot.updates and (left := ends - time.monotonic()) > 0 and bot.poll == mine:
        try:
            async with asyncio.timeout(left):
                await bot.changed.wait()
        except TimeoutError:
            break
    if bot.poll != mine:
        raise Refused(409, "Conflict: terminated by other getUpdates request")
    return list(bot.updates)[: int(values.get("limit", 100))]


def _said(bot: Bot, method: str, values: dict[str, Any]) -> dict[str, Any]:
    chat = bot.chats.get(int(values["chat_id"]))
    if chat is None:
        raise Refused(400, "Bad Request: chat not found")
    _can_be_said(chat, values)
    chat.last_id += 1
    text = values.get("text", values.get("caption", ""))
    if values.get("parse_mode") == "HTML":
        text = judge.text_of(text)
    message: dict[str, Any] = {
        "message_id": 100000 + chat.last_id, "date": int(time.time()), "chat": chat.about,
        "from": bot.me, "text" if method == "sendMessage" else "caption": text,
    }  # fmt: skip
    _note(bot, method, values, shown=text, message=message)
    return message


def _can_be_said(chat: Chat, values: dict[str, Any]) -> None:
    if chat.moved_to is not None:
        raise Refused(
            400, "Bad Request: group chat was upgraded to a supergroup chat",
            migrate_to_chat_id=chat.moved_to,
        )  # fmt: skip
    if chat.blocked:
        raise Refused(403, chat.blocked)
    thread = values.get("message_thread_id")
    if thread is not None and int(thread) not in chat.threads:
        raise Refused(400, "Bad Request: message thread not found")


def _settings(bot: Bot, method: str, values: dict[str, Any]) -> Any:
    match method:
        case "getMe":
            return bot.me
        case "setWebhook":
            bot.webhook = values
            bot.wake()
            HOOKS.add(asyncio.get_running_loop().create_task(_deliver(bot)))
        case "deleteWebhook":
            bot.webhook = {}
        case "getWebhookInfo":
            return {
                "url": bot.webhook.get("url", ""), "has_custom_certificate": False,
                "pending_update_count": len(bot.updates),
            }  # fmt: skip
        case "getFile":
            found = values["file_id"]
            if found not in bot.files:
                raise Refused(400, "Bad Request: invalid file_id")
            if len(bot.files[found]) > GIVEN_OUT:
                raise Refused(400, "Bad Request: file is too big")
            return {
                "file_id": found, "file_unique_id": found, "file_size": len(bot.files[found]),
                "file_path": f"photos/{found}.jpg",
            }  # fmt: skip
        case _:
            return _kept(bot, method, values)
    return True


def _kept(bot: Bot, method: str, values: dict[str, Any]) -> Any:
    """getMyCommands and the like give back what setMyCommands was given."""
    what = method.removeprefix("get").removeprefix("set")
    key = f"{what} {values.get('scope')} {values.get('language_code')}"
    if method.startswith("setMy"):
        bot.settings[key] = values
        return True
    if method == "getMyCommands":
        return bot.settings.get(key, {}).get("commands", [])
    if method == "getMyDescription":
        return {"description": bot.settings.get(key, {}).get("description", "")}
    if method == "getMyShortDescription":
        return {"short_description": bot.settings.get(key, {}).get("short_description", "")}
    return True


async def _deliver(bot: Bot) -> None:
    """Send updates to the webhook one after the other, again until each is answered with 200."""
    hook = bot.webhook
    async with aiohttp.ClientSession() as session:
        while bot.webhook is hook:
            if not bot.updates:
                await bot.changed.wait()
                continue
            headers = {"X-Telegram-Bot-Api-Secret-Token": hook.get("secret_token", "")}
            try:
                async with session.post(
                    hook["url"], json=bot.updates[0], headers=headers
                ) as answer:
                    done = answer.status == 200
            except aiohttp.ClientError:
                done = False
            if done:
                bot.updates.popleft()
            else:
                await asyncio.sleep(0.1)


async def give_file(request: web.Request) -> web.StreamResponse:
    """A file; `file` is its method among the faults: status, slow, cut in the middle, swollen."""
    bot = bot_of(request)
    name = request.match_info["path"].rpartition("/")[2].partition(".")[0]
    if name not in bot.files:
        raise web.HTTPNotFound
    bot.calls.append({"n": len(bot.calls), "at": time.time(), "method": "file", "file": name})
    bot.wake()
    fault = bot.fault("file", {}) or {"kind": ""}
    if fault["kind"] == "status":
        return web.Response(status=fault["status"])
    if fault["kind"] == "slow":
        await asyncio.sleep(fault["seconds"])
    body = bot.files[name]
    if fault["kind"] == "swollen":
        return await _swollen(request, body)
    return (
        await _cut_in_the_middle(request, body)
        if fault["kind"] == "cut"
        else web.Response(body=body)
    )


async def _cut_in_the_middle(request: web.Request, body: bytes) -> web.StreamResponse:
    answer = web.StreamResponse(headers={"Content-Length": str(len(body))})
    await answer.prepare(request)
    await answer.write(body[: len(body) // 2])
    _cut(request)
    return answer


async def _swollen(request: web.Request, body: bytes) -> web.StreamResponse:
    """More than any file may hold, and no word of it before."""
    answer = web.StreamResponse()
    answer.enable_chunked_encoding()
    await answer.prepare(request)
    with contextlib.suppress(ConnectionError):  # whoever has enough hangs up
        for _ in range(2 + GIVEN_OUT // len(PADDING)):
            await answer.write(PADDING)
    return answer


# --- what tests do --------------------------------------------------------------------------


async def add_update(request: web.Request) -> web.Response:
    bot = bot_of(request)
    added = []
    given = await request.json()
    for update in given if isinstance(given, list) else [given]:
        whole = bot.add_update(update)
        wrong = judge.bad_update(whole)
        if wrong:
            bot.complaints.append(f"the test's own update: {wrong}")
        added.append(whole["update_id"])
    return web.json_response(added)


async def repeat_update(request: web.Request) -> web.Response:
    """Deliver an update again under its old id, as after a confirmation that got lost."""
    bot = bot_of(request)
    bot.updates.append(await request.json())
    bot.wake()
    return web.json_response(True)


async def set_up(request: web.Request) -> web.Response:
    """Faults, chats' fates, files, privacy: {"fault": {...}, "chat": {...}, "file": {...}}."""
    bot = bot_of(request)
    told = await request.json()
    if fault := told.get("fault"):
        bot.faults[fault["method"]].append(fault)
    if fate := told.get("chat"):
        chat = bot.chats.setdefault(fate["id"], Chat(fate.get("about", {"id": fate["id"]})))
        chat.blocked = fate.get("blocked", chat.blocked)
        chat.moved_to = fate.get("moved_to", chat.moved_to)
        chat.threads |= set(fate.get("threads", ()))
        chat.threads -= set(fate.get("closed", ()))
    if file := told.get("file"):
        zeros = bytes(file.get("zeros", 0))
        bot.files[file["id"]] = zeros or base64.b64decode(file["content"])
    bot.privacy = told.get("privacy", bot.privacy)
    return web.json_response(True)


async def calls(request: web.Request) -> web.Response:
    """Calls from number `after` on; waits up to `timeout` seconds for the first."""
    bot = bot_of(request)
    after = int(request.query.get("after", 0))
    ends = time.monotonic() + float(request.query.get("timeout", 0))
    while len(bot.calls) <= after and (left := ends - time.monotonic()) > 0:
        try:
            async with asyncio.timeout(left):
                await bot.changed.wait()
        except TimeoutError:
            break
    return web.json_response(
        {"calls": bot.calls[after:], "complaints": bot.complaints, "pending": len(bot.updates)}
    )


def app() -> web.Application:
    made = web.Application(client_max_size=64 * 1024 * 1024)
    made.add_routes(
        [
            web.post("/bot{token}/{method}", call),
            web.get("/bot{token}/{method}", call),
            web.get("/file/bot{token}/{path:.+}", give_file),
            web.post("/_/{token}/update", add_update),
            web.post("/_/{token}/again", repeat_update),
            web.post("/_/{token}/set", set_up),
            web.get("/_/{token}/calls", calls),
        ]
    )
    return made


async def main() -> None:
    runner = web.AppRunner(app(), access_log=None, shutdown_timeout=0.1)
    await runner.setup()
    site = web.TCPSite(runner, "127.0.0.1", 0)
    await site.start()
    port = runner.addresses[0][1]
    sys.stdout.write(f"{port}\n")
    sys.stdout.flush()
    await asyncio.to_thread(sys.stdin.read)  # lives as long as whoever started it
    await runner.cleanup()


if __name__ == "__main__":
    asyncio.run(main())
