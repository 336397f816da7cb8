"""`potside serve` and `potside doctor` as programs of their own, told by their environment."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[3]


def environment(base: str, token: str, url: str, **more: str) -> dict[str, str]:
    """Variables for a bot on the stand-in; none of ours is inherited."""
    inherited = {name: v for name, v in os.environ.items() if not name.startswith("POTSIDE_")}
    return inherited | {
        "POTSIDE_DB": url,
        "POTSIDE_TELEGRAM_TOKEN": token,
        "POTSIDE_TELEGRAM_API": base,
        **more,
    }


def serve(told: dict[str, str], log: Path, ahead: Path | None = None) -> subprocess.Popen[bytes]:
    """Begin to serve; what it logs goes to a file. Another file may set its clock ahead."""
    program = ["bot.cli", "serve"] if ahead is None else [f"{__package__}.ahead", str(ahead)]
    with log.open("ab") as out:
        return subprocess.Popen(
            [sys.executable, "-m", *program],
            cwd=ROOT, env=told, stdin=subprocess.DEVNULL, stdout=out, stderr=out,
        )  # fmt: skip


def doctor(told: dict[str, str]) -> tuple[int, str]:
    """What the doctor says, and its exit status."""
    done = subprocess.run(
        [sys.executable, "-m", "bot.cli", "doctor"],
        cwd=ROOT, env=told, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    return done.returncode, done.stdout + done.stderr


def memory_mib(process: subprocess.Popen[bytes]) -> float | None:
    """Resident memory of a program in MiB; None where the system doesn't tell it this way."""
    return _mib(process.pid, "VmRSS")


def of_child(process: subprocess.Popen[bytes]) -> list[float]:
    """The most that each process which a program has begun ever held, in MiB."""
    return [peak for pid in children(process) if (peak := _mib(pid, "VmHWM")) is not None]


def children(process: subprocess.Popen[bytes]) -> list[int]:
    """The processes that a program has begun and that are still there, where the system tells."""
    told = Path(f"/proc/{process.pid}/task").glob("*/children")
    return [int(pid) for one in told for pid in one.read_text().split()]


def loaded(process: subprocess.Popen[bytes]) -> set[str]:
    """Folders of what a program has compiled parts of in its memory, where the system tells."""
    maps = Path(f"/proc/{process.pid}/maps")
    return set(maps.read_text().split("/")) if maps.exists() else set()


def is_there(pid: int) -> bool:
    """Whether a process runs, where the system tells."""
    return Path(f"/proc/{pid}").exists()


def _mib(pid: int, what: str) -> float | None:
    status = Path(f"/proc/{pid}/status")
    if not status.exists():
        return None
    for line in status.read_text().splitlines():
        if line.startswith(f"{what}:"):
            return int(line.split()[1]) / 1024
    return None
