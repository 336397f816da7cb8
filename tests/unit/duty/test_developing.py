"""A picture as it is kept: judged by Pillow's own reading of what came out, and by its bytes."""

from __future__ import annotations

import struct
import zlib
from io import BytesIO

import pytest
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from bot.duty import shrinking
from bot.duty.developing import NotDevelopedError, develop
from bot.duty.shrinking import LONGEST_SIDE, shrunk
from bot.studio.wire import DeclinedError
from core.actions.picturing import Refused

GREEN = (30, 120, 40)
MAKER, TURNED, PLACE = 0x010F, 0x0112, 0x8825  # tags of EXIF 2.3, FROM MEMORY
SECRETS = (b"CameraMaker", b"a comment", b"secretxmp", b"secreticc", b"secrettext")


def exif() -> Image.Exif:
    """Who made the camera, that it was held on its side, and where it was."""
    made = Image.Exif()
    made[MAKER] = "CameraMaker"
    made[TURNED] = 6
    made.get_ifd(PLACE).update({1: "N", 2: (52.0, 31.0, 12.0), 3: "E", 4: (13.0, 24.0, 18.0)})
    return made


def jpeg(size: tuple[int, int] = (400, 300)) -> bytes:
    file = BytesIO()
    Image.new("RGB", size, GREEN).save(
        file, "JPEG", exif=exif(), comment=b"a comment", xmp=b"<x>secretxmp</x>",
        icc_profile=b"secreticc" * 20,
    )  # fmt: skip
    return file.getvalue()


def png(size: tuple[int, int] = (40, 30)) -> bytes:
    file, told = BytesIO(), PngInfo()
    told.add_text("Comment", "secrettext")
    Image.new("RGBA", size, (*GREEN, 0)).save(file, "PNG", pnginfo=told, exif=exif())
    return file.getvalue()


def webp() -> bytes:
    file = BytesIO()
    Image.new("RGB", (40, 30), GREEN).save(file, "WEBP", exif=exif(), xmp=b"<x>secretxmp</x>")
    return file.getvalue()


@pytest.mark.parametrize("sent", [jpeg(), png(), webp()], ids=["jpeg", "png", "webp"])
def test_nothing_but_what_is_seen_is_kept(sent: bytes) -> None:
    assert any(secret in sent for secret in SECRETS)  # so the check below can fail
    kept = develop(sent)
    assert not [secret for secret in SECRETS if secret in kept]
    with Image.open(BytesIO(kept)) as read:
        assert read.format == "JPEG"
        assert not read.getexif()
        assert not {"comment", "exif", "xmp", "icc_profile"} & set(read.info)


def test_it_stands_upright_though_the_camera_lay_on_its_side() -> None:
    with Image.open(BytesIO(develop(jpeg((400, 300))))) as read:
        assert read.size == (300, 400)


def test_it_is_shrunk_and_keeps_its_shape() -> None:
    with Image.open(BytesIO(develop(jpeg((4000, 3000))))) as read:
        assert read.size == (LONGEST_SIDE * 3 // 4, LONGEST_SIDE)


def test_a_small_one_stays_as_small() -> None:
    with Image.open(BytesIO(develop(webp()))) as read:
        assert sorted(read.size) == [30, 40]


def test_what_is_transparent_is_white() -> None:
    with Image.open(BytesIO(develop(png()))) as read:
        assert read.getpixel((5, 5)) == (255, 255, 255)


def bomb() -> bytes:
    """A PNG that says it is 60,000 by 60,000 dots; nothing of it is ever decoded."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return (
            struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        )

    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", b"") + chunk(b"IEND", b"")


def test_more_dots_than_fit_into_memory_are_refused_undecoded() -> None:
    with pytest.raises(NotDevelopedError) as refused:
        develop(bomb())
    assert refused.value.why is Refused.PIXELS


def test_the_limit_is_that_of_the_guide(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(shrinking.MOST_PIXELS, "JPEG", 400 * 300)
    shrunk(jpeg((400, 300)))
    with pytest.raises(DeclinedError, match="pixels"):
        shrunk(jpeg((401, 300)))


@pytest.mark.parametrize(
    "sent",
    [
        b"",
        b"hello, I am no picture",
        jpeg()[: len(jpeg()) // 2],
        png()[:60],
        b"GIF89a" + bytes(60),
        b"%PDF-1.7\n",
        b"\xff\xd8\xff\xe0" + bytes(500),
        b"RIFF\x24\x00\x00\x00WEBPVP8 " + bytes(24),
    ],
    ids=["empty", "text", "half a jpeg", "half a png", "gif", "pdf", "jpeg of zeros", "bad webp"],
)
def test_what_is_no_picture_of_ours_is_refused(sent: bytes) -> None:
    with pytest.raises(NotDevelopedError) as refused:
        develop(sent)
    assert refused.value.why is Refused.STRANGE
