"""How our text looks on Matrix: HTML with everything foreign escaped, and plain text beside it.

Clients there keep `/` for themselves, so our commands carry `!`.
"""

from __future__ import annotations

import html
import re
from collections.abc import Sequence

from bot.port import Choice
from bot.talk.message import COMMAND_MARK, TYPE_MARK

MARK = "!"
_TYPED = re.compile(rf"{re.escape(TYPE_MARK)}([^\n]+?){re.escape(TYPE_MARK)}")


def marked(text: str) -> str:
    """A text with this network's mark before its commands."""
    return text.replace(COMMAND_MARK, MARK)


def plain(text: str) -> str:
    """A text without any markup."""
    return _bare(_TYPED.sub(r"\1", marked(text)))


def as_html(text: str) -> str:
    """A text as HTML: what could be typed stands out."""
    escaped = html.escape(marked(text), quote=False)
    return _bare(_TYPED.sub(r"<code>\1</code>", escaped)).replace("\n", "<br>")


def _bare(text: str) -> str:
    """A mark whose partner is elsewhere is shown as the star it stands for."""
    return text.replace(TYPE_MARK, "*")


def listed(choices: Sequence[Choice]) -> str:
    """The choices below a text, a line each, by what names them."""
    return "\n".join(f"{one.id} {one.label}" for one in choices)
