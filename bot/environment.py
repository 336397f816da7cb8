"""What `potside serve` is told by its environment: POTSIDE_... variables, or files they name."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, field
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from urllib.parse import urlsplit

from bot import settings
from core.actions.weather import Service

PREFIX = "POTSIDE_"


class SettingsError(Exception):
    """A setting that makes no sense; the message names it and says what would."""


@dataclass(frozen=True, slots=True)
class Listen:
    """Where a web server of ours listens."""

    host: str
    port: int


@dataclass(frozen=True, slots=True)
class TelegramSettings:
    """The bot's token, the API's base URL, the webhook's public URL (empty: poll), its secret."""

    token: str = field(repr=False)
    api: str
    webhook: str
    secret: str | None = field(repr=False)


@dataclass(frozen=True, slots=True)
class MatrixSettings:
    """The home server's base URL, who we are there, how we prove it, where our keys are kept."""

    homeserver: str
    user: str
    password: str = field(repr=False)
    token: str = field(repr=False)
    store: Path


@dataclass(frozen=True, slots=True)
class WeatherSettings:
    """Which weather service may be asked, its base URL if not its own, how we name ourselves."""

    service: Service
    url: str
    contact: str

    @property
    def agent(self) -> str:
        """Our name as a service wants it: what asks, and whom to turn to."""
        try:
            number = f"/{version('potside')}"
        except PackageNotFoundError:  # run from its folder without being installed
            number = ""
        return f"potside{number} {self.contact}".strip()


@dataclass(frozen=True, slots=True)
class Environment:
    """All that serving needs to know. `allow` is None when everybody may use the bot."""

    database: str = field(repr=False)
    telegram: TelegramSettings | None
    matrix: MatrixSettings | None
    allow: frozenset[str] | None
    web: Listen | None
    health: Listen | None
    weather: WeatherSettings | None = None
    public: str = ""


def read(variables: Mapping[str, str] = os.environ) -> Environment:
    """The settings. Raises SettingsError at the first that makes no sense."""
    return Environment(
        database=_value(variables, "DB") or settings.default_database(),
        telegram=_telegram(variables),
        matrix=_matrix(variables),
        allow=_allow(_value(variables, "ALLOW") or "open"),
        web=_listen(variables, "WEB"),
        health=_listen(variables, "HTTP"),
        weather=_weather(variables),
        public=_url(variables, "PUBLIC_URL", "https://potside.example.org").rstrip("/"),
    )


def _value(variables: Mapping[str, str], name: str) -> str | None:
    """A variable, or the text of the file that its _FILE twin names; None when neither is set."""
    said = variables.get(PREFIX + name)
    path = variables.get(f"{PREFIX}{name}_FILE")
    if path is None:
        return None if said is None else said.strip()
    if said is not None:
        raise SettingsError(f"{PREFIX}{name} and {PREFIX}{name}_FILE are both set; keep one")
    try:
        return Path(path).read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError) as error:
        raise SettingsError(f"{PREFIX}{name}_FILE: {path} can't be read: {error}") from error


def _telegram(variables: Mapping[str, str]) -> TelegramSettings | None:
    token = _value(variables, "TELEGRAM_TOKEN")
    if not token:
        return None
    secret = _value(variables, "TELEGRAM_SECRET")
    hook = _url(variables, "TELEGRAM_WEBHOOK")
    if hook and secret == "":
        raise SettingsError(
            f"{PREFIX}TELEGRAM_SECRET is empty: anybody could send updates to the webhook; "
            "leave it out, and one is made from the token"
        )
    if hook and _listen(variables, "WEB") is None:
        raise SettingsError(
            f"{PREFIX}TELEGRAM_WEBHOOK needs {PREFIX}WEB, the address where we listen for it, "
            "as 0.0.0.0:8080"
        )
    api = _url(variables, "TELEGRAM_API") or "https://api.telegram.org"
    return TelegramSettings(token, api, hook, secret)


def _matrix(variables: Mapping[str, str]) -> MatrixSettings | None:
    homeserver = _url(variables, "MATRIX_HOMESERVER", "https://matrix.example.org")
    if not homeserver:
        return None
    user = _value(variables, "MATRIX_USER") or ""
    password = _value(variables, "MATRIX_PASSWORD") or ""
    token = _value(variables, "MATRIX_TOKEN") or ""
    if not password and not token:
        raise SettingsError(
            f"{PREFIX}MATRIX_HOMESERVER needs {PREFIX}MATRIX_PASSWORD or {PREFIX}MATRIX_TOKEN"
        )
    if not user and not token:
        raise SettingsError(
            f"{PREFIX}MATRIX_PASSWORD needs {PREFIX}MATRIX_USER, as @bot:example.org"
        )
    store = _value(variables, "MATRIX_STORE")
    folder = Path(store) if store else settings.data_folder() / "matrix"
    return MatrixSettings(homeserver.rstrip("/"), user, password, token, folder)


def _weather(variables: Mapping[str, str]) -> WeatherSettings | None:
    said = (_value(variables, "WEATHER") or "off").casefold()
    if said == "off":
        return None
    names = tuple(service.value for service in Service)
    if said not in names:
        known = ", ".join(names)
        raise SettingsError(f"{PREFIX}WEATHER: {said!r} is no service; there are {known}, or off")
    contact = _value(variables, "WEATHER_CONTACT") or ""
    if not contact and said != Service.OPEN_METEO:
        raise SettingsError(
            f"{PREFIX}WEATHER={said} needs {PREFIX}WEATHER_CONTACT, an address where you can be "
            "reached: the service asks for one, as ida@example.org"
        )
    if not (contact.isascii() and contact.isprintable()):
        raise SettingsError(f"{PREFIX}WEATHER_CONTACT: plain letters, as ida@example.org")
    url = _url(variables, "WEATHER_URL", "https://weather.example.org")
    return WeatherSettings(Service(said), url, contact)


def _url(
    variables: Mapping[str, str], name: str, example: str = "https://example.org/telegram"
) -> str:
    said = _value(variables, name) or ""
    parts = urlsplit(said)
    if said and (parts.scheme not in {"http", "https"} or not parts.hostname):
        raise SettingsError(f"{PREFIX}{name}: {said!r} is no URL; try {example}")
    return said


def _listen(variables: Mapping[str, str], name: str) -> Listen | None:
    said = _value(variables, name)
    if not said:
        return None
    host, _, port = said.rpartition(":")
    if not port.isdigit() or int(port) > 65535:
        raise SettingsError(f"{PREFIX}{name}: {said!r} is no address; try 127.0.0.1:8080")
    return Listen(host.strip("[]") or "127.0.0.1", int(port))


def _allow(said: str) -> frozenset[str] | None:
    """`open`, or ids and @names of people and chats with commas or spaces between."""
    if said.casefold() == "open":
        return None
    return frozenset(word.casefold() for word in said.replace(",", " ").split())
