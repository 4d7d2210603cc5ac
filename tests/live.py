"""The real server on a copy of a template shop: for browser, kill and race tests."""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from dataclasses import dataclass, field
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PASSWORD = "a long enough word"

FILL = """
from shop.models import Person, Profile
Profile.objects.create(pk=1, name="Kestrel Yard Repairs", address="4 Ropewalk, Tarnsea",
    phone="01632 960001", region="GB", currency="EUR", time_zone="Europe/London")
people = (("nell", "Nell Aldous", "owner"), ("tomas", "Tomas Reyk", "technician"))
for username, name, role in people:
    Person.objects.create_person(username=username, name=name, role=role, password={password!r})
""".replace("{password!r}", repr(PASSWORD))


def surroundings(data: Path) -> dict[str, str]:
    """The environment of a process that works on this data folder alone."""
    unwanted = ("BAYWITNESS_", "DATABASE_", "PYTHONDONTWRITEBYTECODE")
    kept = {k: v for k, v in os.environ.items() if not k.startswith(unwanted)}
    return kept | {
        # Where no bytecode is kept, each of these processes would compile everything anew.
        "PYTHONPYCACHEPREFIX": str(Path(tempfile.gettempdir()) / f"bytecode-{os.getuid()}"),
        "BAYWITNESS_DATA": str(data),
        "BAYWITNESS_NO_BOOTSTRAP": "1",
        "DJANGO_SETTINGS_MODULE": "shop.settings",
        "PYTHONPATH": str(ROOT),
    }


def manage(data: Path, *words: str, text: str = "") -> None:
    """Run a command of manage.py on a data folder."""
    subprocess.run(
        [sys.executable, str(ROOT / "manage.py"), *words],
        env=surroundings(data),
        cwd=ROOT,
        check=True,
        input=text.encode(),
        capture_output=True,
    )


def make_template(folder: Path) -> Path:
    """A shop with two people and nothing else, made once and then copied."""
    data = folder / "template"
    (data / "photos").mkdir(parents=True)
    (data / "secret").write_text("s" * 50, "ascii")
    manage(data, "migrate", "--verbosity", "0")
    manage(data, "shell", "-c", FILL)
    return data


def shared_template(folders: pytest.TempPathFactory) -> Path:
    """The same, made by the first worker of this run that asks for it. To be copied, not used."""
    import fcntl  # not on every system

    folder = folders.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        folder = folder.parent
    made = folder / "shop" / "template.made"
    with (folder / "shop.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not made.exists():
            make_template(made.parent)
            made.touch()
    return made.with_suffix("")


@dataclass
class Server:
    """A running server; `kill` is SIGKILL to its whole process group."""

    data: Path
    port: int = 0
    workers: int = 1
    process: subprocess.Popen | None = field(default=None, repr=False)

    @property
    def url(self) -> str:
        """Its address."""
        return f"http://127.0.0.1:{self.port}"

    def start(self, wait_seconds: float = 30) -> Server:
        """Start it and wait until it answers."""
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port = self.port or probe.getsockname()[1]
        self.process = subprocess.Popen(
            [
                sys.executable,
                "-m",
                "granian",
                "--interface",
                "wsgi",
                "--host",
                "127.0.0.1",
                "--port",
                str(self.port),
                "--workers",
                str(self.workers),
                "--blocking-threads",
                "2",
                "--no-ws",
                "--log-level",
                "error",
                "shop.wsgi:application",
            ],
            env=surroundings(self.data),
            cwd=ROOT,
            start_new_session=True,
            stdout=subprocess.DEVNULL,
            stderr=(self.data / "server.log").open("ab"),
        )
        until = time.monotonic() + wait_seconds
        while True:
            try:
                urllib.request.urlopen(f"{self.url}/sign-in/", timeout=2).read()  # noqa: S310
                return self
            except (urllib.error.URLError, OSError):
                if time.monotonic() > until or self.process.poll() is not None:
                    log = (self.data / "server.log").read_text("utf-8", "replace")[-2000:]
                    raise RuntimeError(f"the server did not start: {log}") from None
                time.sleep(0.05)

    def kill(self) -> None:
        """As a power switch would do it, but for the disk's own cache."""
        if self.process and self.process.poll() is None:
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()

    stop = kill


def copied(template: Path, to: Path) -> Path:
    """A fresh copy of the template shop."""
    shutil.copytree(template, to)
    return to
