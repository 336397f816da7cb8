"""A picture as it is kept: upright, small, and nothing in it but what can be seen.

It is drawn anew from its dots, so that place, camera, time, comments and previews stay behind. Work
for a studio: nothing else should be where the decoders are.
"""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

from bot.studio.wire import DeclinedError

if TYPE_CHECKING:
    from PIL.Image import Image as Picture

LONGEST_SIDE = 1280
"""Dots: enough to see mites on a leaf, and what Telegram shows on a phone (ours)."""
QUALITY = 80
"""Of JPEG, from 1 to 95; a photo of this size then takes 100 to 250 kB (ours)."""
MOST_PIXELS = {"JPEG": 50_000_000, "PNG": 20_000_000, "WEBP": 8_000_000}
"""Larger ones aren't decoded: each dot takes four bytes of memory, but a JPEG is decoded smaller at
once, and WebP's decoder keeps several. Measured, over what the program takes anyhow: 23 MiB for 48
million dots of JPEG, 101 MiB for 20 million of PNG, 311 MiB for as many of WebP (ours)."""
WHITE = (255, 255, 255, 255)
TOO_LARGE, STRANGE = "pixels", "strange"
"""What is said of a picture that can't be kept; the names of core.actions.picturing.Refused."""


def shrunk(data: bytes) -> bytes:
    """A JPEG of at most LONGEST_SIDE dots, without metadata.

    Raises DeclinedError, of TOO_LARGE or STRANGE.
    """
    from PIL import Image  # noqa: PLC0415 - in the studio, where it is needed

    Image.MAX_IMAGE_PIXELS = None  # we look at the size ourselves, before anything is decoded
    try:
        with Image.open(BytesIO(data), formats=tuple(MOST_PIXELS)) as image:
            return _jpeg(_small(_measured(image)))
    except DeclinedError:
        raise
    except Exception as error:
        # Decoders raise whatever a broken or hostile file leads them into.
        raise DeclinedError(STRANGE) from error


def _measured(image: Picture) -> Picture:
    """The picture, not yet decoded, if it isn't too large to be."""
    if image.width * image.height > MOST_PIXELS.get(image.format or "", 0):
        raise DeclinedError(TOO_LARGE)
    return image


def _small(image: Picture) -> Picture:
    """Upright as its camera was held, shrunk, on white where it is transparent."""
    from PIL import Image, ImageOps  # noqa: PLC0415 - as above

    image.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))  # a large JPEG is decoded smaller at once
    image.thumbnail((LONGEST_SIDE, LONGEST_SIDE))  # before anything that would copy it as it is
    upright = ImageOps.exif_transpose(image)
    if upright.has_transparency_data:
        seen = upright.convert("RGBA")
        upright = Image.alpha_composite(Image.new("RGBA", seen.size, WHITE), seen)
    return upright.convert("RGB")


def _jpeg(image: Picture) -> bytes:
    image.info.clear()  # else a comment would be written again
    kept = BytesIO()
    image.save(kept, "JPEG", quality=QUALITY, optimize=True)
    return kept.getvalue()
