"""A parent that loads the application once and forks it off as a server, again and again.

`python -m tests.kill.nursery [--sync-ms N] [--answer-ms N] [--row-first]` on the data folder of its
environment. It prints the port; for each line that it reads, it waits for the last server's end,
forks the next and prints its process number. What a server does is all the application's:
middleware, views, store, helper process, record; only the socket is the development server's.

--sync-ms: the disk takes that long to sync a photo, as a workshop's memory card does.
--answer-ms: what was saved takes that long to be answered, as on a workshop's network.
--row-first: the deliberate mistake. The row is committed before its file has its place.
"""

from __future__ import annotations

import argparse
import io
import os
import socket
import sys
import threading
import time
from typing import Any


class SlowDisk:
    """Stands in for `os` in the store: a sync takes longer."""

    def __init__(self, seconds: float) -> None:
        self.seconds = seconds

    def __getattr__(self, name: str) -> Any:
        return getattr(os, name)

    def fsync(self, handle: int) -> None:
        """Wait, then sync."""
        time.sleep(self.seconds)
        os.fsync(handle)


def answering_late(application: Any, seconds: float) -> Any:
    """The application, whose answers to forms are under way for a while."""

    def answer(environ: dict[str, Any], start_response: Any) -> Any:
        response = application(environ, start_response)
        if environ["REQUEST_METHOD"] == "POST":
            time.sleep(seconds)
        return response

    return answer


def write_rows_first() -> None:
    """Let the store give names out at once, and the files come after the transaction."""
    from jobs.actions import photos
    from jobs.photos import store

    late = threading.local()
    keep, add_photos = store.Received.keep, photos.add_photos

    def keep_later(received: store.Received) -> store.Stored:
        aside = received.path.with_suffix(".late")
        received.path.rename(aside)
        late.files.append(store.Received(received.root, aside, received.sha256, received.size))
        return store.Stored(received.sha256, received.size)

    def add_then_keep(**how: Any) -> Any:
        late.files = []
        entry = add_photos(**how)
        for received in late.files:
            keep(received)
        return entry

    store.Received.keep = keep_later
    photos.add_photos = add_then_keep


def load() -> Any:
    """The application, with what the first page loads, and no connection open."""
    from django.db import connections
    from django.test import RequestFactory

    from shop.wsgi import application

    environ = RequestFactory().get("/sign-in/", HTTP_HOST="127.0.0.1").environ
    environ["wsgi.input"] = io.BytesIO()
    b"".join(application(environ, lambda status, headers: None))
    import jobs.views.photos  # noqa: F401
    from measurements.procedures import PROCEDURES

    len(PROCEDURES)
    connections.close_all()
    return application


def serve(listening: socket.socket, application: Any) -> None:
    """Until killed."""
    from django.core.servers.basehttp import ThreadedWSGIServer, WSGIRequestHandler

    address = listening.getsockname()
    server = ThreadedWSGIServer(address, WSGIRequestHandler, bind_and_activate=False)
    server.socket.close()
    server.socket = listening
    server.server_name, server.server_port = address
    server.setup_environ()
    server.set_app(application)
    server.serve_forever()


def main() -> None:
    """Fork a server for each line."""
    wanted = argparse.ArgumentParser()
    wanted.add_argument("--sync-ms", type=float, default=0)
    wanted.add_argument("--answer-ms", type=float, default=0)
    wanted.add_argument("--row-first", action="store_true")
    how = wanted.parse_args()
    application = answering_late(load(), how.answer_ms / 1000)
    from jobs.photos import store

    store.os = SlowDisk(how.sync_ms / 1000)
    if how.row_first:
        write_rows_first()
    listening = socket.create_server(("127.0.0.1", 0), backlog=64)
    print(listening.getsockname()[1], flush=True)
    server = 0
    for _line in sys.stdin:
        if server:
            os.waitpid(server, 0)
        server = os.fork()
        if not server:
            serve(listening, application)
            os._exit(1)
        os.setpgid(server, server)  # known as a group before its number is given out
        print(server, flush=True)


if __name__ == "__main__":
    main()
