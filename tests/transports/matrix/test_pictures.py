"""Pictures and files, sealed where the room is: drawn ones out, photos in, and what goes wrong.

Each test names the report it learns from, by the public repository and thread.
"""

from __future__ import annotations

import json
from io import BytesIO
from typing import Any

import pytest
from PIL import Image
from sqlalchemy import select

from bot.duty import darkroom
from core.store.tables import Photo, table_of
from tests.transports.matrix.people import Crowd, Person
from tests.transports.matrix.proxy import Proxy
from tests.transports.matrix.world import FERN, Bot, Served, move_in, served, until
from tests.unit.studio.shut import shut

KEPT = "The photo is kept with Fern."
PHOTO = table_of(Photo)


def leaf() -> bytes:
    """A photo with the place where it was taken, as phones write it."""
    file, told = BytesIO(), Image.Exif()
    told[0x010F] = "CameraMaker"
    told.get_ifd(0x8825).update({1: "N", 2: (52.0, 31.0, 12.0)})
    Image.new("RGB", (640, 480), (30, 120, 40)).save(file, "JPEG", exif=told)
    return file.getvalue()


def _kept(house: Served) -> list[Any]:
    with house.store.read() as tx:
        return list(tx.execute(select(PHOTO.c.state, PHOTO.c.content).order_by(PHOTO.c.id)))


async def _picture(who: Person, room: str, before: int) -> bytes:
    """The next picture that comes, opened."""
    return await _file(who, room, before, "m.image")


async def _file(who: Person, room: str, before: int, kind: str = "m.file") -> bytes:
    def found() -> Any:
        return next((one for one in who.others(room)[before:] if one.kind == kind), None)

    said = await who.until(found, why="for a picture")
    assert ("file" in said.content) is who.client.rooms[room].encrypted
    return await who.bytes_of(said)


@pytest.mark.parametrize("encrypted", [True, False], ids=["encrypted", "plain"])
async def test_both_ways(people: Crowd, bot: Bot, *, encrypted: bool) -> None:
    """NousResearch/hermes-agent #4196: encrypted media is another event class, and was ignored.

    matrix-nio #195: a sealed file is sent as `file` with its key, not as `url`.
    """
    ida = await people("ida")
    async with served(bot) as house:
        room = await move_in(ida, bot, encrypted=encrypted)
        await ida.ask(room, FERN)
        before = len(ida.others(room))
        await ida.show(room, leaf(), "leaf.jpg", "image/jpeg", body="fern 3", filename="leaf.jpg")
        await ida.hears(room, "Fern: 3.", before)
        await ida.hears(room, KEPT, before)
        [(state, content)] = _kept(house)
        assert state == "kept"
        assert b"CameraMaker" not in content
        before = len(ida.others(room))
        await ida.say(room, "!photo fern")
        assert await _picture(ida, room, before) == content
        before = len(ida.others(room))
        await ida.say(room, "!chart fern")
        assert (await _picture(ida, room, before)).startswith(b"\x89PNG")
        before = len(ida.others(room))
        await ida.say(room, "!export")
        lines = (await _file(ida, room, before)).splitlines()
        assert json.loads(lines[0])["name"] == "Ida's household"
        before = len(ida.others(room))
        with shut():
            await ida.say(room, "!chart fern")
            said = await ida.hears(room, "or sent just now. To try again: !chart fern", before)
            await ida.hears(room, "Fern since", before)
        assert "Fern since" not in said.text


@pytest.mark.parametrize(
    "fault",
    [
        {"kind": "answer", "status": 502, "body": {}},
        {"kind": "answer", "status": 429, "body": {"errcode": "M_LIMIT_EXCEEDED", "error": "?"}},
        {"kind": "cut_before"},
        {"kind": "cut_after"},
    ],
    ids=["502", "429", "cut before", "cut after"],
)
async def test_what_may_pass_is_tried_again(
    people: Crowd,
    bot_behind: Bot,
    proxy: Proxy,
    monkeypatch: pytest.MonkeyPatch,
    fault: dict[str, Any],
) -> None:
    """On the way in and on the way out."""
    monkeypatch.setattr(darkroom, "TRY_AGAIN", (darkroom.TRY_AGAIN[0] / 50,) * 2)
    monkeypatch.setattr(darkroom, "LOOK_EVERY", 0.1)
    ida = await people("ida")
    async with served(bot_behind) as house:
        room = await move_in(ida, bot_behind)
        await ida.ask(room, FERN)
        proxy.fault("/media/download", **fault)
        before = len(ida.others(room))
        await ida.show(room, leaf(), "leaf.jpg", "image/jpeg", body="fern", filename="leaf.jpg")
        await ida.hears(room, KEPT, before)
        proxy.fault("/upload", method="POST", **fault)
        before = len(ida.others(room))
        await ida.say(room, "!photo fern")
        assert await _picture(ida, room, before)
        await until(lambda: set(house.states()) == {"sent"}, house.states)
        pictures = [one for one in ida.others(room) if one.kind == "m.image"]
        assert len(pictures) == 1


async def test_what_can_not_be_opened_or_is_no_picture(people: Crowd, bot: Bot) -> None:
    """Each is told, and none keeps the next from being kept."""
    ida = await people("ida")
    async with served(bot) as house:
        room = await move_in(ida, bot)
        await ida.ask(room, FERN)
        before = len(ida.others(room))
        await ida.show(room, b"no picture", "leaf.jpg", "image/jpeg", body="fern", filename="x.jpg")
        await ida.hears(room, "isn't kept", before)
        before = len(ida.others(room))
        await ida.show(room, leaf(), "leaf.jpg", "image/jpeg", body="fern", filename="leaf.jpg")
        await ida.hears(room, KEPT, before)
        sealed = next(
            one.content
            for one in reversed(ida.heard)
            if one.sender == ida.id and one.kind == "m.image"
        )
        wrong = {**sealed, "file": {**sealed["file"], "hashes": {"sha256": "A" * 43}}}
        gone = {**sealed, "file": {**sealed["file"], "url": "mxc://birch.test/nothing"}}
        for content in (wrong, gone):
            before = len(ida.others(room))
            await ida.send(room, content)
            await ida.hears(room, "isn't kept", before)
        assert [state for state, _ in _kept(house)] == ["kept"]
