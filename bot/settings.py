"""Where things are kept when nobody says otherwise."""

from __future__ import annotations

import os
from pathlib import Path


def default_database() -> str:
    """The URL of the database: POTSIDE_DB, else a file in the user's data folder."""
    named = os.environ.get("POTSIDE_DB")
    return named or f"sqlite:///{data_folder() / 'potside.db'}"


def data_folder() -> Path:
    """The user's folder for our data, by the platform's own rules."""
    from platformdirs import user_data_path  # noqa: PLC0415 - only when it is needed

    return user_data_path("potside")


def machine_zone() -> str:
    """The machine's IANA time zone; UTC when it keeps that to itself."""
    from tzlocal import get_localzone_name  # noqa: PLC0415 - only when it is needed

    try:
        return get_localzone_name() or "UTC"
    except Exception:  # noqa: BLE001 - whatever the machine lacks, we go on in UTC
        return "UTC"
