"""Having a picture made into what is kept, apart from everything else."""

from __future__ import annotations

from bot.duty.shrinking import shrunk
from bot.studio.studio import STUDIO
from bot.studio.wire import DeclinedError
from core.actions.picturing import Refused


class NotDevelopedError(Exception):
    """A picture can't be kept; `why` is what its sender is told."""

    def __init__(self, why: Refused) -> None:
        super().__init__(why.value)
        self.why = why


def develop(data: bytes) -> bytes:
    """A small JPEG without metadata. Slow: never on an event loop.

    Raises NotDevelopedError, and FailedError where trying again may help.
    """
    try:
        return STUDIO.do(shrunk, data)
    except DeclinedError as error:
        raise NotDevelopedError(Refused(str(error))) from error
