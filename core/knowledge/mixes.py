"""Loads the growing mixes and finds one by the name a person typed."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from core.knowledge.types import Method, Mix

_NOT_WORD = re.compile(r"[^\w]+")
# What a plant stands in when nobody said, by how it is usually grown (common practice).
_USUAL = {Method.BARK: "orchid-bark", Method.NO_SOIL: "orchid-bark", Method.IN_WATER: "water"}
_SHARES = ("fill_share", "fill_share_deep", "container_capacity", "air_space")


def _plain(text: str) -> str:
    """Case, hyphens and runs of space don't tell two mixes apart."""
    return _NOT_WORD.sub(" ", text.casefold()).strip()


def _share(row: Mapping[str, Any], key: str) -> float | None:
    value = row.get(key)
    if value is not None and not 0 < value < 1:
        raise ValueError(f"mix {row.get('id')!r}: {key} must lie between 0 and 1")
    return value


def _mix(row: Mapping[str, Any]) -> Mix:
    fill, deep, capacity, air = (_share(row, key) for key in _SHARES)
    if (fill is None) != (deep is None):
        raise ValueError(f"mix {row['id']!r}: fill_share and fill_share_deep come together")
    if capacity and air and capacity + air >= 1:
        raise ValueError(f"mix {row['id']!r}: capacity and air leave no room for solids")
    names = tuple(row["names"])
    return Mix(
        row["id"], names, fill, deep, row["coarse"], row["meter_ok"], capacity, air, row["source"]
    )


def load_mixes(text: str) -> Mapping[str, Mix]:
    """Mixes by id, in the order of a TOML text of `[[mix]]` tables.

    Raises ValueError (or KeyError for a missing field) when a share is out of range,
    or two mixes claim an id or a name.
    """
    by_id: dict[str, Mix] = {}
    named: dict[str, str] = {}
    for row in tomllib.loads(text)["mix"]:
        mix = _mix(row)
        if by_id.setdefault(mix.id, mix) is not mix:
            raise ValueError(f"two mixes with the id {mix.id!r}")
        for name in mix.names:
            if named.setdefault(_plain(name), mix.id) != mix.id:
                raise ValueError(f"{name!r} names both {named[_plain(name)]!r} and {mix.id!r}")
    return MappingProxyType(by_id)


@cache
def mixes() -> Mapping[str, Mix]:
    """The mixes that come with the program, by id, read once."""
    return load_mixes(files(__package__).joinpath("mixes.toml").read_text("utf-8"))


@cache
def _by_name() -> Mapping[str, Mix]:
    names = {_plain(name): mix for mix in mixes().values() for name in mix.names}
    return names | {_plain(mix.id): mix for mix in mixes().values()}


def find_mix(text: str) -> Mix | None:
    """The mix a person means by `text` (id or any of its names), or None."""
    return _by_name().get(_plain(text))


def default_mix() -> Mix:
    """The mix taken when nobody said which: ordinary peat mix, by far the most common."""
    return next(iter(mixes().values()))


def usual_mix(method: Method) -> Mix:
    """The mix taken for a plant grown by this method when nobody said which."""
    return mixes()[_USUAL[method]] if method in _USUAL else default_mix()
