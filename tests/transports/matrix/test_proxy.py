"""The proxy itself: what it lets through, and what it does when told to."""

from __future__ import annotations

import time

import nio

from tests.transports.matrix.people import Crowd
from tests.transports.matrix.proxy import DEAD, Proxy


async def test_all_is_passed_on(people: Crowd, proxy: Proxy) -> None:
    ida, tom = await people("ida", proxy.url), await people("tom")
    room = await ida.open(tom.id)
    await tom.join(room)
    await ida.sees(room, tom.id)
    await ida.show(room, b"a picture")
    assert await tom.bytes_of(await tom.hears(room)) == b"a picture"
    await tom.say(room, "Nice: äöü.")
    assert (await ida.hears(room)).text == "Nice: äöü."
    assert proxy.count("/send/m.room.encrypted/") == 1
    assert proxy.count("/sync") >= 2


async def test_keys_are_held_back_and_handed_over(people: Crowd, proxy: Proxy) -> None:
    ida, tom = await people("ida", proxy.url), await people("tom")
    room = await ida.open(tom.id)
    await tom.join(room)
    await ida.sees(room, tom.id)
    proxy.hold_keys()
    await tom.say(room, "Too early.")
    [sealed] = await ida.until(lambda: ida.sealed)
    proxy.hand_keys_over()
    opened = await ida.until(lambda: _opened(ida.client, sealed))
    assert opened.body == "Too early."


def _opened(client: nio.AsyncClient, sealed: nio.MegolmEvent) -> nio.Event | None:
    try:
        return client.decrypt_event(sealed)
    except nio.EncryptionError:
        return None


async def test_what_goes_wrong_when_told_to(people: Crowd, proxy: Proxy) -> None:
    ida, tom = await people("ida", proxy.url), await people("tom")
    room = await ida.open(tom.id, encrypted=False)
    await tom.join(room)
    body = {"msgtype": "m.text", "body": "hello"}

    async def send(number: str) -> object:
        return await ida.client.room_send(room, "m.room.message", body, tx_id=number)

    proxy.fault("/send/", "answer", status=500)
    assert isinstance(await send("a"), nio.RoomSendError)
    proxy.fault("/send/", "answer", status=401, body=DEAD)
    dead = await send("a")
    assert isinstance(dead, nio.RoomSendError)
    assert dead.status_code == "M_UNKNOWN_TOKEN"
    before = time.monotonic()
    proxy.limit("/send/", 300)  # nio waits and asks again by itself
    assert isinstance(await send("a"), nio.RoomSendResponse)
    assert time.monotonic() - before >= 0.3
    for number, kind in (("b", "cut_before"), ("c", "cut_after")):
        proxy.fault("/send/", kind)  # nio asks again here too, with the same number
        assert isinstance(await send(number), nio.RoomSendResponse)
    before = time.monotonic()
    proxy.fault("/send/", "late", seconds=0.3)
    await send("d")
    assert time.monotonic() - before >= 0.3
    await tom.until(lambda: len(tom.others(room)) >= 4)
    assert len({one.id for one in tom.others(room)}) == len(tom.others(room)) == 4


async def test_events_come_backwards(people: Crowd, proxy: Proxy) -> None:
    ida, tom = await people("ida", proxy.url), await people("tom")
    room = await ida.open(tom.id, encrypted=False)
    await tom.join(room)
    await ida.sees(room, tom.id)
    proxy.fault("/sync", "late", seconds=0.5)
    proxy.fault("/sync", "reversed", skip=1)
    await tom.say(room, "wake")
    await ida.hears(room, "wake")
    for text in ("one", "two", "three"):
        await tom.say(room, text)
    await ida.until(lambda: len(ida.others(room)) == 4)
    assert {one.text for one in ida.others(room)} == {"wake", "one", "two", "three"}
