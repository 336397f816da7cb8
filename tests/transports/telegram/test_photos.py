"""Photos over real HTTP: getFile and the download, with all that goes wrong on the way."""

from __future__ import annotations

import asyncio
import base64
import os
import time
from io import BytesIO
from typing import Any

import pytest
from PIL import Image
from sqlalchemy import select

from bot.duty import darkroom
from core.store.tables import Event, Photo, table_of
from tests.transports.telegram.world import (
    IDA,
    TOM,
    Served,
    World,
    group,
    labels,
    private,
    served,
)

HOME = private(IDA)
FERN = "/add fern, Boston fern, 15 cm pot, bathroom, north window"
FIG = "/add fig, fiddle-leaf fig, 25 cm pot, study"
KEPT = "The photo is kept with Fern. /photo fern shows it, /undo takes it back."
PHOTO, EVENT = table_of(Photo), table_of(Event)


def leaf(size: tuple[int, int] = (640, 480)) -> bytes:
    """A photo with the place where it was taken, as phones write it."""
    file, told = BytesIO(), Image.Exif()
    told[0x010F] = "CameraMaker"
    told.get_ifd(0x8825).update({1: "N", 2: (52.0, 31.0, 12.0)})
    Image.new("RGB", size, (30, 120, 40)).save(file, "JPEG", exif=told)
    return file.getvalue()


async def put(world: World, name: str, content: bytes) -> list[dict[str, Any]]:
    """Let a photo lie on the server; its sizes, as a message names them."""
    await world.set(file={"id": name, "content": base64.b64encode(content).decode()})
    small = {"file_id": f"{name}-small", "file_unique_id": "s", "width": 90, "height": 60}
    large = {"file_id": name, "file_unique_id": "l", "width": 640, "height": 480}
    return [small, {**large, "file_size": len(content)}]


def kept(house: Served) -> list[Any]:
    with house.store.read() as tx:
        return list(tx.execute(select(PHOTO.c.state, PHOTO.c.content).order_by(PHOTO.c.id)))


async def here(house: Served, *states: str) -> None:
    """Until the photos have come."""
    ends = time.monotonic() + 10
    while [state for state, _ in kept(house)] != list(states):
        assert time.monotonic() < ends, kept(house)
        await asyncio.sleep(0.02)


def kinds(house: Served) -> list[str]:
    with house.store.read() as tx:
        return list(tx.execute(select(EVENT.c.kind).order_by(EVENT.c.id)).scalars())


async def test_sent_kept_shown_and_stripped_of_its_place(world: World, db_url: str) -> None:
    sizes = await put(world, "leaf", leaf())
    async with served(world, db_url) as house:
        await world.ask(IDA, HOME, FERN)
        verdict = await world.ask(IDA, HOME, "", caption="fern 3", photo=sizes)
        assert verdict["shown"].startswith("Fern: 3.")
        assert (await world.next_in(HOME, 2))["shown"] == KEPT
        [(state, content)] = kept(house)
        assert state == "kept"
        assert b"CameraMaker" not in content
        shown = await world.ask(IDA, HOME, "/photo fern")
        assert shown["method"] == "sendPhoto"
        assert shown["photo"] == len(content)
        assert shown["shown"].startswith("Fern, today, by you.")


async def test_the_verdict_does_not_wait_for_a_slow_photo(world: World, sqlite_url: str) -> None:
    sizes = await put(world, "leaf", leaf())
    await world.fault("file", "slow", seconds=1.5)
    async with served(world, sqlite_url):
        await world.ask(IDA, HOME, FERN)
        await world.ask(IDA, HOME, "", caption="fern 3", photo=sizes)
        await world.ask(IDA, HOME, "/plants")  # nor does anything else
        assert (await world.next_in(HOME, 3))["shown"] == KEPT


@pytest.mark.parametrize(
    ("method", "fault"),
    [
        ("getFile", {"kind": "status", "status": 500}),
        ("getFile", {"kind": "status", "status": 429, "retry_after": 1}),
        ("getFile", {"kind": "cut_before"}),
        ("getFile", {"kind": "cut_after"}),
        ("file", {"kind": "status", "status": 502}),
        ("file", {"kind": "cut"}),
    ],
    ids=["500", "429", "cut before", "cut after", "502 of the file", "cut in the middle"],
)
async def test_what_may_pass_is_tried_again(
    world: World, sqlite_url: str, monkeypatch: pytest.MonkeyPatch, method: str, fault: Any
) -> None:
    monkeypatch.setattr(darkroom, "TRY_AGAIN", (darkroom.TRY_AGAIN[0] / 50,) * 2)
    monkeypatch.setattr(darkroom, "LOOK_EVERY", 0.1)
    sizes = await put(world, "leaf", leaf())
    await world.fault(method, **fault)
    async with served(world, sqlite_url) as house:
        await world.ask(IDA, HOME, FERN)
        assert (await world.ask(IDA, HOME, "", caption="fern", photo=sizes))["shown"] == KEPT
        assert [state for state, _ in kept(house)] == ["kept"]
        assert kinds(house).count("pictured") == 1


async def test_given_up_in_the_end_and_said(
    world: World, sqlite_url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(darkroom, "TRY_AGAIN", (darkroom.TRY_AGAIN[0] / 50,) * 2)
    monkeypatch.setattr(darkroom, "LOOK_EVERY", 0.1)
    sizes = await put(world, "leaf", leaf())
    await world.fault("file", "cut", times=9)
    async with served(world, sqlite_url) as house:
        await world.ask(IDA, HOME, FERN)
        lost = await world.ask(IDA, HOME, "", caption="fern", photo=sizes)
        assert lost["shown"].startswith("The photo didn't come through, so it isn't kept.")
        assert kept(house) == []
        fetched = [one for one in (await world.look())["calls"] if one["method"] == "file"]
        assert len(fetched) == 3


async def test_gone_too_large_swollen_and_no_picture(world: World, sqlite_url: str) -> None:
    """Each is told at once, and none keeps the next from being kept."""
    gone = [{"file_id": "gone", "file_unique_id": "g", "width": 9, "height": 9}]
    swollen = await put(world, "swollen", leaf())
    text = await put(world, "text", b"hello, I am no picture")
    await world.set(file={"id": "large", "zeros": 21 * 1024 * 1024})
    large = [{"file_id": "large", "file_unique_id": "l", "width": 9, "height": 9}]
    known = [{**large[-1], "file_size": 21 * 1024 * 1024}]
    async with served(world, sqlite_url) as house:
        await world.ask(IDA, HOME, FERN)

        async def answer(sizes: list[dict[str, Any]]) -> str:
            return str((await world.ask(IDA, HOME, "", caption="fern", photo=sizes))["shown"])

        answers = [await answer(sizes) for sizes in (gone, text, large, known)]
        await world.fault("file", "swollen")
        answers.append(await answer(swollen))
        await world.fault("file", "status", status=404)
        answers.append(await answer(swollen))
        lost, strange, big, told, more, missing = [one.partition(":")[0] for one in answers]
        assert lost == missing
        assert lost.startswith("The photo didn't come through")
        assert strange == big == told == more == "The photo isn't kept"
        assert "20 MB" in answers[2]
        assert answers[2] == answers[3] == answers[4]
        assert kept(house) == []
        assert await answer(swollen) == KEPT


async def test_a_picture_sent_as_a_file(world: World, sqlite_url: str) -> None:
    await put(world, "doc", leaf((2000, 1500)))
    document = {"file_id": "doc", "file_unique_id": "d", "mime_type": "image/jpeg"}
    async with served(world, sqlite_url) as house:
        await world.ask(IDA, HOME, FERN)
        assert (await world.ask(IDA, HOME, "", document=document))["shown"] == KEPT
        [(_, content)] = kept(house)
        with Image.open(BytesIO(content)) as read:
            assert read.size == (1280, 960)
        other = {**document, "mime_type": "application/pdf"}
        assert "words and photos" in (await world.ask(IDA, HOME, "", document=other))["shown"]


async def test_in_a_group(world: World, sqlite_url: str) -> None:
    """By a command, or as an answer to us; what is among people stays among them."""
    sizes, chat = await put(world, "leaf", leaf()), group()
    async with served(world, sqlite_url) as house:
        await world.ask(IDA, chat, FERN)
        await world.ask(IDA, chat, FIG)
        await world.say(TOM, chat, "", photo=sizes)
        await world.say(TOM, chat, "", caption="our holidays", photo=sizes)
        told = await world.say(TOM, chat, "", caption="/photo fern brown tips", photo=sizes)
        answer = await world.next_in(chat, 2)
        assert answer["shown"] == KEPT
        assert answer["reply_parameters"]["message_id"] == told["message_id"]
        to_us = {**answer["message"], "from": world.me}
        asked = await world.ask(TOM, chat, "", photo=sizes, reply_to_message=to_us)
        assert asked["shown"] == "Which plant is it?"
        assert labels(asked) == ["Fern", "Fig"]
        await here(house, "kept", "asked")
        assert "kept with Fig" in (await world.tap(IDA, asked, "Fig"))["shown"]
        assert len(kept(house)) == 2


async def test_an_album_with_one_caption(
    world: World, sqlite_url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("core.actions.picturing.ALBUM_PAUSE", darkroom.TRY_AGAIN[0] / 10)
    sizes, chat = await put(world, "leaf", leaf()), group()
    more = {"photo": sizes, "media_group_id": "77"}
    async with served(world, sqlite_url) as house:
        await world.ask(IDA, chat, FERN)
        await world.ask(IDA, chat, FIG)
        album = [
            world.message(TOM, chat, "", caption="/photo fern", **more),
            world.message(TOM, chat, "", **more),
            world.message(TOM, chat, "", **more),
        ]
        await world.update(*({"message": one} for one in album))
        assert (await world.next_in(chat, 2))["shown"].startswith("3 photos are kept with Fern.")
        await asyncio.sleep(0.3)
        assert len(await world.sent(chat["id"])) == 3
        assert len(kept(house)) == 3


async def test_stopped_between_the_reply_and_the_photo(world: World, db_url: str) -> None:
    sizes = await put(world, "leaf", leaf())
    await world.fault("file", "slow", seconds=3)
    async with served(world, db_url) as house:
        await world.ask(IDA, HOME, FERN)
        await world.ask(IDA, HOME, "", caption="fern 3", photo=sizes)
        await world.wait(lambda calls: any(one["method"] == "file" for one in calls))
        assert [state for state, _ in kept(house)] == ["coming"]
    async with served(world, db_url) as house:
        assert (await world.next_in(HOME, 2))["shown"] == KEPT
        assert [state for state, _ in kept(house)] == ["kept"]
        assert kinds(house).count("pictured") == 1


async def test_a_heap_of_large_noisy_photos(world: World, sqlite_url: str) -> None:
    """Twenty come at once: each is kept once, and a command between them is answered."""
    file = BytesIO()
    noise = Image.frombytes("RGB", (900, 700), os.urandom(900 * 700 * 3))
    noise.save(file, "JPEG")
    sizes = await put(world, "noise", file.getvalue())
    async with served(world, sqlite_url) as house:
        await world.ask(IDA, HOME, FERN)
        posts = [world.message(IDA, HOME, "", caption="fern", photo=sizes) for _ in range(20)]
        await world.update(*({"message": one} for one in posts))
        await world.say(IDA, HOME, "/help")
        calls = await world.wait(
            lambda calls: sum("kept with Fern" in one.get("shown", "") for one in calls) == 20, 60
        )
        shown = [one["shown"] for one in calls if "shown" in one]
        assert shown.index(next(one for one in shown if "A day with me" in one)) < 20
        assert [state for state, _ in kept(house)] == ["kept"] * 20
