"""How our text looks on Telegram: HTML with everything foreign escaped, lengths in UTF-16 units."""

from __future__ import annotations

import html
import re

from bot.talk.message import COMMAND_MARK, TYPE_MARK

MARK = "/"
_TYPED = re.compile(rf"{re.escape(TYPE_MARK)}([^\n]+?){re.escape(TYPE_MARK)}")


def units(text: str) -> int:
    """The length of a text as the Bot API counts it: in UTF-16 code units."""
    return len(text.encode("utf-16-le", "surrogatepass")) // 2


def marked(text: str) -> str:
    """A text with this network's mark before its commands."""
    return text.replace(COMMAND_MARK, MARK)


def plain(text: str) -> str:
    """A text without any markup."""
    return _bare(_TYPED.sub(r"\1", marked(text)))


def as_html(text: str) -> str:
    """A text as HTML: what could be typed stands out and can be copied by a tap."""
    escaped = html.escape(marked(text), quote=False)
    return _bare(_TYPED.sub(r"<code>\1</code>", escaped))


def _bare(text: str) -> str:
    """A mark whose partner is elsewhere is shown as the star it stands for."""
    return text.replace(TYPE_MARK, "*")
