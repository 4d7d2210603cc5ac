"""What `serve` and `demo` share: the data folder, the database, the address, the server."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from collections.abc import Callable

from django.conf import settings
from django.core.management import CommandError, call_command
from django.db import connections

from shop import environment

Say = Callable[[str], None]
ANY_ADDRESS = "0.0.0.0"  # noqa: S104  (phones of the workshop must reach it)


def prepare(say: Say) -> None:
    """Folder, secret and database, made or brought up to date. Safe to repeat."""
    for folder in (settings.DATA, settings.PHOTO_FOLDER):
        try:
            folder.mkdir(parents=True, exist_ok=True, mode=0o750)
        except OSError as error:
            raise CommandError(
                f"The data folder {folder} can't be made: {error.strerror}. "
                "Name another one in BAYWITNESS_DATA."
            ) from error
    environment.make_secret(settings.DATA)
    _sweep()
    say("Bringing the database up to date ...")
    call_command("migrate", verbosity=0, interactive=False)
    call_command("check", databases=["default"], verbosity=0)


def _sweep() -> None:
    """Remove half-received uploads of an earlier crash. Originals without a row stay: a restored
    database may be older than its photos."""
    from jobs.photos import store

    store.sweep(settings.PHOTO_FOLDER, is_referenced=lambda _sha256: True)


def say_what_is_off(say: Say) -> None:
    """Parts that this machine lacks, and the one command that brings them."""
    from jobs.process.pango import install_command, missing_libraries

    missing = missing_libraries()
    if missing:
        say(
            f"PDF reports are off: this machine lacks {', '.join(missing)}. Everything else "
            f"works, and reports can be read on the page. To switch them on, run:\n"
            f"    {install_command()}\nand start again."
        )


def addresses(port: int) -> list[str]:
    """Where a browser finds the server: this machine, and the network that a phone is on."""
    found = [f"http://localhost:{port}"]
    own = environment.own_address()
    if own:
        found.append(f"http://{own}:{port}")
    if settings.SECURE:
        found.insert(0, settings.ADDRESS)
    return found


def announce(port: int, say: Say) -> None:
    """Print the addresses, with a QR code of the one for phones."""
    import segno

    places = addresses(port)
    say("")
    say(f"On this computer:              {places[0]}")
    if len(places) > 1:
        say(f"On a phone in the same network: {places[-1]}")
        say("")
        segno.make(places[-1], error="m", micro=False).terminal(compact=True)
    if not settings.SECURE:
        say(
            "Plain HTTP: fine for a trial on a network that you trust; passwords travel readable. "
            "For real use set BAYWITNESS_ADDRESS to an https:// address."
        )
    say("Stop it with Ctrl+C.")
    say("")


def free_or_refuse(host: str, port: int) -> None:
    """Say at once, and plainly, when the port is taken."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as error:
            raise CommandError(
                f"Port {port} can't be used: {error.strerror}. Choose another one with --port."
            ) from error


def run(host: str, port: int) -> None:
    """Hand over to the server; returns when it ends."""
    for connection in connections.all():
        connection.close()
    command = [
        sys.executable,
        "-m",
        "granian",
        "--interface",
        "wsgi",
        "--host",
        host,
        "--port",
        str(port),
        "--workers",
        "1",
        "--blocking-threads",
        "2",
        "--no-ws",
        "--log-level",
        "warning",
        "shop.wsgi:application",
    ]
    surroundings = os.environ | {
        "DJANGO_SETTINGS_MODULE": "shop.settings",
        "BAYWITNESS_DATA": str(settings.DATA),
        "BAYWITNESS_DEMO": "1" if settings.DEMO else "0",
        "PYTHONPATH": str(settings.BASE_DIR),
    }
    server = subprocess.Popen(command, env=surroundings, cwd=settings.BASE_DIR)
    try:
        code = server.wait()
    except KeyboardInterrupt:
        server.terminate()
        code = server.wait(timeout=10)
    if code not in (0, -2, -15, 130):
        raise CommandError(f"The server ended with code {code}.")
