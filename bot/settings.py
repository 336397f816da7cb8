"""Where things are kept when nobody says otherwise."""

from __future__ import annotations

import os
from pathlib import Path


def default_database() -> str:
    """The URL of the database: POTSIDE_DB, else the file that the terminal keeps."""
    return os.environ.get("POTSIDE_DB") or own_database()


def own_database() -> str:
    """The URL of the file in the user's data folder."""
    return f"sqlite:///{data_folder() / 'potside.db'}"


def data_folder() -> Path:
    """The user's folder for our data, by the platform's own rules."""
    from platformdirs import user_data_path  # noqa: PLC0415 - only when it is needed

    return user_data_path("potside")


def machine_zone() -> str:
    """The machine's IANA time zone; UTC when it keeps that to itself."""
    from tzlocal import get_localzone_name  # noqa: PLC0415 - only when it is needed

    try:
        name = get_localzone_name()
    except Exception:  # noqa: BLE001 - whatever the machine lacks, we go on in UTC
        return "UTC"
    return name if name and is_zone(name) else "UTC"


def is_zone(name: str) -> bool:
    """Whether a name is a time zone's."""
    from zoneinfo import ZoneInfo  # noqa: PLC0415 - help needs none

    try:
        ZoneInfo(name)
    except (ValueError, OSError, KeyError):
        return False
    return True
