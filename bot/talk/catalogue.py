"""The words: Fluent catalogues, one file per subject and language, read when first needed.

A message's key begins with the subject that names its file: `pour-first-half` stands in
`catalogues/en/pour.ftl`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Literal

from bot.talk.message import COMMAND_MARK, TYPE_MARK
from core.care.units import System

# How people write lists and dates here: no comma before the last "and".
_REGIONS = {"en": "en_GB"}
# Examples in the household's measures, which sentences of every file may show.
_SHARED = "example"


if TYPE_CHECKING:
    from babel import Locale


class MissingWordsError(LookupError):
    """A catalogue lacks a message, or a message lacks something it speaks of."""


@cache
def _bundle(language: str, subject: str) -> Any:
    from fluent.runtime import FluentBundle, FluentResource  # noqa: PLC0415 - 65 ms

    bundle = FluentBundle([language], use_isolating=False)
    for name in dict.fromkeys((_SHARED, subject)):
        text = files("bot.talk").joinpath(f"catalogues/{language}/{name}.ftl").read_text("utf-8")
        bundle.add_resource(FluentResource(marked(text)))
    return bundle


def load(language: str) -> None:
    """Read all words of a language, for a program that serves."""
    for file in files("bot.talk").joinpath(f"catalogues/{language}").iterdir():
        _bundle(language, file.name.removesuffix(".ftl"))
    locale(language)


# *fern 3*, also with forms to choose from in it; not the star before their default: *[other].
_PLACED = r"\{[^{}]*\}"
_TYPED = re.compile(rf"\*((?:[^*\[\n{{]|{_PLACED})(?:[^*\n{{]|{_PLACED})*)\*")


def marked(text: str) -> str:
    """Our own marks as the transports know them; what people type can't be taken for them."""
    return _TYPED.sub(rf"{TYPE_MARK}\1{TYPE_MARK}", text).replace("~/", COMMAND_MARK)


# Hebrew, Arabic and their neighbours. A name in them would turn the sentence around it about.
_RIGHT_TO_LEFT = re.compile(
    "[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc\U00010800-\U00010fff\U0001e800-\U0001efff]"
)
_ALONE, _OVER = "\u2068", "\u2069"  # FSI and PDI, Unicode Standard Annex 9 (FROM MEMORY)


def _isolated(said: str | float) -> str | float:
    """A name written from right to left, marked so that only itself is."""
    if not isinstance(said, str) or "\n" in said or not _RIGHT_TO_LEFT.search(said):
        return said
    return f"{_ALONE}{said}{_OVER}"


@cache
def locale(language: str) -> Locale:
    """How lists and dates are said in a language; Babel reads a code anew at each use."""
    from babel import Locale  # noqa: PLC0415 - only when a list or a day is said

    return Locale.parse(_REGIONS.get(language, language))


def languages() -> list[str]:
    """Codes of the languages we have words in."""
    return sorted(one.name for one in files("bot.talk").joinpath("catalogues").iterdir())


class Catalogue:
    """Wording in one language. Calling it with a key and arguments gives a text.

    `measures`, the household's, is an argument of every message.
    """

    def __init__(self, language: str = "en", measures: System = System.METRIC) -> None:
        self.language, self.measures = language, measures

    def __call__(self, key: str, /, **args: str | float) -> str:
        """The message for a key. Raises MissingWordsError when it or an argument is missing."""
        bundle = _bundle(self.language, key.partition("-")[0])
        try:
            message = bundle.get_message(key)
        except LookupError as error:
            raise MissingWordsError(key) from error
        told = {name: _isolated(said) for name, said in args.items()}
        text, errors = bundle.format_pattern(
            message.value, {"measures": self.measures.value, **told}
        )
        if errors:
            raise MissingWordsError(f"{key}: {errors}")
        return str(text)

    def has(self, key: str) -> bool:
        """Whether there are words for a key."""
        return bool(_bundle(self.language, key.partition("-")[0]).has_message(key))

    def refusal(self, key: str, args: Mapping[str, str]) -> str:
        """The words for a refusal that a grammar gave."""
        return self(key, **args)

    def either(self, names: Sequence[str]) -> str:
        """*fern* or *fig*, as a list is said in this language."""
        return self._listed(names, "or")

    def both(self, names: Sequence[str]) -> str:
        """fern, fig and ivy, as a list is said in this language."""
        return self._listed(names, "standard")

    def _listed(self, names: Sequence[str], style: Literal["or", "standard"]) -> str:
        from babel.lists import format_list  # noqa: PLC0415 - only when a list is said

        return format_list(list(names), style=style, locale=locale(self.language))
