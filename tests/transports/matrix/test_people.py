"""The tests' own people and homeserver, without the bot: what they say is heard, sealed or not."""

from __future__ import annotations

import nio
import pytest

from tests.transports.matrix.homeserver import Homeserver
from tests.transports.matrix.people import Crowd

PICTURE = b"\x89PNG a fern, as far as anybody here looks"


@pytest.mark.parametrize("encrypted", [True, False], ids=["encrypted", "plain"])
async def test_two_people_talk(people: Crowd, *, encrypted: bool) -> None:
    ida, tom = await people("ida"), await people("tom")
    room = await ida.open(tom.id, encrypted=encrypted)
    await tom.join(room)
    await ida.sees(room, tom.id)
    first = await ida.say(room, "The fern is dry.")
    heard = await tom.hears(room)
    assert (heard.id, heard.text, heard.encrypted) == (first, "The fern is dry.", encrypted)
    await tom.reply(room, heard, "I'll water it.")
    answer = await ida.hears(room, "I'll water it.")
    assert answer.answers == first
    assert answer.text.startswith(f"> <{ida.id}> The fern is dry.")
    await ida.edit(room, first, "The fern is moist.")
    assert (await tom.hears(room, "moist")).content["m.relates_to"]["event_id"] == first
    await tom.in_thread(room, first, "Good.")
    assert (await ida.hears(room, "Good.")).thread == first
    await ida.react(room, answer.id, "1")
    await tom.until(lambda: any(one.kind == "" for one in tom.others(room)))
    await ida.show(room, PICTURE)
    picture = await tom.hears(room, "fern.png")
    assert picture.kind == "m.image"
    assert ("file" in picture.content) is encrypted
    assert await tom.bytes_of(picture) == PICTURE
    assert not tom.sealed


async def test_a_room_is_replaced_and_people_are_put_out(people: Crowd) -> None:
    ida, tom = await people("ida"), await people("tom")
    room = await ida.open(tom.id, encrypted=False)
    await tom.join(room)
    new = await ida.upgrade(room)
    await ida.invite(new, tom.id)
    await tom.join(new)
    await ida.kick(new, tom.id)
    told = await tom.client.room_send(new, "m.room.message", {"msgtype": "m.text", "body": "?"})
    assert isinstance(told, nio.RoomSendError)
    assert told.status_code == "M_FORBIDDEN"


async def test_the_homeserver_starts_anew_under_the_same_address(
    strict_homeserver: Homeserver, tmp_path: object
) -> None:
    before = strict_homeserver.url
    user = strict_homeserver.register("ida").user
    strict_homeserver.stop()
    strict_homeserver.start()
    assert strict_homeserver.url == before
    assert strict_homeserver.login(user).user == user
