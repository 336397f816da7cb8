"""A real homeserver on the loopback: Synapse on SQLite in a folder of its own."""

from __future__ import annotations

import base64
import hashlib
import hmac
import http.client
import itertools
import json
import os
import socket
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[3]
NAME = "birch.test"
SECRET = "the tests' own"  # noqa: S105 - opens nothing but a server on this machine's loopback
PASSWORD = "leaf-and-soil"  # noqa: S105 - the same
STARTING = 60.0
TRIES = 3
_NUMBERS = itertools.count(1)

# The limits have a test of their own; elsewhere they would only make tests slow.
_FREELY = {"per_second": 100_000, "burst_count": 100_000}
UNLIMITED: dict[str, Any] = {
    "rc_message": _FREELY,
    "rc_registration": _FREELY,
    "rc_admin_redaction": _FREELY,
    "rc_login": {"address": _FREELY, "account": _FREELY, "failed_attempts": _FREELY},
    "rc_joins": {"local": _FREELY, "remote": _FREELY},
    "rc_joins_per_room": _FREELY,
    "rc_invites": {"per_room": _FREELY, "per_user": _FREELY, "per_issuer": _FREELY},
    "rc_key_requests": _FREELY,
    "rc_room_creation": _FREELY,
    "rc_media_create": _FREELY,
}


class StartError(Exception):
    """The homeserver didn't come up; the message holds the end of its log."""


@dataclass(frozen=True, slots=True)
class Login:
    """One device of somebody: what a client needs to be it."""

    user: str
    device: str
    token: str


def _free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


class Homeserver:
    """Synapse as a child process. It talks to nobody but the loopback, and ends with us."""

    def __init__(self, folder: Path, **limits: Any) -> None:
        """Nothing is started yet. `limits` are Synapse's `rc_...` settings."""
        self._folder = folder
        self._limits = limits
        self._key = base64.b64encode(os.urandom(32)).decode().rstrip("=")
        self._process: subprocess.Popen[bytes] | None = None
        self.port = 0

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        """Begin to serve, under the address it had before if it had one; back when it answers."""
        for left in reversed(range(1 if self.port else TRIES)):
            port = self.port or _free_port()
            try:
                self._begin(port)
            except StartError:
                if not left:  # somebody may have taken the port between finding and using it
                    raise
            else:
                self.port = port
                return

    def stop(self) -> None:
        """End it at once, as a power cut would; the database stays."""
        if self._process is not None:
            self._process.kill()
            self._process.wait(20)
            assert self._process.stdin
            self._process.stdin.close()
            self._process = None

    def register(self, name: str, *, exactly: bool = False) -> Login:
        """A new user with a first device; a number makes the name the only one of its kind."""
        user = name if exactly else f"{name}-{next(_NUMBERS)}"
        nonce = self._call("GET", "/_synapse/admin/v1/register")["nonce"]
        told = f"{nonce}\x00{user}\x00{PASSWORD}\x00notadmin".encode()
        mac = hmac.new(SECRET.encode(), told, hashlib.sha1).hexdigest()
        body = {"nonce": nonce, "username": user, "password": PASSWORD, "mac": mac, "admin": False,
                "displayname": name.capitalize()}  # fmt: skip
        made = self._call("POST", "/_synapse/admin/v1/register", body)
        return Login(made["user_id"], made["device_id"], made["access_token"])

    def login(self, user: str) -> Login:
        """A further device of somebody."""
        body = {
            "type": "m.login.password",
            "identifier": {"type": "m.id.user", "user": user},
            "password": PASSWORD,
        }
        made = self._call("POST", "/_matrix/client/v3/login", body)
        return Login(made["user_id"], made["device_id"], made["access_token"])

    def _begin(self, port: int) -> None:
        config = self._folder / "homeserver.json"  # JSON is YAML
        config.write_text(json.dumps(self._config(port)))
        log = self._folder / "log"
        with log.open("ab") as out:
            self._process = subprocess.Popen(
                [sys.executable, "-m", "tests.transports.matrix.synapse", str(config)],
                cwd=ROOT, stdin=subprocess.PIPE, stdout=out, stderr=out,
            )  # fmt: skip
        ends = time.monotonic() + STARTING
        while not self._answers(port):
            if self._process.poll() is not None or time.monotonic() > ends:
                self.stop()
                raise StartError(log.read_text()[-3000:])
            time.sleep(0.05)

    def _answers(self, port: int) -> bool:
        try:
            self._ask(port, "GET", "/health")
        except OSError:
            return False
        return True

    def _config(self, port: int) -> dict[str, Any]:
        log = self._folder / "log.json"
        log.write_text(
            json.dumps(
                {
                    "version": 1,
                    "handlers": {"all": {"class": "logging.StreamHandler"}},
                    "root": {"level": "WARNING", "handlers": ["all"]},
                    "disable_existing_loggers": False,
                }
            )
        )
        listener = {
            "port": port, "type": "http", "bind_addresses": ["127.0.0.1"],
            "resources": [{"names": ["client"]}],
        }  # fmt: skip
        return {
            "server_name": NAME,
            "public_baseurl": f"http://127.0.0.1:{port}/",
            "pid_file": str(self._folder / "pid"),
            "listeners": [listener],
            "database": {"name": "sqlite3", "args": {"database": str(self._folder / "hs.db")}},
            "log_config": str(log),
            "media_store_path": str(self._folder / "media"),
            "signing_key": f"ed25519 tests {self._key}",
            "registration_shared_secret": SECRET,
            "macaroon_secret_key": "m" * 32,
            "form_secret": "f" * 32,
            "bcrypt_rounds": 4,
            "report_stats": False,
            "trusted_key_servers": [],
            "federation_domain_whitelist": [],
            "enable_registration": False,
            "presence": {"enabled": False},
            "max_upload_size": "2M",
            **self._limits,
        }

    def _call(self, method: str, path: str, body: Any = None) -> dict[str, Any]:
        status, answer = self._ask(self.port, method, path, body)
        assert status == 200, f"{path}: {status} {answer!r}"
        made: dict[str, Any] = json.loads(answer)
        return made

    def _ask(self, port: int, method: str, path: str, body: Any = None) -> tuple[int, bytes]:
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
        try:
            connection.request(method, path, None if body is None else json.dumps(body))
            answer = connection.getresponse()
            return answer.status, answer.read()
        finally:
            connection.close()
